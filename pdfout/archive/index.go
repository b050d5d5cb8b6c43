package archive

import (
	"errors"
)

// ErrIndex says that the index cannot be used and is to be made anew.
var ErrIndex = errors.New("the index cannot be used; 'wornwood archive rebuild DIR' makes it anew from the files")

// Position is how far an index follows the log.
type Position struct {
	Head
	End int64 // byte of the log behind the head's line
}

// Event is a line of the log, for an index. Row is nil for all kinds but Filed,
// and for a filed report whose verdict is damaged.
type Event struct {
	Entry
	Row *Row
}

// Count is how many reports have one value of a field.
type Count struct {
	Value string `json:"value"`
	N     int    `json:"reports"`
}

// Found are the reports that answer a query, at most as many as asked for.
type Found struct {
	Rows []Row `json:"rows"`
	More bool  `json:"more"` // there are more than were asked for
}

// SuggestFields are the fields that Suggest knows values of.
func SuggestFields() []string {
	return []string{"maker", "model", "class", "serial", "number", "examiner", "shop", "kind", "part"}
}

// Index finds reports. It holds nothing that files and log do not hold. Its
// methods may be called from several goroutines.
type Index interface {
	// At is how far it follows the log; the zero Head for a new one. ErrIndex,
	// wrapped, when it is of another version or damaged.
	At() (Position, error)
	// Apply takes in lines of the log and their position, all or nothing. A
	// Removed line takes the report out.
	Apply(events []Event, at Position) error
	// Reset empties it.
	Reset() error
	// Filed is the row of a report, nil when it is not filed.
	Filed(hash string) (*Row, error)
	// Refused tells whether a file is on the refused pile.
	Refused(hash string) (bool, error)
	// Versions are the reports with the same first signature, the one filed
	// earliest first.
	Versions(first string) ([]Row, error)
	// Find lists what answers the query, from a place in the list on.
	Find(q *Query, from, most int) (*Found, error)
	// Counts groups what answers the query by a field of CountFields, the most
	// frequent value first, then by value.
	Counts(q *Query, field string) ([]Count, error)
	// Suggest lists values of a field of SuggestFields that begin so, small and
	// capital letters aside (a serial number by its SerialKey), at most as many
	// as asked for, in order of the values. N may be 0 where counting is slow.
	Suggest(field, begin string, most int) ([]Count, error)
	// Notes are the lines of these kinds as they stand in the log, the oldest
	// first; no kind is all but Filed and Rejected.
	Notes(kinds ...EventKind) ([]Entry, error)
	// Check reads it through; nil when it is sound.
	Check() error
	Close() error
}

// CountFields are the fields that Counts groups by.
func CountFields() []string {
	return []string{"maker", "model", "class", "year", "serial", "date", "condition", "purpose", "examiner", "shop", "key", "verdict", "kind", "part"}
}
