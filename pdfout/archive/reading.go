package archive

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"wornwood/pdfout"
)

// What was read of a report. A list of what a query finds is no reading: it
// shows a line of each report and neither marks nor photos nor the verdict.
const (
	ReadReport  = "report"  // what is kept of it was shown
	ReadFile    = "file"    // the PDF was handed out
	ReadVerdict = "verdict" // the verdict with the record inside was handed out
	ReadHistory = "history" // it was shown within the history of its instrument
	ReadBundle  = "bundle"  // it was handed out within a claim's bundle
	ReadExport  = "export"  // it was written to an export
)

// ReadingLine is one line of the ledger of readings, chained like the log, see
// FORMAT.md.
type ReadingLine struct {
	Seq      int64     `json:"seq"`
	Previous string    `json:"previous"` // SHA-256 of the line before; of archive.json for the first
	Time     time.Time `json:"time"`     // UTC
	Who      string    `json:"who"`
	What     string    `json:"what"`              // one of ReadReport ...
	Reports  []string  `json:"reports,omitempty"` // SHA-256 of each
	From     string    `json:"from,omitempty"`    // the address it was asked from
}

const (
	readingsAtOnce = 500 // reports that one line names at most
	readingTries   = 40
)

// Reading writes down that somebody read reports, durably, before they are
// handed out; it works on an archive that is open for reading only, and beside
// others who do the same. An error means that it is not written down.
func (a *Archive) Reading(who, what, from string, hashes ...string) error {
	if who = clean(who, 120); who == "" {
		return errors.New("write reading: nobody is named who reads")
	}
	if len(hashes) == 0 {
		return nil
	}
	var err error
	for try := range readingTries {
		if err = a.readingOnce(who, what, from, hashes, try > 2); !errors.Is(err, ErrConflict) {
			break
		}
		time.Sleep(time.Duration(rand.IntN(5*(try+1))+1) * time.Millisecond)
	}
	if err != nil {
		return fmt.Errorf("write reading: %w", err)
	}
	return nil
}

// readingOnce tries once. Only what stays torn for a while is cut off: most
// often it is somebody's line on its way.
func (a *Archive) readingOnce(who, what, from string, hashes []string, mend bool) error {
	last, end, err := a.store.Tail(Readings, mend)
	if err != nil {
		return err
	}
	head := Head{0, a.genesis}
	if last != nil {
		var l ReadingLine
		if err := json.Unmarshal(last, &l); err != nil {
			return fmt.Errorf("the last line of %s cannot be read; 'wornwood archive check' says more", logName(Readings))
		}
		head = Head{l.Seq, sum(last)}
	}
	var lines [][]byte
	for part := range slices.Chunk(hashes, readingsAtOnce) {
		l := ReadingLine{head.Seq + 1, head.Hash, a.now().UTC().Truncate(time.Millisecond), who, what, part, clean(from, 80)}
		b, err := pdfout.Canonical(l)
		if err != nil {
			return err
		}
		lines, head = append(lines, b), Head{l.Seq, sum(b)}
	}
	return a.store.Append(Readings, end, lines)
}

// ReadingQuery says which readings are asked for; zero fields ask for all.
type ReadingQuery struct {
	Report string    // SHA-256
	Who    string    // small and capital letters aside
	Since  time.Time // at or after
}

// Readings calls visit for every reading that answers the query, in order. A
// chain that is broken ends it with a *ReadingError.
func (a *Archive) Readings(q ReadingQuery, visit func(ReadingLine) error) error {
	who := fold(q.Who)
	_, err := walkReadings(a.store, a.genesis, func(l ReadingLine) error {
		if l.Time.Before(q.Since) || (who != "" && fold(l.Who) != who) || (q.Report != "" && !slices.Contains(l.Reports, q.Report)) {
			return nil
		}
		return visit(l)
	})
	return err
}

// walkReadings goes along the ledger of readings and sees that each line follows
// from the one before.
func walkReadings(s Store, genesis string, visit func(ReadingLine) error) (Head, error) {
	head := Head{0, genesis}
	err := s.Log(Readings, 0, func(line []byte, _ int64) error {
		var l ReadingLine
		why := ""
		switch err := json.Unmarshal(line, &l); {
		case err != nil:
			why = "cannot be read"
		case l.Seq != head.Seq+1:
			why = fmt.Sprintf("has the number %d", l.Seq)
		case l.Previous != head.Hash:
			why = "does not follow from the line before: one of the two was altered, or lines were taken out between them"
		default:
			if b, err := pdfout.Canonical(l); err != nil || !bytes.Equal(b, line) {
				why = "is not written in the one form that a line has"
			}
		}
		if why != "" {
			return &ReadingError{head.Seq + 1, why}
		}
		head = Head{l.Seq, sum(line)}
		return visit(l)
	})
	if errors.Is(err, ErrMissing) {
		err = nil // nobody read anything yet
	}
	return head, err
}

// ReadingError says where the ledger of readings does not hold together.
type ReadingError struct {
	Line int64 // from 1
	Why  string
}

func (e *ReadingError) Error() string {
	return fmt.Sprintf("line %d of %s %s; compare it with a copy of the archive", e.Line, logName(Readings), e.Why)
}

// readings sees that the ledger of readings holds together.
func (c *checking) readings() error {
	_, err := walkReadings(c.a.store, c.a.genesis, func(ReadingLine) error { return c.ctx.Err() })
	var broken *ReadingError
	if errors.As(err, &broken) {
		c.find(Finding{Severity: Grave, Line: broken.Line, Text: "of " + logName(Readings) + ", the line " + broken.Why,
			Do: "compare " + logName(Readings) + " with a second copy, and ask who can write into the folder; no report is touched by it"})
		return nil
	}
	return err
}
