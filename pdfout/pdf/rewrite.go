package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
)

// Rewrite writes the drawn pages to w in archival form. drawn is the output of
// the page drawing library; its bytes are read in place and pictures go from
// there to w without another copy.
//
// The result depends on the pages and the options only: objects are numbered
// in the order in which they are reached from the catalogue, so that the order
// in which the library happened to write pictures does not matter.
//
// An error says which page or object is not fit for the archival form.
func Rewrite(w io.Writer, drawn []byte, opt Options) error {
	d, err := load(drawn, opt)
	if err != nil {
		return fmt.Errorf("rewrite pages: %w", err)
	}
	steps := []func() error{
		d.readPages, d.splitResources, d.mendFonts, d.mendImages, d.mendGraphicsStates,
		d.mendLinks, d.mendOutlines, d.addFields, d.addAttachments, d.addStructure,
		d.addCatalog,
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return fmt.Errorf("rewrite pages: %w", err)
		}
	}
	if err := d.write(w); err != nil {
		return fmt.Errorf("write pages: %w", err)
	}
	return nil
}

// document is the object graph under rewriting, still in the numbers of the
// drawn file; objects that are added get numbers above those.
type document struct {
	opt     Options
	drawn   []byte
	objs    map[int]Object
	next    int
	root    Ref
	info    Ref
	catalog Dict

	pages   []page
	usage   map[Ref]*fontUse // what the pages show in each font
	annots  []annotation     // everything that needs a place in the structure
	fields  []Ref
	parents int // next free key of the structure's parent tree
}

type page struct {
	ref     Ref
	dict    Dict
	content *contentUse
	links   []Ref
}

// load reads every object of the drawn file.
func load(drawn []byte, opt Options) (*document, error) {
	f, err := Open(bytes.NewReader(drawn), int64(len(drawn)), Limits{})
	if err != nil {
		return nil, err
	}
	if len(f.Revisions) != 1 {
		return nil, malformed(0, "drawn pages have %d revisions instead of one", len(f.Revisions))
	}
	v := f.Last()
	d := &document{opt: opt, drawn: drawn, objs: map[int]Object{}, usage: map[Ref]*fontUse{}}
	for num, e := range f.Revisions[0].Entries {
		if e.Free {
			continue
		}
		o, err := v.Get(Ref{num, e.Gen})
		if err != nil {
			return nil, err
		}
		if s, ok := o.(*Stream); ok {
			o = NewStream(s.Dict, drawn[s.Offset:s.Offset+s.Length])
		}
		d.objs[num] = o
		d.next = max(d.next, num)
	}
	var ok bool
	if d.root, ok = v.Trailer()["Root"].(Ref); !ok {
		return nil, malformed(0, "drawn pages have no catalogue")
	}
	if d.catalog, ok = d.objs[d.root.Num].(Dict); !ok {
		return nil, malformed(0, "drawn pages have no catalogue")
	}
	return d, nil
}

func (d *document) add(o Object) Ref {
	d.next++
	d.objs[d.next] = o
	return Ref{Num: d.next}
}

// resolve follows one reference; the drawn file never nests them.
func (d *document) resolve(o Object) Object {
	if r, ok := o.(Ref); ok {
		return d.objs[r.Num]
	}
	return o
}

func (d *document) dict(o Object) Dict {
	switch v := d.resolve(o).(type) {
	case Dict:
		return v
	case *Stream:
		return v.Dict
	}
	return nil
}

// readPages lists the pages and gives each the attributes it inherits.
func (d *document) readPages() error {
	rootRef, _ := d.catalog["Pages"].(Ref)
	root := d.dict(rootRef)
	kids, _ := d.resolve(root["Kids"]).(Array)
	for _, k := range kids {
		ref, ok := k.(Ref)
		dict, isDict := d.resolve(k).(Dict)
		if !ok || !isDict || dict["Type"] != Name("Page") {
			return malformed(0, "drawn pages are not a flat list")
		}
		if dict["MediaBox"] == nil {
			dict["MediaBox"] = root["MediaBox"]
		}
		d.pages = append(d.pages, page{ref: ref, dict: dict})
	}
	if len(d.pages) == 0 {
		return malformed(0, "there are no drawn pages")
	}
	delete(root, "MediaBox")
	return d.opt.check(len(d.pages))
}

