package archive

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"wornwood/pdfout"
)

// EventKind says what a line of the log tells of.
type EventKind string

// The kinds. Readers carry on past kinds that they do not know.
const (
	Filed    EventKind = "filed"    // a report was filed
	Rejected EventKind = "refused"  // something was put on the refused pile
	Checked  EventKind = "checked"  // the archive was checked
	Restored EventKind = "restored" // a file was brought back from a copy
	Removed  EventKind = "removed"  // a report was removed, under a rule or by law
)

// note tells whether a line of the kind is one that an index keeps as it is,
// for Notes: everything but what is filed and refused.
func (k EventKind) note() bool { return k != Filed && k != Rejected }

// Entry is one line of the log. Hashes are SHA-256 in lower-case hex.
type Entry struct {
	Seq      int64     `json:"seq"`
	Previous string    `json:"previous"` // of the line before, without its line feed; of archive.json for the first
	Time     time.Time `json:"time"`     // by this machine's clock, UTC; the order is that of seq
	Kind     EventKind `json:"kind"`
	File     string    `json:"file,omitempty"`    // of the report
	Size     int64     `json:"size,omitempty"`    // bytes of the report
	Source   string    `json:"source,omitempty"`  // the name it came under
	Summary  string    `json:"summary,omitempty"` // the verdict in a sentence; why it was refused; what a check found
	Verdict  string    `json:"verdict,omitempty"` // of the file in verdicts/, or of the reason in refused/
	Record   string    `json:"record,omitempty"`  // of the file in records/
	First    string    `json:"first,omitempty"`   // of the report's bytes up to the end of its first signature
	Linked   string    `json:"linked,omitempty"`  // the report filed earliest with the same first, where this is a later version of it
	Area     Area      `json:"area,omitempty"`    // of a restored file
	By       string    `json:"by,omitempty"`      // who did it, where a person decided
	// Body is what a kind tells beside this: one JSON object, of the kind's own form.
	Body json.RawMessage `json:"body,omitempty"`
}

// Head is a place in the log: the last line's number and hash. Whoever notes
// it can have it proven later that nothing up to there was changed.
type Head struct {
	Seq  int64  `json:"seq"`
	Hash string `json:"hash"`
}

func (h Head) String() string { return fmt.Sprintf("%d:%s", h.Seq, h.Hash) }

// ParseHead reads what String wrote.
func ParseHead(s string) (Head, error) {
	seq, hash, _ := strings.Cut(strings.TrimSpace(s), ":")
	n, err := strconv.ParseInt(seq, 10, 64)
	raw, err2 := hex.DecodeString(hash)
	if err != nil || err2 != nil || n < 0 || len(raw) != sha256.Size {
		return Head{}, fmt.Errorf("%.80q is no head of a log; it reads NUMBER:HASH, as 'wornwood archive log DIR --head' printed it", s)
	}
	return Head{n, hex.EncodeToString(raw)}, nil
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// line is the entry as it stands in the log: canonical JSON (RFC 8785).
func (e Entry) line() ([]byte, error) {
	e.Time = e.Time.UTC().Truncate(time.Millisecond)
	return pdfout.Canonical(e)
}

// ChainError says where the log does not hold together.
type ChainError struct {
	Line int64 // from 1
	Why  string
}

func (e *ChainError) Error() string {
	return fmt.Sprintf("line %d of %s %s; compare it with a copy of the archive and bring the log back from there", e.Line, logName(MainLog), e.Why)
}

// readEntry reads a line that must follow on head.
func readEntry(line []byte, head Head) (Entry, error) {
	bad := func(why string) (Entry, error) { return Entry{}, &ChainError{head.Seq + 1, why} }
	var e Entry
	dec := json.NewDecoder(bytes.NewReader(line))
	if err := dec.Decode(&e); err != nil {
		return bad("cannot be read")
	}
	if e.Seq != head.Seq+1 {
		return bad(fmt.Sprintf("has the number %d", e.Seq))
	}
	if e.Previous != head.Hash {
		return bad("does not follow from the line before: one of the two was altered, or lines were taken out between them")
	}
	return e, nil
}

// errEnough ends a walk along the log early.
var errEnough = errors.New("enough")

// walk goes along the log from a head that stands at a byte, sees that each
// line follows from the one before, and ends with the last head.
func walk(s Store, from Head, at int64, visit func(Entry, Head, int64) error) (Head, error) {
	head := from
	err := s.Log(MainLog, at, func(line []byte, end int64) error {
		e, err := readEntry(line, head)
		if err != nil {
			return err
		}
		head = Head{e.Seq, sum(line)}
		return visit(e, head, end)
	})
	if errors.Is(err, errEnough) {
		err = nil
	}
	return head, err
}
