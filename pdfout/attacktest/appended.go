package attacktest

import (
	"errors"
	"strings"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// page gives a page's reference and dictionary, counted from 1.
func (s *suite) page(n int) (pdf.Ref, pdf.Dict) {
	pages, err := s.v.Pages()
	s.fail(err)
	if len(pages) < n {
		s.fail(errors.New("the report has too few pages to be attacked"))
		return pdf.Ref{}, pdf.Dict{}
	}
	return pages[n-1], s.dict(pages[n-1])
}

func (s *suite) catalog() (pdf.Ref, pdf.Dict) {
	ref, cat, err := s.v.Catalog()
	s.fail(err)
	return ref, cat.Clone()
}

// pages appends revisions that change what is shown or attached.
func (s *suite) pages() {
	ref, page := s.page(1)
	ref2, page2 := s.page(2)
	catRef, cat := s.catalog()
	contents, ok := page["Contents"].(pdf.Ref)
	tree, ok2 := cat["Pages"].(pdf.Ref)
	if !ok || !ok2 || s.err != nil {
		s.fail(errors.New("the report's pages are not built as expected"))
		return
	}
	n := s.next()
	rect := func(v ...int64) pdf.Array { return pdf.Array{v[0], v[1], v[2], v[3]} }
	add := func(name string, r revision, codes ...sign.Code) {
		s.add(name, s.append(r), append(codes, sign.ChangedAfter)...)
	}
	add("a page's drawing replaced", one(contents.Num, text("0 0 100 100 re f")))
	add("a page pointed at another drawing", revision{objects: map[int]pdf.Object{ref.Num: with(page, "Contents", pdf.Ref{Num: n}), n: text("BT ET")}})
	add("a page turned", one(ref.Num, with(page, "Rotate", int64(180))))
	add("a page cropped", one(ref.Num, with(page, "CropBox", rect(0, 0, 10, 10))))
	add("a page's typefaces taken away", one(ref.Num, with(page, "Resources", pdf.Dict{})))
	add("pages exchanged", revision{objects: map[int]pdf.Object{ref.Num: page2, ref2.Num: page}})
	add("a page taken out", one(tree.Num, with(s.dict(tree), "Kids", pdf.Array{ref2})))
	add("a page added", revision{objects: map[int]pdf.Object{tree.Num: with(s.dict(tree), "Kids", pdf.Array{ref, ref2, pdf.Ref{Num: n}}), n: with(page, "Contents", pdf.Ref{Num: n + 1}), n + 1: text("")}})
	for _, kind := range []pdf.Name{"Stamp", "FreeText", "Square", "Widget", "Highlight"} {
		add("a "+strings.ToLower(string(kind))+" laid over a page", revision{objects: map[int]pdf.Object{ref.Num: with(page, "Annots", pdf.Array{pdf.Ref{Num: n}}),
			n: pdf.Dict{"Type": pdf.Name("Annot"), "Subtype": kind, "Rect": rect(0, 0, 400, 400)}}})
	}
	add("an object that nothing uses", one(n, text("hidden")))
	add("an object removed", revision{free: []int{contents.Num}}, sign.FreedObject)
	add("another language", one(catRef.Num, with(cat, "Lang", pdf.String("xx"))))
	add("the description replaced", s.metadata(cat))
	s.attached(cat, add)
}

func (s *suite) metadata(cat pdf.Dict) revision {
	m, ok := cat["Metadata"].(pdf.Ref)
	if !ok {
		s.fail(errors.New("the report has no metadata"))
	}
	return one(m.Num, pdf.NewStream(pdf.Dict{"Type": pdf.Name("Metadata"), "Subtype": pdf.Name("XML")}, []byte("<x/>")))
}

// attached changes the record and what stands beside it.
func (s *suite) attached(cat pdf.Dict, add func(string, revision, ...sign.Code)) {
	names := s.dict(s.dict(s.dict(cat["Names"])["EmbeddedFiles"]))
	list, _ := names["Names"].(pdf.Array)
	if len(list) < 2 {
		s.fail(errors.New("the report has no attachments"))
		return
	}
	for i := 1; i < len(list); i += 2 {
		spec, ok := list[i].(pdf.Ref)
		file, ok2 := s.dict(s.dict(list[i])["EF"])["F"].(pdf.Ref)
		if !ok || !ok2 {
			s.fail(errors.New("an attachment is not built as expected"))
			return
		}
		name := string(list[i-1].(pdf.String))
		add("the attached "+name+" replaced", one(file.Num, pdf.NewStream(pdf.Dict{"Type": pdf.Name("EmbeddedFile")}, []byte(`{"index":99}`))), sign.AttachmentBroken)
		add("the attached "+name+" renamed", one(spec.Num, with(s.dict(spec), "UF", pdf.String("other.json"))), sign.AttachmentBroken)
	}
	catRef, _ := s.catalog()
	add("the attachments taken out of the catalogue", one(catRef.Num, with(cat, "Names", pdf.Dict{})))
}

// field finds a signature field by its name.
func (s *suite) field(name string) (pdf.Ref, pdf.Dict) {
	_, cat := s.catalog()
	fields, err := s.v.Array(s.dict(cat["AcroForm"])["Fields"])
	s.fail(err)
	for _, o := range fields {
		ref, ok := o.(pdf.Ref)
		if d := s.dict(o); ok && d["T"] == pdf.Object(pdf.String(name)) {
			return ref, d
		}
	}
	s.fail(errors.New("the report has no field " + name))
	return pdf.Ref{}, pdf.Dict{}
}

// forms appends revisions that change the form, the fields and what acts.
func (s *suite) forms() {
	catRef, cat := s.catalog()
	formRef, ok := cat["AcroForm"].(pdf.Ref)
	if !ok {
		s.fail(errors.New("the report's form is not built as expected"))
		return
	}
	form := s.dict(formRef)
	exRef, ex := s.field(sign.FieldExaminer)
	buyRef, buy := s.field(sign.FieldBuyer)
	sigRef, ok := ex["V"].(pdf.Ref)
	if !ok {
		s.fail(errors.New("the report is not signed as expected"))
		return
	}
	n := s.next()
	fields, _ := form["Fields"].(pdf.Array)
	script := pdf.Dict{"S": pdf.Name("JavaScript"), "JS": pdf.String("x")}
	add := func(name string, r revision, codes ...sign.Code) {
		s.add(name, s.append(r), append(codes, sign.ChangedAfter)...)
	}
	add("the certification removed", one(catRef.Num, with(cat, "Perms", pdf.Dict{})))
	add("a script on opening", one(catRef.Num, with(cat, "OpenAction", script)), sign.ActiveContent)
	add("further actions", one(catRef.Num, with(cat, "AA", pdf.Dict{"WC": script})), sign.ActiveContent)
	add("layers", one(catRef.Num, with(cat, "OCProperties", pdf.Dict{"OCGs": pdf.Array{}})), sign.ActiveContent)
	add("a form of another kind", one(formRef.Num, with(form, "XFA", pdf.String("x"))), sign.ActiveContent)
	add("the examiner's appearance replaced", revision{objects: map[int]pdf.Object{exRef.Num: with(ex, "AP", pdf.Dict{"N": pdf.Ref{Num: n}}), n: text("")}})
	add("the buyer's field made as large as the page", one(buyRef.Num, with(buy, "Rect", pdf.Array{int64(0), int64(0), int64(600), int64(800)})))
	add("the buyer's field filled with the examiner's signature", one(buyRef.Num, with(buy, "V", sigRef)))
	add("a third field", revision{objects: map[int]pdf.Object{formRef.Num: with(form, "Fields", append(append(pdf.Array{}, fields...), pdf.Ref{Num: n})),
		n: pdf.Dict{"FT": pdf.Name("Sig"), "T": pdf.String("Third")}}})
	add("the examiner's field taken off the form", one(formRef.Num, with(form, "Fields", pdf.Array{buyRef})), sign.NotSigned)
	add("the signature taken out", one(exRef.Num, with(ex, "V", nil)), sign.NotSigned)
	add("the signature written again", one(sigRef.Num, s.dict(sigRef)), sign.ByteRange)
	add("the signature replaced by words", one(sigRef.Num, pdf.Dict{"Type": pdf.Name("Sig"), "Contents": pdf.String("trust me")}), sign.ByteRange, sign.BrokenSignature, sign.ForeignSignature)
}
