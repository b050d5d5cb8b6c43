package view

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/pdfxtest"
)

const (
	keyPhrase  = "moss and walnut, twice"
	filePhrase = "as the authority gave it"
)

var keyDay = time.Date(2026, 11, 14, 16, 5, 0, 0, time.UTC)

func keyModel(t *testing.T) (*Keys, *bench.Bench) {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := b.SetSettings(bench.Settings{Examiner: "R. Calloway", Shop: "Fen Street Instruments"}); err != nil {
		t.Fatal(err)
	}
	return NewKeys(b, func() time.Time { return keyDay }), b
}

// TestOwnKey goes from no bench to a key that is shown, saved and replaced.
func TestOwnKey(t *testing.T) {
	none := NewKeys(nil, func() time.Time { return keyDay })
	if none.State() != NoBench || none.StateText() == "" || none.Open(keyPhrase) == nil {
		t.Error("without a bench there is a key")
	}
	v, b := keyModel(t)
	if v.State() != NoKey || !strings.Contains(v.StateText(), "no signing key") {
		t.Errorf("%v %q", v.State(), v.StateText())
	}
	if _, err := v.Own(); err == nil {
		t.Error("a key is shown where there is none")
	}
	for _, c := range [][3]string{{"short", "short", "12 characters"}, {keyPhrase, keyPhrase + ".", "differ"}, {keyPhrase, keyPhrase, ""}} {
		if got := v.CheckNew(c[0], c[1]); (c[2] == "") != (got == "") || !strings.Contains(got, c[2]) {
			t.Errorf("%q", got)
		}
	}
	if err := v.Open(keyPhrase); err != nil || v.State() != ShownKey || v.StateText() != "" {
		t.Fatalf("%v %v", err, v.State())
	}
	own, err := v.Own()
	if err != nil || own.Name != "R. Calloway, Fen Street Instruments" || own.Expired || !strings.Contains(own.By, "no authority") || own.Code.Bounds().Dx() < 200 {
		t.Fatalf("%+v, %v", own, err)
	}
	if strings.Join(own.Fingerprint[:], " ") != own.Long || len(own.Long) != 79 {
		t.Errorf("%q is not %q", own.Fingerprint, own.Long)
	}
	if n := v.FileName(".pem"); n != "R.-Calloway.pem" {
		t.Errorf("proposed: %q", n)
	}
	dir := t.TempDir()
	pem, code := filepath.Join(dir, "a.pem"), filepath.Join(dir, "a.png")
	if err := v.Export(pem); err != nil {
		t.Fatal(err)
	}
	if err := v.SaveCode(code); err != nil {
		t.Fatal(err)
	}
	if out := pdfxtest.Output(t, "zbarimg", "--quiet", "--nodbus", "--raw", code); !strings.Contains(out, own.Long) || !strings.Contains(out, own.Name) {
		t.Errorf("zbarimg reads %q", out)
	}
	if err := v.Export(pem); err == nil {
		t.Error("a file was written over")
	}
	if err := os.Remove(b.CertificatePath()); err != nil {
		t.Fatal(err)
	}
	if v.State() != ClosedKey || !strings.Contains(v.StateText(), "Open the key once") {
		t.Errorf("%v %q", v.State(), v.StateText())
	}
	if err := v.Open("a wrong passphrase"); err == nil || strings.Contains(err.Error(), "a wrong passphrase") || v.State() != ClosedKey {
		t.Errorf("%v", err)
	}
}

func TestBringAlong(t *testing.T) {
	v, _ := keyModel(t)
	a := pdfxtest.NewAuthority(t)
	if err := v.Open(keyPhrase); err != nil {
		t.Fatal(err)
	}
	p12 := a.Issue("tarry", "both", "/CN=Anselm Tarry/O=Merrow & Finch", "2020-2030", filePhrase)
	if _, err := v.Import(p12, "not that one", keyPhrase); err == nil || !strings.Contains(Words(err), "tarry.p12: the passphrase does not open") {
		t.Errorf("%v", err)
	}
	said, err := v.Import(p12, filePhrase, keyPhrase)
	if err != nil || !strings.Contains(said, "Anselm Tarry, Merrow & Finch") || !strings.Contains(said, "kept in the folder keys") {
		t.Fatalf("%q, %v", said, err)
	}
	own, err := v.Own()
	if err != nil || !strings.Contains(own.By, "Certified by Invented Authority. It publishes") || own.Expired {
		t.Errorf("%+v, %v", own, err)
	}
	v.now = func() time.Time { return keyDay.AddDate(4, 0, 0) }
	if own, err = v.Own(); err != nil || !own.Expired || !strings.Contains(own.Valid, "Nothing can be signed") {
		t.Errorf("%+v, %v", own, err)
	}
}

// TestKnownKeys reads a key in every form it may be given in, lists it, and
// takes it off again and back.
func TestKnownKeys(t *testing.T) {
	v, _ := keyModel(t)
	if err := v.Open(keyPhrase); err != nil {
		t.Fatal(err)
	}
	own, err := v.Own()
	if err != nil {
		t.Fatal(err)
	}
	pem := filepath.Join(t.TempDir(), "calloway.pem")
	if err := v.Export(pem); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(pem)
	if err != nil {
		t.Fatal(err)
	}
	card := "Wornwood key " + own.Name + " " + own.Long
	for name, given := range map[string]string{"groups": own.Long, "plain": strings.ReplaceAll(own.Long, " ", ""), "a card": card, "a file": pem, "its text": string(text)} {
		fp, _, err := v.Read(given)
		if err != nil || fp.Long() != own.Long {
			t.Errorf("%s: %v %v", name, fp, err)
		}
	}
	for given, want := range map[string]string{"": "paste a fingerprint", own.Long[:60]: "no fingerprint", "/nowhere/a.pem": "no such file", "a.pem": "no such file", "hello": "no fingerprint"} {
		if _, _, err := v.Read(given); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", given, err)
		}
	}
	fp, name, err := v.Read(card)
	if err != nil || name != own.Name {
		t.Fatalf("%q %v", name, err)
	}
	if err := v.Add(fp, " "); err == nil {
		t.Error("listed without a name")
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	other := fp[32:] + fp[:32]
	must(v.Add(fp, "Calloway, by telephone"))
	must(v.Add(other, "anselm Tarry"))
	rows, err := v.Known()
	if err != nil || len(rows) != 2 || rows[0].Name != "anselm Tarry" || rows[1] != (pdfout.KnownKey{Fingerprint: fp, Name: "Calloway, by telephone"}) {
		t.Errorf("%+v, %v", rows, err)
	}
	must(v.Remove(fp))
	if rows, err = v.Known(); err != nil || len(rows) != 1 || v.Taken() != "Calloway, by telephone" {
		t.Errorf("%+v, %v, taken off %q", rows, err, v.Taken())
	}
	must(v.PutBack())
	if rows, err = v.Known(); err != nil || len(rows) != 2 || v.Taken() != "" {
		t.Errorf("%+v, %v", rows, err)
	}
}
