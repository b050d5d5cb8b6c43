package annotate

import "wornwood/capture/record"

// CloseUp is the view of a photo of one mark; an examination holds any number.
const CloseUp = "close-up"

// PhotoView is a photo that every examination of a class should hold.
type PhotoView struct {
	ID   string // also what the photo's View field says
	Hint string // what it should show
}

// solidBodyViews is common practice of dealers who sell at a distance: what a
// buyer asks for when a view is missing.
var solidBodyViews = []PhotoView{
	{"whole", "the whole instrument from the front"},
	{"whole back", "the whole instrument from the back"},
	{"front", "the body from the front, square on"},
	{"back", "the body from the back, square on"},
	{"bass side", "the body's edge on the bass side"},
	{"treble side", "the body's edge on the treble side"},
	{"head front", "the headstock from the front"},
	{"head back", "the headstock from the back, with the tuners"},
	{"board", "the fingerboard, all frets"},
	{"neck back", "the back of the neck, full length"},
	{"neck joint", "where neck and body meet"},
	{"bridge", "bridge, saddles and tailpiece"},
	{"pickups", "pickups and their surrounds"},
	{"controls", "controls, switch and jack"},
	{"serial", "the serial number, legible"},
	{"frets", "crowns of the first frets, raking light"},
	{"cavity", "the control cavity, opened"},
	{"neck pocket", "the neck pocket, if the neck was taken off"},
	{"ultraviolet front", "the front under ultraviolet light"},
	{"ultraviolet back", "the back under ultraviolet light"},
	{"case", "case, papers and what comes with it"},
}

// PhotoViews lists the views of a class.
func PhotoViews(class string) []PhotoView { return solidBodyViews }

// MissingViews lists the views of the class that no photo of the record fills.
func MissingViews(r *record.Record) []PhotoView {
	have := map[string]bool{}
	for _, p := range r.Photos {
		have[p.View] = true
	}
	var miss []PhotoView
	for _, v := range PhotoViews(r.Instrument.Class) {
		if !have[v.ID] {
			miss = append(miss, v)
		}
	}
	return miss
}
