package receive

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

var (
	issuedAt   = time.Date(2026, 11, 14, 16, 5, 0, 0, reporttest.Zone)
	receivedAt = issuedAt.AddDate(0, 0, 9)
	none       = pdfout.VerifyOptions{}
)

var keys = sync.OnceValues(func() ([2]*sign.Identity, error) {
	a, err := sign.NewKey(sign.Subject{Name: "M. Østergård-Łuczak", Shop: "Fen Street Instruments"}, issuedAt, rand.Reader)
	if err != nil {
		return [2]*sign.Identity{}, err
	}
	b, err := sign.NewKey(sign.Subject{Name: "B. Atherley"}, issuedAt, rand.Reader)
	return [2]*sign.Identity{a, b}, err
})

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func dealer(t testing.TB) *sign.Identity { return key(t, 0) }
func buyer(t testing.TB) *sign.Identity  { return key(t, 1) }

func key(t testing.TB, i int) *sign.Identity {
	t.Helper()
	k, err := keys()
	must(t, err)
	return k[i]
}

// issued is a bench with one issued report of so many photos.
func issued(t testing.TB, photos int) (*bench.Bench, string) {
	t.Helper()
	dir := t.TempDir()
	b, err := bench.Open(filepath.Join(dir, "bench"), bench.Options{Now: func() time.Time { return issuedAt }, Create: true})
	must(t, err)
	t.Cleanup(func() { must(t, b.Close()) })
	demo := reporttest.Demo(0)
	ex, err := b.Begin("", record.BeforeListing, demo.Instrument)
	must(t, err)
	var files []string
	for i := range photos {
		data, err := (&reporttest.Photos{}).OriginalBytes(fmt.Sprint(i))
		must(t, err)
		files = append(files, filepath.Join(dir, fmt.Sprintf("DSC_%04d.JPG", i)))
		must(t, os.WriteFile(files[i], data, 0o600))
	}
	if photos > 0 {
		_, err := b.Import(context.Background(), ex, files, nil)
		must(t, err)
	}
	var cs []record.Change
	set := func(target string, v any) {
		c, err := record.Set(target, v)
		must(t, err)
		cs = append(cs, c)
	}
	e := ex.Record().Examination
	e.Examiner, e.Shop = "M. Østergård-Łuczak", "Fen Street Instruments"
	set("examination", e)
	for _, m := range demo.Marks {
		set(fmt.Sprintf("mark/%d", m.Number), m)
	}
	for _, p := range demo.Parts {
		set("part/"+string(p.ID), p)
	}
	set("extra/1", record.Extra{ID: "1", Kind: "case", What: "original case", State: record.Original})
	must(t, ex.Do("Fill in", cs...))
	is, err := pdfout.Issue(context.Background(), b, ex, dealer(t), pdfout.IssueOptions{Now: issuedAt}, nil)
	must(t, err)
	return b, is.Path
}

func open(t testing.TB, path, folder string) *Receiving {
	t.Helper()
	v, err := Open(context.Background(), path, folder, none)
	must(t, err)
	return v
}

// received is a receiving with two differences and one new mark with a photo,
// the rest as described but one part.
func received(t testing.TB, path string) *Receiving {
	t.Helper()
	v := open(t, path, t.TempDir())
	must(t, v.About("B. Atherley", "Hollin Bank", "The case arrived wet."))
	must(t, v.Answer(record.OfMark, "3", record.Differs, "larger than drawn: 14 mm"))
	must(t, v.Answer(record.OfPart, "tuners", record.Differs, "one button is cracked"))
	must(t, v.Rest(record.AsDescribed))
	must(t, v.Answer(record.OfPart, "electronics", record.NotChecked, "not opened"))
	n, err := v.AddNew(record.NewMark{Kind: "dent", Side: "back", At: &record.Point{X: 0, Y: 500}, Place: "back, lower bout", Note: "12 mm long, fresh wood shows"})
	must(t, err)
	must(t, v.AddPhoto(n, photoFile(t)))
	return v
}

func photoFile(t testing.TB) string {
	t.Helper()
	data, err := (&reporttest.Photos{}).OriginalBytes("new")
	must(t, err)
	p := filepath.Join(t.TempDir(), "DSC_2001.JPG")
	must(t, os.WriteFile(p, data, 0o600))
	return p
}

// receipt issues a receipt to a file.
func receipt(t testing.TB, v *Receiving) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "receipt.pdf")
	_, err := v.Issue(context.Background(), to, "", buyer(t), receivedAt)
	must(t, err)
	return to
}

