package sign

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

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
