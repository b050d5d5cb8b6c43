package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Marks is the screen on which marks are pinned: outline, photo, and the panel
// of the selected mark. The zero tool is the pin.
type Marks struct {
	s     *annotate.Session
	tab   string // ID of the outline's view
	photo string // photo shown
	Tool  record.Shape

	// waiting is a mark that was pinned on one surface and can now be given its
	// place on the other by the next click there.
	waiting int

	// linking is a mark that the next click on a photo ties to that photo, besides
	// those it is on already.
	linking int
}

// NewMarks makes the model on a session, showing the front and the first photo.
func NewMarks(s *annotate.Session) *Marks {
	v := &Marks{s: s, tab: "front", Tool: record.PointShape}
	v.photo = v.Photo()
	return v
}

// Tabs lists the views of the outline.
func (v *Marks) Tabs() []outline.View { return v.s.Scene().Drawing.Views() }

// Tab is the view shown.
func (v *Marks) Tab() outline.View {
	for _, t := range v.Tabs() {
		if t.ID == v.tab {
			return t
		}
	}
	return v.Tabs()[0]
}

// SetTab shows another view of the outline.
func (v *Marks) SetTab(id string) { v.tab = id }

// Photo is the ID of the photo shown, "" when there is none.
func (v *Marks) Photo() string {
	rec := v.s.Scene().Record
	if rec.PhotoByID(v.photo) == nil {
		v.photo = ""
		if ps := inViewOrder(rec); len(ps) > 0 {
			v.photo = ps[0].ID
		}
	}
	return v.photo
}

// SetPhoto shows another photo.
func (v *Marks) SetPhoto(id string) { v.photo = id }

// PhotoLine is the caption over the photo: its camera date or its lack of one.
func (v *Marks) PhotoLine() string {
	p := v.s.Scene().Record.PhotoByID(v.Photo())
	switch {
	case p == nil:
		return "no photo"
	case p.Taken == "":
		return p.Name + " · no camera date"
	}
	return CameraDate(p.Taken) + ", camera clock"
}

// CameraDate is a camera's date as people read it, with the zone where the file
// has one and without sub-seconds: "14 Nov 2026 10:12:41 +01:00".
func CameraDate(taken string) string {
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05.999999999"} {
		t, err := time.Parse(layout, taken)
		if err != nil {
			continue
		}
		if layout == time.RFC3339Nano {
			return t.Format("2 Jan 2006 15:04:05 -07:00")
		}
		return t.Format("2 Jan 2006 15:04:05") + ", no zone"
	}
	return taken
}

// Thumbs lists the photos of the strip with the number of marks on each.
func (v *Marks) Thumbs() []PhotoTile {
	rec := v.s.Scene().Record
	out := make([]PhotoTile, 0, len(rec.Photos))
	for _, p := range inViewOrder(rec) {
		out = append(out, tile(rec, p, ""))
	}
	return out
}

// inViewOrder lists the photos with the body's front first, then the other
// views in the order of the class, close-ups, and loose photos, each by the
// camera's clock.
func inViewOrder(rec *record.Record) []record.Photo {
	rank := map[string]int{"front": -1, annotate.CloseUp: 1000, "": 1001}
	for i, w := range annotate.PhotoViews(rec.Instrument.Class) {
		if _, ok := rank[w.ID]; !ok {
			rank[w.ID] = i
		}
	}
	out := slices.Clone(rec.Photos)
	slices.SortStableFunc(out, func(a, b record.Photo) int {
		if d := rank[a.View] - rank[b.View]; d != 0 {
			return d
		}
		return strings.Compare(a.Taken, b.Taken)
	})
	return out
}

// Draw puts a shape drawn with the present tool on the outline or, with photo
// true, on the photo. It belongs to the mark that waits for a place there,
// otherwise to a new mark. It returns the mark's number.
func (v *Marks) Draw(photo bool, s record.Shape, pts []record.Point) (int, error) {
	on := annotate.Surface{Side: v.Tab().Side}
	if photo {
		if on = (annotate.Surface{Photo: v.Photo()}); on.Photo == "" {
			return 0, fmt.Errorf("pin mark: there is no photo yet; import one first")
		}
	}
	if n := v.Waiting(photo); n > 0 {
		if err := v.s.AddPlace(n, on, s, pts); err != nil {
			return n, err
		}
		v.waiting, v.linking = 0, 0
		v.s.Select(n)
		return n, nil
	}
	n, err := v.s.AddMark(on, s, pts)
	if err != nil {
		return 0, err
	}
	v.waiting = n
	return n, nil
}

// Waiting is the mark that the next shape on that surface belongs to, 0 for
// none.
func (v *Marks) Waiting(photo bool) int {
	if m := v.s.Scene().Record.MarkByNumber(v.linking); photo && m != nil && !m.OnPhoto(v.Photo()) {
		return m.Number
	}
	m := v.s.Scene().Record.MarkByNumber(v.waiting)
	if m == nil || (photo && len(m.Photos) > 0) || (!photo && len(m.On) > 0) {
		return 0
	}
	return m.Number
}

// StopWaiting leaves the mark with the places it has.
func (v *Marks) StopWaiting() { v.waiting, v.linking = 0, 0 }