// What was answered is there again after closing, photos included.
func TestDraftSurvives(t *testing.T) {
	_, path := issued(t, 0)
	folder := t.TempDir()
	v := open(t, path, folder)
	if n, all := v.Progress(); n != 0 || all != len(v.Record.Marks)+len(v.Record.Parts)-1+1 {
		t.Fatalf("%d of %d at first", n, all)
	}
	must(t, v.About("B. Atherley", "Hollin Bank", ""))
	must(t, v.Answer(record.OfMark, "2", record.AsDescribed, ""))
	must(t, v.Answer(record.OfMark, "3", record.Differs, "")) // its words are still being typed
	n, err := v.AddNew(record.NewMark{Kind: "dent", Place: "back"})
	must(t, err)
	if n != len(v.Record.Marks)+1 {
		t.Errorf("new mark %d", n)
	}
	must(t, v.AddPhoto(n, photoFile(t)))
	if _, err := v.Finish(receivedAt); err == nil || !strings.Contains(err.Error(), "mark 3 differs, but not in words") {
		t.Errorf("%v", err)
	}
	again := open(t, path, folder)
	d := again.Draft()
	if d.By != "B. Atherley" || d.Place != "Hollin Bank" || len(d.New) != 1 || len(d.Photos) != 1 || d.Tally().Differ != 1 || d.Tally().AsDescribed != 1 {
		t.Fatalf("%+v", d)
	}
	if j, err := again.Photo(d.Photos[0].ID); err != nil || !bytes.HasPrefix(j, []byte{0xFF, 0xD8}) {
		t.Errorf("its photo: %v", err)
	}
	m, err := again.AddNew(record.NewMark{})
	must(t, err)
	must(t, again.Answer(record.OfMark, "3", record.Differs, "larger"))
	if _, err := again.Finish(receivedAt); err == nil || !strings.Contains(err.Error(), "has no kind") {
		t.Errorf("new without a kind: %v", err)
	}
	must(t, again.RemoveNew(m))
	must(t, again.RemoveNew(n))
	if d := again.Draft(); len(d.New) != 0 || len(d.Photos) != 0 {
		t.Errorf("%+v", d)
	}
	for name, err := range map[string]error{
		"no such mark":    again.Answer(record.OfMark, "99", record.AsDescribed, ""),
		"unknown answer":  again.Answer(record.OfMark, "1", "perhaps", ""),
		"too long":        again.Answer(record.OfMark, "1", record.Differs, strings.Repeat("x", 1001)),
		"rest differs":    again.Rest(record.Differs),
		"a place far off": second(again.AddNew(record.NewMark{Kind: "dent", Side: "back", At: &record.Point{X: 1e9}})),
		"no new":          again.RemoveNew(44),
		"no photo":        again.AddPhoto(44, photoFile(t)),
	} {
		if err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if open(t, path, folder).Draft().Tally() != again.Draft().Tally() {
		t.Error("a refused answer was kept")
	}
	must(t, os.WriteFile(again.draftPath(), []byte(`{"schema":`), 0o600))
	if _, err := Open(context.Background(), path, folder, none); err == nil || !strings.Contains(err.Error(), "put that file aside") {
		t.Errorf("a broken draft: %v", err)
	}
}

func second(_ int, err error) error { return err }

// An altered report cannot be received, and nothing of it is kept.
func TestAlteredReportIsRefused(t *testing.T) {
	_, path := issued(t, 0)
	data, err := os.ReadFile(path)
	must(t, err)
	flipped := bytes.Clone(data)
	flipped[len(data)/3] ^= 1
	for name, b := range map[string][]byte{
		"a byte flipped":  flipped,
		"more behind it":  append(bytes.Clone(data), "more"...),
		"cut off":         data[:len(data)-300],
		"no report":       []byte("%PDF-1.7\n"),
		"an empty file":   {},
		"only a sentence": []byte("Dear buyer"),
	} {
		folder, p := t.TempDir(), filepath.Join(t.TempDir(), "x.pdf")
		must(t, os.WriteFile(p, b, 0o600))
		if _, err := Open(context.Background(), p, folder, none); !errors.Is(err, ErrAltered) {
			t.Errorf("%s: %v", name, err)
		}
		if list, _ := os.ReadDir(folder); len(list) != 0 {
			t.Errorf("%s: something was kept", name)
		}
	}
	if _, err := Open(context.Background(), receipt(t, received(t, path)), t.TempDir(), none); err == nil || !strings.Contains(err.Error(), "it is a receipt, not a report") {
		t.Errorf("a receipt: %v", err)
	}
}

// Countersigning says what was found; the answers lie beside the file under the
// digest that the signature names.
func TestCountersign(t *testing.T) {
	_, path := issued(t, 0)
	v := open(t, path, t.TempDir())
	must(t, v.About("B. Atherley", "", ""))
	to := filepath.Join(t.TempDir(), "back.pdf")
	if _, err := v.Countersign(context.Background(), to, buyer(t), receivedAt, false); !errors.Is(err, ErrNotClean) {
		t.Fatalf("nothing compared: %v", err)
	}
	must(t, v.Rest(record.AsDescribed))
	done, err := v.Countersign(context.Background(), to, buyer(t), receivedAt, false)
	must(t, err)
	text, err := os.ReadFile(filepath.Join(filepath.Dir(to), "back-receipt.json"))
	must(t, err)
	if sum(text) != done.Receipt || done.Words != "all as described" {
		t.Errorf("%+v", done)
	}
	if _, err := Parse(text); err != nil {
		t.Error(err)
	}
	data, err := os.ReadFile(to)
	must(t, err)
	if !bytes.HasPrefix(data, v.Data) {
		t.Error("the report's own bytes changed")
	}
	s, err := buyerOf(context.Background(), data)
	must(t, err)
	if s.Reason != "Received and compared with the instrument: all as described. Answers, sha-256 "+done.Receipt {
		t.Errorf("reason %q", s.Reason)
	}
	if _, err := v.Countersign(context.Background(), to, buyer(t), receivedAt, false); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("written over: %v", err)
	}
	again := open(t, to, t.TempDir())
	if again.Of != v.Of {
		t.Errorf("the countersigned copy is another report: %+v", again.Of)
	}
	must(t, again.About("C. Second", "", ""))
	must(t, again.Rest(record.AsDescribed))
	if _, err := again.Countersign(context.Background(), filepath.Join(t.TempDir(), "twice.pdf"), buyer(t), receivedAt, false); err == nil || !strings.Contains(err.Error(), "countersigned already") {
		t.Errorf("twice: %v", err)
	}
	// Knowingly: the reason says what was found.
	odd := received(t, path)
	to = filepath.Join(t.TempDir(), "odd.pdf")
	_, err = odd.Countersign(context.Background(), to, buyer(t), receivedAt, true)
	must(t, err)
	data, err = os.ReadFile(to)
	must(t, err)
	if s, err := buyerOf(context.Background(), data); err != nil || !strings.Contains(s.Reason, "2 differences, 1 new, 1 not checked. Answers") {
		t.Errorf("%q %v", s.Reason, err)
	}
}

