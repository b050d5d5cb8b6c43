// Package journal keeps the edits of one examination, one line each, appended
// and synced before anybody is told that they are saved.
//
// Start with Create and Open, which give a File and the State that its lines
// add up to; Replay reads a journal without touching it. Undo and redo are
// lines too, so a journal only ever grows and replaying it gives the same
// undo list again.
//
// A line is {"sum":"...","entry":{...}}. The sum is the SHA-256 of the sum
// before it followed by the bytes of the entry, the first one starting from the
// examination's ID; so a line that was altered, moved or taken from another
// examination is noticed. The sum guards against accidents, not against
// somebody who computes it anew: that is what the signature of a report is for.
package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"wornwood/capture/record"
)

// Limits of one journal. A mark of 20 000 points takes under one MiB; a long
// examination takes a few.
const (
	MaxLine = 8 << 20  // bytes of one line with its end
	MaxFile = 96 << 20 // bytes of one journal
)

// Op says what a line does.
type Op string

// The operations. Begin is the first line and only that; Issue is the last.
const (
	Begin Op = "begin"
	Do    Op = "do"
	Undo  Op = "undo"
	Redo  Op = "redo"
	Issue Op = "issue"
)

// Entry is one line of a journal.
type Entry struct {
	Seq     int             `json:"seq"` // from 1, without gaps
	At      time.Time       `json:"at"`
	Op      Op              `json:"op"`
	Name    string          `json:"name,omitempty"`  // what the edit is called in the undo list
	Group   string          `json:"group,omitempty"` // edits in a row with the same group are undone as one
	Changes []record.Change `json:"changes,omitempty"`
	Issued  *record.Issued  `json:"issued,omitempty"`
}

// Errors of an edit that cannot be made now.
var (
	ErrIssued        = errors.New("the report of this examination is issued, it can no longer be changed; begin a new examination instead")
	ErrNothingToUndo = errors.New("there is nothing to undo")
	ErrNothingToRedo = errors.New("there is nothing to redo")
	ErrTooLarge      = errors.New("the edit is larger than a journal takes")
)

// linePrefix begins every line; sumLen hex digits and the entry follow.
const (
	linePrefix = `{"sum":"`
	lineMiddle = `","entry":`
	lineEnd    = "}\n"
	sumLen     = sha256.Size * 2
)

// sumOf chains an entry to the line before it.
func sumOf(previous string, entry []byte) string {
	h := sha256.New()
	h.Write([]byte(previous))
	h.Write(entry)
	return hex.EncodeToString(h.Sum(nil))
}

// encode makes the line of an entry and its sum.
func encode(previous string, e Entry) (line []byte, sum string, err error) {
	b, err := json.Marshal(e)
	if err != nil {
		return nil, "", fmt.Errorf("write entry: %w", err)
	}
	sum = sumOf(previous, b)
	n := len(linePrefix) + sumLen + len(lineMiddle) + len(b) + len(lineEnd)
	if n > MaxLine {
		return nil, "", fmt.Errorf("write entry of %d bytes, the limit is %d: %w", n, MaxLine, ErrTooLarge)
	}
	line = make([]byte, 0, n)
	line = append(line, linePrefix...)
	line = append(line, sum...)
	line = append(line, lineMiddle...)
	line = append(line, b...)
	return append(line, lineEnd...), sum, nil
}

// decode reads one line that ends in a line end. The error says in a few words
// what is wrong with it.
func decode(previous string, line []byte) (e Entry, sum string, err error) {
	rest, ok := bytes.CutPrefix(line, []byte(linePrefix))
	if !ok || len(rest) < sumLen+len(lineMiddle)+len(lineEnd) {
		return e, "", errors.New("it does not begin as a line of a journal")
	}
	sum, rest = string(rest[:sumLen]), rest[sumLen:]
	rest, okMiddle := bytes.CutPrefix(rest, []byte(lineMiddle))
	rest, okEnd := bytes.CutSuffix(rest, []byte(lineEnd))
	if !okMiddle || !okEnd {
		return e, "", errors.New("it is not built as a line of a journal")
	}
	if sumOf(previous, rest) != sum {
		return e, "", errors.New("its checksum does not fit")
	}
	if err := json.Unmarshal(rest, &e); err != nil {
		return e, "", fmt.Errorf("its entry cannot be read: %w", err)
	}
	return e, sum, nil
}
