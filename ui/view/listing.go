package view

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/pdfout/listing"
	"wornwood/pdfout/prose"
)

// ListingKeeper is where a listing is kept and where its photos come from;
// capture/bench's Bench is one.
type ListingKeeper interface {
	listing.Originals
	dating.TableKeeper
	Listing(exam string) ([]byte, error)
	KeepListing(exam string, data []byte) error
}

// Listing is the part of the Report screen that makes a listing: photos, text,
// and what the text leaves out. What is decided is kept at once, and beside the
// record: it may change after the report was issued.
type Listing struct {
	s        *annotate.Session
	keep     ListingKeeper
	tables   []dating.Table
	draft    *listing.Draft
	selected string // Photo.ID
}

// NewListing makes the model on a session with what was kept.
func NewListing(s *annotate.Session, keep ListingKeeper) (*Listing, error) {
	data, err := keep.Listing(s.Scene().Record.Examination.ID)
	if err != nil {
		return nil, err
	}
	v := &Listing{s: s, keep: keep, tables: dating.Load(keep), draft: &listing.Draft{}}
	if data != nil {
		if v.draft, err = listing.Read(bytes.NewReader(data)); err != nil {
			return nil, err
		}
	}
	return v, nil
}

// change alters the draft and keeps it; what cannot be kept changes nothing.
func (v *Listing) change(f func(d *listing.Draft)) error {
	next := *v.draft
	next.Photos = slices.Clone(v.draft.Photos)
	f(&next)
	if err := next.Check(); err != nil {
		return fmt.Errorf("change listing: %w", err)
	}
	data, err := next.JSON()
	if err != nil {
		return err
	}
	if err := v.keep.KeepListing(v.s.Scene().Record.Examination.ID, data); err != nil {
		return err
	}
	v.draft = &next
	return nil
}

// source is what the text is made from; ok is false while there is no grade.
func (v *Listing) source() (s prose.Source, ok bool) {
	sc := v.s.Scene()
	return prose.Source{Record: sc.Record, Grade: sc.Grade, Drawing: sc.Drawing, Rubric: sc.Rubric, Tables: v.tables}, sc.Grade != nil
}

// composed is the text as the record makes it.
func (v *Listing) composed() string {
	s, ok := v.source()
	if !ok {
		return ""
	}
	return listing.Compose(s, v.draft.NoSerials)
}

// Text is the listing's text: as it was edited, else as it is composed.
func (v *Listing) Text() string {
	if v.Edited() {
		return v.draft.Text
	}
	return v.composed()
}

// Edited tells whether the text is somebody's own.
func (v *Listing) Edited() bool { return strings.TrimSpace(v.draft.Text) != "" }

// SetText keeps an edited text. One that is the composed one, or empty, follows
// the record again.
func (v *Listing) SetText(text string) error {
	if text == v.Text() {
		return nil
	}
	if strings.TrimSpace(text) == strings.TrimSpace(v.composed()) {
		text = ""
	}
	return v.change(func(d *listing.Draft) { d.Text = text })
}

// Compose drops what was edited.
func (v *Listing) Compose() error { return v.change(func(d *listing.Draft) { d.Text = "" }) }

// ListingForms are the forms in which the text can be copied, in their order.
var ListingForms = []string{"plain", "Markdown", "HTML"}

// Copy is the text in one of the forms.
func (v *Listing) Copy(form int) string {
	switch form {
	case 1:
		return listing.Markdown(v.Text())
	case 2:
		return listing.HTMLBody(v.Text())
	}
	return v.Text()
}

// Findings is what the text leaves out, and where it says too much.
func (v *Listing) Findings() []listing.Finding { return v.Check(v.Text()) }

// Check compares a text with the record.
func (v *Listing) Check(text string) []listing.Finding {
	s, ok := v.source()
	if !ok {
		return nil
	}
	return listing.Check(text, s, v.draft.NoSerials)
}

