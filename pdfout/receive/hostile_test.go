package receive

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout"
)

// spoiled are receipts that Check has to refuse, by what is wrong.
func spoiled() map[string]func(*record.Receipt) {
	return map[string]func(*record.Receipt){
		"schema":                       func(r *record.Receipt) { r.Schema = "wornwood.receipt/2" },
		"no report hash":               func(r *record.Receipt) { r.Of.SHA256 = "" },
		"a hash in capitals":           func(r *record.Receipt) { r.Of.RecordHash = strings.ToUpper(r.Of.RecordHash) },
		"a short key":                  func(r *record.Receipt) { r.Of.Key = r.Of.Key[:63] },
		"no number":                    func(r *record.Receipt) { r.Of.Number = "" },
		"no size":                      func(r *record.Receipt) { r.Of.Size = 0 },
		"nobody":                       func(r *record.Receipt) { r.By = "" },
		"blank name":                   func(r *record.Receipt) { r.By = " \n" },
		"no time":                      func(r *record.Receipt) { r.At = time.Time{} },
		"an unknown answer":            func(r *record.Receipt) { r.Checked[0].Answer = "fine" },
		"an unknown subject":           func(r *record.Receipt) { r.Checked[0].What = "claim" },
		"no identity":                  func(r *record.Receipt) { r.Checked[0].ID = "" },
		"a mark twice":                 func(r *record.Receipt) { r.Checked = append(r.Checked, r.Checked[0]) },
		"a difference without words":   func(r *record.Receipt) { r.Checked[2].Note = "" },
		"a note too long":              func(r *record.Receipt) { r.Checked[2].Note = strings.Repeat("ö", record.MaxReceiptWords+1) },
		"a new number twice":           func(r *record.Receipt) { r.New = append(r.New, r.New[0]) },
		"a new number of 0":            func(r *record.Receipt) { r.New[0].Number = 0 },
		"a new number that is huge":    func(r *record.Receipt) { r.New[0].Number = 1 << 30 },
		"new without kind":             func(r *record.Receipt) { r.New[0].Kind = "" },
		"new without place":            func(r *record.Receipt) { r.New[0].Place, r.New[0].At = "", nil },
		"new far off":                  func(r *record.Receipt) { r.New[0].At = &record.Point{X: 1e9} },
		"new on no side":               func(r *record.Receipt) { r.New[0].Side = "" },
		"a photo that is not listed":   func(r *record.Receipt) { r.New[0].Photos = []string{strings.Repeat("0", 64)} },
		"a photo named otherwise":      func(r *record.Receipt) { r.Photos[0].ID = "../../x" },
		"a photo twice":                func(r *record.Receipt) { r.Photos = append(r.Photos, r.Photos[0]) },
		"a photo with a negative size": func(r *record.Receipt) { r.Photos[0].Size = -1 },
		"too much new": func(r *record.Receipt) {
			for i := range record.MaxReceiptNew + 1 {
				r.New = append(r.New, record.NewMark{Number: 100 + i, Kind: "dent", Place: "back"})
			}
		},
	}
}

