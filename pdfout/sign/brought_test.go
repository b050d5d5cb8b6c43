package sign

import (
	"bytes"
	"crypto/rand"
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"software.sslmate.com/src/go-pkcs12"

	"wornwood/pdfout/pdfxtest"
)

const filePhrase = "as the authority gave it"

// elsewhere makes keys and certificates with OpenSSL, as an authority does.
type elsewhere struct {
	t   *testing.T
	dir string
}

func newElsewhere(t *testing.T) *elsewhere {
	e := &elsewhere{t, t.TempDir()}
	e.root("root", "/CN=Invented Root")
	return e
}

func (e *elsewhere) at(n string) string { return filepath.Join(e.dir, n) }

func (e *elsewhere) run(args ...string) { e.t.Helper(); pdfxtest.Output(e.t, "openssl", args...) }

func (e *elsewhere) root(name, subject string) {
	e.t.Helper()
	e.run("req", "-x509", "-nodes", "-days", "3650", "-subj", subject, "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256",
		"-addext", "keyUsage=critical,keyCertSign,cRLSign", "-keyout", e.at(name+".key"), "-out", e.at(name+".pem"))
}

// leaf makes name.key and name.pem, certified by another with the extensions.
func (e *elsewhere) leaf(name, by, days, extensions string, newkey ...string) {
	e.t.Helper()
	e.run(append([]string{"req", "-new", "-nodes", "-subj", "/CN=Anselm Tarry/O=Merrow & Finch", "-keyout", e.at(name + ".key"), "-out", e.at(name + ".csr"), "-newkey"}, newkey...)...)
	ext := pdfxtest.Write(e.t, "ext.cnf", []byte(extensions))
	e.run("x509", "-req", "-in", e.at(name+".csr"), "-CA", e.at(by+".pem"), "-CAkey", e.at(by+".key"), "-set_serial", fmt.Sprint(time.Now().UnixNano()), "-days", days, "-extfile", ext, "-out", e.at(name+".pem"))
}

// p12 puts a key and certificates into a file.
func (e *elsewhere) p12(name, key, cert string, more ...string) string {
	e.t.Helper()
	out := e.at(name + ".p12")
	e.run(append([]string{"pkcs12", "-export", "-inkey", e.at(key + ".key"), "-in", e.at(cert + ".pem"), "-passout", "pass:" + filePhrase, "-out", out}, more...)...)
	return out
}

const forSigning = "keyUsage=critical,digitalSignature,nonRepudiation\nextendedKeyUsage=emailProtection\nsubjectKeyIdentifier=hash\nauthorityKeyIdentifier=keyid\n"

var ec = []string{"ec", "-pkeyopt", "ec_paramgen_curve:P-256"}

// TestBroughtAlong opens PKCS#12 files that OpenSSL made, of RSA and EC, with
// a chain of two in any order and in the older encryption, and refuses those
// that cannot sign, each for its own reason.
func TestBroughtAlong(t *testing.T) {
	e := newElsewhere(t)
	e.leaf("middle", "root", "900", "basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign,cRLSign\nsubjectKeyIdentifier=hash\nauthorityKeyIdentifier=keyid\n", ec...)
	e.leaf("ec", "middle", "800", forSigning, ec...)
	e.leaf("rsa", "middle", "800", forSigning, "rsa:2048")
	e.leaf("small", "middle", "800", forSigning, "rsa:1024")
	e.leaf("over", "middle", "1", forSigning, ec...)
	e.leaf("server", "middle", "800", "keyUsage=critical,digitalSignature\nextendedKeyUsage=serverAuth\n", ec...)
	e.leaf("crypt", "middle", "800", "keyUsage=critical,keyEncipherment\n", ec...)
	chain := append(read(t, e.at("root.pem")), read(t, e.at("middle.pem"))...) // the wrong way round
	if err := os.WriteFile(e.at("chain.pem"), chain, 0o600); err != nil {
		t.Fatal(err)
	}
	with := []string{"-certfile", e.at("chain.pem")}
	for _, name := range []string{"ec", "rsa"} {
		for kind, more := range map[string][]string{"": nil, "-older": {"-legacy"}} {
			id, err := LoadIdentity(e.p12(name+kind, name, name, append(more, with...)...), filePhrase)
			if err == nil {
				err = id.CheckBrought(time.Now())
			}
			if err != nil {
				t.Fatalf("%s%s: %v", name, kind, err)
			}
			if len(id.Chain) != 2 || id.Chain[0].Subject.CommonName != "Anselm Tarry" || id.Chain[1].Subject.CommonName != "Invented Root" || id.SelfMade() {
				t.Errorf("%s%s: the way to the root is %v", name, kind, id.Chain)
			}
		}
	}
	// The authority's certificate stands before the signer's.
	id := mustLoad(t, e.at("ec.p12"))
	turned, err := pkcs12.Modern2023.Encode(id.Key, id.Chain[1], []*x509.Certificate{id.Certificate, id.Chain[0]}, filePhrase)
	if err != nil {
		t.Fatal(err)
	}
	if back, err := LoadIdentity(pdfxtest.Write(t, "turned.p12", turned), filePhrase); err != nil || back.Fingerprint() != id.Fingerprint() || len(back.Chain) != 2 {
		t.Errorf("signer's certificate last: %v", err)
	}
	other, err := pkcs12.Modern2023.Encode(id.Key, id.Chain[1], nil, filePhrase)
	if err != nil {
		t.Fatal(err)
	}
	refuse(t, e, pdfxtest.Write(t, "other.p12", other), with)
}