// Locate makes an existing mark wait for its missing place.
func (v *Marks) Locate(n int) { v.waiting = n }

// CanLink says whether the selected mark could be tied to the photo shown
// besides those it is on.
func (v *Marks) CanLink() bool {
	sc := v.s.Scene()
	m := sc.Record.MarkByNumber(sc.Selected)
	return m != nil && v.Photo() != "" && !m.OnPhoto(v.Photo())
}

// Link makes the next click on the photo tie the selected mark to it.
func (v *Marks) Link() { v.linking = v.s.Scene().Selected }

// CanUnlink says whether the selected mark is on the photo shown and elsewhere,
// so that it can be untied here.
func (v *Marks) CanUnlink() bool {
	sc := v.s.Scene()
	m := sc.Record.MarkByNumber(sc.Selected)
	return m != nil && m.OnPhoto(v.Photo()) && len(m.On)+len(m.Photos) > 1
}

// Unlink unties the selected mark from the photo shown.
func (v *Marks) Unlink() error {
	return v.onSelected(func(n int) error { return v.s.RemovePlace(n, annotate.Surface{Photo: v.Photo()}) })
}

// Hint says in a sentence what the next click does, "" when that is plain.
func (v *Marks) Hint() string {
	if n := v.Waiting(true); n > 0 && v.Photo() != "" {
		return fmt.Sprintf("Mark %d: click it on the photo too, or press Esc", n)
	}
	if n := v.Waiting(false); n > 0 {
		return fmt.Sprintf("Mark %d: click its place on the outline, or press Esc", n)
	}
	switch v.Tool {
	case record.LineShape:
		return "Click along the line; Enter ends it, Esc drops it"
	case record.AreaShape:
		return "Click round the area; Enter or the first point closes it"
	}
	return ""
}

// Select selects a mark and brings a view and a photo that show it forward,
// unless the ones shown do.
func (v *Marks) Select(n int) {
	sc := v.s.Scene()
	if n != v.waiting {
		v.waiting = 0
	}
	v.linking = 0
	if m := sc.Record.MarkByNumber(n); m != nil {
		v.bringForward(sc, m)
	}
	v.s.Select(n)
}

func (v *Marks) bringForward(sc *annotate.Scene, m *record.Mark) {
	tab := v.Tab()
	shown := func(t outline.View) bool {
		for _, p := range m.On {
			if p.Side == string(t.Side) && len(p.Points) > 0 && t.Bounds.Contains(draw.AnchorOf(p.Shape, p.Points)) {
				return true
			}
		}
		return false
	}
	if !shown(tab) {
		for _, t := range v.Tabs() {
			if shown(t) {
				v.tab = t.ID
				break
			}
		}
	}
	if !m.OnPhoto(v.Photo()) && len(m.Photos) > 0 {
		v.photo = m.Photos[0].Photo
	}
}

// Move drags a mark's place by a vector in the unit of its surface.
func (v *Marks) Move(photo bool, n int, d shape.Pt) error {
	m := v.s.Scene().Record.MarkByNumber(n)
	if m == nil {
		return fmt.Errorf("there is no mark %d", n)
	}
	if photo {
		for _, p := range m.Photos {
			if p.Photo == v.Photo() {
				return v.s.MovePlace(n, annotate.Surface{Photo: p.Photo}, 0, shifted(p.Points, d))
			}
		}
		return fmt.Errorf("mark %d is not on this photo", n)
	}
	side := v.Tab().Side
	for _, p := range m.On {
		if p.Side == string(side) && len(p.Points) > 0 {
			return v.s.MovePlace(n, annotate.Surface{Side: side}, 0, shifted(p.Points, d))
		}
	}
	return fmt.Errorf("mark %d is not on this side", n)
}

func shifted(pts []record.Point, d shape.Pt) []record.Point {
	out := make([]record.Point, len(pts))
	for i, p := range pts {
		out[i] = record.Point{X: p.X + d.X, Y: p.Y + d.Y}
	}
	return out
}

// NextTab shows a group's first view, or its next one when the group is shown
// already: Sides goes from bass to treble, Head from front to back.
func (v *Marks) NextTab(group string) {
	var ids []string
	at := -1
	for _, t := range v.Tabs() {
		if t.Group == group {
			if t.ID == v.Tab().ID {
				at = len(ids)
			}
			ids = append(ids, t.ID)
		}
	}
	if len(ids) > 0 {
		v.tab = ids[(at+1)%len(ids)]
	}
}

// TabLabel is what a group's tab says: the view shown where there are several.
func (v *Marks) TabLabel(group string) string {
	n := 0
	for _, t := range v.Tabs() {
		if t.Group == group {
			n++
		}
	}
	if t := v.Tab(); t.Group == group && n > 1 {
		return t.Name
	}
	return group
}

// Tip gives the lines of the note beside a hovered mark.
func (v *Marks) Tip(n int) []string {
	for _, r := range v.Rows() {
		if r.Number == n {
			m := v.s.Scene().Record.MarkByNumber(n)
			lines := []string{fmt.Sprintf("%d  %s", n, r.Text), Where(v.s.Scene().Drawing, m)}
			if r.Points != "–" {
				lines = append(lines, "costs "+r.Points)
			}
			return lines
		}
	}
	return nil
}
