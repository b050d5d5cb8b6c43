package sign

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"math/rand"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/image/font/gofont/goregular"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdf/pdfxtest"
)

func TestSignRefuses(t *testing.T) {
	plain, signed, both := unsignedSample(t), signedSample(t), countersigned(t)
	id := key(t, examinerKey)
	but := func(o SignOptions, change func(*SignOptions)) SignOptions { change(&o); return o }
	cases := []struct {
		name string
		data []byte
		id   *Identity
		opt  SignOptions
		want string
	}{
		{"no key", plain, nil, examinerOptions(), "there is no signing key"},
		{"no time", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Now = time.Time{} }), "time of signing is missing"},
		{"no such field", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Field = "Witness" }), "no such signature field"},
		{"signed already", signed, id, examinerOptions(), "signed already"},
		{"countersigned already", both, id, buyerOptions(), "signed already"},
		{"the buyer first", plain, id, buyerOptions(), "examiner has not signed"},
		{"lines without a font", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Font = nil }), "needs a font"},
		{"a font that is none", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Font = []byte("no font") }), "read the font"},
		{"no PDF", []byte("hello"), id, examinerOptions(), "not a well-formed PDF"},
		{"bytes after the end", append(bytes.Clone(plain), "x"...), id, examinerOptions(), "altered"},
		{"altered", flip(t, signed, func(d pdf.Dict) bool { return d["Subtype"] == pdf.Name("Image") }), key(t, buyerKey), buyerOptions(), "altered"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := Sign(t.Context(), bytes.NewReader(c.data), int64(len(c.data)), &out, c.id, c.opt)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v", err)
			}
		})
	}
	t.Run("a chain too long for its place", func(t *testing.T) {
		long := *id
		for len(long.Chain) < 60 {
			long.Chain = append(long.Chain, id.Certificate)
		}
		var out bytes.Buffer
		err := Sign(t.Context(), bytes.NewReader(plain), int64(len(plain)), &out, &long, examinerOptions())
		if err == nil || !strings.Contains(err.Error(), "fewer certificates") {
			t.Errorf("got %v", err)
		}
	})
	wantSignError(t, plain, id, but(examinerOptions(), func(o *SignOptions) { o.Field = "Witness" }), ErrNoField)
	wantSignError(t, signed, id, examinerOptions(), ErrSigned)
}

func TestVerifyIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	data := signedSample(t)
	if r, err := Verify(ctx, bytes.NewReader(data), int64(len(data)), VerifyOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %+v, %v", r, err)
	}
}

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

// Only the first part of what follows is right; the digits of the signature
// can be anything.
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

// A countersignature by a program that writes cross-reference and object
// streams, and the same with a page changed in the object stream.
func TestCountersignedWithStreams(t *testing.T) {
	signed := signedSample(t)
	good := streamed(t, signed, nil)
	pdfxtest.Check(t, pdfxtest.Write(t, "report.pdf", good))
	if r := verifyBytes(t, good, VerifyOptions{}); !r.OK || !r.Countersigned {
		t.Errorf("%+v", r.Findings)
	}
	v := open(t, signed)
	ref, page := pageOf(t, v, 2)
	page["Rotate"] = int64(180)
	r := expect(t, streamed(t, signed, map[int]pdf.Object{ref.Num: page}), ChangedAfter, VerifyOptions{})
	if !strings.Contains(r.worst(), "page 2") {
		t.Errorf("does not say which page: %s", r.worst())
	}
}

