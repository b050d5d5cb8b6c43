package archive

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"time"
)

// sumTo is the SHA-256 of the first n bytes.
func sumTo(r io.ReaderAt, n int64) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(r, 0, n)); err != nil {
		return "", fmt.Errorf("read report: %w", err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// commit files a batch: the lines into the log, then the files into their
// places, then the index. After the second step the outcomes are told.
func (f *filing) commit(batch []judged) error {
	var events []Event
	for i := range batch {
		j := &batch[i]
		if j.entry.Kind == "" {
			continue
		}
		if j.entry.Kind == Filed {
			if err := f.link(j); err != nil {
				return err
			}
		}
		events = append(events, Event{Entry: j.entry})
	}
	if err := f.a.write(events); err != nil {
		return err
	}
	n := 0
	for i := range batch {
		j := &batch[i]
		if j.entry.Kind == "" {
			continue
		}
		area := Refused
		if j.entry.Kind == Filed {
			row := rowOf(events[n].Entry, j.verdict)
			events[n].Row, area = &row, Files
		}
		n++
		if err := f.a.store.Publish(j.Hash, area); err != nil {
			return err
		}
	}
	if n > 0 {
		if err := f.a.store.Settle(); err != nil {
			return err
		}
	}
	for _, j := range batch {
		f.count(j.Outcome)
		f.opt.Done(j.Outcome)
	}
	if n == 0 {
		return nil
	}
	return f.a.apply(events)
}

// link finds the report of which this is a later version.
func (f *filing) link(j *judged) error {
	if earlier := f.firsts[j.entry.First]; earlier != "" {
		j.Linked = earlier
	} else {
		rows, err := f.a.index.Versions(j.entry.First)
		if err != nil {
			return err
		}
		if len(rows) > 0 {
			j.Linked = rows[0].Hash
		}
		f.firsts[j.entry.First] = j.Hash
		if j.Linked != "" {
			f.firsts[j.entry.First] = j.Linked
		}
	}
	j.entry.Linked = j.Linked
	return nil
}

func (f *filing) count(o Outcome) {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch o.Result {
	case IsFiled:
		f.tally.Filed++
		if o.Linked != "" {
			f.tally.Linked++
		}
	case IsThere:
		f.tally.There++
	case IsRefused, WasRefused:
		f.tally.Refused++
	case IsLeft:
		f.tally.Left++
	}
}

// Note writes one line about the archive that is neither a filing nor a
// refusal, and has the index take it in. Its number, time and place in the
// chain are given to it here.
func (a *Archive) Note(e Entry) error {
	if a.readOnly {
		return errors.New("write log: the archive is open for reading only")
	}
	if !e.Kind.note() {
		return fmt.Errorf("write log: a line %q is not written by hand", e.Kind)
	}
	events := []Event{{Entry: e}}
	if err := a.write(events); err != nil {
		return err
	}
	return a.apply(events)
}

// Notes are the lines of these kinds, the oldest first; no kind is all of them
// beside filings and refusals.
func (a *Archive) Notes(kinds ...EventKind) ([]Entry, error) {
	if a.behind != nil {
		return nil, a.behind
	}
	return a.index.Notes(kinds...)
}

// Suggest lists values of a field that begin so, as someone types them; see
// Index.
func (a *Archive) Suggest(field, begin string, most int) ([]Count, error) {
	if a.behind != nil {
		return nil, a.behind
	}
	return a.index.Suggest(field, begin, most)
}

// write gives events their numbers and places in the chain and appends them to
// the log.
func (a *Archive) write(events []Event) error {
	if len(events) == 0 {
		return nil
	}
	if err := a.caughtUp(context.Background()); err != nil {
		return err
	}
	at := a.at
	var lines [][]byte
	for i := range events {
		e := &events[i].Entry
		e.Seq, e.Previous, e.Time = at.Seq+1, at.Hash, a.now().UTC().Truncate(time.Millisecond)
		line, err := e.line()
		if err != nil {
			return err
		}
		if len(line) >= maxLine {
			return fmt.Errorf("write log: a line of %d KiB", len(line)>>10)
		}
		lines = append(lines, line)
		at = Position{Head{e.Seq, sum(line)}, at.End + int64(len(line)) + 1}
	}
	if err := a.store.Append(MainLog, a.at.End, lines); err != nil {
		return err
	}
	a.at, a.unindexed = at, true
	return nil
}

// apply has the index take in what was written last.
func (a *Archive) apply(events []Event) error {
	if err := a.index.Apply(events, a.at); err != nil {
		return err
	}
	a.unindexed = false
	return nil
}

// caughtUp brings the index up to the log where something failed between the
// two: what it does not know would be filed a second time, and lines passed
// over would be missing in it for good.
func (a *Archive) caughtUp(ctx context.Context) error {
	if !a.unindexed {
		return nil
	}
	at, err := a.index.At()
	if err == nil && at != a.at {
		_, err = a.follow(ctx, at)
	}
	if err != nil {
		return err
	}
	a.unindexed = false
	return nil
}
