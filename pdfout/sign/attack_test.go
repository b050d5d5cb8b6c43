package sign

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"sort"
	"testing"

	"wornwood/pdfout/pdf"
)

// revision is something appended to a file by somebody who is not Sign.
type revision struct {
	objects map[int]pdf.Object
	free    []int
	trailer func(pdf.Dict)
	before  string        // bytes put in front of the table
	offsets map[int]int64 // rows that lie about where an object is
}

func open(t testing.TB, data []byte) pdf.View {
	t.Helper()
	f, err := pdf.Open(bytes.NewReader(data), int64(len(data)), pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Last()
}

// appendRevision writes the revision as a classic incremental update.
func appendRevision(t testing.TB, data []byte, r revision) []byte {
	t.Helper()
	v := open(t, data)
	out := bytes.NewBuffer(bytes.Clone(data))
	rows := map[int]string{}
	size := v.Trailer()["Size"].(int64)
	for _, n := range sortedInts(r.objects) {
		rows[n] = fmt.Sprintf("%010d 00000 n \n", out.Len())
		if err := pdf.WriteIndirect(out, pdf.Ref{Num: n}, r.objects[n]); err != nil {
			t.Fatal(err)
		}
		size = max(size, int64(n)+1)
	}
	for n, off := range r.offsets {
		rows[n] = fmt.Sprintf("%010d 00000 n \n", off)
	}
	for _, n := range r.free {
		rows[n] = "0000000000 00001 f \n"
	}
	out.WriteString(r.before)
	trailer := v.Trailer().Clone()
	trailer["Size"], trailer["Prev"] = size, v.Revision().XRef
	if r.trailer != nil {
		r.trailer(trailer)
	}
	at := out.Len()
	out.WriteString("xref\n")
	for _, n := range sortedInts(rows) {
		fmt.Fprintf(out, "%d 1\n%s", n, rows[n])
	}
	out.WriteString("trailer\n")
	out.Write(pdf.AppendObject(nil, trailer))
	fmt.Fprintf(out, "\nstartxref\n%d\n%%%%EOF\n", at)
	return out.Bytes()
}

func sortedInts[V any](m map[int]V) []int {
	var keys []int
	for k := range m {
		keys = append(keys, k)
	}
	sort.Ints(keys)
	return keys
}

// get reads an object that must exist.
func get[T pdf.Object](t testing.TB, v pdf.View, o pdf.Object) T {
	t.Helper()
	got, err := v.Resolve(o)
	if err != nil {
		t.Fatal(err)
	}
	want, ok := got.(T)
	if !ok {
		t.Fatalf("%v is a %T", o, got)
	}
	return want
}

func catalog(t testing.TB, v pdf.View) (pdf.Ref, pdf.Dict) {
	t.Helper()
	ref, cat, err := v.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	return ref, cat.Clone()
}

func pageOf(t testing.TB, v pdf.View, n int) (pdf.Ref, pdf.Dict) {
	t.Helper()
	pages, err := v.Pages()
	if err != nil {
		t.Fatal(err)
	}
	return pages[n-1], get[pdf.Dict](t, v, pages[n-1]).Clone()
}

func fieldOf(t testing.TB, v pdf.View, name string) *field {
	t.Helper()
	list, err := readFields(v)
	if err != nil {
		t.Fatal(err)
	}
	for i := range list {
		if list[i].name == name {
			return &list[i]
		}
	}
	t.Fatalf("no field %s", name)
	return nil
}

// forge signs without asking whether the file is one to sign, as another
// program would.
func forge(t testing.TB, data []byte, id *Identity, opt SignOptions) []byte {
	t.Helper()
	v := open(t, data)
	u, err := prepare(v.File(), fieldOf(t, v, opt.Field), id, opt)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := u.signTo(context.Background(), bytes.NewReader(data), int64(len(data)), &out, id, opt); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// forgeRange signs with another byte range than the right one; the digest is
// that of the range named.
func forgeRange(t testing.TB, data []byte, change func(r *[4]int64)) []byte {
	t.Helper()
	id := key(t, examinerKey)
	v := open(t, data)
	u, err := prepare(v.File(), fieldOf(t, v, FieldExaminer), id, examinerOptions())
	if err != nil {
		t.Fatal(err)
	}
	n := int64(len(data))
	r := [4]int64{0, n + u.gap.Start, n + u.gap.End, int64(len(u.bytes)) - u.gap.End}
	change(&r)
	at := bytes.Index(u.bytes, []byte("/ByteRange ")) + len("/ByteRange ")
	copy(u.bytes[at:], fmt.Sprintf("%-40s", fmt.Sprintf("[%d %d %d %d]", r[0], r[1], r[2], r[3])))
	all := append(bytes.Clone(data), u.bytes...)
	h := newSHA256()
	for i := 0; i < 4; i += 2 {
		if r[i] >= 0 && r[i+1] >= 0 && r[i]+r[i+1] <= int64(len(all)) {
			h.Write(all[r[i] : r[i]+r[i+1]])
		}
	}
	if err := u.fill(context.Background(), id, h, SignOptions{}); err != nil {
		t.Fatal(err)
	}
	return append(bytes.Clone(data), u.bytes...)
}

// forgeCMS puts der into the place of a signature made in the usual way.
func forgeCMS(t testing.TB, data []byte, make func(digest []byte) []byte) []byte {
	t.Helper()
	id := key(t, examinerKey)
	v := open(t, data)
	u, err := prepare(v.File(), fieldOf(t, v, FieldExaminer), id, examinerOptions())
	if err != nil {
		t.Fatal(err)
	}
	h := newSHA256()
	h.Write(data)
	h.Write(u.bytes[:u.gap.Start])
	h.Write(u.bytes[u.gap.End:])
	der := make(h.Sum(nil))
	copy(u.bytes[u.gap.Start+1:], fmt.Sprintf("%X", der))
	return append(bytes.Clone(data), u.bytes...)
}

// expect verifies and wants the report refused for the given reason.
func expect(t *testing.T, data []byte, code Code, opt VerifyOptions) *Report {
	t.Helper()
	r := verifyBytes(t, data, opt)
	if r.OK || r.Countersigned {
		t.Errorf("accepted: OK %v, countersigned %v", r.OK, r.Countersigned)
	}
	if !r.Has(code) {
		t.Errorf("no finding %s", code)
	}
	for _, f := range r.Findings {
		t.Logf("%s %s: %s", f.Severity, f.Code, f.Text)
	}
	return r
}

// prepareWith countersigns with an update that carries other objects as well,
// after change has had its way with the field and the signature.
func prepareWith(t testing.TB, data []byte, id *Identity, opt SignOptions, extra map[pdf.Ref]pdf.Object, change func(widget, sig pdf.Dict)) ([]byte, error) {
	t.Helper()
	v := open(t, data)
	fld := fieldOf(t, v, opt.Field)
	b := &builder{size: int64(len(data)), offsets: map[int]int64{}, next: int(v.Trailer()["Size"].(int64))}
	for ref, o := range extra {
		if err := b.put(ref, o); err != nil {
			return nil, err
		}
	}
	sigRef := b.alloc()
	widget := fld.dict.Clone()
	widget["V"] = sigRef
	sig := signatureDict(id, opt, false)
	if change != nil {
		change(widget, sig)
	}
	if err := b.put(fld.ref, widget); err != nil {
		return nil, err
	}
	u := &update{}
	rangeAt := b.putSignature(sigRef, sig, u)
	b.next = max(b.next, slices.Max(sortedInts(b.offsets))+1)
	b.putTable(v, opt)
	u.bytes = b.out.Bytes()
	n := int64(len(data))
	copy(u.bytes[rangeAt:], fmt.Sprintf("[0 %d %d %d]", n+u.gap.Start, n+u.gap.End, int64(len(u.bytes))-u.gap.End))
	var out bytes.Buffer
	err := u.signTo(context.Background(), bytes.NewReader(data), n, &out, id, opt)
	return out.Bytes(), err
}

func wantSignError(t *testing.T, data []byte, id *Identity, opt SignOptions, want error) {
	t.Helper()
	var out bytes.Buffer
	err := Sign(context.Background(), bytes.NewReader(data), int64(len(data)), &out, id, opt)
	if !errors.Is(err, want) {
		t.Fatalf("got %v, want %v", err, want)
	}
}
