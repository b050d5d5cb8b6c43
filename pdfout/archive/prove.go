package archive

import (
	"encoding/json"
	"errors"
	"fmt"
)

// Proof says whether the log still goes on from a head that was noted earlier.
type Proof struct {
	Holds bool   `json:"holds"`
	Why   string `json:"why,omitempty"` // where it does not
	Since Head   `json:"since"`
	Head  Head   `json:"head"` // as far as the log is whole
	// Lines are those behind the noted head, at most as many as asked for.
	Lines []Entry `json:"lines,omitempty"`
	After int64   `json:"after"` // how many there are in all
}

// Prove shows that nothing before a noted head was taken out of the log or
// altered: the whole chain is computed again from archive.json on, and must
// pass through that head. Of the lines behind it the first most are given.
func (a *Archive) Prove(since Head, most int) (*Proof, error) {
	p, err := prove(a.store, Head{0, a.genesis}, since)
	if err != nil || !p.Holds || most <= 0 {
		return p, err
	}
	_, err = walk(a.store, Head{0, a.genesis}, 0, func(e Entry, _ Head, _ int64) error {
		if e.Seq > since.Seq {
			p.Lines = append(p.Lines, e)
		}
		if len(p.Lines) >= most {
			return errEnough
		}
		return nil
	})
	return p, err
}

func prove(s Store, genesis, since Head) (*Proof, error) {
	p := &Proof{Since: since}
	met := since == genesis
	head := genesis
	var last []byte
	err := s.Log(MainLog, 0, func(line []byte, _ int64) error {
		if err := follows(line, head); err != nil {
			return err
		}
		head, last = Head{head.Seq + 1, sum(line)}, append(last[:0], line...)
		met = met || head == since
		return nil
	})
	if err == nil && head.Seq > 0 && !json.Valid(last) {
		err = &ChainError{head.Seq, "cannot be read"}
	}
	p.Head = head
	var broken *ChainError
	switch {
	case errors.As(err, &broken):
		p.Why = broken.Error()
	case err != nil:
		return nil, err
	case head.Seq < since.Seq:
		p.Why = fmt.Sprintf("the log ends with line %d, and the head was noted at line %d: lines were taken out at the end", head.Seq, since.Seq)
	case !met:
		p.Why = fmt.Sprintf("line %d is another than the one noted: the log was altered there or before, and the chain written anew", since.Seq)
	default:
		p.Holds, p.After = true, head.Seq-since.Seq
	}
	return p, nil
}

// Log calls visit for every line, in order, and stops with a *ChainError where
// the chain is broken.
func (a *Archive) Log(visit func(Entry) error) error {
	_, err := walk(a.store, Head{0, a.genesis}, 0, func(e Entry, _ Head, _ int64) error { return visit(e) })
	return err
}
