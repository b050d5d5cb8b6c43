package pdf

import (
	"errors"
	"fmt"
)

// Limits bound what Open and everything reached from it will do. A zero field
// takes its default.
type Limits struct {
	Size      int64 // bytes of the whole file; default 512 MiB
	Objects   int   // indirect objects in the tables of all revisions; default 200 000
	Revisions int   // default 32
	Depth     int   // of nested arrays and dictionaries; default 48
	Token     int   // bytes of one string or name; default 1 MiB
	Values    int   // values inside one indirect object; default 500 000
	Object    int64 // bytes of one indirect object without its stream; default 16 MiB
	Decoded   int64 // bytes of one decoded stream; default 64 MiB
	// Work is how many bytes may be parsed in all, since objects of a hostile
	// file can overlap; default eight times the file and 64 MiB.
	Work int64
}

func (l Limits) withDefaults() Limits {
	def := func(v *int, d int) {
		if *v <= 0 {
			*v = d
		}
	}
	if l.Size <= 0 {
		l.Size = 512 << 20
	}
	if l.Object <= 0 {
		l.Object = 16 << 20
	}
	if l.Decoded <= 0 {
		l.Decoded = 64 << 20
	}
	def(&l.Objects, 200_000)
	def(&l.Revisions, 32)
	def(&l.Depth, 48)
	def(&l.Token, 1<<20)
	def(&l.Values, 500_000)
	return l
}

// ErrMalformed is wrapped by every error that says the bytes are not the
// strict PDF this package reads.
var ErrMalformed = errors.New("not a well-formed PDF")

// ErrLimit is wrapped by every error that says a limit was reached.
var ErrLimit = errors.New("larger than this program reads")

// ErrEncrypted is wrapped when the file is encrypted.
var ErrEncrypted = errors.New("the PDF is encrypted")

func malformed(pos int64, format string, args ...any) error {
	return fmt.Errorf("%w: at byte %d: %s", ErrMalformed, pos, fmt.Sprintf(format, args...))
}

func tooMuch(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrLimit, fmt.Sprintf(format, args...))
}
