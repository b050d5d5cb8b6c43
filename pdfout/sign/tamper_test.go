package sign

import (
	"bytes"
	"crypto/sha256"
	"hash"
	"strings"
	"testing"

	"wornwood/pdfout/pdf"
)

func newSHA256() hash.Hash { return sha256.New() }

func text(s string) *pdf.Stream { return pdf.NewStream(pdf.Dict{}, []byte(s)) }

// flip changes one byte in the middle of the first stream that fits.
func flip(t *testing.T, data []byte, fits func(pdf.Dict) bool) []byte {
	t.Helper()
	v := open(t, data)
	for _, n := range sortedInts(v.File().Revisions[0].Entries) {
		o, err := v.Get(pdf.Ref{Num: n})
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := o.(*pdf.Stream); ok && fits(s.Dict) {
			out := bytes.Clone(data)
			out[s.Offset+s.Length/2] ^= 1
			return out
		}
	}
	t.Fatal("no such stream")
	return nil
}

func TestAlteredInPlace(t *testing.T) {
	signed := signedSample(t)
	t.Run("a byte of a picture flipped", func(t *testing.T) {
		expect(t, flip(t, signed, func(d pdf.Dict) bool { return d["Subtype"] == pdf.Name("Image") }), AlteredBytes, VerifyOptions{})
	})
	t.Run("the record inside changed in place", func(t *testing.T) {
		expect(t, flip(t, signed, func(d pdf.Dict) bool { return d["Type"] == pdf.Name("EmbeddedFile") }), AlteredBytes, VerifyOptions{})
	})
	t.Run("the claimed time changed", func(t *testing.T) {
		expect(t, bytes.Replace(signed, []byte("/M (D:2025"), []byte("/M (D:2019"), 1), AlteredBytes, VerifyOptions{})
	})
	t.Run("bytes after the last end of file", func(t *testing.T) {
		for _, tail := range []string{"\n", " ", "%hidden\n", "trailer <<>>", strings.Repeat("x", 3000)} {
			expect(t, append(bytes.Clone(signed), tail...), AfterEnd, VerifyOptions{})
		}
	})
	t.Run("a second start of tables after the end", func(t *testing.T) {
		expect(t, append(bytes.Clone(signed), "startxref\n9\n%%EOF\n"...), Unreadable, VerifyOptions{})
	})
	t.Run("cut off", func(t *testing.T) {
		for _, n := range []int{1, 10, 300, 33000, len(signed) - 60} {
			r := verifyBytes(t, signed[:len(signed)-n], VerifyOptions{})
			if r.OK {
				t.Errorf("accepted with %d bytes missing", n)
			}
		}
	})
}

// target is a signed report and what an attacker would reach for in it.
type target struct {
	signed          []byte
	v               pdf.View
	pageRef, catRef pdf.Ref
	first, page     pdf.Dict // pages 1 and 2
	cat             pdf.Dict
	next            int // a free object number
	contents        int // page 2's drawing
	examiner, buyer *field
}

func newTarget(t *testing.T) *target {
	t.Helper()
	g := &target{signed: signedSample(t)}
	g.v = open(t, g.signed)
	_, g.first = pageOf(t, g.v, 1)
	g.pageRef, g.page = pageOf(t, g.v, 2)
	g.catRef, g.cat = catalog(t, g.v)
	g.next = int(g.v.Trailer()["Size"].(int64))
	g.contents = g.page["Contents"].(pdf.Ref).Num
	g.examiner, g.buyer = fieldOf(t, g.v, FieldExaminer), fieldOf(t, g.v, FieldBuyer)
	return g
}

// attack is a revision appended to a signed report, what Verify must find and
// what it must say.
type attack struct {
	name, words string
	code        Code
	rev         revision
}

func (g *target) run(t *testing.T, attacks []attack) {
	t.Helper()
	for _, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			r := expect(t, appendRevision(t, g.signed, a.rev), a.code, VerifyOptions{})
			said := ""
			for _, f := range r.Findings {
				said += f.Text + "\n"
			}
			if !strings.Contains(said, a.words) {
				t.Errorf("does not say %q", a.words)
			}
		})
	}
}

func changed(n int, o pdf.Object) revision { return revision{objects: map[int]pdf.Object{n: o}} }

// with is d with one entry set.
func with(d pdf.Dict, k pdf.Name, o pdf.Object) pdf.Dict {
	c := d.Clone()
	c[k] = o
	return c
}

