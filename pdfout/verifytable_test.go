package pdfout

import (
	"bytes"
	"context"
	"crypto"
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/timestamp"

	"wornwood/pdfout/attacktest"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// table is everything that the rows of TestTable are made of.
type table struct {
	honest  []byte
	attacks map[string]attacktest.Attack
	ca      *pdfxtest.Authority
	stamps  string         // address of a time-stamp authority
	tsa     *x509.CertPool // it
	cert    *sign.Identity // certified by ca
}

func newTable(t *testing.T) *table {
	r := reporttest.Demo(1)
	tb := &table{honest: dishonest{pages: r, inside: r}.make(t), attacks: map[string]attacktest.Attack{}, ca: pdfxtest.NewAuthority(t)}
	tb.stamps, tb.tsa = pdfxtest.Stamps(t)
	stranger, err := sign.NewKey(sign.Subject{Name: "A. Stranger"}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	list, err := attacktest.All(tb.honest, stranger)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range list {
		tb.attacks[a.Name] = a
	}
	const pass = "a passphrase of the table"
	if tb.cert, err = sign.LoadIdentity(tb.ca.Issue("signer", "none", "/CN=Anselm Tarry/O=Merrow and Finch", "2020-2048", pass), pass); err != nil {
		t.Fatal(err)
	}
	return tb
}

// attack gives attacks of the suite by the beginnings of their names.
func (tb *table) attack(t *testing.T, begins ...string) (out []attacktest.Attack) {
	for _, b := range begins {
		n := len(out)
		for name, a := range tb.attacks {
			if strings.HasPrefix(name, b) {
				out = append(out, a)
			}
		}
		if len(out) == n {
			t.Fatalf("the suite has no attack called %q", b)
		}
	}
	return out
}

// stamped signs an honest report with a token that ask gives.
func (tb *table) stamped(t *testing.T, ask func(ctx context.Context, digest []byte) ([]byte, error)) []byte {
	r := reporttest.Demo(0)
	id, err := sign.NewKey(sign.Subject{Name: "M. Østergård-Łuczak"}, time.Now().Add(-time.Hour), rnd{})
	if err != nil {
		t.Fatal(err)
	}
	return signed(t, dishonest{pages: r, inside: r}.plain(t, id), id, sign.SignOptions{Field: sign.FieldExaminer, Now: time.Now(), Timestamp: ask})
}

// ask asks the table's time-stamp authority for a token over a digest.
func (tb *table) ask(digest []byte) ([]byte, error) {
	der, err := (&timestamp.Request{HashAlgorithm: crypto.SHA256, HashedMessage: digest, Certificates: true}).Marshal()
	if err != nil {
		return nil, err
	}
	resp, err := http.Post(tb.stamps, "application/timestamp-query", bytes.NewReader(der))
	if err != nil {
		return nil, err
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		return nil, err
	}
	ts, err := timestamp.ParseResponse(body)
	if err != nil {
		return nil, err
	}
	return ts.RawToken, nil
}

// report is one file of a row, with what is trusted when it is judged.
type report struct {
	name string
	data []byte
	opt  VerifyOptions
	says []sign.Code // at least one of them
	not  []sign.Code // none of them
	ok   bool
}

var alteredSaid = []sign.Code{sign.Unaltered}

func asReports(list []attacktest.Attack, ok bool) (out []report) {
	for _, a := range list {
		out = append(out, report{name: a.Name, data: a.Data, says: a.Says, ok: ok, not: alteredSaid})
	}
	return out
}

// rows are the rows of the table of pdf.md, "Verify as if the sender were
// clever", each with the files that stand for it.
func (tb *table) rows(t *testing.T) map[string][]report {
	r := reporttest.Demo(1)
	now := time.Now()
	other := reporttest.Demo(1)
	other.Instrument.Serial = "11873"
	plain := dishonest{pages: r, inside: r}.plain(t, tb.cert)
	thief, err := sign.NewKey(sign.Subject{Name: "Anselm Tarry", Shop: "Merrow and Finch"}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	thief.Chain = tb.cert.Chain
	buyer, err := sign.NewKey(sign.Subject{Name: "A. Buyer"}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	token := func(change func(b []byte) []byte, over func(d []byte) []byte) []byte {
		return tb.stamped(t, func(_ context.Context, digest []byte) ([]byte, error) {
			b, err := tb.ask(over(digest))
			return change(b), err
		})
	}
	same := func(b []byte) []byte { return b }
	none := func(b []byte) []byte { s := sha256.Sum256(b); return s[:] }
	spoilt := func(b []byte) []byte { b = bytes.Clone(b); b[len(b)-5] ^= 1; return b }
	noTime := []sign.Code{sign.NoTrustedTime}
	trusted := VerifyOptions{Roots: tb.ca.Roots, TSARoots: tb.tsa, Now: now}
	raised := gradeOf(t, r)
	more := *raised.Index + 5
	raised.Index = &more
	return map[string][]report{
		"a byte of an image flipped":                                                   asReports(tb.attack(t, "a byte flipped in the stream of XObject Image"), false),
		"a page replaced by an appended revision":                                      asReports(tb.attack(t, "a page's drawing replaced", "a page pointed at another drawing", "a page changed in an object stream", "pages exchanged"), false),
		"bytes after the last end-of-file":                                             asReports(tb.attack(t, "bytes behind both", "a blank line behind", "a comment behind", "three thousand bytes behind", "another report behind"), false),
		"a page changed, then signed again by another, trusted":                        {{"by pdfsig", tb.signedElsewhere(t, tb.attack(t, "a page's drawing replaced")[0].Data), trusted, []sign.Code{sign.NotWhatIsShown}, alteredSaid, false}},
		"the byte range leaves a gap, overlaps, does not start at 0":                   asReports(tb.attack(t, "byte range: "), false),
		"a table that frees objects, changes the trailer, or hides a hybrid reference": asReports(tb.attack(t, "an object removed", "another catalogue in the trailer", "other data about the document", "another identifier", "a hybrid table"), false),
		"a self-made certificate with a trusted root thrown into the bag": {
			{"thrown in", signed(t, plain, thief, sign.SignOptions{Field: sign.FieldExaminer, Now: issuedAt}), trusted, []sign.Code{sign.SignerUnknown}, []sign.Code{sign.SignerTrusted, sign.SignerKnown}, true},
			{"truly certified", signed(t, plain, tb.cert, sign.SignOptions{Field: sign.FieldExaminer, Now: issuedAt}), trusted, []sign.Code{sign.SignerTrusted}, []sign.Code{sign.SignerUnknown}, true},
		},
		"a time-stamp over the wrong digest, not rightly signed, or by an authority that is not configured": {
			{"wrong digest", token(same, none), trusted, noTime, []sign.Code{sign.TrustedTime}, true},
			{"not rightly signed", token(spoilt, same), trusted, noTime, []sign.Code{sign.TrustedTime}, true},
			{"not configured", token(same, same), VerifyOptions{Roots: tb.ca.Roots, TSARoots: tb.ca.Roots, Now: now}, noTime, []sign.Code{sign.TrustedTime}, true},
			{"none configured", token(same, same), VerifyOptions{}, noTime, []sign.Code{sign.TrustedTime}, true},
			{"right", token(same, same), trusted, []sign.Code{sign.TrustedTime}, noTime, true},
		},
		"the buyer's countersignature and nothing else": {{"", signed(t, tb.honest, buyer, sign.SignOptions{Field: sign.FieldBuyer, Now: issuedAt}), VerifyOptions{}, []sign.Code{sign.Countersigned}, []sign.Code{NotCountersigned}, true}},
		"the record inside swapped, or its grade not the grade recomputed": {
			{"swapped after signing", tb.attack(t, "the attached record.json replaced")[0].Data, VerifyOptions{}, []sign.Code{sign.ChangedAfter}, alteredSaid, false},
			{"swapped before signing", dishonest{pages: r, inside: r, files: map[string][]byte{RecordName: mustJSON(t, other)}}.make(t), VerifyOptions{}, []sign.Code{RecordOther}, []sign.Code{RecordFits}, false},
			{"another identity printed", dishonest{pages: other, inside: r}.make(t), VerifyOptions{}, []sign.Code{TextsOther}, []sign.Code{TextsFit}, false},
			{"grade raised", dishonest{pages: r, inside: r, files: map[string][]byte{GradeName: mustJSON(t, raised)}}.make(t), VerifyOptions{}, []sign.Code{GradeNotFollowing}, []sign.Code{GradeFollows}, false},
		},
		"PDFs by other programs, encrypted, truncated, huge, hostile": slices.Concat(
			asReports(tb.attack(t, "a text", "a picture", "an empty document", "an attachment that unpacks", "five hundred files", "a table of a thousand million rows", "encryption announced later"), false),
			[]report{
				{"truncated", tb.honest[:len(tb.honest)*2/3], VerifyOptions{}, []sign.Code{sign.Unreadable}, alteredSaid, false},
				{"huge", tb.honest, VerifyOptions{Limits: pdf.Limits{Size: int64(len(tb.honest)) - 1}}, []sign.Code{sign.TooLarge}, alteredSaid, false},
				{"encrypted by qpdf", tool(t, tb.honest, "qpdf", "--encrypt", "user", "owner", "256", "--"), VerifyOptions{}, []sign.Code{sign.Encrypted, sign.Unreadable}, alteredSaid, false},
				{"written anew by qpdf", tool(t, tb.honest, "qpdf", "--object-streams=generate"), VerifyOptions{}, []sign.Code{sign.ByteRange, sign.BrokenSignature, sign.AlteredBytes, sign.NotSigned}, alteredSaid, false},
			}),
	}
}

// tool lets another program write a report anew.
func tool(t *testing.T, data []byte, name string, args ...string) []byte {
	t.Helper()
	in, out := pdfxtest.Write(t, "in.pdf", data), filepath.Join(t.TempDir(), "out.pdf")
	pdfxtest.Output(t, name, append(append([]string{}, args...), in, out)...)
	b, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// signedElsewhere lets poppler's pdfsig sign a file with a key that the table's
// authority certified: this program's own signing refuses an altered report.
func (tb *table) signedElsewhere(t *testing.T, data []byte) []byte {
	t.Helper()
	const pass = "a passphrase of another"
	// RSA: pdfsig keeps room for a signature as long as one it makes first, and
	// those of ECDSA differ in length.
	key := tb.ca.Issue("another", "none", "/CN=Another Signer", "2020-2048", pass, "rsa:2048")
	dir := t.TempDir()
	db := "sql:" + dir
	pdfxtest.Output(t, "certutil", "-N", "-d", db, "--empty-password")
	pdfxtest.Output(t, "pk12util", "-i", key, "-d", db, "-K", "", "-W", pass)
	pdfxtest.Output(t, "certutil", "-A", "-d", db, "-n", "authority", "-t", "CT,C,C", "-i", tb.ca.At("ca.pem"))
	nick := ""
	for _, line := range strings.Split(pdfxtest.Output(t, "certutil", "-L", "-d", db), "\n") {
		if strings.Contains(line, "Another Signer") {
			nick = strings.TrimSpace(line[:60])
		}
	}
	in, out := pdfxtest.Write(t, "in.pdf", data), filepath.Join(dir, "out.pdf")
	pdfxtest.Output(t, "pdfsig", "-nssdir", db, "-nick", nick, "-add-signature", in, out)
	b, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The table of pdf.md, row by row. Nothing of it touches the network.
func TestTable(t *testing.T) {
	tb := newTable(t)
	rows := tb.rows(t)
	if len(rows) != 11 {
		t.Errorf("%d rows, the table has 11", len(rows))
	}
	noNetwork(t)
	judge := verdictJudge(t)
	for row, list := range rows {
		for _, r := range list {
			t.Run(row+"/"+r.name, func(t *testing.T) {
				v, err := VerifyReader(t.Context(), bytes.NewReader(r.data), int64(len(r.data)), r.opt)
				if err != nil {
					t.Fatal(err)
				}
				if v.OK != r.ok || !slices.ContainsFunc(r.says, v.Has) || slices.ContainsFunc(r.not, v.Has) {
					t.Errorf("ok %v, want %v, one of %v and none of %v; it says:", v.OK, r.ok, r.says, r.not)
					for _, l := range v.Lines {
						t.Logf("%s %s: %s", l.Standing, l.Code, l.Text)
					}
				}
				if err := judge(v); err != nil {
					t.Errorf("the verdict is not of its schema: %v", err)
				}
			})
		}
	}
}

// refusing fails the test when anything is sent.
type refusing struct{ t *testing.T }

func (r refusing) RoundTrip(q *http.Request) (*http.Response, error) {
	r.t.Errorf("the network was used: %s", q.URL)
	return nil, errors.New("there is no network here")
}

// noNetwork fails the test when the network is used from here on, by any of the
// usual ways.
func noNetwork(t *testing.T) {
	transport, client, resolver := http.DefaultTransport, http.DefaultClient, net.DefaultResolver
	t.Cleanup(func() { http.DefaultTransport, http.DefaultClient, net.DefaultResolver = transport, client, resolver })
	http.DefaultTransport = refusing{t}
	http.DefaultClient = &http.Client{Transport: refusing{t}}
	net.DefaultResolver = &net.Resolver{PreferGo: true, Dial: func(context.Context, string, string) (net.Conn, error) {
		t.Error("a name was looked up")
		return nil, errors.New("there is no network here")
	}}
}
