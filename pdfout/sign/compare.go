package sign

import (
	"sort"
	"strings"

	"wornwood/pdfout/pdf"
)

// comparison compares every revision after the first signature with the one
// before it, object by object. What may differ is listed, everything else is
// an alteration.
type comparison struct {
	v     *verifier
	first int // the revision of the first signature
	clean bool
	names *places
}

// run returns whether nothing but the allowed was changed.
func (c *comparison) run() (bool, error) {
	c.clean = true
	for i := c.first + 1; i < len(c.v.file.Revisions); i++ {
		if err := c.v.ctx.Err(); err != nil {
			return false, err
		}
		if err := c.revision(i); err != nil {
			return false, err
		}
	}
	return c.clean, nil
}

func (c *comparison) alarm(code Code, format string, args ...any) {
	c.clean = false
	c.v.report.add(code, Alarm, "", format, args...)
}

// step is one revision under comparison.
type step struct {
	c        *comparison
	rev      *pdf.Revision
	old, new pdf.View
	root     pdf.Ref
	filled   map[pdf.Ref]*Signature // fields that were signed in this revision
	stamps   map[pdf.Ref]bool       // new fields with a time-stamp over the file
	allowed  map[int]bool           // new objects that belong to an allowed change
	changed  []int                  // objects changed or added without leave
	freed    []int
	spans    []pdf.Span
}

func (c *comparison) revision(i int) error {
	s := &step{
		c: c, rev: c.v.file.Revisions[i], old: c.v.file.At(i - 1), new: c.v.file.At(i),
		filled: map[pdf.Ref]*Signature{}, stamps: map[pdf.Ref]bool{}, allowed: map[int]bool{},
	}
	if s.trailerChanged() {
		c.alarm(ChangedTrailer, "Altered: part %d of the file names another document or other data about it in its trailer.", i+1)
		return nil
	}
	if err := s.findFilled(i); err != nil {
		return err
	}
	nums := s.rev.Numbers()
	for _, look := range []func(int) error{s.existing, s.added} {
		for k, n := range nums {
			if k%256 == 0 && c.v.ctx.Err() != nil {
				return c.v.ctx.Err()
			}
			if err := look(n); err != nil {
				return err
			}
		}
	}
	if err := s.stray(); err != nil {
		return err
	}
	return s.say(i)
}

// trailerChanged compares the trailers. A later state may list more objects,
// carry another second half of its identifier and stand in a stream.
func (s *step) trailerChanged() bool {
	before, after := s.old.Trailer(), s.new.Trailer()
	free := map[pdf.Name]bool{"Size": true, "Prev": true, "ID": true}
	if s.rev.Stream {
		for _, k := range []pdf.Name{"Type", "W", "Index", "Length", "Filter", "DecodeParms"} {
			free[k] = true
		}
	}
	if s.old.Revision().Stream {
		for _, k := range []pdf.Name{"Type", "W", "Index", "Length", "Filter", "DecodeParms"} {
			free[k] = true
		}
	}
	for _, d := range []pdf.Dict{before, after} {
		for k := range d {
			if !free[k] && !pdf.Equal(before[k], after[k]) {
				return true
			}
		}
	}
	oldSize, _ := before["Size"].(int64)
	newSize, _ := after["Size"].(int64)
	a, _ := before["ID"].(pdf.Array)
	b, _ := after["ID"].(pdf.Array)
	if len(a) != len(b) || (len(a) > 0 && !pdf.Equal(a[0], b[0])) {
		return true
	}
	s.root, _ = after["Root"].(pdf.Ref)
	return newSize < oldSize
}

// findFilled finds the prepared fields that this revision signed: empty
// before, filled now with a signature that covers exactly this revision.
func (s *step) findFilled(i int) error {
	before, err := readFields(s.old)
	if err != nil {
		return err
	}
	empty, known := map[pdf.Ref]bool{}, map[pdf.Ref]bool{}
	for _, f := range before {
		empty[f.ref] = f.value == nil
		known[f.ref] = true
	}
	after, err := readFields(s.new)
	if err != nil {
		return err
	}
	for _, f := range after {
		for k := range s.c.v.report.Signatures {
			sig := &s.c.v.report.Signatures[k]
			if sig.revision != i || f.value != pdf.Object(sig.ref) {
				continue
			}
			switch {
			case empty[f.ref] && !sig.Document:
				s.filled[f.ref] = sig
			case !known[f.ref] && sig.Document && f.rect[2] == f.rect[0] && f.rect[3] == f.rect[1]:
				s.stamps[f.ref] = true
			}
		}
	}
	return nil
}

