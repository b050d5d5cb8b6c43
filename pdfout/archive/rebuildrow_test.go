package archive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"testing"
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// fillAll gives everything in a value another content: texts of their own, two
// of each list, everything that may be missing.
func fillAll(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprintf("text%d", *n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
	case reflect.Float64:
		v.SetFloat(float64(*n))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fillAll(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fillAll(v.Index(i), n)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(time.Date(2026, 11, 14, 15, 5, *n%60, 0, time.UTC)))
			return
		}
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				fillAll(v.Field(i), n)
			}
		}
	}
}

// What an index made anew takes from a verdict gives the row that filing gave:
// nothing that rowOf looks at is passed over.
func TestIndexedRecord(t *testing.T) {
	n, index := 0, 61.3
	full := pdfout.Verdict{Record: &record.Record{}, Grade: &grade.Result{Index: &index, Class: 3, Originality: &index}, Countersigned: true,
		Signatures: []pdfout.Signed{{}, {}}, Originals: &pdfout.OriginalsInside{}, Lines: []pdfout.Line{{Code: "trusted-time"}, {}}}
	for _, v := range []any{full.Record, &full.Signatures[0], full.Originals} {
		fillAll(reflect.ValueOf(v).Elem(), &n)
	}
	full.Record.Instrument.Year = "1970..1979"
	b, err := json.Marshal(full)
	if err != nil {
		t.Fatal(err)
	}
	e := Entry{Seq: 4, File: "a", First: "b", Linked: "c", Source: "d", Size: 7}
	a := &Archive{store: oneFile{content: b}}
	e.Verdict = sum(b)
	got, err := a.rowOf(e)
	if err != nil {
		t.Fatal(err)
	}
	if want := rowOf(e, &full); !reflect.DeepEqual(*got, want) {
		t.Errorf("%+v\nwant %+v", *got, want)
	}
	if got.Words == "" || len(got.Kinds) != 2 || len(got.Parts) != 2 || got.Photos != 2 || !got.Countersigned {
		t.Errorf("%+v", got)
	}
}

// oneFile is a store that opens the same file whatever is asked for.
type oneFile struct {
	Store
	content []byte
}

type oneContent struct{ *bytes.Reader }

func (oneContent) Close() error { return nil }

func (b oneFile) Open(Ref) (Content, error) { return oneContent{bytes.NewReader(b.content)}, nil }
