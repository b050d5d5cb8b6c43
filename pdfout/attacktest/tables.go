package attacktest

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// tables appends revisions whose tables and trailers lie.
func (s *suite) tables() {
	_, page := s.page(1)
	_, page2 := s.page(2)
	_, cat := s.catalog()
	contents, ok := page["Contents"].(pdf.Ref)
	other, ok2 := page2["Contents"].(pdf.Ref)
	if !ok || !ok2 {
		s.fail(errors.New("the report's pages are not built as expected"))
		return
	}
	e, _, _ := s.v.Lookup(other.Num)
	n := s.next()
	set := func(k pdf.Name, o pdf.Object) func(pdf.Dict) { return func(d pdf.Dict) { d[k] = o } }
	add := func(name string, r revision, codes ...sign.Code) { s.add(name, s.append(r), codes...) }
	add("another catalogue in the trailer", revision{objects: map[int]pdf.Object{n: cat}, trailer: set("Root", pdf.Ref{Num: n})}, sign.ChangedTrailer)
	add("other data about the document", revision{objects: map[int]pdf.Object{n: pdf.Dict{"Title": pdf.String("x")}}, trailer: set("Info", pdf.Ref{Num: n})}, sign.ChangedTrailer)
	add("another identifier", revision{trailer: set("ID", pdf.Array{pdf.String("a"), pdf.String("b")})}, sign.ChangedTrailer)
	add("a hybrid table at a signed byte", revision{trailer: set("XRefStm", int64(100))}, sign.HiddenTable)
	add("a hybrid table beyond the end", revision{trailer: set("XRefStm", int64(len(s.report)*2))}, sign.HiddenTable, sign.Unreadable)
	add("a row that points back into signed bytes", revision{offsets: map[int]int64{contents.Num: e.Offset}}, sign.MisplacedObject)
	add("a row that points beyond the end", revision{offsets: map[int]int64{contents.Num: int64(len(s.report) * 3)}}, sign.Unreadable, sign.MisplacedObject)
	add("a row that points into the middle of an object", revision{offsets: map[int]int64{contents.Num: e.Offset + 3}}, sign.MisplacedObject, sign.Unreadable)
	add("objects hidden between", revision{before: "% 9 0 obj << /Type /Page >> endobj\n"}, sign.StrayBytes)
	add("tables that skip the signed one", revision{trailer: set("Prev", s.f.Revisions[0].XRef)}, sign.NotSigned)
	add("tables that start anew", revision{trailer: func(d pdf.Dict) { delete(d, "Prev") }}, sign.Unreadable, sign.NotSigned)
	add("tables in a circle", revision{trailer: set("Prev", int64(len(s.report)))}, sign.Unreadable)
	add("a table before the file", revision{trailer: set("Prev", int64(-5))}, sign.Unreadable)
	add("encryption announced later", revision{trailer: set("Encrypt", pdf.Dict{})}, sign.Encrypted)
	add("fewer objects than before", revision{objects: map[int]pdf.Object{contents.Num: text("")}, trailer: set("Size", int64(3))}, sign.Unreadable)
	add("a size that is no number", revision{trailer: set("Size", pdf.Name("Many"))}, sign.Unreadable)
	add("a size beyond all bounds", revision{trailer: set("Size", int64(1)<<40)}, sign.Unreadable, sign.TooLarge)
	many := bytes.Clone(s.report)
	prev := s.v.Revision().XRef
	for range 60 {
		at := int64(len(many))
		many = fmt.Appendf(many, "xref\n0 1\n0000000000 65535 f \ntrailer\n%s\nstartxref\n%d\n%%%%EOF\n",
			pdf.AppendObject(nil, with(s.v.Trailer(), "Prev", prev)), at)
		prev = at
	}
	s.add("sixty empty revisions", many, sign.TooLarge)
}

// streams appends revisions with compressed cross-references.
func (s *suite) streams() {
	_, page := s.page(1)
	pageRef, _ := s.page(1)
	turned := with(page, "Rotate", int64(180))
	s.add("a page changed in an object stream", s.compressed(map[int]pdf.Object{pageRef.Num: turned}, nil), sign.ChangedAfter)
	s.add("an object stream with something nobody uses", s.compressed(map[int]pdf.Object{s.next() + 2: pdf.Dict{"A": int64(1)}}, nil), sign.ChangedAfter, sign.Unreadable)
	for name, change := range map[string]func(d pdf.Dict){
		"a table whose columns are a mile wide": func(d pdf.Dict) { d["W"] = pdf.Array{int64(1), int64(1 << 40), int64(1)} },
		"a table with a negative column":        func(d pdf.Dict) { d["W"] = pdf.Array{int64(-1), int64(3), int64(1)} },
		"a table of a thousand million rows":    func(d pdf.Dict) { d["Index"] = pdf.Array{int64(0), int64(1e9)} },
		"a table without columns":               func(d pdf.Dict) { delete(d, "W") },
		"a table packed in a way nobody knows":  func(d pdf.Dict) { d["Filter"] = pdf.Name("Zip") },
	} {
		s.add(name, s.compressed(map[int]pdf.Object{pageRef.Num: turned}, change), sign.Unreadable, sign.TooLarge)
	}
}

// compressed is a revision with its objects in an object stream and its table
// in a stream; change spoils the table's dictionary.
func (s *suite) compressed(objects map[int]pdf.Object, change func(pdf.Dict)) []byte {
	container, table := s.next(), s.next()+1
	out := bytes.NewBuffer(bytes.Clone(s.report))
	var head, body string
	rows := map[int][3]int{container: {1, out.Len(), 0}}
	for i, n := range sorted(objects) {
		head += fmt.Sprintf("%d %d ", n, len(body))
		body += string(pdf.AppendObject(nil, objects[n])) + "\n"
		rows[n] = [3]int{2, container, i}
	}
	put := func(n int, d pdf.Dict, content string) {
		z, err := pdf.Deflate([]byte(content))
		s.fail(err)
		if d["Filter"] == nil {
			d["Filter"] = pdf.Name("FlateDecode")
		}
		s.fail(pdf.WriteIndirect(out, pdf.Ref{Num: n}, pdf.NewStream(d, z)))
	}
	put(container, pdf.Dict{"Type": pdf.Name("ObjStm"), "N": int64(len(objects)), "First": int64(len(head))}, head+body)
	at := out.Len()
	rows[table] = [3]int{1, at, 0}
	var index pdf.Array
	var cells []byte
	size := table + 1
	for _, n := range sorted(rows) {
		index = append(index, int64(n), int64(1))
		r := rows[n]
		cells = append(cells, byte(r[0]), byte(r[1]>>16), byte(r[1]>>8), byte(r[1]), byte(r[2]))
		size = max(size, n+1)
	}
	old := s.v.Trailer()
	d := pdf.Dict{"Type": pdf.Name("XRef"), "W": pdf.Array{int64(1), int64(3), int64(1)}, "Index": index, "Size": int64(size),
		"Prev": s.v.Revision().XRef, "Root": old["Root"], "Info": old["Info"], "ID": old["ID"]}
	if change != nil {
		change(d)
	}
	put(table, d, string(cells))
	fmt.Fprintf(out, "startxref\n%d\n%%%%EOF\n", at)
	return out.Bytes()
}

var byteRange = regexp.MustCompile(`/ByteRange ?\[ ?(\d+) (\d+) (\d+) (\d+) ?\]`)