// existing looks at object n if it existed before.
func (s *step) existing(n int) error {
	e := s.rev.Entries[n]
	was, _, had := s.old.Lookup(n)
	had = had && !was.Free
	if !had {
		return nil
	}
	if e.Free {
		s.freed = append(s.freed, n)
		return nil
	}
	if e == was {
		return nil
	}
	ref := pdf.Ref{Num: n, Gen: e.Gen}
	after, err := s.read(ref, e)
	if err != nil {
		return err
	}
	before, err := s.old.Get(pdf.Ref{Num: n, Gen: was.Gen})
	if err != nil {
		return err
	}
	same, err := pdf.Same(before, after)
	if err != nil {
		return err
	}
	if same {
		return nil
	}
	ok, err := s.mayChange(ref, before, after)
	if err != nil {
		return err
	}
	if !ok || e.Gen != was.Gen {
		s.changed = append(s.changed, n)
	}
	return nil
}

// read reads an object of this revision and notes where it stands.
func (s *step) read(ref pdf.Ref, e pdf.Entry) (pdf.Object, error) {
	o, span, err := s.new.GetSpan(ref)
	if err == nil && e.InStream == 0 {
		s.spans = append(s.spans, span)
	}
	return o, err
}

// added looks at object n if it is new.
func (s *step) added(n int) error {
	e := s.rev.Entries[n]
	if was, _, had := s.old.Lookup(n); e.Free || (had && !was.Free) {
		return nil
	}
	o, err := s.read(pdf.Ref{Num: n, Gen: e.Gen}, e)
	if err != nil {
		return err
	}
	if s.allowed[n] {
		return nil
	}
	// Containers that bring nothing of their own.
	if st, ok := o.(*pdf.Stream); ok && e.InStream == 0 {
		if t := st.Dict["Type"]; t == pdf.Name("ObjStm") || (t == pdf.Name("XRef") && e.Offset == s.rev.XRef) {
			return nil
		}
	}
	s.changed = append(s.changed, n)
	return nil
}

// stray looks for bytes of the revision that belong to no object of it. A
// reader that repairs files might show them.
func (s *step) stray() error {
	if s.rev.Stream {
		if _, listed := s.rev.Entries[s.xrefNumber()]; !listed {
			s.spans = append(s.spans, pdf.Span{Start: s.rev.XRef, End: s.rev.XRef})
		}
	}
	sort.Slice(s.spans, func(i, j int) bool { return s.spans[i].Start < s.spans[j].Start })
	at := s.rev.Start
	for _, span := range append(s.spans, pdf.Span{Start: s.rev.XRef, End: s.rev.XRef}) {
		if span.Start < s.rev.Start || span.Start > s.rev.XRef {
			continue // reported as misplaced
		}
		blank, err := s.c.v.file.Blank(at, span.Start)
		if err != nil {
			return err
		}
		if !blank || span.Start < at {
			s.c.alarm(StrayBytes, "Altered: after the first signature there are bytes in the file that belong to no part of it.")
			return nil
		}
		at = span.End
		if at >= s.rev.XRef {
			break
		}
	}
	return nil
}

func (s *step) xrefNumber() int {
	for n, e := range s.rev.Entries {
		if !e.Free && e.InStream == 0 && e.Offset == s.rev.XRef {
			return n
		}
	}
	return -1
}

// say puts what was changed without leave into words.
func (s *step) say(i int) error {
	if len(s.changed) == 0 && len(s.freed) == 0 {
		return nil
	}
	if s.c.names == nil {
		names, err := findPlaces(s.c.v.file)
		if err != nil {
			return err
		}
		s.c.names = names
	}
	if len(s.freed) > 0 {
		s.c.alarm(FreedObject, "Altered after signing: removed %s.", strings.Join(s.c.names.describe(s.freed), ", "))
	}
	if len(s.changed) > 0 {
		s.c.alarm(ChangedAfter, "Altered after signing: changed or added %s.", strings.Join(s.c.names.describe(s.changed), ", "))
	}
	return nil
}