func TestPagesChangedAfterSigning(t *testing.T) {
	g := newTarget(t)
	res := get[pdf.Dict](t, g.v, g.first["Resources"])
	var picture int
	for _, o := range get[pdf.Dict](t, g.v, res["XObject"]) {
		picture = o.(pdf.Ref).Num
	}
	names := get[pdf.Dict](t, g.v, g.cat["Names"])
	spec := get[pdf.Array](t, g.v, names["EmbeddedFiles"].(pdf.Dict)["Names"])[1].(pdf.Ref)
	file := get[pdf.Dict](t, g.v, spec)["EF"].(pdf.Dict)["F"].(pdf.Ref)
	pixel := pdf.NewStream(pdf.Dict{"Type": pdf.Name("XObject"), "Subtype": pdf.Name("Image"), "Width": int64(1), "Height": int64(1),
		"ColorSpace": pdf.Name("DeviceGray"), "BitsPerComponent": int64(8)}, []byte{0})
	pages := g.cat["Pages"].(pdf.Ref)
	g.run(t, []attack{
		{"a page replaced", "page 2", ChangedAfter, revision{objects: map[int]pdf.Object{
			g.pageRef.Num: with(g.page, "Contents", pdf.Ref{Num: g.next}), g.next: text("BT ET")}}},
		{"a page's drawing replaced", "the drawing of page 2", ChangedAfter, changed(g.contents, text("0 0 100 100 re f"))},
		{"a picture replaced", "a picture on page 1", ChangedAfter, changed(picture, pixel)},
		{"the record swapped", "the attached files", ChangedAfter, changed(file.Num, text(`{"grade":99}`))},
		{"something laid over a page", "page 2", ChangedAfter, revision{objects: map[int]pdf.Object{
			g.pageRef.Num: with(g.page, "Annots", pdf.Array{pdf.Ref{Num: g.next}}),
			g.next:        pdf.Dict{"Type": pdf.Name("Annot"), "Subtype": pdf.Name("Stamp"), "Rect": pdf.Array{int64(0), int64(0), int64(9), int64(9)}}}}},
		{"a page taken out", "list of pages", ChangedAfter, changed(pages.Num,
			with(get[pdf.Dict](t, g.v, pages), "Kids", pdf.Array{g.pageRef}))},
		{"an object that nothing uses", "nothing uses", ChangedAfter, changed(g.next, text("hidden"))},
		{"an object removed", "page 2", FreedObject, revision{free: []int{g.contents}}},
	})
}

func TestFormChangedAfterSigning(t *testing.T) {
	g := newTarget(t)
	formRef := g.cat["AcroForm"].(pdf.Ref)
	form := get[pdf.Dict](t, g.v, formRef)
	third := append(append(pdf.Array{}, form["Fields"].(pdf.Array)...), pdf.Ref{Num: g.next})
	g.run(t, []attack{
		{"the catalogue changed", "catalogue", ChangedAfter, changed(g.catRef.Num, with(g.cat, "PageMode", pdf.Name("FullScreen")))},
		{"certification removed", "catalogue", ChangedAfter, changed(g.catRef.Num, with(g.cat, "Perms", pdf.Dict{}))},
		{"a script on opening", "catalogue", ActiveContent, changed(g.catRef.Num,
			with(g.cat, "OpenAction", pdf.Dict{"S": pdf.Name("JavaScript"), "JS": pdf.String("x")}))},
		{"the examiner's appearance replaced", "the field", ChangedAfter, revision{objects: map[int]pdf.Object{
			g.examiner.ref.Num: with(g.examiner.dict, "AP", pdf.Dict{"N": pdf.Ref{Num: g.next}}), g.next: text("")}}},
		{"the buyer's field moved", "the field", ChangedAfter, changed(g.buyer.ref.Num,
			with(g.buyer.dict, "Rect", pdf.Array{int64(0), int64(0), int64(600), int64(800)}))},
		{"the buyer's field filled with the examiner's signature", "the field", ChangedAfter, changed(g.buyer.ref.Num,
			with(g.buyer.dict, "V", g.examiner.value))},
		{"a field added", "the form", ChangedAfter, revision{objects: map[int]pdf.Object{
			formRef.Num: with(form, "Fields", third), g.next: pdf.Dict{"FT": pdf.Name("Sig"), "T": pdf.String("Third")}}}},
		{"the signature itself rewritten", "", ByteRange, changed(g.examiner.value.(pdf.Ref).Num, get[pdf.Dict](t, g.v, g.examiner.value))},
		{"the signature taken out", "not signed", NotSigned, changed(g.examiner.ref.Num, with(g.examiner.dict, "V", nil))},
	})
}