// CheckTitle says in a line what the check found.
func CheckTitle(found []listing.Finding) string {
	left, much := 0, 0
	for _, f := range found {
		if f.Sort == listing.LeftUntold {
			left++
		} else {
			much++
		}
	}
	switch {
	case left+much == 0:
		return "The text tells what the report says"
	case much == 0:
		return count(left, "thing is", "things are") + " left out"
	case left == 0:
		return count(much, "place says", "places say") + " too much"
	}
	return fmt.Sprintf("%d left out, %d too much", left, much)
}

// CheckHelp says what the check is worth.
const CheckHelp = "The check goes by words, not by meaning: it can miss a thing and can ask for one that is told in words it does not know. It informs; the text is yours."

// ListingPhoto is one photo as the listing shows it.
type ListingPhoto struct {
	ID, Name string
	File     string // in the set; "" when it is left out
	Why      string // why it is left out
	Out      bool   // by the dealer's own choice
	Covers   []shape.Rect
	Selected bool
}

// Photos lists the photos of the set in its order, those left out behind.
func (v *Listing) Photos() []ListingPhoto {
	rec := v.s.Scene().Record
	taken, out := listing.Choose(rec, v.draft)
	var list []ListingPhoto
	add := func(p *record.Photo, file, why string) {
		said := v.draft.Photo(p.ID)
		lp := ListingPhoto{ID: p.ID, Name: photoName(p), File: file, Why: why, Out: said.Out}
		for _, c := range said.Covers {
			lp.Covers = append(lp.Covers, c.Rect())
		}
		list = append(list, lp)
	}
	for _, t := range taken {
		add(t.Photo, t.Name, "")
	}
	for _, o := range out {
		add(o.Photo, "", o.Why)
	}
	if !slices.ContainsFunc(list, func(p ListingPhoto) bool { return p.ID == v.selected }) && len(list) > 0 {
		v.selected = list[0].ID
	}
	for i := range list {
		list[i].Selected = list[i].ID == v.selected
	}
	return list
}

func photoName(p *record.Photo) string {
	if p.View != "" {
		return p.View
	}
	return p.Name
}

// Select shows a photo.
func (v *Listing) Select(id string) { v.selected = id }

// Selected is the photo that is shown, nil without photos.
func (v *Listing) Selected() *record.Photo {
	v.Photos()
	return v.s.Scene().Record.PhotoByID(v.selected)
}

// SetOut leaves a photo out, or takes it in.
func (v *Listing) SetOut(id string, out bool) error {
	return v.change(func(d *listing.Draft) {
		p := d.Photo(id)
		p.Out = out
		d.SetPhoto(p)
	})
}

// AddCover lays a cover over a photo, corners in pixels of the upright photo; the
// part outside the photo is cut off.
func (v *Listing) AddCover(id string, r shape.Rect) error {
	ph := v.s.Scene().Record.PhotoByID(id)
	if ph == nil {
		return fmt.Errorf("cover photo: the examination has no such photo")
	}
	c := listing.Cover{max(0, min(r.Min.X, r.Max.X)), max(0, min(r.Min.Y, r.Max.Y)), min(float64(ph.Width), max(r.Min.X, r.Max.X)), min(float64(ph.Height), max(r.Min.Y, r.Max.Y))}
	if c[2]-c[0] < 1 || c[3]-c[1] < 1 {
		return fmt.Errorf("cover photo %s: the cover lies outside the photo, which is %d by %d pixels", ph.Name, ph.Width, ph.Height)
	}
	return v.change(func(d *listing.Draft) {
		p := d.Photo(id)
		p.Covers = append(slices.Clone(p.Covers), c)
		d.SetPhoto(p)
	})
}

// RemoveCover takes the i-th cover of a photo off; -1 takes off all.
func (v *Listing) RemoveCover(id string, i int) error {
	return v.change(func(d *listing.Draft) {
		p := d.Photo(id)
		if p.Covers = slices.Clone(p.Covers); i < 0 {
			p.Covers = nil
		} else if i < len(p.Covers) {
			p.Covers = slices.Delete(p.Covers, i, i+1)
		}
		d.SetPhoto(p)
	})
}