// streamed countersigns; the field and extra objects go into an object stream.
func streamed(t *testing.T, data []byte, extra map[int]pdf.Object) []byte {
	t.Helper()
	v := open(t, data)
	id, fld := key(t, buyerKey), fieldOf(t, v, FieldBuyer)
	next := int(v.Trailer()["Size"].(int64))
	sig, container, table := next, next+1, next+2
	widget := fld.dict.Clone()
	widget["V"] = pdf.Ref{Num: sig}
	objects := map[int]pdf.Object{fld.ref.Num: widget}
	for n, o := range extra {
		objects[n] = o
	}
	b := &builder{size: int64(len(data)), offsets: map[int]int64{}}
	u := &update{}
	at := b.putSignature(pdf.Ref{Num: sig}, signatureDict(id, buyerOptions(), false), u)
	var head, body string
	rows := map[int][3]int{sig: {1, len(data), 0}, container: {1, len(data) + b.out.Len(), 0}}
	for i, n := range sortedInts(objects) {
		head += fmt.Sprintf("%d %d ", n, len(body))
		body += string(pdf.AppendObject(nil, objects[n])) + "\n"
		rows[n] = [3]int{2, container, i}
	}
	put := func(n int, d pdf.Dict, content string) {
		d["Filter"] = pdf.Name("FlateDecode")
		if err := b.put(pdf.Ref{Num: n}, pdf.NewStream(d, squeeze(t, content))); err != nil {
			t.Fatal(err)
		}
	}
	put(container, pdf.Dict{"Type": pdf.Name("ObjStm"), "N": int64(len(objects)), "First": int64(len(head))}, head+body)
	xref := len(data) + b.out.Len()
	rows[table] = [3]int{1, xref, 0}
	var index pdf.Array
	var cells string
	for _, n := range sortedInts(rows) {
		index = append(index, int64(n), int64(1))
		r := rows[n]
		cells += string([]byte{byte(r[0]), byte(r[1] >> 16), byte(r[1] >> 8), byte(r[1]), byte(r[2])})
	}
	old := v.Trailer()
	put(table, pdf.Dict{"Type": pdf.Name("XRef"), "W": pdf.Array{int64(1), int64(3), int64(1)}, "Index": index, "Size": int64(table + 1),
		"Prev": v.Revision().XRef, "Root": old["Root"], "Info": old["Info"], "ID": old["ID"]}, cells)
	fmt.Fprintf(&b.out, "startxref\n%d\n%%%%EOF\n", xref)
	u.bytes = b.out.Bytes()
	n := int64(len(data))
	copy(u.bytes[at:], fmt.Sprintf("[0 %d %d %d]", n+u.gap.Start, n+u.gap.End, int64(len(u.bytes))-u.gap.End))
	var out bytes.Buffer
	if err := u.signTo(t.Context(), bytes.NewReader(data), n, &out, id, buyerOptions()); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func squeeze(t *testing.T, s string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	if _, err := z.Write([]byte(s)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The lines of a visible signature stay inside their box at any size.
func TestAppearanceStaysInside(t *testing.T) {
	lines := []string{"Signed by Anselm Tarry", "A line that is far too long for a narrow box and has to be made smaller", "Ünïcode ✓ and kerning: AVATAR"}
	for _, box := range [][2]float64{{200, 50}, {60, 50}, {300, 12}, {40, 10}} {
		commands, err := drawLines(goregular.TTF, lines, box[0], box[1])
		if err != nil {
			t.Fatal(err)
		}
		var x, y float64
		n := 0
		for _, l := range strings.Split(string(commands), "\n") {
			if _, err := fmt.Sscanf(l, "%g %g m", &x, &y); err != nil {
				continue
			}
			n++
			if x < 0 || x > box[0] || y < 0 || y > box[1] {
				t.Errorf("box %v: a glyph starts at %g %g", box, x, y)
			}
		}
		if n < 50 {
			t.Errorf("box %v: only %d outlines", box, n)
		}
	}
	if _, err := drawLines(goregular.TTF, lines, 2, 2); err == nil {
		t.Error("a box without room is accepted")
	}
	empty, err := drawLines(nil, nil, 100, 20)
	if err != nil || len(empty) != 0 {
		t.Errorf("no lines: %q, %v", empty, err)
	}
}

// The drawn signature can be read on the page: poppler renders dark pixels
// inside the field and nowhere else on a page that is otherwise empty there.
func TestAppearanceIsRendered(t *testing.T) {
	to := filepath.Join(t.TempDir(), "page")
	path := pdfxtest.Write(t, "report.pdf", signedSample(t))
	// The field stands at 60..260 points from the left and 60..110 from below
	// on a page 842 points high; at 72 dpi a point is a pixel.
	dark := func(x, y, w, h int) int {
		out := to + fmt.Sprint(x, y)
		pdfxtest.Output(t, "pdftoppm", "-r", "72", "-gray", "-singlefile", "-x", fmt.Sprint(x), "-y", fmt.Sprint(y), "-W", fmt.Sprint(w), "-H", fmt.Sprint(h), path, out)
		return darkPixels(t, out+".pgm")
	}
	if n := dark(60, 732, 200, 50); n < 100 {
		t.Errorf("%d dark pixels in the signed field", n)
	}
	if n := dark(300, 732, 200, 50); n != 0 {
		t.Errorf("%d dark pixels in the empty field", n)
	}
}
