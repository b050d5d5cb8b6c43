package pdf

import (
	"fmt"
	"sort"
)

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// tree builds the structure (ISO 32000-1, 14.7) and its way back from pages.
type tree struct {
	d       *document
	byPage  []map[int]Ref // MCID to the element that owns it
	objects map[int]Ref   // parent tree key to the element of an annotation
}

// addStructure tags the document. Every tag on a page must belong to exactly
// one element, and every element's content must exist, because a reader for
// the blind sees nothing else.
func (d *document) addStructure() error {
	if d.opt.Probe || len(d.opt.Structure) == 0 {
		return nil
	}
	t := &tree{d: d, byPage: make([]map[int]Ref, len(d.pages)), objects: map[int]Ref{}}
	for i := range t.byPage {
		t.byPage[i] = map[int]Ref{}
	}
	d.parents = len(d.pages)
	rootRef := d.add(nil)
	elements := d.opt.Structure
	if len(elements) != 1 || elements[0].Type != "Document" {
		elements = []Element{{Type: "Document", Children: elements}}
	}
	docRef, err := t.element(&elements[0], rootRef)
	if err != nil {
		return err
	}
	if err := t.placeRest(docRef); err != nil {
		return err
	}
	if err := t.checkPages(); err != nil {
		return err
	}
	d.objs[rootRef.Num] = Dict{
		"Type": Name("StructTreeRoot"), "K": Array{docRef},
		"ParentTree": d.add(t.parentTree()), "ParentTreeNextKey": int64(d.parents),
	}
	d.catalog["StructTreeRoot"] = rootRef
	d.catalog["MarkInfo"] = Dict{"Marked": true}
	return nil
}

func (t *tree) element(e *Element, parent Ref) (Ref, error) {
	ref := t.d.add(nil)
	dict := Dict{"Type": Name("StructElem"), "S": Name(e.Type), "P": parent}
	kids := Array{}
	for i, m := range e.Content {
		if m.Page < 1 || m.Page > len(t.d.pages) {
			return ref, fmt.Errorf("structure: %s has content on page %d of %d", e.Type, m.Page, len(t.d.pages))
		}
		if _, taken := t.byPage[m.Page-1][m.MCID]; taken {
			return ref, fmt.Errorf("structure: MCID %d of page %d belongs to two elements", m.MCID, m.Page)
		}
		t.byPage[m.Page-1][m.MCID] = ref
		pageRef := t.d.pages[m.Page-1].ref
		if i == 0 {
			dict["Pg"] = pageRef
		}
		if dict["Pg"] == pageRef {
			kids = append(kids, int64(m.MCID))
		} else {
			kids = append(kids, Dict{"Type": Name("MCR"), "Pg": pageRef, "MCID": int64(m.MCID)})
		}
	}
	for _, l := range e.Links {
		if l.Page < 1 || l.Page > len(t.d.pages) || l.Index < 0 || l.Index >= len(t.d.pages[l.Page-1].links) {
			return ref, fmt.Errorf("structure: there is no link %d on page %d", l.Index, l.Page)
		}
		if err := t.place(t.d.pages[l.Page-1].links[l.Index], ref, &kids); err != nil {
			return ref, err
		}
	}
	for i := range e.Children {
		kid, err := t.element(&e.Children[i], ref)
		if err != nil {
			return ref, err
		}
		kids = append(kids, kid)
	}
	dict["K"] = kids
	describe(dict, e)
	t.d.objs[ref.Num] = dict
	return ref, nil
}

func describe(dict Dict, e *Element) {
	for k, s := range map[Name]string{"Alt": e.Alt, "ActualText": e.ActualText, "T": e.Title, "Lang": e.Lang} {
		if s != "" {
			dict[k] = Text(s)
		}
	}
	var attrs Array
	if e.Type == "TH" || e.Type == "TD" {
		a := Dict{"O": Name("Table")}
		if e.Type == "TH" {
			a["Scope"] = Name(e.Scope)
		}
		if e.ColSpan > 1 {
			a["ColSpan"] = int64(e.ColSpan)
		}
		if e.RowSpan > 1 {
			a["RowSpan"] = int64(e.RowSpan)
		}
		if len(a) > 1 {
			attrs = append(attrs, a)
		}
	}
	if e.BBox != (Rect{}) {
		attrs = append(attrs, Dict{"O": Name("Layout"), "Placement": Name("Block"), "BBox": rectArray(e.BBox)})
	}
	if attrs != nil {
		dict["A"] = attrs
	}
}

// place puts an annotation under the element ref.
func (t *tree) place(annot, ref Ref, kids *Array) error {
	for i := range t.d.annots {
		a := &t.d.annots[i]
		if a.ref != annot {
			continue
		}
		if a.placed {
			return fmt.Errorf("structure: a link of page %d belongs to two elements", a.page+1)
		}
		a.placed = true
		*kids = append(*kids, Dict{"Type": Name("OBJR"), "Obj": annot, "Pg": t.d.pages[a.page].ref})
		t.d.dict(annot)["StructParent"] = int64(t.d.parents)
		t.objects[t.d.parents] = ref
		t.d.parents++
	}
	return nil
}

// placeRest gives links and fields that no element claims one of their own at
// the end of the document.
func (t *tree) placeRest(docRef Ref) error {
	doc := t.d.dict(docRef)
	for i := range t.d.annots {
		a := t.d.annots[i]
		if a.placed {
			continue
		}
		kids := Array{}
		ref := t.d.add(nil)
		if err := t.place(a.ref, ref, &kids); err != nil {
			return err
		}
		t.d.objs[ref.Num] = Dict{
			"Type": Name("StructElem"), "S": Name(a.elem), "P": docRef, "Pg": t.d.pages[a.page].ref,
			"K": kids, "Alt": t.d.dict(a.ref)["Contents"],
		}
		doc["K"] = append(doc["K"].(Array), ref)
	}
	return nil
}

// checkPages compares the tags on the pages with the elements.
func (t *tree) checkPages() error {
	for i := range t.d.pages {
		p := &t.d.pages[i]
		if op := p.content.untagged; op != "" {
			return fmt.Errorf("structure: page %d draws (%s) outside every tag and artifact", i+1, op)
		}
		for id := range p.content.mcids {
			if _, ok := t.byPage[i][id]; !ok {
				return fmt.Errorf("structure: MCID %d of page %d belongs to no element", id, i+1)
			}
		}
		for id := range t.byPage[i] {
			if !p.content.mcids[id] {
				return fmt.Errorf("structure: page %d has no MCID %d", i+1, id)
			}
		}
		p.dict["StructParents"] = int64(i)
		if p.dict["Annots"] != nil {
			p.dict["Tabs"] = Name("S")
		}
	}
	return nil
}

func (t *tree) parentTree() Dict {
	nums := Array{}
	for i, owners := range t.byPage {
		last := -1
		for id := range owners {
			last = max(last, id)
		}
		list := make(Array, last+1)
		for id, ref := range owners {
			list[id] = ref
		}
		nums = append(nums, int64(i), list)
	}
	for key := len(t.d.pages); key < t.d.parents; key++ {
		nums = append(nums, int64(key), t.objects[key])
	}
	return Dict{"Nums": nums}
}