// refuse opens what cannot sign, each for its own reason.
func refuse(t *testing.T, e *elsewhere, other string, with []string) {
	t.Helper()
	for _, c := range []struct {
		path, pass, want string
		is               error
		at               time.Time
	}{
		{e.at("ec.p12"), "not " + filePhrase, "does not open", ErrPassphrase, time.Now()},
		{other, filePhrase, "belongs to another key", nil, time.Now()},
		{e.p12("small", "small", "small", with...), filePhrase, "1024 bits", nil, time.Now()},
		{e.p12("over", "over", "over", with...), filePhrase, "is for ", ErrExpired, time.Now().AddDate(0, 0, 3)},
		{e.at("over.p12"), filePhrase, "is for ", ErrExpired, time.Now().AddDate(0, 0, -3)},
		{e.p12("server", "server", "server", with...), filePhrase, "for another use", nil, time.Now()},
		{e.p12("crypt", "crypt", "crypt", with...), filePhrase, "does not allow signing", nil, time.Now()},
		{e.p12("middle", "middle", "middle"), filePhrase, "does not allow signing", nil, time.Now()},
		{pdfxtest.Write(t, "cut.p12", read(t, e.at("ec.p12"))[:700]), filePhrase, "not a PKCS#12 file", nil, time.Now()},
	} {
		id, err := LoadIdentity(c.path, c.pass)
		if err == nil {
			err = id.CheckBrought(c.at)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) || (c.is != nil && !errors.Is(err, c.is)) {
			t.Errorf("%s: %v", filepath.Base(c.path), err)
		} else if strings.Contains(err.Error(), filePhrase) {
			t.Errorf("%s: the passphrase stands in the error", filepath.Base(c.path))
		}
	}
}