func TestTablesChangedAfterSigning(t *testing.T) {
	g := newTarget(t)
	g.run(t, []attack{
		{"another catalogue in the trailer", "trailer", ChangedTrailer, revision{objects: map[int]pdf.Object{g.next: g.cat},
			trailer: func(d pdf.Dict) { d["Root"] = pdf.Ref{Num: g.next} }}},
		{"other data about the document", "trailer", ChangedTrailer, revision{objects: map[int]pdf.Object{g.next: pdf.Dict{"Title": pdf.String("x")}},
			trailer: func(d pdf.Dict) { d["Info"] = pdf.Ref{Num: g.next} }}},
		{"another identifier", "trailer", ChangedTrailer, revision{trailer: func(d pdf.Dict) { d["ID"] = pdf.Array{pdf.String("a"), pdf.String("b")} }}},
		{"a hidden hybrid table", "hidden", HiddenTable, revision{trailer: func(d pdf.Dict) { d["XRefStm"] = int64(100) }}},
		{"a table that points back into signed bytes", "outside", MisplacedObject, revision{offsets: map[int]int64{
			g.contents: offsetOf(t, g.v, g.first["Contents"].(pdf.Ref))}}},
		{"bytes between the objects", "belong to no part", StrayBytes, revision{before: "% 9 0 obj << /Type /Page >> endobj\n"}},
		{"tables that skip the signed one", "not signed", NotSigned, revision{trailer: func(d pdf.Dict) { d["Prev"] = g.v.File().Revisions[0].XRef }}},
		{"encryption announced later", "encrypted", Encrypted, revision{trailer: func(d pdf.Dict) { d["Encrypt"] = pdf.Dict{} }}},
		{"fewer objects than before", "beyond its Size", Unreadable, revision{objects: map[int]pdf.Object{g.contents: text("")},
			trailer: func(d pdf.Dict) { d["Size"] = int64(3) }}},
	})
	// A revision that changes nothing is no alteration.
	r := verifyBytes(t, appendRevision(t, g.signed, revision{}), VerifyOptions{})
	if !r.OK {
		t.Errorf("an empty revision: %+v", r.Findings)
	}
}

func offsetOf(t *testing.T, v pdf.View, ref pdf.Ref) int64 {
	t.Helper()
	e, _, ok := v.Lookup(ref.Num)
	if !ok {
		t.Fatalf("no object %v", ref)
	}
	return e.Offset
}

func TestSignedAgain(t *testing.T) {
	signed := signedSample(t)
	buyer := key(t, buyerKey)
	known := VerifyOptions{KnownKeys: map[Fingerprint]string{
		buyer.Fingerprint(): "Odile Penrose", key(t, examinerKey).Fingerprint(): "Merrow & Finch"}}
	v := open(t, signed)
	pageRef, page := pageOf(t, v, 2)
	contents := page["Contents"].(pdf.Ref).Num
	t.Run("a page changed, then all of it signed by another trusted signer", func(t *testing.T) {
		altered := appendRevision(t, signed, revision{objects: map[int]pdf.Object{contents: text("0 0 9 9 re f")}})
		r := expect(t, forge(t, altered, buyer, buyerOptions()), NotWhatIsShown, known)
		if len(r.Signatures) != 2 || !r.Signatures[1].Intact || !r.Signatures[1].CoversAll || r.Signatures[0].CoversAll {
			t.Errorf("signatures: %+v", r.Signatures)
		}
	})
	t.Run("a page changed after both signatures", func(t *testing.T) {
		both := forge(t, signed, buyer, buyerOptions())
		r := expect(t, appendRevision(t, both, revision{objects: map[int]pdf.Object{contents: text("0 0 9 9 re f")}}), ChangedAfter, known)
		for _, s := range r.Signatures {
			if s.CoversAll {
				t.Errorf("%s is said to cover everything", s.Field)
			}
		}
	})
	t.Run("a page changed by the update that countersigns", func(t *testing.T) {
		u, err := prepareWith(t, signed, buyer, buyerOptions(), map[pdf.Ref]pdf.Object{pageRef: pdf.Dict{
			"Type": pdf.Name("Page"), "Parent": page["Parent"], "Contents": page["Contents"], "Resources": page["Resources"], "MediaBox": page["MediaBox"],
			"Rotate": int64(180)}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		expect(t, u, ChangedAfter, known)
	})
	t.Run("countersigning an altered report is refused", func(t *testing.T) {
		altered := appendRevision(t, signed, revision{objects: map[int]pdf.Object{contents: text("0 0 9 9 re f")}})
		wantSignError(t, altered, buyer, buyerOptions(), ErrAltered)
	})
}

func TestByteRanges(t *testing.T) {
	plain := unsignedSample(t)
	cases := map[string]func(r *[4]int64){
		"a gap before the signature":               func(r *[4]int64) { r[1] -= 40 },
		"a gap behind the signature":               func(r *[4]int64) { r[2] += 10; r[3] -= 10 },
		"an overlap":                               func(r *[4]int64) { r[2] = r[1] - 5 },
		"the signature's place is covered in part": func(r *[4]int64) { r[1] += 2 },
		"it does not start at 0":                   func(r *[4]int64) { r[0] = 1; r[1]-- },
		"it stops before the end":                  func(r *[4]int64) { r[3] -= 30 },
		"it goes beyond the end":                   func(r *[4]int64) { r[3] += 30 },
		"a negative number":                        func(r *[4]int64) { r[3] = -1 },
		"nothing at all":                           func(r *[4]int64) { *r = [4]int64{} },
	}
	for name, change := range cases {
		t.Run(name, func(t *testing.T) { expect(t, forgeRange(t, plain, change), ByteRange, VerifyOptions{}) })
	}
	// The forging itself must not be what is found.
	if r := verifyBytes(t, forgeRange(t, plain, func(*[4]int64) {}), VerifyOptions{}); !r.OK {
		t.Fatalf("a right range is refused: %+v", r.Findings)
	}
}