// CoverAt is the topmost cover of a photo at a place, -1 for none.
func (v *Listing) CoverAt(id string, at shape.Pt) int {
	covers := v.draft.Photo(id).Covers
	for i := len(covers) - 1; i >= 0; i-- {
		if r := covers[i].Rect(); at.X >= r.Min.X && at.X <= r.Max.X && at.Y >= r.Min.Y && at.Y <= r.Max.Y {
			return i
		}
	}
	return -1
}

// Draft is what was decided.
func (v *Listing) Draft() listing.Draft { return *v.draft }

// Sizes are the sizes as a field shows them: "1600, 800".
func (v *Listing) Sizes() string {
	if len(v.draft.Sizes) == 0 {
		return "1600"
	}
	var out []string
	for _, s := range v.draft.Sizes {
		out = append(out, strconv.Itoa(s))
	}
	return strings.Join(out, ", ")
}

// SetSizes reads sizes as they are typed, in any order.
func (v *Listing) SetSizes(text string) error {
	var sizes []int
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == ' ' }) {
		n, err := strconv.Atoi(strings.TrimSuffix(w, "px"))
		if err != nil {
			return fmt.Errorf("%q is no size in pixels; write one or several, such as 1600, 800", w)
		}
		sizes = append(sizes, n)
	}
	slices.SortFunc(sizes, func(a, b int) int { return b - a })
	sizes = slices.Compact(sizes)
	if slices.Equal(sizes, v.draft.Sizes) {
		return nil
	}
	return v.change(func(d *listing.Draft) { d.Sizes = sizes })
}

// Quality is the JPEG quality as a field shows it.
func (v *Listing) Quality() string {
	if v.draft.Quality == 0 {
		return strconv.Itoa(listing.UsualQuality)
	}
	return strconv.Itoa(v.draft.Quality)
}

// SetQuality reads a quality as it is typed.
func (v *Listing) SetQuality(text string) error {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > 100 {
		return fmt.Errorf("%q is no JPEG quality; it is a number from 1 to 100, 85 is usual", text)
	}
	if text == v.Quality() {
		return nil
	}
	return v.change(func(d *listing.Draft) { d.Quality = n })
}

// SetPins burns the numbers of marks in, or does not.
func (v *Listing) SetPins(on bool) error { return v.change(func(d *listing.Draft) { d.Pins = on }) }

// SetNoSerials withholds serial numbers, or does not.
func (v *Listing) SetNoSerials(on bool) error {
	return v.change(func(d *listing.Draft) { d.NoSerials = on })
}

// ListingJob writes the set; it may run beside the window.
type ListingJob struct {
	to      string
	source  prose.Source
	draft   listing.Draft
	keep    ListingKeeper
	Written *listing.Written
}

// Job makes the work of writing the set to a new folder or zip file, as it is
// now.
func (v *Listing) Job(to string) (*ListingJob, error) {
	s, ok := v.source()
	if !ok {
		return nil, fmt.Errorf("make listing: the examination cannot be graded yet; the Marks screen says why")
	}
	return &ListingJob{to: to, source: s, draft: *v.draft, keep: v.keep}, nil
}

// Run writes it.
func (j *ListingJob) Run(ctx context.Context, progress func(done, total int, what string)) (err error) {
	j.Written, err = listing.Write(ctx, j.to, j.source, &j.draft, j.keep, progress)
	return err
}

// Said says what was written, a sentence each.
func (j *ListingJob) Said() []string {
	w := j.Written
	out := []string{fmt.Sprintf("%s and the text in three forms, %.1f MB, are in %s.", count(w.Photos, "photo", "photos"), float64(w.Bytes)/1e6, j.to)}
	for _, l := range w.LeftOut {
		name := l.Photo.Name
		if l.Photo.View != "" {
			name += " (" + l.Photo.View + ")"
		}
		out = append(out, name+" is not in it: "+l.Why+".")
	}
	return append(out, w.Remarks...)
}
