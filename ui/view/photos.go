package view

import (
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// PhotoTile is one photo, or one view that has none yet (Photo is "").
type PhotoTile struct {
	Photo string
	View  string
	Hint  string // what the view should show
	Name  string
	Marks int
	Flag  bool // the file's dates or readers give cause for a remark
}

// Photos is the screen of views and photos.
type Photos struct {
	s        *annotate.Session
	Selected string
}

// NewPhotos makes the model on a session.
func NewPhotos(s *annotate.Session) *Photos { return &Photos{s: s} }

// Tiles lists the views of the class in order, filled or not, then close-ups
// and loose photos.
func (v *Photos) Tiles() []PhotoTile {
	rec := v.s.Scene().Record
	used := map[string]bool{}
	var tiles []PhotoTile
	for _, w := range annotate.PhotoViews(rec.Instrument.Class) {
		t := PhotoTile{View: w.ID, Hint: w.Hint}
		for _, p := range rec.Photos {
			if p.View == w.ID && !used[p.ID] {
				t, used[p.ID] = tile(rec, p, w.Hint), true
				break
			}
		}
		tiles = append(tiles, t)
	}
	for _, p := range rec.Photos {
		if !used[p.ID] {
			tiles = append(tiles, tile(rec, p, ""))
		}
	}
	return tiles
}

func tile(rec *record.Record, p record.Photo, hint string) PhotoTile {
	return PhotoTile{Photo: p.ID, View: p.View, Hint: hint, Name: p.Name, Marks: marksOnPhoto(rec, p.ID),
		Flag: len(p.Remarks) > 0 || len(p.Differences) > 0}
}

func marksOnPhoto(rec *record.Record, id string) int {
	n := 0
	for i := range rec.Marks {
		if rec.Marks[i].OnPhoto(id) {
			n++
		}
	}
	return n
}

// Detail lists what is known of a photo, label and value.
func (v *Photos) Detail(id string) [][2]string {
	p := v.s.Scene().Record.PhotoByID(id)
	if p == nil {
		return nil
	}
	d := [][2]string{{"File", p.Name}, {"Size", fmt.Sprintf("%d × %d, %s, %.1f MB", p.Width, p.Height, strings.ToUpper(p.Format), float64(p.Size)/1e6)}}
	add := func(k, val string) {
		if val != "" {
			d = append(d, [2]string{k, val})
		}
	}
	taken := p.Taken
	if taken == "" {
		taken = "no camera date in the file"
	}
	add("Camera clock", taken)
	add("Camera", p.Camera)
	add("Serial", p.Serial)
	add("Software", p.Software)
	add("Metadata", p.Agreement)
	for _, x := range p.Differences {
		add(x.Field, fmt.Sprintf("%s / %s", x.First, x.Second))
	}
	add("Imported", p.Imported)
	add("SHA-256", p.ID)
	return d
}

// Remarks lists the provenance remarks on a photo.
func (v *Photos) Remarks(id string) []string {
	if p := v.s.Scene().Record.PhotoByID(id); p != nil {
		return p.Remarks
	}
	return nil
}

// ViewChoices lists what a photo's view can be set to, "" first.
func (v *Photos) ViewChoices() []string {
	out := []string{""}
	for _, w := range annotate.PhotoViews(v.s.Scene().Record.Instrument.Class) {
		out = append(out, w.ID)
	}
	return append(out, annotate.CloseUp)
}

// SetView, SetCaption and Remove change the selected photo's entry.
func (v *Photos) SetView(id, view string) error { return v.s.SetPhotoView(id, view) }

// SetCaption gives a photo its caption.
func (v *Photos) SetCaption(id, text string) error {
	if p := v.s.Scene().Record.PhotoByID(id); p != nil && p.Caption == strings.TrimSpace(text) {
		return nil
	}
	return v.s.SetCaption(id, text)
}

// Remove takes a photo out of the examination; the original stays in the bench.
func (v *Photos) Remove(id string) error { return v.s.RemovePhoto(id) }

// Missing says in a sentence which views have no photo.
func (v *Photos) Missing() string {
	miss := annotate.MissingViews(v.s.Scene().Record)
	if len(miss) == 0 {
		return "Every view of this class is photographed."
	}
	var n []string
	for _, m := range miss {
		n = append(n, m.ID)
	}
	return "Not photographed: " + strings.Join(n, ", ") + "."
}

// GuessView proposes a view from a file name such as "head-front_2.jpg", ""
// when the name says nothing. It is a proposal for a photo that has none.
func GuessView(class, name string) string {
	base := strings.ToLower(name)
	if i := strings.LastIndexByte(base, '.'); i > 0 {
		base = base[:i]
	}
	base = strings.Join(strings.FieldsFunc(base, func(r rune) bool { return r < 'a' || r > 'z' }), " ")
	best := ""
	for _, w := range annotate.PhotoViews(class) {
		if (base == w.ID || strings.HasPrefix(base, w.ID+" ") || strings.HasSuffix(base, " "+w.ID)) && len(w.ID) > len(best) {
			best = w.ID
		}
	}
	if word, _, _ := strings.Cut(base, " "); best == "" && (word == "close" || word == "detail") {
		return annotate.CloseUp
	}
	return best
}
