package pdf

import (
	"fmt"
)

// View is a File as it stood after one of its revisions.
type View struct {
	f   *File
	rev int
}

// File is the file this is a view of.
func (v View) File() *File { return v.f }

// Revision is the newest revision of the view.
func (v View) Revision() *Revision { return v.f.Revisions[v.rev] }

// Trailer is the trailer dictionary of the newest revision.
func (v View) Trailer() Dict { return v.Revision().Trailer }

// Lookup finds where object num stands, and in which revision that was said.
func (v View) Lookup(num int) (e Entry, rev int, ok bool) {
	for i := v.rev; i >= 0; i-- {
		if e, ok := v.f.Revisions[i].Entries[num]; ok {
			return e, i, true
		}
	}
	return Entry{}, 0, false
}

// Get reads an indirect object. An object that is free or was never defined is
// null, as ISO 32000-1, 7.3.10 says.
func (v View) Get(ref Ref) (Object, error) {
	o, _, err := v.GetSpan(ref)
	return o, err
}

// GetSpan is Get and tells where in the file the object stands; for an object
// inside an object stream the span is empty.
func (v View) GetSpan(ref Ref) (Object, Span, error) {
	e, _, ok := v.Lookup(ref.Num)
	if !ok || e.Free {
		return nil, Span{}, nil
	}
	if e.InStream != 0 {
		if ref.Gen != 0 {
			return nil, Span{}, nil
		}
		o, err := v.compressed(ref.Num, e)
		return o, Span{}, err
	}
	if e.Gen != ref.Gen {
		return nil, Span{}, nil
	}
	p := v.f.parserAt(e.Offset, v.f.size)
	got, o, err := v.f.indirect(p, v.rev)
	if err != nil {
		return nil, Span{}, fmt.Errorf("read object %d: %w", ref.Num, err)
	}
	if got != ref {
		return nil, Span{}, malformed(e.Offset, "object %d is not where the table says", ref.Num)
	}
	return o, Span{e.Offset, p.pos}, nil
}

// Spans reads a dictionary object that is not in an object stream and tells
// where each of its values stands.
func (v View) Spans(ref Ref) (Dict, map[Name]Span, error) {
	e, _, ok := v.Lookup(ref.Num)
	if !ok || e.Free || e.InStream != 0 || e.Gen != ref.Gen {
		return nil, nil, malformed(0, "object %d does not stand by itself in the file", ref.Num)
	}
	p := v.f.parserAt(e.Offset, v.f.size)
	p.spans = map[Name]Span{}
	got, o, err := v.f.indirect(p, v.rev)
	if err != nil {
		return nil, nil, fmt.Errorf("read object %d: %w", ref.Num, err)
	}
	d, ok := o.(Dict)
	if !ok || got != ref {
		return nil, nil, malformed(e.Offset, "object %d is not a dictionary", ref.Num)
	}
	return d, p.spans, nil
}

// Resolve follows references until something else is reached.
func (v View) Resolve(o Object) (Object, error) {
	for range 16 {
		ref, ok := o.(Ref)
		if !ok {
			return o, nil
		}
		var err error
		if o, err = v.Get(ref); err != nil {
			return nil, err
		}
	}
	return nil, malformed(0, "references that run in a circle")
}

// Dict resolves o to a dictionary, that of a stream included; anything else
// gives nil.
func (v View) Dict(o Object) (Dict, error) {
	o, err := v.Resolve(o)
	if err != nil {
		return nil, err
	}
	switch d := o.(type) {
	case Dict:
		return d, nil
	case *Stream:
		return d.Dict, nil
	}
	return nil, nil
}

// Array resolves o to an array; anything else gives nil.
func (v View) Array(o Object) (Array, error) {
	o, err := v.Resolve(o)
	if err != nil {
		return nil, err
	}
	a, _ := o.(Array)
	return a, nil
}

// Catalog is the document's root dictionary and where it is.
func (v View) Catalog() (Ref, Dict, error) {
	ref, ok := v.Trailer()["Root"].(Ref)
	if !ok {
		return Ref{}, nil, malformed(v.Revision().XRef, "the trailer names no document catalogue")
	}
	d, err := v.Dict(ref)
	if err != nil {
		return Ref{}, nil, err
	}
	if d == nil {
		return Ref{}, nil, malformed(v.Revision().XRef, "there is no document catalogue")
	}
	return ref, d, nil
}

// Pages lists the pages in order. It refuses a page tree that is not a tree.
func (v View) Pages() ([]Ref, error) {
	_, cat, err := v.Catalog()
	if err != nil {
		return nil, err
	}
	root, ok := cat["Pages"].(Ref)
	if !ok {
		return nil, malformed(0, "the document has no pages")
	}
	var pages []Ref
	seen := map[Ref]bool{}
	var walk func(ref Ref, depth int) error
	walk = func(ref Ref, depth int) error {
		if seen[ref] || depth > v.f.lim.Depth {
			return malformed(0, "the page tree runs in a circle or too deep")
		}
		seen[ref] = true
		node, err := v.Dict(ref)
		if err != nil {
			return err
		}
		if node["Type"] == Name("Page") {
			pages = append(pages, ref)
			return nil
		}
		kids, err := v.Array(node["Kids"])
		if err != nil {
			return err
		}
		for _, k := range kids {
			kid, ok := k.(Ref)
			if !ok {
				return malformed(0, "the page tree is broken")
			}
			if err := walk(kid, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	return pages, walk(root, 0)
}
