package archive

// SearchKept is the kind of a line by which a person kept a search under a name,
// gave it another name or took it off. The lines are replayed in the order of
// the log, see FORMAT.md.
const SearchKept EventKind = "search"

// searchBody is the body of a line SearchKept.
type searchBody struct {
	Name    string `json:"name"`
	Line    string `json:"line,omitempty"`    // the query line; it takes the place of one that was kept under the name
	Was     string `json:"was,omitempty"`     // the name that it had until now
	Removed bool   `json:"removed,omitempty"` // it is taken off
}
