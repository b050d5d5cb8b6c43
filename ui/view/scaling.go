package view

import (
	"fmt"
	"image"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Scaling is the tool that gives the photo on the Marks screen its scale: by
// what, which point is clicked next, and what came of it. A scale that is
// complete is saved at once; points clicked after that make it better.
type Scaling struct {
	s  *annotate.Session
	at func() (photo string, side outline.Side) // what is scaled, and over which side it may be laid
	// Pixels gives the photo shown at full size, so that corners and fret ends can
	// be found on their edges; nil, or nil returned, leaves the clicks as they are.
	Pixels func() image.Image

	kind   record.ScaleKind
	photo  string // the photo that clicks belong to
	clicks []named
	near   int     // the near fret of a FretScale; 0 is the nut
	fret   int     // the far fret; 0 is the usual one
	lies   Lies    // where a card or ruler lies
	known  float64 // mm, of two points
	step   float64 // mm between graduations that are clicked
	skip   int     // landmarks passed over
	note   string  // why the edges were not found
}

// named is a click with the name of the point it is.
type named struct {
	name    string
	at      shape.Pt
	clicked *shape.Pt // before it was found on its edges
	noise   float64   // pixels, where it was found on its edges
}

// Lies says where a card, a ruler or two points lie.
type Lies int

// Where they may lie.
const (
	OnFront Lies = iota
	OnBoard
	Beside
)

// LiesWords are the three, as a row of buttons says them.
var LiesWords = []string{"on the front", "on the board", "beside it"}

// NewScaling makes the tool on the photo that the Marks screen shows.
func NewScaling(s *annotate.Session, m *Marks) *Scaling {
	return &Scaling{s: s, at: func() (string, outline.Side) { return m.Photo(), m.Tab().Side }, kind: record.FretScale, step: 50}
}

// NewScalingOf makes the tool on one photo, to be laid over one side.
func NewScalingOf(s *annotate.Session, photo string, side outline.Side) *Scaling {
	return &Scaling{s: s, at: func() (string, outline.Side) { return photo, side }, kind: record.FretScale, step: 50}
}

// Kinds are the ways to scale a photo, as buttons say them.
func (v *Scaling) Kinds() []string {
	return []string{"frets", "card", "ruler", "two points", "outline"}
}

// Kind is the chosen way's place among Kinds.
func (v *Scaling) Kind() int {
	for i, k := range record.ScaleKinds() {
		if k == v.kind {
			return i
		}
	}
	return 0
}

// SetKind chooses the way and drops clicks that made no scale yet.
func (v *Scaling) SetKind(i int) {
	if ks := record.ScaleKinds(); i >= 0 && i < len(ks) && ks[i] != v.kind {
		v.kind = ks[i]
		v.clicks, v.skip, v.note = nil, 0, ""
	}
}

// follow drops clicks that belong to another photo than the one shown.
func (v *Scaling) follow() {
	if photo, _ := v.at(); v.photo != photo {
		v.photo, v.clicks, v.skip, v.note = photo, nil, 0, ""
	}
}

// saved is the scale on record of the photo shown.
func (v *Scaling) saved() *record.Scale {
	photo, _ := v.at()
	p := v.s.Scene().Record.PhotoByID(photo)
	if p == nil {
		return nil
	}
	return p.Scale
}

// names lists the points to be clicked, in order; nil where they have no names.
func (v *Scaling) names() []string {
	d := v.s.Scene().Drawing
	switch v.kind {
	case record.FretScale:
		near, far := fmt.Sprintf("fret-%d", v.near), fmt.Sprintf("fret-%d", v.Fret())
		if v.near == 0 {
			near = "nut"
		}
		return []string{near + "-bass", near + "-treble", far + "-treble", far + "-bass"}
	case record.CardScale:
		return []string{"corner 1", "corner 2", "corner 3", "corner 4"}
	case record.LandmarkScale:
		var out []string
		for _, l := range d.Landmarks() {
			if l.Side == v.side() {
				out = append(out, l.ID)
			}
		}
		return out
	}
	return nil
}

// side is the side of the outline that the photo is laid over: the one whose
// tab is shown.
func (v *Scaling) side() outline.Side {
	_, side := v.at()
	return side
}

// Prompt names the point to be clicked next, "" when there is none.
func (v *Scaling) Prompt() string {
	v.follow()
	n := len(v.clicks)
	switch v.kind {
	case record.TwoPointScale:
		return []string{"first point", "second point", ""}[min(n, 2)]
	case record.RulerScale:
		return fmt.Sprintf("%g mm", float64(n)*v.step)
	case record.LandmarkScale:
		if names := v.names(); n+v.skip < len(names) {
			return v.words(names[n+v.skip])
		}
		return ""
	}
	if names := v.names(); n < len(names) {
		return v.words(names[n])
	}
	return ""
}

// words are a point's name as it is said.
func (v *Scaling) words(id string) string {
	for _, l := range v.s.Scene().Drawing.Landmarks() {
		if l.ID == id {
			return l.Name
		}
	}
	if n, end, ok := fretEnd(id); ok {
		return fmt.Sprintf("fret %d, %s end", n, end)
	}
	return strings.ReplaceAll(id, "-", ", ")
}

// fretEnd reads "fret-12-bass".
func fretEnd(id string) (n int, end string, ok bool) {
	rest, ok := strings.CutPrefix(id, "fret-")
	if !ok {
		return 0, "", false
	}
	num, end, ok := strings.Cut(rest, "-")
	n, err := strconv.Atoi(num)
	return n, end, ok && err == nil
}

// Hint says what to do, in the bar over the photo.
func (v *Scaling) Hint() string {
	if p := v.Prompt(); p != "" {
		if v.kind == record.RulerScale && len(v.clicks) > 1 {
			return "Click the graduation at " + p + ", or leave it at that"
		}
		if v.kind == record.RulerScale {
			return "Click the graduation at " + p
		}
		return "Click: " + p
	}
	return "Drag a point to correct it"
}

// Skip passes over a landmark that the photo does not show.
func (v *Scaling) Skip() {
	if v.kind == record.LandmarkScale && len(v.clicks)+v.skip < len(v.names()) {
		v.skip++
	}
}

// CanSkip says whether there is a landmark to pass over.
func (v *Scaling) CanSkip() bool { return v.kind == record.LandmarkScale && v.Prompt() != "" }

// Fret is the far fret of a scale by frets.
func (v *Scaling) Fret() int {
	last := v.s.Scene().Drawing.Frets
	if v.fret > 0 && v.fret <= last {
		return v.fret
	}
	return min(12, last)
}

// Near is the near fret of a scale by frets, 0 for the nut.
func (v *Scaling) Near() int { return v.near }

// SetFrets takes the numbers of the near fret, 0 for the nut, and of the far
// one.
func (v *Scaling) SetFrets(near, far string) error {
	a, err := strconv.Atoi(strings.TrimSpace(near))
	b, err2 := strconv.Atoi(strings.TrimSpace(far))
	if last := v.s.Scene().Drawing.Frets; err != nil || err2 != nil || a < 0 || b <= a || b > last {
		return fmt.Errorf("set frets: give the near one from 0, the nut, and the far one up to %d", last)
	}
	if a != v.near || b != v.Fret() {
		v.near, v.fret, v.clicks = a, b, nil
	}
	return nil
}

// Known is the known length of two points, or the step of a ruler.
func (v *Scaling) Known() string {
	mm := v.known
	if v.kind == record.RulerScale {
		mm = v.step
	}
	if mm == 0 {
		return ""
	}
	return strconv.FormatFloat(mm, 'f', -1, 64)
}

// SetKnown takes a length in mm.
func (v *Scaling) SetKnown(text string) error {
	mm, err := Number(text)
	if err != nil || mm <= 0 || mm > 3000 {
		return fmt.Errorf("set known length: give millimetres, more than 0 and at most 3000")
	}
	if v.kind == record.RulerScale {
		v.step = mm
	} else {
		v.known = mm
	}
	return v.save()
}

// Lies is where the card, the ruler or the points lie.
func (v *Scaling) Lies() Lies { return v.lies }

// SetLies says where they lie.
func (v *Scaling) SetLies(l Lies) error {
	v.lies = l
	return v.save()
}

// AsksLies says whether it matters here where the scale lies.
func (v *Scaling) AsksLies() bool {
	return v.kind == record.CardScale || v.kind == record.RulerScale || v.kind == record.TwoPointScale
}

// height is what Lies means for this instrument. A card is 0.76 mm thick (ISO/IEC
// 7810, from memory); a table may be covered or an instrument padded, which a
// few millimetres allow for.
func (v *Scaling) height() *record.Quantity {
	d := v.s.Scene().Drawing
	switch v.lies {
	case OnBoard:
		h := d.HeightAt(outline.Front, shape.Pt{Y: outline.FretPosition(d.ScaleLength, min(5, d.Frets))})
		return &record.Quantity{Value: h.Value + 0.76, Uncertainty: h.Sigma + 0.5, How: "on the fingerboard"}
	case Beside:
		return &record.Quantity{Value: -d.Thickness(), Uncertainty: 5, How: "beside the instrument"}
	}
	return &record.Quantity{Value: 0.76, Uncertainty: 0.5, How: "on the front"}
}

// Plane is the fitted scale of the photo shown, nil without one.
func (v *Scaling) Plane() (*measure.Plane, error) {
	photo, _ := v.at()
	if photo == "" {
		return nil, nil
	}
	return v.s.Plane(photo)
}
