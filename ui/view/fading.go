package view

import (
	"errors"
	"fmt"
	"image/color"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/colour"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Fading is the tool that reads a colour difference for the selected mark: a
// patch as the colour was, a patch where it has changed, and a grey card where
// one was photographed.
type Fading struct {
	s     *annotate.Session
	marks *Marks
	next  PatchWord
	rings map[PatchWord]patch
	mark  int // the mark that the patches are for
}

type patch struct {
	photo string
	ring  []shape.Pt
	read  *colour.Reading // nil until it was read
}

// PatchWord names one of the patches.
type PatchWord int

// The patches in the order in which they are dragged.
const (
	ReferencePatch PatchWord = iota
	FadedPatch
	GreyPatch
)

// PatchWords are the patches as buttons and tags say them.
var PatchWords = []string{"reference", "faded", "grey card"}

// ColourSource opens a photo for colours to be read from.
type ColourSource interface {
	OriginalBytes(id string) ([]byte, error)
}

// NewFading makes the tool on the photo that the Marks screen shows.
func NewFading(s *annotate.Session, m *Marks) *Fading {
	return &Fading{s: s, marks: m, rings: map[PatchWord]patch{}}
}

// Next is the patch that the next drag makes.
func (v *Fading) Next() PatchWord { v.follow(); return v.next }

// SetNext chooses the patch that the next drag makes.
func (v *Fading) SetNext(w PatchWord) { v.next = w }

// follow takes up the patches of the mark that is selected.
func (v *Fading) follow() {
	n := v.s.Scene().Selected
	if n == v.mark {
		return
	}
	v.mark, v.next, v.rings = n, ReferencePatch, map[PatchWord]patch{}
	m := v.s.Scene().Record.MarkByNumber(n)
	if m == nil || m.Fade == nil {
		return
	}
	v.rings[ReferencePatch] = patch{photo: m.Fade.Reference.Photo, ring: m.Fade.Reference.Ring}
	v.rings[FadedPatch] = patch{photo: m.Fade.Faded.Photo, ring: m.Fade.Faded.Ring}
	if m.Fade.Grey != nil {
		v.rings[GreyPatch] = patch{photo: m.Fade.Grey.Photo, ring: m.Fade.Grey.Ring}
	}
}

// Hint says what to do.
func (v *Fading) Hint() string {
	v.follow()
	if v.mark == 0 {
		return "Select the mark whose colour has changed, or pin it first"
	}
	return [3]string{"Drag a patch where the colour is as it was", "Drag a patch where it has changed", "Drag a patch of the grey card, if there is one"}[v.next]
}

// Patches are the patches on the photo shown.
func (v *Fading) Patches() []FadePatch {
	v.follow()
	var out []FadePatch
	for w, p := range PatchWords {
		q, ok := v.rings[PatchWord(w)]
		if !ok || q.photo != v.marks.Photo() {
			continue
		}
		f := FadePatch{Ring: q.ring, Word: p}
		if q.read != nil {
			f.Word = fmt.Sprintf("%s, L* %.1f", p, q.read.Lab.L)
			f.Colour = color.RGBAModel.Convert(q.read.Mean.Swatch()).(color.RGBA)
		}
		out = append(out, f)
	}
	return out
}

// FadePatch is a patch as it is shown.
type FadePatch struct {
	Ring   []shape.Pt
	Word   string
	Colour color.RGBA
}

// Drag makes the patch that is next from a rectangle on the photo shown and
// goes on to the one after it. Read follows.
func (v *Fading) Drag(r shape.Rect) error {
	v.follow()
	if v.mark == 0 {
		return errors.New("read colour: select the mark whose colour has changed, or pin it first")
	}
	if v.marks.Photo() == "" {
		return errors.New("read colour: there is no photo yet; import one first")
	}
	ring := []shape.Pt{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
	v.rings[v.next] = patch{photo: v.marks.Photo(), ring: ring}
	v.next = min(v.next+1, GreyPatch)
	return nil
}

// Complete says that reference and faded patch are there, so Read can run.
func (v *Fading) Complete() bool {
	_, a := v.rings[ReferencePatch]
	_, b := v.rings[FadedPatch]
	return v.mark > 0 && a && b
}

// Job is the reading of the patches as they are now; it may run beside the
// window, and its result is put on record by Keep.
func (v *Fading) Job(src ColourSource) *FadeJob {
	var patches [3]*record.Patch
	for w, p := range v.rings {
		patches[w] = &record.Patch{Photo: p.photo, Ring: p.ring}
	}
	return NewFadeJob(src, v.s.Scene().Record, v.mark, patches, colour.Options{})
}

// Keep puts what a job read on record.
func (v *Fading) Keep(j *FadeJob) error {
	if j.mark == v.mark {
		for w, p := range j.patches {
			if p != nil {
				v.rings[PatchWord(w)] = patch{p.Photo, p.Ring, &j.read[w]}
			}
		}
	}
	f, r := j.result.Record()
	return v.s.SetFade(j.mark, &f, r)
}

// Clear takes the patches and the reading off the selected mark.
func (v *Fading) Clear() error {
	v.follow()
	v.rings, v.next = map[PatchWord]patch{}, ReferencePatch
	m := v.s.Scene().Record.MarkByNumber(v.mark)
	if m == nil || m.Fade == nil {
		return nil
	}
	return v.s.SetFade(v.mark, nil, nil)
}

// Result is what is on record for the selected mark: a line, the sentences below
// it, and whether it is to be relied on. ok is false when nothing was read.
func (v *Fading) Result() (line string, details []string, reliable, ok bool) {
	v.follow()
	m := v.s.Scene().Record.MarkByNumber(v.mark)
	if m == nil || m.Fade == nil {
		return "", nil, false, false
	}
	line, _, _ = strings.Cut(colour.Words(m.Fade), "; ")
	why := colour.Unreliable(m.Fade)
	if why != "" {
		details = append(details, "Unreliable: "+why+". It does not enter the grade.")
	}
	for _, d := range colour.Details(m.Fade) {
		details = append(details, Capital(d)+".")
	}
	return line, details, why == "", true
}

// Title names the mark that the patches are for.
func (v *Fading) Title() string {
	v.follow()
	m := v.s.Scene().Record.MarkByNumber(v.mark)
	if m == nil {
		return "No mark selected"
	}
	return fmt.Sprintf("Mark %d, %s", m.Number, m.Kind)
}

// Help says what a reading is worth.
func (v *Fading) Help() []string { return []string{colour.Help(), colour.SheenHelp()} }
