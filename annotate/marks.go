package annotate

import (
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Surface is what a mark is put on: a side of the outline or a photo.
type Surface struct {
	Side  outline.Side
	Photo string
}

// AddMark pins a new mark and selects it. Points are millimetres on a side or
// pixels of an upright photo. The kind is the one last used with that shape,
// or the usual one of the part that was hit. A mark on a photo that is laid
// over the outline gets its place there as well, and its size where the photo
// has a scale.
func (s *Session) AddMark(on Surface, shape record.Shape, pts []record.Point) (int, error) {
	return s.addMark(on, "", shape, pts)
}

// AddSuggested pins a suggested mark that the examiner has accepted.
func (s *Session) AddSuggested(photo string, kind record.Kind, shape record.Shape, pts []record.Point) (int, error) {
	if _, ok := s.Rubric().Kind(kind); !ok {
		return 0, fmt.Errorf("accept suggestion: the rubric has no kind %q", kind)
	}
	return s.addMark(Surface{Photo: photo}, kind, shape, pts)
}

func (s *Session) addMark(on Surface, kind record.Kind, shape record.Shape, pts []record.Point) (int, error) {
	sc := s.Scene()
	n := sc.Record.NextNumber()
	m := record.Mark{Number: n, Depth: record.InFinish, Kind: kind}
	side, onSide := on.Side, pts
	if on.Photo != "" {
		at := record.PhotoPlace{Photo: on.Photo, Shape: shape, Points: pts}
		m.Photos = []record.PhotoPlace{at}
		side, onSide = s.sideOf(sc, at)
	}
	if len(onSide) > 0 {
		_, reg, err := placeOn(sc.Drawing, side, shape, onSide, s.kindOf(m))
		if err != nil {
			return 0, err
		}
		if m.Kind == "" {
			m.Kind = s.usualKind(reg.Part, shape)
		}
		place, _, err := placeOn(sc.Drawing, side, shape, onSide, s.kindOf(m))
		if err != nil {
			return 0, err
		}
		m.On = []record.Place{place}
	}
	if m.Kind == "" {
		m.Kind = s.usualKind("", shape)
	}
	m = s.sized(sc, m, on)
	if err := s.putMark(fmt.Sprintf("Add mark %d", n), m); err != nil {
		return 0, err
	}
	s.Select(n)
	return n, nil
}

// sideOf is where a place on a photo lies on the outline that the photo is laid
// over; no points where it is not.
func (s *Session) sideOf(sc *Scene, at record.PhotoPlace) (outline.Side, []record.Point) {
	p := sc.Record.PhotoByID(at.Photo)
	if p == nil || p.Registration() == nil {
		return "", nil
	}
	side := outline.Side(p.Registration().Side)
	return side, s.toSide(sc, at, side)
}

// sized is the mark with the sizes that its place on a scaled photo gives it.
func (s *Session) sized(sc *Scene, m record.Mark, on Surface) record.Mark {
	if p := sc.Record.PhotoByID(on.Photo); p != nil && p.Scale != nil {
		m, _ = s.measured(sc, m, p)
	}
	return m
}

func (s *Session) usualKind(part record.PartID, shape record.Shape) record.Kind {
	s.mu.Lock()
	last := s.lastKind[shape]
	s.mu.Unlock()
	var first record.Kind
	for _, k := range s.Rubric().Kinds() {
		if part != "" && !k.On(part) {
			continue
		}
		if k.Kind == last {
			return last
		}
		if first == "" && k.Shape == shape {
			first = k.Kind
		}
	}
	if first == "" {
		first = "ding"
	}
	return first
}

// AddPlace ties an existing mark to a further surface. On a photo, a mark has
// one place at a time; on the outline a new place replaces the one on the same
// region and otherwise adds to the mark.
func (s *Session) AddPlace(n int, on Surface, shape record.Shape, pts []record.Point) error {
	sc := s.Scene()
	m, err := mark(sc, n)
	if err != nil {
		return err
	}
	if on.Photo != "" {
		pp := record.PhotoPlace{Photo: on.Photo, Shape: shape, Points: pts}
		m.Photos = replaceOrAdd(m.Photos, pp, func(q record.PhotoPlace) bool { return q.Photo == on.Photo })
		m = s.sized(sc, m, on)
		return s.putMark(fmt.Sprintf("Place mark %d on a photo", n), m)
	}
	pl, reg, err := placeOn(sc.Drawing, on.Side, shape, pts, s.kindOf(m))
	if err != nil {
		return err
	}
	m.On = replaceOrAdd(m.On, pl, func(q record.Place) bool { return q.Side == pl.Side && q.Region == reg.ID })
	return s.putMark(fmt.Sprintf("Place mark %d on the outline", n), m)
}

func replaceOrAdd[T any](list []T, v T, same func(T) bool) []T {
	out := make([]T, 0, len(list)+1)
	done := false
	for _, q := range list {
		if same(q) && !done {
			q, done = v, true
		}
		out = append(out, q)
	}
	if !done {
		out = append(out, v)
	}
	return out
}

// MovePlace gives the place of mark n on a surface new points. index counts
// the mark's places on that surface from 0.
func (s *Session) MovePlace(n int, on Surface, index int, pts []record.Point) error {
	sc := s.Scene()
	m, err := mark(sc, n)
	if err != nil {
		return err
	}
	name := fmt.Sprintf("Move mark %d", n)
	k := 0
	if on.Photo != "" {
		m.Photos = append([]record.PhotoPlace(nil), m.Photos...)
		for i := range m.Photos {
			if m.Photos[i].Photo != on.Photo {
				continue
			}
			if k == index {
				m.Photos[i].Points = pts
				return s.putMark(name, s.sized(sc, m, on))
			}
			k++
		}
		return fmt.Errorf("move mark %d: it is not on this photo", n)
	}
	m.On = append([]record.Place(nil), m.On...)
	for i := range m.On {
		if m.On[i].Side != string(on.Side) || len(m.On[i].Points) == 0 {
			continue
		}
		if k == index {
			pl, _, err := placeOn(sc.Drawing, on.Side, m.On[i].Shape, pts, s.kindOf(m))
			if err != nil {
				return err
			}
			m.On[i] = pl
			return s.putMark(name, m)
		}
		k++
	}
	return fmt.Errorf("move mark %d: it is not on this side", n)
}

// RemovePlace unties a mark from a surface. A mark keeps at least one place:
// the last one goes with the mark, by DeleteMark.
func (s *Session) RemovePlace(n int, on Surface) error {
	m, err := mark(s.Scene(), n)
	if err != nil {
		return err
	}
	before := len(m.On) + len(m.Photos)
	if on.Photo != "" {
		m.Photos = without(m.Photos, func(q record.PhotoPlace) bool { return q.Photo == on.Photo })
	} else {
		m.On = without(m.On, func(q record.Place) bool { return q.Side == string(on.Side) })
	}
	switch left := len(m.On) + len(m.Photos); {
	case left == before:
		return fmt.Errorf("remove place of mark %d: it has none there", n)
	case left == 0:
		return fmt.Errorf("remove place of mark %d: it is the mark's only place; delete the mark instead", n)
	}
	return s.putMark(fmt.Sprintf("Remove a place of mark %d", n), m)
}

func without[T any](list []T, is func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(list), is)
}