// A file may not keep the program busy for hours before it is refused.
func TestKeyFileRounds(t *testing.T) {
	for name, der := range map[string][]byte{"too many": rounds(t, 2_000_000_000), "none": rounds(t, 0), "fewer than none": rounds(t, -1)} {
		if err := checkIterations(der, 0); err == nil || !strings.Contains(err.Error(), "rounds") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := checkIterations(rounds(t, keyIterations), 0); err != nil {
		t.Error(err)
	}
}

// rounds is a salt and a number as they stand in a key file.
func rounds(t *testing.T, n int) []byte {
	t.Helper()
	der, err := asn1.Marshal(struct {
		Salt []byte
		N    int
	}{[]byte("salt and pepper!"), n})
	if err != nil {
		t.Fatal(err)
	}
	if der, err = asn1.Marshal(struct{ Inside []byte }{der}); err != nil {
		t.Fatal(err)
	}
	return der
}

func TestReplaceIdentity(t *testing.T) {
	dir := t.TempDir()
	path, first, second := filepath.Join(dir, "examiner.p12"), key(t, examinerKey), key(t, buyerKey)
	if err := SaveIdentity(path, first, phrase); err != nil {
		t.Fatal(err)
	}
	before := read(t, path)
	if err := ReplaceIdentity(path, "old.p12", second, "short"); err == nil || !strings.Contains(err.Error(), "at least 12") {
		t.Errorf("short passphrase: %v", err)
	}
	if err := os.WriteFile(filepath.Join(dir, "taken.p12"), []byte("another"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := ReplaceIdentity(path, "taken.p12", second, phrase); err == nil || !strings.Contains(err.Error(), "never overwritten") {
		t.Errorf("a name that is taken: %v", err)
	}
	if !bytes.Equal(read(t, path), before) {
		t.Fatal("a refused replacement changed the key")
	}
	if err := ReplaceIdentity(path, "old.p12", second, phrase); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(read(t, filepath.Join(dir, "old.p12")), before) {
		t.Error("the old key is not kept as it was")
	}
	now, err := LoadIdentity(path, phrase)
	if err != nil || now.Fingerprint() != second.Fingerprint() {
		t.Errorf("%v", err)
	}
	for _, n := range []string{"examiner.p12", "old.p12"} {
		if st, err := os.Stat(filepath.Join(dir, n)); err != nil || st.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v %v", n, st.Mode(), err)
		}
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 3 {
		t.Errorf("left behind: %v %v", list, err)
	}
}

// TestPublic writes the public half, lets OpenSSL read it, and reads it back.
func TestPublic(t *testing.T) {
	id := key(t, examinerKey)
	text := EncodePublic(id)
	path := pdfxtest.Write(t, "tarry.pem", text)
	if out := pdfxtest.Output(t, "openssl", "x509", "-in", path, "-noout", "-subject"); !strings.Contains(out, "CN = Anselm Tarry") {
		t.Errorf("openssl: %s", out)
	}
	back, err := LoadPublic(path)
	if err != nil || back.Fingerprint() != id.Fingerprint() || back.Key != nil || !back.SelfMade() || back.Publishes() {
		t.Errorf("%+v, %v", back, err)
	}
	if back, err = DecodePublic(id.Certificate.Raw); err != nil || back.Fingerprint() != id.Fingerprint() {
		t.Errorf("DER: %v", err)
	}
	e := newElsewhere(t)
	e.leaf("rsa", "root", "800", forSigning, "rsa:1024")
	secret := read(t, e.at("root.key"))
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":       {nil, "no certificate"},
		"words":         {[]byte("Anselm Tarry"), "no certificate"},
		"a private key": {append(secret, text...), "private key"},
		"broken":        {bytes.Replace(text, []byte("MII"), []byte("MIJ"), 1), "broken"},
		"a weak key":    {read(t, e.at("rsa.pem")), "1024 bits"},
		"large":         {make([]byte, maxPublic+1), "too large"},
		"many":          {bytes.Repeat(text, maxCertificates+1), "more than"},
	} {
		if _, err := DecodePublic(c.data); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A certificate whose signature is another's is no issuer.
	stranger, err := NewKey(Subject{Name: "Odile Penrose"}, signedAt, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	both, err := DecodePublic(append(text[:len(text):len(text)], EncodePublic(stranger)...))
	if err != nil || len(both.Chain) != 0 {
		t.Errorf("%v, %v", both, err)
	}
}

func FuzzDecodeIdentity(f *testing.F) {
	id := key(f, buyerKey)
	data, err := pkcs12.Modern2023.WithIterations(1).Encode(id.Key, id.Certificate, nil, filePhrase)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add(EncodePublic(id))
	f.Fuzz(func(t *testing.T, data []byte) {
		if id, err := decodeIdentity(data, filePhrase); err == nil && id.check() != nil {
			t.Error("an identity that cannot sign is given without an error")
		}
		if id, err := DecodePublic(data); err == nil && len(id.Fingerprint()) != 64 {
			t.Error("a certificate without a fingerprint")
		}
	})
}

func mustLoad(t *testing.T, path string) *Identity {
	t.Helper()
	id, err := LoadIdentity(path, filePhrase)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
