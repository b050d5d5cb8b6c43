package view

import (
	"context"
	"errors"
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/annotate/trace"
	"wornwood/capture/record"
)

// Tracing is the tool that takes the instrument's own outline from a photo: the
// silhouette is found, corrected by brush and by nodes, and kept in the place of
// the class's body.
type Tracing struct {
	s     *annotate.Session
	marks *Marks

	photo      string
	axis       []shape.Pt // nut and saddles, where the photo is not laid over the outline
	add, erase []trace.Stroke
	found      *trace.Result
	body       []shape.Pt    // the body's ring, mm
	nodes      []record.Node // the curve on the photo, pixels
	byHand     bool          // nodes were moved
	why        string        // why no body could be cut out
}

// nodeTolerance is how far the smooth curve may stray from the silhouette, mm.
const nodeTolerance = 0.8

// NewTracing makes the tool on the photo that the Marks screen shows.
func NewTracing(s *annotate.Session, m *Marks) *Tracing { return &Tracing{s: s, marks: m} }

// follow drops what belongs to another photo than the one shown.
func (v *Tracing) follow() {
	if p := v.marks.Photo(); v.photo != p {
		*v = Tracing{s: v.s, marks: v.marks, photo: p}
	}
}

// placed maps pixels of the photo to millimetres of the front sheet and back;
// nil while neither a registration nor the two points are there.
func (v *Tracing) placed() (toMM, toPx func(shape.Pt) shape.Pt) {
	sc := v.s.Scene()
	if pl := v.plane(); pl != nil {
		flat := measure.Height{}
		return func(p shape.Pt) shape.Pt { return pl.ToMM(p, flat) }, func(p shape.Pt) shape.Pt { return pl.ToPx(p, flat) }
	}
	if len(v.axis) == 2 {
		if a, err := trace.PlaceByAxis(v.axis[0], v.axis[1], sc.Drawing.ScaleLength); err == nil {
			return a.Apply, a.Inverse().Apply
		}
	}
	return nil, nil
}

// plane is the photo's registration to the front, nil without one.
func (v *Tracing) plane() *measure.Plane {
	p := v.s.Scene().Record.PhotoByID(v.marks.Photo())
	if p == nil || p.Registration() == nil || p.Registration().Side != string(outline.Front) {
		return nil
	}
	return v.s.Registration(p.ID)
}

// Axis are the points clicked on nut and saddles.
func (v *Tracing) Axis() []shape.Pt { v.follow(); return v.axis }

// NeedsAxis says that the photo is not laid over the outline, so nut and saddles
// have to be clicked for its size.
func (v *Tracing) NeedsAxis() bool {
	v.follow()
	a, _ := v.placed()
	return a == nil && v.photo != ""
}

// Prompt names the point to be clicked next, "" for none.
func (v *Tracing) Prompt() string {
	if !v.NeedsAxis() {
		return ""
	}
	return []string{"nut, middle", "saddles, middle"}[len(v.axis)%2]
}

// Click takes the middle of the nut, then that of the saddles.
func (v *Tracing) Click(p shape.Pt) {
	v.follow()
	if len(v.axis) == 2 {
		v.axis = nil
	}
	v.axis = append(v.axis, p)
	v.cut()
}

// Hint says what to do.
func (v *Tracing) Hint() string {
	v.follow()
	switch {
	case v.photo == "":
		return "Import a photo of the whole instrument on a plain backdrop first"
	case v.NeedsAxis():
		return "Click: " + v.Prompt()
	case v.found == nil:
		return "Press Trace: the instrument is looked for on its backdrop"
	case v.why != "":
		return "Correct the silhouette with the brushes"
	}
	return "Drag nodes to correct the curve, then keep it"
}

// TraceJob finds the silhouette; it may run beside the window.
type TraceJob struct {
	from    Pictures
	photo   record.Photo
	options trace.Options
	found   *trace.Result
}

// NewTraceJob makes the job.
func NewTraceJob(from Pictures, p record.Photo, o trace.Options) *TraceJob {
	return &TraceJob{from: from, photo: p, options: o}
}

// Run decodes the photo and finds the silhouette.
func (j *TraceJob) Run(ctx context.Context) error {
	img, err := j.from.Picture(j.photo)
	if err != nil {
		return err
	}
	if j.found, err = trace.Silhouette(ctx, img, j.options); err != nil {
		return fmt.Errorf("trace %s: %w", j.photo.Name, err)
	}
	return nil
}

// Job traces the photo shown, with what was painted on it.
func (v *Tracing) Job(from Pictures) (*TraceJob, error) {
	v.follow()
	p := v.s.Scene().Record.PhotoByID(v.photo)
	if p == nil {
		return nil, errors.New("trace: there is no photo yet; import one first")
	}
	return NewTraceJob(from, *p, trace.Options{Add: v.add, Erase: v.erase}), nil
}

