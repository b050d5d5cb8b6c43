package archive

import (
	"errors"
	"io"
	"time"
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
	ErrConflict = errors.New("somebody else wrote to the log at the same moment; try again")
)

// Ledger is one of the logs of a store: lines that are only ever added to.
type Ledger string

// The ledgers. The log tells of everything that happened to the archive;
// readings, of who read what in a shared one.
const (
	MainLog  Ledger = "log"
	Readings Ledger = "readings"
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
// who holds the archive's lock, or for reading, or for the readings.
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
	// Discard removes everything staged of a report, also a Retire.
	Discard(hash string) error
	// Retire notes, durably and as something staged, that everything published
	// of a report is about to be removed: the line of the log that says so is
	// written between Retire and Remove.
	Retire(hash string) error
	// Remove deletes a report and everything that belongs to it, in all areas,
	// and what is staged of it. Doing it again, after a crash, ends it.
	Remove(hash string) error

	// Open opens a published file; ErrMissing when it is not there.
	Open(ref Ref) (Content, error)
	// List calls visit for every published file of an area, in any order, with
	// the size in bytes. What is not named like a file of the area is given as
	// stranger, by its path, with an empty hash.
	List(area Area, visit func(hash string, size int64, stranger string) error) error
	// Restore puts a file in place of a damaged or missing one, durably. What
	// was there is kept aside, outside every area.
	Restore(ref Ref, r io.Reader) error

	// Append adds lines, each without its line feed, to a ledger that ends at
	// byte at, all durable when it returns; ErrConflict, wrapped, when it ends
	// elsewhere by now. An error leaves the ledger as it was, or with a torn
	// last line, which the next Tail cuts off.
	Append(to Ledger, at int64, lines [][]byte) error
	// Tail is the last line of a ledger and where it ends, in bytes; nil and 0
	// for one that is empty or not there. With mend a torn line behind it is
	// cut off and kept aside; without, it is passed over.
	Tail(of Ledger, mend bool) (line []byte, end int64, err error)
	// Log calls visit for every whole line of a ledger from a place on, with
	// the place behind it; ErrMissing when the log of the archive is not there.
	Log(of Ledger, from int64, visit func(line []byte, end int64) error) error
	// Settings are the bytes of archive.json, written once by Make.
	Settings() ([]byte, error)
}

// Locker lets one process at a time change an archive. A folder's lock is the
// kernel's; a shared index has its own.
type Locker interface {
	// Lock takes the lock until release is called or the process ends; a
	// *HeldError says who has it.
	Lock(now time.Time) (release func() error, err error)
	// AtWork tells whether somebody holds it now.
	AtWork() bool
}
