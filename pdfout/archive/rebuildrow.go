package archive

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// indexed is what the index takes from a verdict; the rest, most of it the
// grade's reasons, is passed over when it is read for that.
type indexed struct {
	Lines []struct {
		Code sign.Code `json:"code"`
	} `json:"lines"`
	Signatures    []pdfout.Signed `json:"signatures"`
	Countersigned bool            `json:"countersigned"`
	Record        *indexedRecord  `json:"record"`
	Grade         *struct {
		Index       *float64 `json:"index"`
		Class       int      `json:"class"`
		Originality *float64 `json:"originality"`
	} `json:"grade"`
	Originals *pdfout.OriginalsInside `json:"originals"`
}

// indexedRecord is what wordsOf and rowOf look at in a record. Where marks lie
// and the like, by far the most of it, is passed over; TestIndexedRecord holds
// this to the whole.
type indexedRecord struct {
	Examination record.Examination `json:"examination"`
	Instrument  record.Instrument  `json:"instrument"`
	Claims      []record.Claim     `json:"claims"`
	Extras      []record.Extra     `json:"extras"`
	NotExamined []string           `json:"notExamined"`
	Photos      []struct {
		Caption string `json:"caption"`
	} `json:"photos"`
	Marks []struct {
		Kind record.Kind `json:"kind"`
		Note string      `json:"note"`
	} `json:"marks"`
	Parts []struct {
		ID    record.PartID `json:"id"`
		State record.State  `json:"state"`
		Note  string        `json:"note"`
	} `json:"parts"`
}

func (x *indexedRecord) record() *record.Record {
	r := &record.Record{Examination: x.Examination, Instrument: x.Instrument, Claims: x.Claims, Extras: x.Extras, NotExamined: x.NotExamined}
	for _, p := range x.Photos {
		r.Photos = append(r.Photos, record.Photo{Caption: p.Caption})
	}
	for _, m := range x.Marks {
		r.Marks = append(r.Marks, record.Mark{Kind: m.Kind, Note: m.Note})
	}
	for _, p := range x.Parts {
		r.Parts = append(r.Parts, record.Part{ID: p.ID, State: p.State, Note: p.Note})
	}
	return r
}

// rowOf reads the row of a filed report from its verdict.
func (a *Archive) rowOf(e Entry) (*Row, error) {
	var x indexed
	if err := a.readVerdict(e, &x); err != nil {
		return nil, err
	}
	if x.Record == nil {
		return nil, errors.New("the verdict has no record")
	}
	v := &pdfout.Verdict{Signatures: x.Signatures, Countersigned: x.Countersigned, Record: x.Record.record(), Originals: x.Originals}
	for _, l := range x.Lines {
		v.Lines = append(v.Lines, pdfout.Line{Code: l.Code})
	}
	if x.Grade != nil {
		v.Grade = &grade.Result{Index: x.Grade.Index, Class: x.Grade.Class, Originality: x.Grade.Originality}
	}
	row := rowOf(e, v)
	return &row, nil
}

// readVerdict reads the verdict that a line of the log names.
func (a *Archive) readVerdict(e Entry, into any) error {
	b, err := a.bytes(Ref{Verdicts, e.File}, maxVerdict)
	if err != nil {
		return err
	}
	if sum(b) != e.Verdict {
		return errors.New("the verdict is not the one that the log names")
	}
	if err := json.Unmarshal(b, into); err != nil {
		return fmt.Errorf("the verdict cannot be read (%w)", err)
	}
	return nil
}

// bytes reads a small file of the store.
func (a *Archive) bytes(ref Ref, most int64) ([]byte, error) {
	f, err := a.store.Open(ref)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if f.Size() > most {
		return nil, fmt.Errorf("%s of %d MiB: %w", ref.Area, f.Size()>>20, ErrTooLarge)
	}
	var b bytes.Buffer
	b.Grow(int(max(f.Size(), 0)) + bytes.MinRead) // as much as there is, and room to see its end
	if _, err := b.ReadFrom(io.LimitReader(f, most)); err != nil {
		return nil, fmt.Errorf("read %s: %w", ref.Area, err)
	}
	return b.Bytes(), nil
}
