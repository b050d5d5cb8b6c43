package pdf

import (
	"fmt"
)

// annotation is something on a page that needs a place in the structure.
type annotation struct {
	ref    Ref
	page   int    // from 0
	elem   string // Link or Form
	placed bool
}

// mendLinks makes the links of every page objects of their own, to be printed
// and read out (ISO 19005-3, 6.3.2; ISO 14289-1, 7.18.5).
func (d *document) mendLinks() error {
	for i := range d.pages {
		p := &d.pages[i]
		list, _ := d.resolve(p.dict["Annots"]).(Array)
		var refs Array
		for _, o := range list {
			link, ok := d.resolve(o).(Dict)
			if !ok || link["Subtype"] != Name("Link") {
				return malformed(0, "page %d has an annotation that is not a link", i+1)
			}
			if err := d.mendLink(link); err != nil {
				return fmt.Errorf("page %d: %w", i+1, err)
			}
			link["P"] = p.ref
			ref := d.add(link)
			refs = append(refs, ref)
			p.links = append(p.links, ref)
			d.annots = append(d.annots, annotation{ref: ref, page: i, elem: "Link"})
		}
		delete(p.dict, "Annots")
		if refs != nil {
			p.dict["Annots"] = refs
		}
	}
	return nil
}

func (d *document) mendLink(link Dict) error {
	link["F"] = int64(4) // print
	if r, ok := link["Rect"].(Array); ok && len(r) == 4 {
		link["Rect"] = orderedRect(r)
	}
	if a := d.dict(link["A"]); a != nil {
		uri, ok := a["URI"].(String)
		if !ok || a["S"] != Name("URI") {
			return malformed(0, "a link does something else than open an address")
		}
		for i := 0; i < len(uri); i++ {
			if uri[i] <= ' ' || uri[i] > '~' {
				return malformed(0, "the address %q of a link is not in plain ASCII", string(uri))
			}
		}
		link["Contents"] = Text("Link to " + string(uri))
		return nil
	}
	dest, _ := link["Dest"].(Array)
	if len(dest) == 0 {
		return malformed(0, "a link leads nowhere")
	}
	for i := range d.pages {
		if dest[0] == d.pages[i].ref {
			link["Contents"] = Text(fmt.Sprintf("Go to page %d", i+1))
			return nil
		}
	}
	return malformed(0, "a link leads to a page that does not exist")
}

// orderedRect puts the lower left corner first.
func orderedRect(r Array) Array {
	out := append(Array{}, r...)
	for i := range 2 {
		a, _ := Number(out[i])
		b, _ := Number(out[i+2])
		if a > b {
			out[i], out[i+2] = out[i+2], out[i]
		}
	}
	return out
}

// mendOutlines counts the bookmarks: the list opens at its first level, and
// what is below stays folded (ISO 32000-1, 12.3.3).
func (d *document) mendOutlines() error {
	root := d.dict(d.catalog["Outlines"])
	if root == nil {
		return nil
	}
	budget := len(d.objs)
	var level func(node Dict, depth int) (int64, error)
	level = func(node Dict, depth int) (int64, error) {
		if depth > 32 {
			return 0, malformed(0, "bookmarks nested too deep")
		}
		var n int64
		for item := d.dict(node["First"]); item != nil; item = d.dict(item["Next"]) {
			if budget--; budget < 0 {
				return 0, malformed(0, "the bookmarks run in a circle")
			}
			n++
			below, err := level(item, depth+1)
			if err != nil {
				return 0, err
			}
			delete(item, "Count")
			if below > 0 {
				item["Count"] = -below
			}
		}
		return n, nil
	}
	n, err := level(root, 0)
	if err != nil {
		return err
	}
	root["Count"] = n
	return nil
}
