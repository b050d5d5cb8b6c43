package view

import (
	"fmt"
	"image"
	"image/draw"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// ScaleRow is one point of the scale: its name, where it is, and how far it
// lies from the fitted scale.
type ScaleRow struct {
	Index    int
	Name     string
	At       shape.Pt
	Off      shape.Pt // the way from the point to where the fit has it
	Residual float64  // pixels; 0 before there is a fit
	Wild     bool     // left out of the fit
}

// Click sets the next point and saves the scale when it is complete.
func (v *Scaling) Click(p shape.Pt) error {
	v.follow()
	if v.photo == "" {
		return fmt.Errorf("set scale: there is no photo yet; import one first")
	}
	name := ""
	switch v.kind {
	case record.RulerScale:
		name = fmt.Sprintf("%g mm", float64(len(v.clicks))*v.step)
	case record.TwoPointScale:
		if len(v.clicks) == 2 {
			v.clicks = nil // a third click begins anew
		}
		name = []string{"first point", "second point"}[len(v.clicks)]
	default:
		names, at := v.names(), len(v.clicks)
		if v.kind == record.LandmarkScale {
			at += v.skip
		}
		if at >= len(names) {
			return nil // complete: points are corrected by dragging
		}
		name = names[at]
	}
	v.clicks = append(v.clicks, named{name: name, at: p})
	return v.save()
}

// Set scales the photo by points given all at once, as a verb does. names are
// those of landmarks; known is in mm; lies is one of LiesWords.
func (v *Scaling) Set(kind record.ScaleKind, near, far int, known float64, lies string, names []string, pts []shape.Pt) error {
	i := slices.Index(record.ScaleKinds(), kind)
	if i < 0 {
		return fmt.Errorf("set scale: there is no kind %q; give frets, card, ruler, two points or landmarks", kind)
	}
	at := slices.Index(LiesWords, lies)
	if at < 0 {
		return fmt.Errorf("set scale: it lies %q; say one of: %s", lies, strings.Join(LiesWords, ", "))
	}
	v.follow()
	v.SetKind(i)
	v.clicks, v.lies = nil, Lies(at)
	if kind == record.FretScale {
		if err := v.SetFrets(strconv.Itoa(near), strconv.Itoa(far)); err != nil {
			return err
		}
	}
	if known > 0 {
		v.known, v.step = known, known
	}
	if kind == record.LandmarkScale {
		if len(names) != len(pts) {
			return fmt.Errorf("set scale: %d landmarks are named and %d points given", len(names), len(pts))
		}
		for j, p := range pts {
			v.clicks = append(v.clicks, named{name: names[j], at: p})
		}
	} else {
		all := v.names()
		for j, p := range pts {
			n := named{at: p, name: fmt.Sprintf("%g mm", float64(j)*v.step)}
			if j < len(all) {
				n.name = all[j]
			}
			v.clicks = append(v.clicks, n)
		}
	}
	if most := map[record.ScaleKind]int{record.FretScale: 4, record.CardScale: 4, record.TwoPointScale: 2}[kind]; len(pts) < v.least() || (most > 0 && len(pts) > most) {
		return fmt.Errorf("set scale by %s: %d points do not do, it needs %d", kind, len(pts), v.least())
	}
	if kind == record.TwoPointScale && v.known == 0 {
		return fmt.Errorf("set scale by two points: say how many millimetres they are apart")
	}
	return v.save()
}

// Move corrects a point; it is taken as it was put, and not looked for on its
// edges.
func (v *Scaling) Move(i int, p shape.Pt) error {
	v.load()
	if i < 0 || i >= len(v.clicks) {
		return fmt.Errorf("move point: there is no point %d", i+1)
	}
	old := v.clicks[i]
	v.clicks[i] = named{name: old.name, at: p}
	if len(v.clicks) < v.least() {
		return nil
	}
	err := v.keep()
	if err != nil && v.saved() != nil {
		v.clicks[i] = old // the scale on record still stands on it
	}
	return err
}

// Remove takes a point away. A scale left with too few is taken off the photo.
func (v *Scaling) Remove(i int) error {
	v.load()
	if i < 0 || i >= len(v.clicks) {
		return nil
	}
	if v.kind != record.LandmarkScale && v.kind != record.RulerScale {
		return v.Clear()
	}
	v.clicks = append(v.clicks[:i:i], v.clicks[i+1:]...)
	if len(v.clicks) < v.least() {
		return v.s.SetScale(v.photo, nil)
	}
	return v.keep()
}

// Clear takes the scale off the photo.
func (v *Scaling) Clear() error {
	v.follow()
	v.clicks, v.skip, v.note = nil, 0, ""
	if v.saved() == nil {
		return nil
	}
	return v.s.SetScale(v.photo, nil)
}

// load takes up the points on record, to go on from them.
func (v *Scaling) load() {
	v.follow()
	sc := v.saved()
	if len(v.clicks) > 0 || sc == nil {
		return
	}
	v.kind = sc.Kind
	for _, p := range sc.Points {
		v.clicks = append(v.clicks, named{p.Name, p.At, p.Clicked, p.Noise})
	}
	if sc.Kind == record.TwoPointScale && sc.Length != nil {
		v.known = sc.Length.Value
	}
}

// least is how many points make a scale.
func (v *Scaling) least() int {
	if v.kind == record.TwoPointScale || v.kind == record.RulerScale {
		return 2
	}
	return 4
}

// save keeps the scale when its points suffice, with what can be found on its
// edges.
func (v *Scaling) save() error {
	v.follow()
	if len(v.clicks) < v.least() || (v.kind == record.TwoPointScale && v.known == 0) {
		return nil
	}
	if err := v.refine(); err != nil {
		return err
	}
	return v.keep()
}

// refine looks for corners and fret ends on their edges. What is not found
// stays as it was clicked, and a note says why.
func (v *Scaling) refine() error {
	v.note = ""
	if v.Pixels == nil || (v.kind != record.CardScale && v.kind != record.FretScale) {
		return nil
	}
	sc, err := v.scale()
	if err != nil {
		return err
	}
	img := v.Pixels()
	if img == nil {
		return nil
	}
	found, err := measure.RefineScale(grey(img), sc)
	if err != nil {
		v.note = Words(err)
		return nil
	}
	for _, p := range found.Points {
		for i := range v.clicks {
			if v.clicks[i].name == p.Name {
				v.clicks[i] = named{p.Name, p.At, p.Clicked, p.Noise}
			}
		}
	}
	return nil
}

// grey is a photo in grey.
func grey(img image.Image) *image.Gray {
	if g, ok := img.(*image.Gray); ok {
		return g
	}
	g := image.NewGray(image.Rect(0, 0, img.Bounds().Dx(), img.Bounds().Dy()))
	draw.Draw(g, g.Rect, img, img.Bounds().Min, draw.Src)
	return g
}

// keep puts the scale on record.
func (v *Scaling) keep() error {
	sc, err := v.scale()
	if err != nil {
		return err
	}
	return v.s.SetScale(v.photo, &sc)
}

// scale makes the record of the clicks.
func (v *Scaling) scale() (record.Scale, error) {
	var sc record.Scale
	var err error
	d := v.s.Scene().Drawing
	switch v.kind {
	case record.CardScale:
		sc, err = measure.CardScale([4]shape.Pt{v.clicks[0].at, v.clicks[1].at, v.clicks[2].at, v.clicks[3].at}, v.height())
	case record.RulerScale:
		pts, mm := make([]shape.Pt, len(v.clicks)), make([]float64, len(v.clicks))
		for i, c := range v.clicks {
			pts[i], mm[i] = c.at, float64(i)*v.step
		}
		sc, err = measure.RulerScale(pts, mm, v.height())
	case record.TwoPointScale:
		sc, err = measure.TwoPointScale(v.clicks[0].at, v.clicks[1].at, record.Quantity{Value: v.known, How: "given"}, v.height())
	case record.FretScale:
		sc, err = measure.FretScale(d, v.byName())
	default:
		sc, err = measure.LandmarkScale(d, v.side(), v.byName())
	}
	if err != nil {
		return sc, err
	}
	v.noted(&sc)
	return sc, nil
}

func (v *Scaling) byName() map[string]shape.Pt {
	m := map[string]shape.Pt{}
	for _, c := range v.clicks {
		m[c.name] = c.at
	}
	return m
}

// noted writes into the scale which points were found on their edges.
func (v *Scaling) noted(sc *record.Scale) {
	for i := range sc.Points {
		for _, c := range v.clicks {
			if c.clicked != nil && c.at == sc.Points[i].At {
				sc.Points[i].Clicked, sc.Points[i].Noise = c.clicked, c.noise
			}
		}
	}
}

// Rows are the points of the scale, clicked or on record.
func (v *Scaling) Rows() []ScaleRow {
	v.follow()
	var rows []ScaleRow
	for i, c := range v.clicks {
		rows = append(rows, ScaleRow{Index: i, Name: v.words(c.name), At: c.at})
	}
	sc := v.saved()
	if sc == nil {
		return rows
	}
	if len(rows) == 0 {
		for i, p := range sc.Points {
			rows = append(rows, ScaleRow{Index: i, Name: v.words(p.Name), At: p.At})
		}
	}
	pl, err := v.Plane()
	if err != nil || pl == nil {
		return rows
	}
	for _, r := range pl.Residuals() {
		for i := range rows {
			if rows[i].At == r.At {
				rows[i].Residual, rows[i].Wild, rows[i].Off = r.Px, r.Wild, shape.Mul(r.Off, -1)
			}
		}
	}
	return rows
}

// Summary is the scale in a line, or what is missing.
func (v *Scaling) Summary() string {
	pl, err := v.Plane()
	switch {
	case err != nil:
		return Words(err)
	case pl == nil && v.kind == record.TwoPointScale && len(v.clicks) == 2 && v.known == 0:
		return "How far apart are they? Give the length."
	case pl == nil:
		return "No scale yet."
	}
	return Capital(pl.Summary())
}

// Warnings are sentences about what makes the scale less sure.
func (v *Scaling) Warnings() []string {
	var out []string
	if v.note != "" {
		out = append(out, v.note)
	}
	pl, err := v.Plane()
	if err != nil || pl == nil {
		return out
	}
	return append(out, pl.Warnings()...)
}

// Laid says which side of the outline the photo is laid over, "" for none.
func (v *Scaling) Laid() outline.Side {
	photo, _ := v.at()
	p := v.s.Scene().Record.PhotoByID(photo)
	if p == nil || p.Registration() == nil {
		return ""
	}
	return outline.Side(p.Registration().Side)
}
