package view

import (
	"context"
	"errors"

	"wornwood/annotate"
	"wornwood/annotate/shape"
	"wornwood/annotate/suggest"
	"wornwood/capture/record"
)

// Suggesting is the tool that points at likely finish checks and dings in an
// area of a photo. Nothing becomes a mark until the examiner accepts it, and
// what was dismissed is not shown again.
type Suggesting struct {
	s           *annotate.Session
	marks       *Marks
	sensitivity float64
	photo       string
	area        []shape.Pt
	search      *suggest.Search // of the area, for the slider
	found       *suggest.Result
}

// NewSuggesting makes the tool on the photo that the Marks screen shows.
func NewSuggesting(s *annotate.Session, m *Marks) *Suggesting {
	return &Suggesting{s: s, marks: m, sensitivity: 0.5}
}

// Sensitivity is the slider: 0 few and sure, 1 many and doubtful.
func (v *Suggesting) Sensitivity() float64 { return v.sensitivity }

// SetSensitivity moves the slider.
func (v *Suggesting) SetSensitivity(x float64) {
	v.sensitivity = min(max(x, 0), 1)
	if v.search != nil && v.photo == v.marks.Photo() {
		v.found = v.search.At(v.sensitivity)
	}
}

// SetArea chooses where to look on the photo shown.
func (v *Suggesting) SetArea(ring []shape.Pt) {
	v.photo, v.area, v.search, v.found = v.marks.Photo(), ring, nil, nil
}

// Area is the area chosen on the photo shown, nil for none.
func (v *Suggesting) Area() []shape.Pt {
	if v.photo != v.marks.Photo() {
		return nil
	}
	return v.area
}

// Hint says what to do.
func (v *Suggesting) Hint() string {
	switch {
	case v.Area() == nil:
		return "Draw round the part of the finish to look at"
	case v.found != nil && len(v.Ghosts()) > 0:
		return "Accept or dismiss each; N goes to the next"
	}
	return "Draw another area, or move the slider and look again"
}

// SuggestJob looks through an area; it may run beside the window.
type SuggestJob struct {
	from        Pictures
	photo       record.Photo
	area        []shape.Pt
	sensitivity float64
	search      *suggest.Search
	found       *suggest.Result
}

// NewSuggestJob makes the job.
func NewSuggestJob(from Pictures, p record.Photo, area []shape.Pt, sensitivity float64) *SuggestJob {
	return &SuggestJob{from: from, photo: p, area: area, sensitivity: sensitivity}
}

// Run decodes the photo and looks through its area.
func (j *SuggestJob) Run(ctx context.Context) error {
	img, err := j.from.Picture(j.photo)
	if err != nil {
		return err
	}
	j.search, err = suggest.Prepare(ctx, img, j.area, suggest.Options{Scale: float64(j.photo.Width) / float64(max(1, img.Bounds().Dx()))})
	if err == nil {
		j.found = j.search.At(j.sensitivity)
	}
	return err
}

// Job looks through the area chosen.
func (v *Suggesting) Job(from Pictures) (*SuggestJob, error) {
	p := v.s.Scene().Record.PhotoByID(v.marks.Photo())
	if p == nil || len(v.Area()) < 3 {
		return nil, errors.New("look for marks: draw round the part of the finish to look at first")
	}
	return NewSuggestJob(from, *p, v.area, v.sensitivity), nil
}

// Show takes up what a job found.
func (v *Suggesting) Show(j *SuggestJob) {
	v.search, v.found, v.photo, v.area = j.search, j.found, j.photo.ID, j.area
}

// Open are a result's suggestions without those that are marks already or were
// dismissed.
func (j *SuggestJob) Open(rec *record.Record) []suggest.Ghost {
	if j.found == nil {
		return nil
	}
	return open(j.found.Ghosts, rec, j.photo.ID)
}

// Note is what the result says of itself, "" for nothing.
func (j *SuggestJob) Note() string {
	if j.found == nil {
		return ""
	}
	return j.found.Note
}

func open(ghosts []suggest.Ghost, rec *record.Record, photo string) []suggest.Ghost {
	p := rec.PhotoByID(photo)
	if p == nil {
		return nil
	}
	var marks []record.PhotoPlace
	for _, m := range rec.Marks {
		for _, at := range m.Photos {
			if at.Photo == photo {
				marks = append(marks, at)
			}
		}
	}
	return suggest.Without(ghosts, p.Dismissed, marks)
}

// Ghosts are the suggestions still open on the photo shown, numbered from 1.
func (v *Suggesting) Ghosts() []suggest.Ghost {
	if v.found == nil || v.photo != v.marks.Photo() {
		return nil
	}
	return open(v.found.Ghosts, v.s.Scene().Record, v.photo)
}

// Answer accepts the suggestion with the number among Ghosts, or dismisses it.
func (v *Suggesting) Answer(n int, accept bool) error {
	gs := v.Ghosts()
	if n < 1 || n > len(gs) {
		return nil
	}
	g := gs[n-1]
	if !accept {
		return v.s.Dismiss(v.photo, g.Shape, g.Points)
	}
	_, err := v.s.AddSuggested(v.photo, g.Kind, g.Shape, g.Points)
	return err
}

// Summary is what was found, in a line.
func (v *Suggesting) Summary() string {
	if v.found == nil || v.photo != v.marks.Photo() {
		return "Nothing looked at yet."
	}
	return Tally(v.Ghosts())
}

// Tally counts suggestions by kind.
func Tally(gs []suggest.Ghost) string {
	n := map[record.Kind]int{}
	for _, g := range gs {
		n[g.Kind]++
	}
	if len(gs) == 0 {
		return "No suggestion is open."
	}
	return join(" and ", none(n[suggest.Check], "likely finish check", "likely finish checks"), none(n[suggest.Ding], "likely ding", "likely dings")) + "."
}

func none(n int, one, many string) string {
	if n == 0 {
		return ""
	}
	return count(n, one, many)
}

// Note is what the result says of itself: where it does not work.
func (v *Suggesting) Note() string {
	if v.found == nil || v.photo != v.marks.Photo() {
		return ""
	}
	return v.found.Note
}

// Dismissed counts what was turned down on the photo shown.
func (v *Suggesting) Dismissed() int {
	if p := v.s.Scene().Record.PhotoByID(v.marks.Photo()); p != nil {
		return len(p.Dismissed)
	}
	return 0
}

// Forget lets what was dismissed be suggested again.
func (v *Suggesting) Forget() error { return v.s.ForgetDismissed(v.marks.Photo()) }

// Help says how often suggestions are right.
func (v *Suggesting) Help() string { return suggest.Help() }
