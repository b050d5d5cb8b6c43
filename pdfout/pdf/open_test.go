package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/pdfxtest"
)

// byQpdf lets qpdf make another file of the data.
func byQpdf(t testing.TB, data []byte, args ...string) []byte {
	t.Helper()
	to := filepath.Join(t.TempDir(), "out.pdf")
	pdfxtest.Output(t, "qpdf", append(append([]string{}, args...), pdfxtest.Write(t, "in.pdf", data), to)...)
	out, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The same document in classic tables and, by qpdf, in cross-reference and
// object streams must read the same.
func TestObjectStreamsReadTheSame(t *testing.T) {
	data := rewriteSample(t, sampleOptions())
	classic := openBytes(t, data)
	packed := openBytes(t, byQpdf(t, data, "--object-streams=generate"))
	if classic.Revision().Stream || !packed.Revision().Stream {
		t.Fatal("qpdf made no streams, or the classic file has some")
	}
	inStreams := 0
	for _, e := range packed.Revision().Entries {
		if e.InStream != 0 {
			inStreams++
		}
	}
	if inStreams < 20 {
		t.Errorf("only %d objects in streams", inStreams)
	}
	a, err := classic.Pages()
	if err != nil {
		t.Fatal(err)
	}
	b, err := packed.Pages()
	if err != nil || len(a) != len(b) {
		t.Fatalf("%d pages and %d, %v", len(a), len(b), err)
	}
	for i := range a {
		x, y := dictOf(t, classic, a[i]), dictOf(t, packed, b[i])
		if !Equal(x["MediaBox"], y["MediaBox"]) || x["Tabs"] != y["Tabs"] {
			t.Errorf("page %d differs", i+1)
		}
		s, err1 := classic.Resolve(x["Contents"])
		u, err2 := packed.Resolve(y["Contents"])
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		p, err1 := s.(*Stream).Decode(1 << 20)
		q, err2 := u.(*Stream).Decode(1 << 20)
		if err1 != nil || err2 != nil || !bytes.Equal(p, q) {
			t.Errorf("page %d has other commands: %v %v", i+1, err1, err2)
		}
	}
}

func TestRefusedFiles(t *testing.T) {
	good := rewriteSample(t, sampleOptions())
	replace := func(old, new string) []byte {
		if !bytes.Contains(good, []byte(old)) {
			t.Fatalf("no %q in the sample", old)
		}
		i := bytes.LastIndex(good, []byte(old))
		return append(append(bytes.Clone(good[:i]), new...), good[i+len(old):]...)
	}
	cases := map[string]struct {
		data []byte
		want error
	}{
		"encrypted":             {byQpdf(t, good, "--encrypt", "", "owner", "256", "--"), ErrEncrypted},
		"linearised":            {byQpdf(t, good, "--linearize"), ErrMalformed},
		"no header":             {good[1:], ErrMalformed},
		"no end":                {good[:len(good)-30], ErrMalformed},
		"no end-of-file mark":   {replace("%%EOF", "%%EOX"), ErrMalformed},
		"a broken row":          {replace(" 00000 n \n", " 00000 x \n"), ErrMalformed},
		"a table elsewhere":     {replace("startxref\n", "startxref\n1"), ErrMalformed},
		"Prev is no number":     {replace("/Info", "/Prev (x) /Info"), ErrMalformed},
		"Prev leads forward":    {replace("/Info", "/Prev 999999 /Info"), ErrMalformed},
		"the trailer is no end": {replace("trailer", "trailed"), ErrMalformed},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := Open(bytes.NewReader(c.data), int64(len(c.data)), Limits{})
			if !errors.Is(err, c.want) || !IsRefusal(err) {
				t.Errorf("got %v", err)
			}
		})
	}
	for name, lim := range map[string]Limits{"size": {Size: 1000}, "objects": {Objects: 5}} {
		if _, err := Open(bytes.NewReader(good), int64(len(good)), lim); !errors.Is(err, ErrLimit) {
			t.Errorf("limit of %s: %v", name, err)
		}
	}
}

// A table that lists an object at the place of another.
func TestObjectIsNotWhereItShouldBe(t *testing.T) {
	good := rewriteSample(t, sampleOptions())
	v := openBytes(t, good)
	first, second := v.Revision().Entries[3].Offset, v.Revision().Entries[4].Offset
	bad := bytes.Replace(good, fmt.Appendf(nil, "%010d 00000 n", first), fmt.Appendf(nil, "%010d 00000 n", second), 1)
	if _, err := openBytes(t, bad).Get(Ref{Num: 3}); !errors.Is(err, ErrMalformed) {
		t.Errorf("got %v", err)
	}
}

