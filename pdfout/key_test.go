package pdfout

import (
	"bytes"
	"errors"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/sign"
)

const (
	benchPhrase = "moss and walnut, twice"
	filePhrase  = "as the authority gave it"
)

func emptyBench(t *testing.T) *bench.Bench {
	t.Helper()
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Now: func() time.Time { return issuedAt }, Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func makeKey(t *testing.T, b *bench.Bench) *sign.Identity {
	t.Helper()
	rec := &record.Record{Examination: record.Examination{Examiner: "R. Calloway", Shop: "Fen Street Instruments"}}
	id, err := OpenIdentity(b, rec, benchPhrase, issuedAt)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// The public half stands beside the key and follows it: whoever wrote another
// there sees it put right when the key is opened.
func TestPublicIdentity(t *testing.T) {
	b := emptyBench(t)
	if _, err := PublicIdentity(b); !errors.Is(err, ErrNoPublic) {
		t.Errorf("no key: %v", err)
	}
	id := makeKey(t, b)
	pub, err := PublicIdentity(b)
	if err != nil || pub.Fingerprint() != id.Fingerprint() || pub.Key != nil {
		t.Fatalf("%+v, %v", pub, err)
	}
	if err := os.WriteFile(b.CertificatePath(), sign.EncodePublic(examiner(t)), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := OpenIdentity(b, &record.Record{}, "a wrong passphrase", issuedAt); !errors.Is(err, sign.ErrPassphrase) {
		t.Errorf("wrong passphrase: %v", err)
	}
	makeKey(t, b)
	if pub, err = PublicIdentity(b); err != nil || pub.Fingerprint() != id.Fingerprint() {
		t.Errorf("%v, %v", pub, err)
	}
	if b, err := os.ReadFile(b.CertificatePath()); err != nil || bytes.Contains(b, []byte("PRIVATE")) {
		t.Errorf("%v\n%s", err, b)
	}
}

// TestImportKey brings keys along that OpenSSL made; what is refused changes
// nothing, and every key that was in use stays.
func TestImportKey(t *testing.T) {
	a := pdfxtest.NewAuthority(t)
	ec := a.Issue("ec", "both", "/CN=Anselm Tarry/O=Merrow & Finch", "2020-2048", filePhrase)
	rsa := a.Issue("rsa", "none", "/CN=Anselm Tarry", "2020-2048", filePhrase, "rsa:2048")
	b := emptyBench(t)
	keys := func() map[string]string {
		out := map[string]string{}
		list, err := os.ReadDir(filepath.Dir(b.KeyPath()))
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range list {
			data, err := os.ReadFile(filepath.Join(filepath.Dir(b.KeyPath()), d.Name()))
			if err != nil {
				t.Fatal(err)
			}
			out[d.Name()] = string(data)
		}
		return out
	}
	// On a bench without a key the passphrase is a new one.
	if _, err := ImportKey(b, ec, filePhrase, "short", issuedAt); err == nil || !strings.Contains(err.Error(), "at least 12") || len(keys()) != 0 {
		t.Errorf("short passphrase: %v", err)
	}
	first, err := ImportKey(b, ec, filePhrase, benchPhrase, issuedAt)
	if err != nil || first.Kept != "" {
		t.Fatalf("%+v, %v", first, err)
	}
	if id, err := OpenIdentity(b, &record.Record{}, benchPhrase, issuedAt); err != nil || id.Fingerprint() != first.Identity.Fingerprint() || len(id.Chain) != 1 {
		t.Errorf("%v", err)
	}
	was := keys()
	refuseKeys(t, a, b, ec, rsa)
	if now := keys(); len(now) != len(was) || now["examiner.p12"] != was["examiner.p12"] {
		t.Errorf("what was refused changed the keys: %d files, were %d", len(now), len(was))
	}
	second, err := ImportKey(b, rsa, filePhrase, benchPhrase, issuedAt)
	want := "examiner-" + string(first.Identity.Fingerprint()) + ".p12"
	if err != nil || second.Kept != want || keys()[want] != was["examiner.p12"] {
		t.Fatalf("%+v, %v", second, err)
	}
	if pub, err := PublicIdentity(b); err != nil || pub.Fingerprint() != second.Identity.Fingerprint() {
		t.Errorf("the public half: %v", err)
	}
	// There and back again: the first key gets a second name when it goes again.
	back, err := ImportKey(b, filepath.Join(filepath.Dir(b.KeyPath()), want), benchPhrase, benchPhrase, issuedAt)
	if err != nil || back.Identity.Fingerprint() != first.Identity.Fingerprint() {
		t.Fatalf("%v", err)
	}
	again, err := ImportKey(b, rsa, filePhrase, benchPhrase, issuedAt)
	if err != nil || again.Kept != "examiner-"+string(first.Identity.Fingerprint())+"-2.p12" || keys()[want] != was["examiner.p12"] {
		t.Errorf("%+v, %v", again, err)
	}
	if n := len(keys()); n != 5 { // two of the first, one of the second, the one in use, its public half
		t.Errorf("%d files: %v", n, keys())
	}
}

// refuseKeys tries what may not become a bench's key, each with its reason.
func refuseKeys(t *testing.T, a *pdfxtest.Authority, b *bench.Bench, ec, rsa string) {
	t.Helper()
	for name, c := range map[string]struct {
		path, file, bench, want string
		at                      time.Time
	}{
		"wrong passphrase of the file":  {rsa, "not this one, surely", benchPhrase, "rsa.p12: the passphrase does not open", issuedAt},
		"wrong passphrase of the bench": {rsa, filePhrase, "not this one, surely", "this bench's own key", issuedAt},
		"expired":                       {a.Issue("over", "none", "/CN=A", "2020-2021", filePhrase), filePhrase, benchPhrase, "not valid at this time", issuedAt},
		"not begun":                     {rsa, filePhrase, benchPhrase, "not valid at this time", issuedAt.AddDate(-20, 0, 0)},
		"small":                         {a.Issue("small", "none", "/CN=A", "2020-2048", filePhrase, "rsa:1024"), filePhrase, benchPhrase, "1024 bits", issuedAt},
		"a server's":                    {a.Issue("server", "server", "/CN=A", "2020-2048", filePhrase), filePhrase, benchPhrase, "another use", issuedAt},
		"the same again":                {ec, filePhrase, benchPhrase, "already", issuedAt},
		"no file":                       {ec + "x", filePhrase, benchPhrase, "no such file", issuedAt},
	} {
		_, err := ImportKey(b, c.path, c.file, c.bench, c.at)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, secret := range []string{filePhrase, benchPhrase, "not this one"} {
			if strings.Contains(err.Error(), secret) {
				t.Errorf("%s: a passphrase stands in the error", name)
			}
		}
	}
}

// TestKeyCode reads the square code back with zbarimg (Debian: zbar-tools).
func TestKeyCode(t *testing.T) {
	for _, id := range []*sign.Identity{makeKey(t, emptyBench(t)), examiner(t)} {
		path := filepath.Join(t.TempDir(), "key.png")
		if err := SaveKeyCode(path, id); err != nil {
			t.Fatal(err)
		}
		read := strings.TrimSpace(pdfxtest.Output(t, "zbarimg", "--quiet", "--nodbus", "--raw", path))
		if read != KeyCard(id) || !strings.Contains(read, id.Fingerprint().Long()) || !strings.Contains(read, SignerOf(id).Name) {
			t.Errorf("zbarimg reads %q", read)
		}
		if fp, name, err := ReadKeyCard(read); err != nil || fp != id.Fingerprint() || name != SignerOf(id).Name {
			t.Errorf("%q %q %v", fp, name, err)
		}
		if err := SaveKeyCode(path, id); err == nil || !strings.Contains(err.Error(), "there already") {
			t.Errorf("written over: %v", err)
		}
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		saved, err := png.Decode(f)
		f.Close()
		shown, err2 := KeyCode(id)
		if err != nil || err2 != nil || saved.Bounds() != shown.Bounds() || saved.Bounds().Dx()%codeScale != 0 {
			t.Fatalf("%v %v", err, err2)
		}
		for y := range saved.Bounds().Dy() {
			for x := range saved.Bounds().Dx() {
				if r, _, _, _ := saved.At(x, y).RGBA(); r != first(shown.At(x, y).RGBA()) {
					t.Fatalf("at %d, %d the code shown is not the one saved", x, y)
				}
			}
		}
	}
}

func TestReadKeyCard(t *testing.T) {
	id := examiner(t)
	long, plain := id.Fingerprint().Long(), string(id.Fingerprint())
	for _, c := range []struct{ text, name string }{
		{plain, ""}, {long, ""}, {strings.ToUpper(long) + "\n", ""}, {strings.ReplaceAll(long, " ", ":"), ""},
		{"M. Ødegård\n" + long, "M. Ødegård"}, {"Dear Mr Finch,\n\nOdile Penrose\n  " + long + "\n\nYours", "Odile Penrose"},
		{string(sign.EncodePublic(id)), SignerOf(id).Name}, {long[:39] + "\n" + long[40:], ""},
		{strings.ReplaceAll(KeyCard(id), "\n", " "), SignerOf(id).Name}, {"Wornwood key Abbe Fade " + long, "Abbe Fade"},
	} {
		if fp, name, err := ReadKeyCard(c.text); err != nil || fp != id.Fingerprint() || name != c.name {
			t.Errorf("%.40q: %v %q %v", c.text, fp, name, err)
		}
	}
	for _, bad := range []string{"", plain[:63], plain + "0", "Odile Penrose", id.Fingerprint().Short(), "-----BEGIN CERTIFICATE-----\nMIIB\n-----END CERTIFICATE-----\n", strings.Repeat("a", maxPasted+1)} {
		if fp, _, err := ReadKeyCard(bad); err == nil || len(err.Error()) > 300 {
			t.Errorf("%.40q is read as %q: %v", bad, fp, err)
		}
	}
}

func first(r, _, _, _ uint32) uint32 { return r }