func TestReceiptChecks(t *testing.T) {
	_, path := issued(t, 0)
	r, err := received(t, path).Finish(receivedAt)
	must(t, err)
	if _, err := Bytes(r); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range spoiled() {
		b := mustJSON(t, spoil, r)
		if _, err := Parse(b); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
	good, err := Bytes(r)
	must(t, err)
	for name, b := range map[string][]byte{
		"nothing":              nil,
		"no object":            []byte(`[]`),
		"another member":       bytes.Replace(good, []byte(`{"at":`), []byte(`{"also":1,"at":`), 1),
		"a member twice":       bytes.Replace(good, []byte(`{"at":`), []byte(`{"at":"2026-11-23T16:05:00+01:00","at":`), 1),
		"a member in capitals": bytes.Replace(good, []byte(`"by":`), []byte(`"BY":`), 1),
		"with blanks":          bytes.Replace(good, []byte(`,"by"`), []byte(`, "by"`), 1),
		"something behind":     append(bytes.Clone(good), '{', '}'),
		"a line feed behind":   append(bytes.Clone(good), '\n'),
		"not UTF-8":            bytes.Replace(good, []byte("Atherley"), []byte("Ath\xffrley"), 1),
		"too large":            bytes.Repeat([]byte(" "), record.MaxReceiptBytes+1),
		"deep":                 []byte(strings.Repeat("[", 200000)),
	} {
		if _, err := Parse(b); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}

// Fits refuses a receipt that leaves an entry out, or answers for one that the
// report does not have.
func TestReceiptFits(t *testing.T) {
	_, path := issued(t, 0)
	v := received(t, path)
	r, err := v.Finish(receivedAt)
	must(t, err)
	for name, spoil := range map[string]func(*record.Receipt){
		"a mark left out": func(r *record.Receipt) { r.Checked = r.Checked[1:] },
		"another order":   func(r *record.Receipt) { r.Checked[0], r.Checked[1] = r.Checked[1], r.Checked[0] },
		"another part":    func(r *record.Receipt) { r.Checked[len(r.Checked)-2].ID = "scroll" },
		"a number in use": func(r *record.Receipt) { r.New[0].Number = 1 },
		"one entry more": func(r *record.Receipt) {
			r.Checked = append(r.Checked, record.Checked{What: record.OfMark, ID: "77", Answer: record.AsDescribed})
		},
	} {
		c := clone(t, r)
		spoil(c)
		if err := c.Fits(v.Record); err == nil {
			t.Errorf("%s fits", name)
		}
	}
}

// Receipts whose signature is good but whose pieces do not belong together, and
// receipts that were touched after signing, do not pass.
func TestForgedReceipts(t *testing.T) {
	_, path := issued(t, 0)
	v := received(t, path)
	r, err := v.Finish(receivedAt)
	must(t, err)
	edited := clone(t, r)
	edited.Checked[2].Note = "smaller than drawn: 2 mm"
	milder := clone(t, r)
	milder.Checked[2].Answer = record.AsDescribed
	swapped := clone(t, r)
	swapped.Of.SHA256 = strings.Repeat("0", 64)
	honest := forge(t, v, r, r, true)
	flipped := bytes.Clone(honest)
	flipped[len(flipped)/2] ^= 1
	for name, x := range map[string]struct {
		data []byte
		ok   bool
		say  string
	}{
		"honest":                 {honest, true, "The answers inside are those"},
		"other answers inside":   {forge(t, v, r, edited, false), false, "names the receipt"},
		"other answers, named":   {forge(t, v, r, edited, true), false, "is on no page"},
		"a difference hidden":    {forge(t, v, r, milder, true), false, "is on no page"},
		"another report's hash":  {forge(t, v, r, swapped, true), false, "is on no page"},
		"printed but not inside": {forge(t, v, edited, r, true), false, "is on no page"},
		"a byte flipped":         {flipped, false, ""},
		"more behind it":         {append(bytes.Clone(honest), "more"...), false, ""},
		"cut off":                {honest[:len(honest)-99], false, ""},
		"a report":               {v.Data, false, "There is no receipt inside"},
		"no PDF":                 {[]byte("receipt.json"), false, ""},
	} {
		c, err := CheckData(context.Background(), x.data, none)
		must(t, err)
		found := false
		for _, l := range c.Lines {
			found = found || strings.Contains(l.Text, x.say)
		}
		if c.OK != x.ok || !found {
			t.Errorf("%s: ok %v, worst %q", name, c.OK, c.Worst())
		}
	}
}

// A receipt is about one report only: another of the same instrument, one that
// names another key, or one that leaves marks out is told.
func TestAboutAnother(t *testing.T) {
	_, path := issued(t, 0)
	_, other := issued(t, 1) // the same number, another file
	v := received(t, path)
	r, err := v.Finish(receivedAt)
	must(t, err)
	keyed, short := clone(t, r), clone(t, r)
	keyed.Of.Key = string(buyer(t).Fingerprint())
	short.Checked = short.Checked[1:]
	back := filepath.Join(t.TempDir(), "back.pdf")
	_, err = v.Countersign(context.Background(), back, buyer(t), receivedAt, true)
	must(t, err)
	for name, x := range map[string]struct {
		r    *record.Receipt
		path string
		ok   bool
	}{
		"its report":                {r, path, true},
		"its report, countersigned": {r, back, true},
		"another report":            {r, other, false},
		"another key":               {keyed, path, false},
		"an entry left out":         {short, path, false},
	} {
		c, err := CheckData(context.Background(), forge(t, v, x.r, x.r, true), none)
		must(t, err)
		if !c.OK {
			t.Fatalf("%s: %s", name, c.Worst())
		}
		if ok, err := c.About(context.Background(), x.path, none); err != nil || ok != x.ok || c.OK != x.ok {
			t.Errorf("%s: %v %v %s", name, ok, err, c.Worst())
		}
	}
	c, err := CheckData(context.Background(), forge(t, v, r, r, true), none)
	must(t, err)
	if _, err := c.About(context.Background(), receipt(t, v), none); err == nil {
		t.Error("a receipt is taken for the report")
	}
}

// FuzzParse: no text panics, and what is taken is written again byte for byte.
func FuzzParse(f *testing.F) {
	list, err := filepath.Glob(filepath.Join("testdata", "seeds", "*.json"))
	if err != nil || len(list) < 3 {
		f.Fatalf("the seeds are missing: %v %v", list, err)
	}
	for _, p := range list {
		b, err := os.ReadFile(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := Parse(b)
		if err != nil {
			return
		}
		again, err := pdfout.Canonical(r)
		if err != nil || !bytes.Equal(again, b) {
			t.Errorf("%q is written %q, %v", b, again, err)
		}
	})
}