// The personal key is made once under a passphrase, and opened after.
func TestPersonalKey(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "config")
	if _, err := OpenKey(folder, " ", "moss and walnut", receivedAt); err == nil || HasKey(folder) {
		t.Errorf("without a name: %v", err)
	}
	if _, err := OpenKey(folder, "B. Atherley", "short", receivedAt); err == nil || HasKey(folder) {
		t.Errorf("a short passphrase: %v", err)
	}
	id, err := OpenKey(folder, "B.  Atherley", "moss and walnut", receivedAt)
	must(t, err)
	again, err := OpenKey(folder, "", "moss and walnut", receivedAt)
	must(t, err)
	if id.Fingerprint() != again.Fingerprint() || pdfout.SignerOf(again).Name != "B. Atherley" {
		t.Error("another key")
	}
	if _, err := OpenKey(folder, "", "moss and chestnut", receivedAt); !errors.Is(err, sign.ErrPassphrase) {
		t.Error(err)
	}
	if st, err := os.Stat(KeyPath(folder)); err != nil || st.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", st.Mode(), err)
	}
}

// The photos of a report are found in it, each the one of its number.
func TestPicturesOfReport(t *testing.T) {
	_, path := issued(t, 3)
	v := open(t, path, t.TempDir())
	pics, err := v.Pictures()
	must(t, err)
	if len(pics) != 3 {
		t.Fatalf("%d pictures", len(pics))
	}
	for i, p := range v.Record.Photos {
		for j, o := range v.Record.Photos {
			if i != j && bytes.Equal(pics[p.ID], pics[o.ID]) {
				t.Errorf("photos %d and %d are one", i+1, j+1)
			}
		}
		if !bytes.HasPrefix(pics[p.ID], []byte{0xFF, 0xD8}) {
			t.Errorf("photo %d is no JPEG", i+1)
		}
	}
}
