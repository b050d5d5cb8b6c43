package annotate

import (
	"strings"

	"wornwood/capture/record"
)

// CloseUp is the view of a photo of one mark; an examination holds any number.
const CloseUp = "close-up"

// PhotoView is a photo that every examination of a class should hold.
type PhotoView struct {
	ID   string // also what the photo's View field says
	Hint string // what it should show
}

// The lists are common practice of dealers who sell at a distance: what a
// buyer asks for when a view is missing. Every class has the views of the whole
// and of the neck; what the body asks for differs.
var (
	wholeViews = []PhotoView{
		{"whole", "the whole instrument from the front"},
		{"whole back", "the whole instrument from the back"},
		{"front", "the body from the front, square on"},
		{"back", "the body from the back, square on"},
		{"bass side", "the body's edge on the bass side"},
		{"treble side", "the body's edge on the treble side"},
	}
	frettedNeck = []PhotoView{
		{"head front", "the headstock from the front"},
		{"head back", "the headstock from the back, with the tuners"},
		{"board", "the fingerboard, all frets"},
		{"neck back", "the back of the neck, full length"},
		{"neck joint", "where neck and body meet"},
	}
	violinNeck = []PhotoView{
		{"scroll bass side", "scroll and pegbox from the bass side"},
		{"scroll treble side", "scroll and pegbox from the treble side"},
		{"head back", "scroll and pegbox from the back"},
		{"board", "the fingerboard, full length"},
		{"neck back", "the back of the neck"},
		{"button", "neck root and button"},
	}
	serialAndFrets = []PhotoView{
		{"serial", "the serial number or label, legible"},
		{"frets", "crowns of the first frets, raking light"},
	}
	electricViews = []PhotoView{
		{"bridge", "bridge, saddles and tailpiece"},
		{"pickups", "pickups and their surrounds"},
		{"controls", "controls, switch and jack"},
		{"cavity", "the control cavity, opened"},
	}
	acousticViews = []PhotoView{
		{"bridge", "the bridge from the side, so that a gap shows"},
		{"soundhole", "the soundhole and its rosette"},
		{"inside", "bracing and inside of the back, with mirror or small camera"},
		{"top raking", "the top in raking light, so that its shape shows"},
		{"end", "the end block and strap button"},
	}
	archtopViews = []PhotoView{
		{"bridge", "bridge, its feet and the tailpiece"},
		{"inside", "the inside through the sound holes"},
		{"top raking", "the top in raking light, so that its shape shows"},
		{"end", "the end block and strap button"},
	}
	violinViews = []PhotoView{
		{"bridge", "the bridge from the side, its feet and the after-length"},
		{"label", "the label or brand inside"},
		{"belly raking", "the belly in raking light"},
		{"sound-post", "belly and back over the sound-post, raking light"},
		{"corners", "the four corners and the edges"},
		{"end", "saddle, end button and lower rib"},
	}
	banjoViews = []PhotoView{
		{"bridge", "bridge and tailpiece"},
		{"rim", "the rim and hooks from the side"},
		{"inside", "rim, rods and skin from inside, the resonator taken off"},
		{"fifth peg", "the peg on the neck"},
	}
	resonatorViews = []PhotoView{
		{"bridge", "bridge, cover plate and tailpiece"},
		{"inside", "the inside through the sound holes"},
		{"cone", "the cone, where the cover plate was taken off"},
	}
	lastViews = []PhotoView{
		{"ultraviolet front", "the front under ultraviolet light"},
		{"ultraviolet back", "the back under ultraviolet light"},
		{"case", "case, papers and what comes with it"},
	}
	pocketView = []PhotoView{{"neck pocket", "the neck pocket, if the neck was taken off"}}
)

// PhotoViews lists the views of a class. A class that is not known gets those
// of a solid body.
func PhotoViews(class string) []PhotoView {
	family, _, _ := strings.Cut(class, " ")
	var lists [][]PhotoView
	switch family {
	case "violin", "viola", "cello", "double":
		lists = [][]PhotoView{wholeViews, violinNeck, violinViews, lastViews}
	case "flat-top", "nylon-string", "ukulele", "acoustic":
		lists = [][]PhotoView{wholeViews, frettedNeck, acousticViews, serialAndFrets, lastViews}
	case "mandolin":
		lists = [][]PhotoView{wholeViews, frettedNeck, archtopViews, serialAndFrets, lastViews}
	case "hollow", "thinline":
		lists = [][]PhotoView{wholeViews, frettedNeck, archtopViews, electricViews[1:], serialAndFrets, lastViews}
	case "resonator":
		lists = [][]PhotoView{wholeViews, frettedNeck, resonatorViews, serialAndFrets, lastViews}
	case "banjo":
		lists = [][]PhotoView{wholeViews, frettedNeck, banjoViews, serialAndFrets, lastViews}
	case "lap":
		lists = [][]PhotoView{wholeViews, frettedNeck[:4], electricViews, serialAndFrets[:1], lastViews}
	default:
		lists = [][]PhotoView{wholeViews, frettedNeck, electricViews[:3], serialAndFrets, electricViews[3:], pocketView, lastViews}
	}
	var out []PhotoView
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

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
