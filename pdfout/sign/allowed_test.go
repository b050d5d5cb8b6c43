package sign

import (
	"testing"

	"wornwood/pdfout/pdf"
)

// A countersignature that is valid in itself, in an update that does a little
// more than countersign. The plain one is accepted, as the last case shows.
func TestCountersignatureThatDoesMore(t *testing.T) {
	g := newTarget(t)
	free := pdf.Ref{Num: g.next + 5}
	form := g.cat["AcroForm"].(pdf.Ref)
	fields := get[pdf.Dict](t, g.v, form)
	look := func(d pdf.Dict) *pdf.Stream { return pdf.NewStream(d, []byte("0 0 9 9 re f")) }
	box := pdf.Array{int64(0), int64(0), int64(200), int64(50)}
	good := look(pdf.Dict{"Subtype": pdf.Name("Form"), "BBox": box})
	appearance := func(o pdf.Object) func(w, _ pdf.Dict) {
		return func(w, _ pdf.Dict) { w["AP"] = o }
	}
	set := func(k pdf.Name, o pdf.Object) func(w, _ pdf.Dict) { return func(w, _ pdf.Dict) { w[k] = o } }
	cases := []struct {
		name   string
		code   Code // empty: accepted
		extra  map[pdf.Ref]pdf.Object
		change func(widget, sig pdf.Dict)
	}{
		{"the field grows", ChangedAfter, nil, set("Rect", pdf.Array{int64(0), int64(0), int64(595), int64(842)})},
		{"the field moves to another page", ChangedAfter, nil, set("P", g.pageRef)},
		{"the field is hidden", ChangedAfter, nil, set("F", int64(2))},
		{"the field gets an action", ChangedAfter, nil, set("A", pdf.Dict{"S": pdf.Name("URI"), "URI": pdf.String("x")})},
		{"the field's time is no text", ChangedAfter, nil, set("M", pdf.Dict{})},
		{"the appearance is a page's drawing", ChangedAfter, nil, appearance(pdf.Dict{"N": pdf.Ref{Num: g.contents}})},
		{"the appearance is the examiner's", ChangedAfter, nil, appearance(g.examiner.dict["AP"])},
		{"the appearance is no form", ChangedAfter, map[pdf.Ref]pdf.Object{free: look(pdf.Dict{"Subtype": pdf.Name("Image")})}, appearance(pdf.Dict{"N": free})},
		{"the appearance is several", ChangedAfter, map[pdf.Ref]pdf.Object{free: good}, appearance(pdf.Dict{"N": free, "R": free})},
		{"the appearance stands elsewhere", ChangedAfter, map[pdf.Ref]pdf.Object{free: pdf.Dict{"N": pdf.Ref{Num: g.contents}}}, appearance(free)},
		{"the signature leads elsewhere", ChangedAfter, map[pdf.Ref]pdf.Object{free: text("x")}, func(_, sig pdf.Dict) { sig["Reason"] = free }},
		{"the signature leads elsewhere, deeper", ChangedAfter, nil, func(_, sig pdf.Dict) { sig["Changes"] = pdf.Array{pdf.Dict{"X": g.pageRef}} }},
		{"the form asks for new appearances", ChangedAfter, map[pdf.Ref]pdf.Object{form: with(fields, "NeedAppearances", true)}, nil},
		{"the form's flags are taken back", ChangedAfter, map[pdf.Ref]pdf.Object{form: with(fields, "SigFlags", int64(0))}, nil},
		{"the form loses the examiner's field", NotSigned, map[pdf.Ref]pdf.Object{form: with(fields, "Fields", pdf.Array{g.buyer.ref})}, nil},
		{"the catalogue's certificates lead to an action", ActiveContent, map[pdf.Ref]pdf.Object{
			g.catRef: with(g.cat, "DSS", free), free: pdf.Dict{"AA": pdf.Dict{}}}, nil},
		{"the catalogue loses its certification", ChangedAfter, map[pdf.Ref]pdf.Object{g.catRef: with(with(g.cat, "DSS", pdf.Dict{}), "Perms", nil)}, nil},
		{"the catalogue's extensions lead elsewhere", ChangedAfter, map[pdf.Ref]pdf.Object{g.catRef: with(g.cat, "Extensions", pdf.Array{g.pageRef})}, nil},
		{"an object that nothing needs", ChangedAfter, map[pdf.Ref]pdf.Object{free: text("x")}, nil},
		{"an appearance of its own", "", map[pdf.Ref]pdf.Object{free: good}, appearance(pdf.Dict{"N": free})},
		{"certificates for later", "", map[pdf.Ref]pdf.Object{g.catRef: with(g.cat, "DSS", pdf.Dict{"Certs": pdf.Array{free}}), free: text("x")}, nil},
		{"nothing more", "", nil, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			data, err := prepareWith(t, g.signed, key(t, buyerKey), buyerOptions(), c.extra, c.change)
			if err != nil {
				t.Fatal(err)
			}
			if c.code != "" {
				expect(t, data, c.code, VerifyOptions{})
				return
			}
			if r := verifyBytes(t, data, VerifyOptions{}); !r.OK || !r.Countersigned {
				t.Errorf("refused: %+v", r.Findings)
			}
		})
	}
}