// EditMark changes a mark by a function under a name such as "Kind of mark 7".
// The function gets a copy; the number cannot change.
func (s *Session) EditMark(n int, what string, edit func(*record.Mark)) error {
	m, err := mark(s.Scene(), n)
	if err != nil {
		return err
	}
	edit(&m)
	m.Number = n
	return s.putMark(fmt.Sprintf("%s of mark %d", what, n), m)
}

// SetKind gives a mark its kind and remembers it for the next of that shape.
// A reading or a depth that the kind does not have is taken away.
func (s *Session) SetKind(n int, k record.Kind) error {
	info, ok := s.Rubric().Kind(k)
	if !ok {
		return fmt.Errorf("set kind: the rubric has no kind %q", k)
	}
	sc := s.Scene()
	if m := sc.Record.MarkByNumber(n); m != nil && m.Kind == k {
		return nil
	}
	d := sc.Drawing
	return s.EditMark(n, "Kind", func(m *record.Mark) {
		m.Kind = k
		m.On = replaced(d, m.On, info)
		if m.Reading != nil && m.Reading.Kind != info.Reading {
			m.Reading = nil
		}
		if m.Depth == "" {
			m.Depth = record.InFinish
		}
		s.mu.Lock()
		s.lastKind[shapeOf(*m)] = k
		s.mu.Unlock()
	})
}

// replaced ties drawn places anew after the kind changed. A place that would
// then lie nowhere stays as it was.
func replaced(d *outline.Drawing, on []record.Place, kind grade.KindInfo) []record.Place {
	out := slices.Clone(on)
	for i, p := range out {
		if len(p.Points) == 0 {
			continue
		}
		if q, _, err := placeOn(d, outline.Side(p.Side), p.Shape, p.Points, kind); err == nil {
			out[i] = q
		}
	}
	return out
}

// kindOf is what the rubric says of a mark's kind, nothing for a kind that it
// does not know.
func (s *Session) kindOf(m record.Mark) grade.KindInfo {
	k, _ := s.Rubric().Kind(m.Kind)
	return k
}

func shapeOf(m record.Mark) record.Shape {
	for _, p := range m.On {
		if p.Shape != "" {
			return p.Shape
		}
	}
	for _, p := range m.Photos {
		return p.Shape
	}
	return record.PointShape
}

// DeleteMark takes a mark away; Undo brings it back under its number.
func (s *Session) DeleteMark(n int) error {
	if _, err := mark(s.Scene(), n); err != nil {
		return err
	}
	return s.Do(fmt.Sprintf("Delete mark %d", n), record.Remove(record.MarkTarget(n)))
}

func (s *Session) putMark(name string, m record.Mark) error {
	c, err := record.Set(record.MarkTarget(m.Number), m)
	if err != nil {
		return err
	}
	return s.Do(name, c)
}

func mark(sc *Scene, n int) (record.Mark, error) {
	m := sc.Record.MarkByNumber(n)
	if m == nil {
		return record.Mark{}, fmt.Errorf("there is no mark %d", n)
	}
	return *m, nil
}

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
