package sign

import (
	"bytes"
	"fmt"
	"math/rand"
	"testing"

	"wornwood/pdfout/pdf"
)

// Any single bit changed anywhere but in the place of the signature itself.
func TestNoBitCanChange(t *testing.T) {
	signed := fixture(t, "signed.pdf")
	gap := signedGap(t, signed)
	rnd := rand.New(rand.NewSource(41873))
	for range 1500 {
		at := rnd.Intn(len(signed))
		if int64(at) >= gap.Start && int64(at) < gap.End {
			at = int(gap.End) + rnd.Intn(len(signed)-int(gap.End))
		}
		bad := bytes.Clone(signed)
		bad[at] ^= 1 << rnd.Intn(8)
		if r := verifyBytes(t, bad, VerifyOptions{}); r.OK {
			// The line end after the last mark may be another one.
			if at == len(signed)-1 {
				continue
			}
			t.Errorf("byte %d changed from %q to %q and nothing noticed", at, signed[at], bad[at])
		}
	}
}

// Any single digit of the signature value itself.
func TestNoDigitOfTheSignatureCanChange(t *testing.T) {
	signed := fixture(t, "signed.pdf")
	gap := signedGap(t, signed)
	v := open(t, signed)
	c, err := parseCMS([]byte(get[pdf.Dict](t, v, fieldOf(t, v, FieldExaminer).value)["Contents"].(pdf.String)), oidData)
	if err != nil {
		t.Fatal(err)
	}
	value := bytes.Index(signed[gap.Start:gap.End], fmt.Appendf(nil, "%X", c.si.Signature)) + int(gap.Start)
	for i := range 2 * len(c.si.Signature) {
		bad := bytes.Clone(signed)
		if bad[value+i]++; bad[value+i] == ':' || bad[value+i] == 'G' {
			bad[value+i] = '0'
		}
		if r := verifyBytes(t, bad, VerifyOptions{}); r.OK {
			t.Errorf("digit %d of the signature changed and nothing noticed", i)
		}
	}
}
