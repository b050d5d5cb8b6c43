package record

// Photo is one original in the bench. Its ID is the SHA-256 of the file, 64
// lower-case hex digits.
type Photo struct {
	ID          string    `json:"id"`
	Name        string    `json:"name"`           // file name at import, without folders
	View        string    `json:"view,omitempty"` // view of the class it fills, "" for a loose photo
	Size        int64     `json:"size"`           // bytes of the original
	Format      string    `json:"format"`         // jpeg, png
	Width       int       `json:"width"`          // pixels, upright
	Height      int       `json:"height"`
	Orientation int       `json:"orientation,omitempty"` // Exif 1..8 as stored; 0 when absent
	Focal35     int       `json:"focal35,omitempty"`     // mm, as the file states it for 24 x 36 mm; 0 when absent
	Taken       string    `json:"taken,omitempty"`       // camera's own date, RFC 3339 with as much of sub-seconds and zone as the file has
	Camera      string    `json:"camera,omitempty"`      // maker and model
	Serial      string    `json:"serial,omitempty"`      // body serial number
	Software    string    `json:"software,omitempty"`
	Imported    string    `json:"imported,omitempty"` // RFC 3339, this machine's clock
	Caption     string    `json:"caption,omitempty"`
	Agreement   string    `json:"agreement,omitempty"`   // "two readers agree", "one reader", "readers disagree"
	Differences []TwoRead `json:"differences,omitempty"` // where two metadata readers gave different values, both
	Remarks     []string  `json:"remarks,omitempty"`     // provenance remarks, one sentence each

	Scale     *Scale       `json:"scale,omitempty"`     // how its pixels become millimetres
	Register  *Scale       `json:"register,omitempty"`  // landmarks that lay it over the outline, where Scale does not
	Dismissed []PhotoPlace `json:"dismissed,omitempty"` // suggested marks that the examiner turned down
}

// Registration is what lays the photo over a side of the outline: Register, or
// a Scale taken from the outline itself. It is nil when there is neither.
func (p *Photo) Registration() *Scale {
	switch {
	case p.Register != nil && p.Register.Side != "":
		return p.Register
	case p.Scale != nil && p.Scale.Side != "":
		return p.Scale
	}
	return nil
}

// TwoRead is a field that two metadata readers read differently. Both values
// are kept, because neither reader is known to be right.
type TwoRead struct {
	Field  string `json:"field"`
	First  string `json:"first"`
	Second string `json:"second"`
}