// order numbers the objects in the order in which they are reached from the
// catalogue, breadth first, dictionaries by their sorted names.
func (d *document) order() (numbers map[int]int, queue []int) {
	numbers = map[int]int{}
	visit := func(r Ref) {
		if _, seen := numbers[r.Num]; seen {
			return
		}
		if _, exists := d.objs[r.Num]; !exists {
			return
		}
		queue = append(queue, r.Num)
		numbers[r.Num] = len(queue)
	}
	visit(d.root)
	visit(d.info)
	for i := 0; i < len(queue); i++ {
		eachRef(d.objs[queue[i]], visit)
	}
	return numbers, queue
}

func eachRef(o Object, visit func(Ref)) {
	switch v := o.(type) {
	case Ref:
		visit(v)
	case Array:
		for _, e := range v {
			eachRef(e, visit)
		}
	case Dict:
		for _, k := range v.Keys() {
			eachRef(v[k], visit)
		}
	case *Stream:
		eachRef(v.Dict, visit)
	}
}

// renumber returns o with its references changed; a reference to nothing
// becomes null.
func renumber(o Object, numbers map[int]int) Object {
	switch v := o.(type) {
	case Ref:
		if n, ok := numbers[v.Num]; ok {
			return Ref{Num: n}
		}
		return nil
	case Array:
		out := make(Array, len(v))
		for i, e := range v {
			out[i] = renumber(e, numbers)
		}
		return out
	case Dict:
		out := make(Dict, len(v))
		for k, e := range v {
			out[k] = renumber(e, numbers)
		}
		return out
	case *Stream:
		s := *v
		s.Dict = renumber(v.Dict, numbers).(Dict)
		return &s
	}
	return o
}

// tally counts and hashes what goes to the file.
type tally struct {
	w io.Writer
	n int64
	h hash.Hash
}

func (t *tally) Write(b []byte) (int, error) {
	n, err := t.w.Write(b)
	t.n += int64(n)
	t.h.Write(b[:n])
	return n, err
}

func (d *document) write(w io.Writer) error {
	version := "1.7"
	if d.opt.Probe {
		version = "1.4"
	}
	out := &tally{w: w, h: sha256.New()}
	// Four bytes above 127 tell transfer programs that the file is binary
	// (ISO 19005-3, 6.1.2).
	if _, err := fmt.Fprintf(out, "%%PDF-%s\n%%\xE2\xE3\xCF\xD3\n", version); err != nil {
		return err
	}
	numbers, queue := d.order()
	offsets := make([]int64, len(queue))
	for i, old := range queue {
		offsets[i] = out.n
		if err := WriteIndirect(out, Ref{Num: i + 1}, renumber(d.objs[old], numbers)); err != nil {
			return err
		}
	}
	id := String(out.h.Sum(nil)[:16])
	trailer := Dict{
		"Size": int64(len(queue) + 1),
		"Root": Ref{Num: numbers[d.root.Num]},
		"Info": Ref{Num: numbers[d.info.Num]},
		"ID":   Array{id, id},
	}
	at := out.n
	b := fmt.Appendf(nil, "xref\n0 %d\n0000000000 65535 f \n", len(queue)+1)
	for _, off := range offsets {
		b = fmt.Appendf(b, "%010d 00000 n \n", off)
	}
	b = append(b, "trailer\n"...)
	b = AppendObject(b, trailer)
	b = fmt.Appendf(b, "\nstartxref\n%d\n%%%%EOF\n", at)
	_, err := out.Write(b)
	return err
}
