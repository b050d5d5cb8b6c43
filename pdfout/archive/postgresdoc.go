package archive

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"fmt"
	"io"
	"sync"
)

// pgDoc is a report as it is stored: JSON, compressed (RFC 1951) on top of the
// words that nearly every report has.
type pgDoc struct {
	Row   *Row   `json:"row"`
	Words string `json:"words"`
}

// pgDictionary must never change without pgVersion.
const pgDictionary = `original period replacement later replacement refinished altered missing not seen not fitted finish check scratch ding fret wear "state":"}]{"part":"` +
	`{"row":{"sha256":"","seq":1,"filed":"2026-11-01T00:00:00.000Z","source":"report.pdf","size":100000,"number":"CR-2026-0001","maker":"","model":"","edition":"","class":"solid-body double-cutaway","year":"1970","yearFrom":1970,"yearTo":1970,"serial":"",` +
	`"date":"2026-11-01","purpose":"before listing","examiner":"","shop":"","index":80.1,"condition":2,"originality":90,"photos":10,"originals":0,"kinds":["ding","scratch"],"parts":[{"part":"tuners","state":"original"},{"part":"front finish","state":"original"}],` +
	`"key":"","keyName":"","verdict":"unknown","countersigned":false,"stamped":false,"first":"","linked":"","instrument":""},"words":"`

var (
	pgDeflaters = sync.Pool{New: func() any {
		w, _ := flate.NewWriterDict(io.Discard, 6, []byte(pgDictionary)) // the level is one there is
		return w
	}}
	pgInflaters = sync.Pool{New: func() any { return flate.NewReaderDict(bytes.NewReader(nil), []byte(pgDictionary)) }}
)

func packDoc(row *Row) ([]byte, error) {
	b, err := json.Marshal(pgDoc{row, row.Words})
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	w := pgDeflaters.Get().(*flate.Writer)
	defer pgDeflaters.Put(w)
	w.Reset(&out) // keeps the dictionary
	if _, err := w.Write(b); err != nil {
		return nil, err
	}
	err = w.Close()
	return out.Bytes(), err
}

func unpackDoc(b []byte) (*Row, error) {
	r := pgInflaters.Get().(io.ReadCloser)
	defer pgInflaters.Put(r)
	var plain []byte
	err := r.(flate.Resetter).Reset(bytes.NewReader(b), []byte(pgDictionary))
	if err == nil {
		plain, err = io.ReadAll(io.LimitReader(r, 64<<20))
	}
	d := pgDoc{}
	if err == nil {
		err = json.Unmarshal(plain, &d)
	}
	if err != nil || d.Row == nil {
		return nil, unusable(fmt.Errorf("a report cannot be read from it: %v", err))
	}
	d.Row.Words = d.Words
	return d.Row, nil
}
