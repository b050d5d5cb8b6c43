package sign

import (
	"bytes"
	"context"
	"crypto"
	"encoding/asn1"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"wornwood/pdfout/pdf"
)

var updateFixtures = flag.Bool("update", false, "write the files of testdata anew")

// fixtures are small files as they came out of this package once. They seed
// the fuzzing, and they must verify for ever: reports outlive programs.
var fixtures = []string{"signed.pdf", "countersigned.pdf", "unsigned.pdf"}

func fixture(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestFixtures(t *testing.T) {
	if *updateFixtures {
		opt := sampleOptions()
		var b bytes.Buffer
		if err := pdf.Rewrite(&b, drawSample(t, 1, 1, 8, 8), opt); err != nil {
			t.Fatal(err)
		}
		signed := signBytes(t, b.Bytes(), key(t, examinerKey), examinerOptions())
		both := signBytes(t, signed, key(t, buyerKey), buyerOptions())
		for i, data := range [][]byte{signed, both, b.Bytes()} {
			if err := os.WriteFile(filepath.Join("testdata", fixtures[i]), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if r := verifyBytes(t, fixture(t, "signed.pdf"), VerifyOptions{}); !r.OK || r.Countersigned {
		t.Errorf("signed.pdf: %+v", r.Findings)
	}
	r := verifyBytes(t, fixture(t, "countersigned.pdf"), VerifyOptions{})
	if !r.OK || !r.Countersigned {
		t.Errorf("countersigned.pdf: %+v", r.Findings)
	}
	if a, ok := r.Attachment("record.json"); !ok || string(a.Data) != sampleRecord || a.MediaType != "application/json" || a.Relationship != "Source" {
		t.Errorf("attachment: %+v", a)
	}
	expect(t, fixture(t, "unsigned.pdf"), NotSigned, VerifyOptions{})
}

// Whatever the bytes are: an answer, no panic, and never OK for anything but
// the very files that were signed.
func FuzzVerify(f *testing.F) {
	for _, name := range fixtures {
		f.Add(fixture(f, name))
	}
	signed := fixture(f, "signed.pdf")
	gap := signedGap(f, signed)
	limits := pdf.Limits{Size: 1 << 20, Decoded: 1 << 20, Work: 16 << 20}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Verify(context.Background(), bytes.NewReader(data), int64(len(data)), VerifyOptions{Limits: limits, AttachmentBytes: 1 << 20})
		if err != nil {
			t.Fatalf("bytes in memory cannot fail to be read: %v", err)
		}
		if !r.OK {
			return
		}
		// What was signed must be there to the byte; the place of the signature
		// itself, and a revision without effect behind it, are free.
		if len(data) < len(signed) || !bytes.Equal(data[:gap.Start], signed[:gap.Start]) || !bytes.Equal(data[gap.End:len(signed)], signed[gap.End:]) {
			t.Fatalf("accepted, and signed by nobody: %+v", r.Findings)
		}
	})
}

// signedGap is where the examiner's signature stands in a file.
func signedGap(t testing.TB, data []byte) pdf.Span {
	t.Helper()
	v := open(t, data)
	d := get[pdf.Dict](t, v, fieldOf(t, v, FieldExaminer).value)
	r := d["ByteRange"].(pdf.Array)
	return pdf.Span{Start: r[1].(int64), End: r[2].(int64)}
}

// The signature's own parser.
func FuzzCMS(f *testing.F) {
	for _, name := range []string{"signed.pdf", "countersigned.pdf"} {
		data := fixture(f, name)
		v := open(f, data)
		d := get[pdf.Dict](f, v, fieldOf(f, v, FieldExaminer).value)
		var raw asn1.RawValue
		if _, err := asn1.Unmarshal([]byte(d["Contents"].(pdf.String)), &raw); err != nil {
			f.Fatal(err)
		}
		f.Add(raw.FullBytes)
	}
	f.Fuzz(func(t *testing.T, der []byte) {
		for _, kind := range []asn1.ObjectIdentifier{oidData, oidTSTInfo} {
			c, err := parseCMS(der, kind)
			if err != nil {
				continue
			}
			if err := c.verify(make([]byte, 32)); err == nil {
				t.Fatal("a signature over zeros")
			}
			if tok, err := c.timeToken(); err == nil && tok != nil {
				over := func(crypto.Hash) ([]byte, error) { return make([]byte, 32), nil }
				if _, _, err := verifyToken(tok, over, nil); err == nil {
					t.Fatal("a time is trusted without an authority")
				}
			}
		}
	})
}