func TestMissingObjectIsNull(t *testing.T) {
	v := openBytes(t, rewriteSample(t, sampleOptions()))
	for _, ref := range []Ref{{99999, 0}, {1, 3}, {0, 0}} {
		if o, err := v.Get(ref); o != nil || err != nil {
			t.Errorf("%v: %v, %v", ref, o, err)
		}
	}
}

func TestRevisionsInOrder(t *testing.T) {
	data := rewriteSample(t, sampleOptions())
	v := openBytes(t, data)
	ref, cat, err := v.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	first := len(data)
	cat = cat.Clone()
	cat["PageMode"] = Name("UseNone")
	b := bytes.NewBuffer(data)
	if err := WriteIndirect(b, ref, cat); err != nil {
		t.Fatal(err)
	}
	at := b.Len()
	fmt.Fprintf(b, "xref\n%d 1\n%010d 00000 n \ntrailer\n<</Size %d /Root %v /Prev %d>>\nstartxref\n%d\n%%%%EOF\r\nrest", ref.Num, first, v.Trailer()["Size"], ref, v.Revision().XRef, at)
	f := openBytes(t, b.Bytes()).File()
	if len(f.Revisions) != 2 || f.Revisions[0].End != int64(first) || f.Revisions[1].Start != int64(first) || f.Revisions[1].XRef != int64(at) || f.Trailing != 4 {
		t.Fatalf("%d revisions, %+v, %d trailing", len(f.Revisions), f.Revisions[0].End, f.Trailing)
	}
	if f.Revisions[1].End != f.Revisions[1].Mark+2 {
		t.Error("the line end after the mark is not counted")
	}
	_, before, err := f.At(0).Catalog()
	if err != nil || before["PageMode"] == Name("UseNone") {
		t.Errorf("before: %v, %v", before["PageMode"], err)
	}
	_, after, err := f.Last().Catalog()
	if err != nil || after["PageMode"] != Name("UseNone") {
		t.Errorf("after: %v, %v", after["PageMode"], err)
	}
}

// The PNG filters, against rows worked out by hand from the specification of
// PNG, section 9: the row before is 1 2 3.
func TestPredictor(t *testing.T) {
	rows := []byte{
		0, 1, 2, 3, // none
		1, 1, 1, 1, // sub: 1 2 3
		2, 1, 1, 1, // up: 2 3 4
		3, 1, 1, 1, // average of left and up: 2 3 4 -> 1+1=2, 1+(2+3)/2=3, 1+(3+4)/2=4
		4, 1, 1, 1, // paeth over 2 3 4: 3, 4, 5
	}
	z, err := Deflate(rows)
	if err != nil {
		t.Fatal(err)
	}
	s := NewStream(Dict{"Filter": Name("FlateDecode"), "DecodeParms": Dict{"Predictor": int64(15), "Columns": int64(3)}}, z)
	got, err := s.Decode(100)
	want := []byte{1, 2, 3, 1, 2, 3, 2, 3, 4, 2, 3, 4, 3, 4, 5}
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("got %v, %v", got, err)
	}
	if _, err := s.Decode(14); !errors.Is(err, ErrLimit) {
		t.Errorf("limit: %v", err)
	}
}

func TestStripJPEG(t *testing.T) {
	plain := sampleJPEG(t, 5, 16, 16)
	join := func(b []byte) string {
		parts, err := stripJPEG(b)
		if err != nil {
			t.Fatal(err)
		}
		return string(bytes.Join(parts, nil))
	}
	bare := join(plain)
	if strings.Contains(bare, "SECRETGP") || strings.Contains(bare, "COMMEN") || !strings.HasPrefix(bare, "\xFF\xD8\xFF") || !strings.HasSuffix(bare, "\xFF\xD9") {
		t.Errorf("%.80q", bare)
	}
	if join([]byte(bare)) != bare {
		t.Error("stripping twice changes more")
	}
	if join([]byte(bare+"MPF second picture")) != bare {
		t.Error("what follows the picture stays")
	}
	for _, bad := range []string{"", "\xFF\xD8", "\xFF\xD8\xFF\xE1\xFF\xFFx", "\xFF\xD8\xFF\xE1\x00\x01xxxx", bare[:len(bare)-2]} {
		if _, err := stripJPEG([]byte(bad)); err == nil {
			t.Errorf("%.20q is accepted", bad)
		}
	}
}