// Show takes up what a job found.
func (v *Tracing) Show(j *TraceJob) {
	v.follow()
	if j.photo.ID == v.photo {
		v.found, v.byHand = j.found, false
		v.cut()
	}
}

// Paint adds a stroke of a brush; the silhouette is then looked for again.
func (v *Tracing) Paint(pts []shape.Pt, radius float64, add bool) {
	v.follow()
	st := trace.Stroke{Points: pts, Radius: radius}
	if add {
		v.add = append(v.add, st)
	} else {
		v.erase = append(v.erase, st)
	}
}

// cut takes the body out of the silhouette and lays the curve on it.
func (v *Tracing) cut() {
	v.body, v.nodes, v.why = nil, nil, ""
	toMM, toPx := v.placed()
	if v.found == nil || toMM == nil {
		return
	}
	v.body, v.why = CutBody(v.found.Ring, toMM, v.s.Scene().Drawing)
	if v.why != "" {
		return
	}
	v.nodes = mapNodes(trace.FitCurve(v.body, nodeTolerance), toPx)
}

// CutBody is the body's ring in millimetres of a silhouette in pixels, or in a
// sentence why there is none.
func CutBody(ring []shape.Pt, toMM func(shape.Pt) shape.Pt, d *outline.Drawing) ([]shape.Pt, string) {
	half, joint := d.NeckLine()
	body, err := trace.BodyOf(trace.Place(ring, toMM), half, joint)
	if err != nil {
		return nil, Words(err)
	}
	return body, ""
}

func mapNodes(nodes []record.Node, f func(shape.Pt) shape.Pt) []record.Node {
	out := make([]record.Node, len(nodes))
	for i, n := range nodes {
		out[i] = record.Node{At: f(n.At), In: f(n.In), Out: f(n.Out)}
	}
	return out
}

// Curve is the body's curve on the photo, pixels; nil before it is there.
func (v *Tracing) Curve() []record.Node { v.follow(); return v.nodes }

// SetCurve takes the curve as it was corrected on the photo. One that crosses
// itself is refused.
func (v *Tracing) SetCurve(nodes []record.Node) error {
	if simple, _ := trace.IsSimple(nodes); !simple {
		return errors.New("correct outline: the curve would cross itself there")
	}
	v.nodes, v.byHand = nodes, true
	return nil
}

// Ring is the whole silhouette on the photo, shown while no body is cut out.
func (v *Tracing) Ring() []shape.Pt {
	v.follow()
	if v.found == nil {
		return nil
	}
	return v.found.Ring
}

// Warnings are sentences about what makes the outline less sure.
func (v *Tracing) Warnings() []string {
	v.follow()
	var out []string
	if v.found != nil {
		out = append(out, v.found.Warnings...)
		if !v.found.Reliable {
			out = append([]string{"This backdrop makes the silhouette unreliable: check it all round before keeping it."}, out...)
		}
	}
	if v.why != "" {
		out = append(out, v.why)
	}
	return out
}

// Status is the state of the tool in a line.
func (v *Tracing) Status() string {
	v.follow()
	own := v.s.Scene().Record.Instrument.Own
	switch {
	case len(v.nodes) > 0:
		return count(len(v.nodes), "node", "nodes") + " on the body's edge."
	case v.found != nil:
		return "Silhouette found; the body is not cut out yet."
	case own != nil:
		return "The instrument has its own outline, " + own.How + "."
	}
	return "The class's outline is used."
}

// Own is the curve as an instrument keeps it.
func (v *Tracing) Own() (*record.Own, error) {
	v.follow()
	toMM, _ := v.placed()
	if len(v.nodes) == 0 || toMM == nil {
		return nil, errors.New("keep outline: trace the photo first")
	}
	how := "traced"
	if v.byHand {
		how = "traced and corrected by hand"
	}
	by := "scale length between nut and saddles"
	if pl := v.plane(); pl != nil {
		by = pl.Summary()
	}
	return &record.Own{Nodes: roundNodes(mapNodes(v.nodes, toMM)), Photo: v.photo, How: how + ", sized by " + by}, nil
}

// Keep makes the curve the instrument's own outline.
func (v *Tracing) Keep() error {
	own, err := v.Own()
	if err != nil {
		return err
	}
	return v.s.SetOwn(own)
}

// roundNodes keeps hundredths of a millimetre: more would mean nothing.
func roundNodes(nodes []record.Node) []record.Node {
	return mapNodes(nodes, func(p shape.Pt) shape.Pt { return shape.Pt{X: cents(p.X), Y: cents(p.Y)} })
}

// HasOwn says whether the instrument has an own outline now.
func (v *Tracing) HasOwn() bool { return v.s.Scene().Record.Instrument.Own != nil }

// BackToClass takes the own outline away.
func (v *Tracing) BackToClass() error { return v.s.SetOwn(nil) }

// Again drops what was traced and painted on the photo.
func (v *Tracing) Again() { *v = Tracing{s: v.s, marks: v.marks, photo: v.marks.Photo()} }
