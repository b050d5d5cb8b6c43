package archive

// PersonSet is the kind of a line by which a keeper let somebody in, gave them
// another role or password, or shut them out. What lets people in is people.json
// beside the archive; these lines only tell who changed it, see FORMAT.md.
const PersonSet EventKind = "person"

// PersonBody is the body of a line PersonSet.
type PersonBody struct {
	Name   string `json:"name"`
	Role   string `json:"role,omitempty"` // from now on; "" where they are shut out
	Change string `json:"change"`         // added, role, password, removed
}
