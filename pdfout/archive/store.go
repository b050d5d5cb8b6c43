package archive

import (
	"errors"
	"io"
)

// Area is one of the kinds of files that a store keeps.
type Area string

// The areas. Every file of an archive is named by the SHA-256 of the report
// that it is or belongs to.
const (
	Files    Area = "files"    // reports, PDF
	Refused  Area = "refused"  // what did not pass, as it came
	Reasons  Area = "reasons"  // why it was refused, text
	Verdicts Area = "verdicts" // what was found when it was filed, canonical JSON
	Records  Area = "records"  // the record inside, canonical JSON
)

// Areas lists the areas.
func Areas() []Area { return []Area{Files, Refused, Reasons, Verdicts, Records} }

// Ref names one file of a store: its area, and the SHA-256 of the report, 64
// lower-case hex digits.
type Ref struct {
	Area Area   `json:"area"`
	Hash string `json:"hash"`
}

// The errors of a store, wrapped.
var (
	ErrMissing  = errors.New("it is not in the archive")
	ErrTooLarge = errors.New("it is larger than the archive takes")
)

// Content is an open file of a store.
type Content interface {
	io.Reader
	io.ReaderAt
	io.Closer
	Size() int64 // bytes
}

// Store keeps the files and the log of one archive. Files come in two steps, so
// that a process killed between them leaves nothing in doubt: staged, a file is
// durable and nobody's; published, it is the archive's and never changes. The
// log line that names a file is written between the two.
//
// Stage and Put may be called from several goroutines; everything else only by
// who holds the archive's lock, or for reading.
type Store interface {
	// Stage takes in what r gives, at most limit bytes, else ErrTooLarge, and
	// asks keep whether content of that hash is wanted. Wanted, it is staged
	// and durable; otherwise nothing of it is left.
	Stage(r io.Reader, limit int64, keep func(hash string) bool) (hash string, size int64, err error)
	// Put stages a file that belongs to a report, durably.
	Put(ref Ref, data []byte) error
	// Staged opens what Stage took in.
	Staged(hash string) (Content, error)
	// Leftover lists the reports' hashes of which anything is staged.
	Leftover() ([]string, error)
	// Publish makes everything staged of a report the archive's: its content
	// into the area, the files put beside it into theirs. Doing it again, after
	// a crash in the middle, ends it. It is durable after Settle.
	Publish(hash string, area Area) error
	// Settle makes what was published durable.
	Settle() error
	// Discard removes everything staged of a report.
	Discard(hash string) error

	// Open opens a published file; ErrMissing when it is not there.
	Open(ref Ref) (Content, error)
	// List calls visit for every published file of an area, in any order, with
	// the size in bytes. What is not named like a file of the area is given as
	// stranger, by its path, with an empty hash.
	List(area Area, visit func(hash string, size int64, stranger string) error) error
	// Restore puts a file in place of a damaged or missing one, durably. What
	// was there is kept aside, outside every area.
	Restore(ref Ref, r io.Reader) error

	// Append adds lines, each without its line feed, to the log, all durable
	// when it returns. An error leaves the log as it was, or with a torn last
	// line, which the next Tail cuts off.
	Append(lines [][]byte) error
	// Tail is the last line of the log and where it ends, in bytes; nil and 0
	// for an empty one. With mend a torn line behind it is cut off and kept
	// aside; without, it is passed over.
	Tail(mend bool) (line []byte, end int64, err error)
	// Log calls visit for every whole line from a place on, with the place
	// behind it.
	Log(from int64, visit func(line []byte, end int64) error) error
	// Settings are the bytes of archive.json, written once by Make.
	Settings() ([]byte, error)
}
