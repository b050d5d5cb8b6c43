package sign

import (
	"fmt"
	"sort"
	"strings"

	"wornwood/pdfout/pdf"
)

// places tells where in the report an object is used, for a sentence.
type places struct {
	what map[int]string
	page map[int][]int // pages an object is used on, for those used by pages
}

// maxPlaces bounds the walk; what is beyond is called by its number.
const maxPlaces = 50_000

// findPlaces walks the last state of the file and, for what it no longer
// uses, the states before.
func findPlaces(f *pdf.File) (*places, error) {
	p := &places{what: map[int]string{}, page: map[int][]int{}}
	for i := len(f.Revisions) - 1; i >= max(0, len(f.Revisions)-4); i-- {
		if err := p.walk(f.At(i)); err != nil && !pdf.IsRefusal(err) {
			return nil, err
		}
	}
	return p, nil
}

func (p *places) walk(v pdf.View) error {
	root, cat, err := v.Catalog()
	if err != nil {
		return err
	}
	p.name(root, "the document's catalogue")
	pages, err := v.Pages()
	if err != nil {
		return err
	}
	for i, ref := range pages {
		if err := p.walkPage(v, ref, i+1); err != nil {
			return err
		}
	}
	if ref, ok := v.Trailer()["Info"].(pdf.Ref); ok {
		p.name(ref, "the title and author data")
	}
	for _, part := range []struct {
		key  pdf.Name
		what string
	}{
		{"Names", "the attached files"}, {"AF", "the attached files"}, {"StructTreeRoot", "the tags for reading aloud"},
		{"Outlines", "the bookmarks"}, {"Metadata", "the data about the document"}, {"OutputIntents", "the colour profile"},
		{"AcroForm", "the form"}, {"Pages", "the list of pages"},
	} {
		if err := p.spread(v, cat[part.key], func(ref pdf.Ref) bool { return p.name(ref, part.what) }); err != nil {
			return err
		}
	}
	return nil
}

// name notes what ref is unless that is known; it says whether it was new.
func (p *places) name(ref pdf.Ref, what string) bool {
	if _, known := p.what[ref.Num]; known || len(p.what) >= maxPlaces {
		return false
	}
	p.what[ref.Num] = what
	return true
}

func (p *places) walkPage(v pdf.View, ref pdf.Ref, n int) error {
	d, err := v.Dict(ref)
	if err != nil {
		return err
	}
	p.name(ref, fmt.Sprintf("page %d", n))
	seen := map[pdf.Ref]bool{ref: true}
	mark := func(what string) func(pdf.Ref) bool {
		return func(r pdf.Ref) bool {
			if seen[r] || len(p.what) >= maxPlaces {
				return false
			}
			seen[r] = true
			kind := what
			if kind == "" {
				kind = kindOf(v, r)
			}
			p.name(r, kind)
			if list := p.page[r.Num]; len(list) == 0 || list[len(list)-1] != n {
				p.page[r.Num] = append(list, n)
			}
			return true
		}
	}
	parts := pdf.Dict{}
	for k, o := range d {
		if k != "Parent" && k != "Contents" && k != "Annots" {
			parts[k] = o
		}
	}
	if err := p.spread(v, d["Contents"], mark("the drawing")); err != nil {
		return err
	}
	// A link or field leads back to its page and to others; it is not followed.
	annots, err := v.Array(d["Annots"])
	if err != nil {
		return err
	}
	for _, o := range annots {
		if r, ok := o.(pdf.Ref); ok {
			mark("")(r)
		}
	}
	return p.spread(v, parts, mark(""))
}

func kindOf(v pdf.View, ref pdf.Ref) string {
	d, err := v.Dict(ref)
	if err != nil {
		return "a part"
	}
	switch {
	case d["Subtype"] == pdf.Name("Image"):
		return "a picture"
	case d["Subtype"] == pdf.Name("Widget"):
		name, _ := d["T"].(pdf.String)
		return fmt.Sprintf("the field %q", printable(pdf.PlainText(name)))
	case d["Subtype"] == pdf.Name("Link"):
		return "a link"
	case d["Type"] == pdf.Name("Font") || d["Type"] == pdf.Name("FontDescriptor"):
		return "a font"
	case d["Type"] == pdf.Name("Annot"):
		return "something laid over"
	}
	return "a part"
}

// spread visits the references under o, and further while visit says so.
func (p *places) spread(v pdf.View, o pdf.Object, visit func(pdf.Ref) bool) error {
	var queue []pdf.Ref
	collect := func(r pdf.Ref) {
		if visit(r) {
			queue = append(queue, r)
		}
	}
	pdf.EachRef(o, collect)
	for len(queue) > 0 {
		r := queue[0]
		queue = queue[1:]
		o, err := v.Get(r)
		if err != nil {
			return err
		}
		if d, ok := o.(pdf.Dict); ok && (d["Type"] == pdf.Name("Page") || d["Type"] == pdf.Name("StructElem")) {
			continue
		}
		pdf.EachRef(o, collect)
	}
	return nil
}

// describe puts objects into words, each phrase once, at most eight.
func (p *places) describe(nums []int) []string {
	var out []string
	seen := map[string]bool{}
	for _, n := range nums {
		phrase := p.phrase(n)
		if seen[phrase] {
			continue
		}
		seen[phrase] = true
		if len(out) == 8 {
			return append(out, "and more")
		}
		out = append(out, phrase)
	}
	return out
}

func (p *places) phrase(n int) string {
	what, known := p.what[n]
	if !known {
		return fmt.Sprintf("an object that nothing uses (number %d)", n)
	}
	pages := p.page[n]
	if len(pages) == 0 {
		return what
	}
	sort.Ints(pages)
	word := "page"
	if len(pages) > 1 {
		word = "pages"
	}
	var list []string
	for i, n := range pages {
		if i == 5 {
			list = append(list, "…")
			break
		}
		list = append(list, fmt.Sprint(n))
	}
	prep := "on"
	if what == "the drawing" {
		prep = "of"
	}
	return fmt.Sprintf("%s %s %s %s", what, prep, word, strings.Join(list, ", "))
}
