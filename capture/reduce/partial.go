package reduce

import "fmt"

// Partial tells what is missing from a JPEG that broke off part-way. The zero value means that all of it was read.
// Rows that could not be read are white in the returned picture, so its size and coordinates stay those of the photograph.
type Partial struct {
	Rows   int // rows read whole, counted from the top of the stored picture, before any orientation
	Height int // rows the stored picture should have; zero when nothing is missing
	// Coarse says that the rows below Rows are there too, but without some of their detail or colour. It happens
	// with files that store the picture in several passes.
	Coarse bool
}

// Broken tells whether anything is missing.
func (p Partial) Broken() bool { return p.Height > 0 }

// String is one sentence for the reader, or empty when nothing is missing.
func (p Partial) String() string {
	switch {
	case !p.Broken():
		return ""
	case p.Coarse:
		return "the file breaks off: the whole picture is there, but without its fine detail or colour; copy it from the camera again"
	}
	return fmt.Sprintf("the file breaks off: %d of %d rows could be read; copy it from the camera again", p.Rows, p.Height)
}
