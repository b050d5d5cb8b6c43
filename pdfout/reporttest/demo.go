// Package reporttest makes records and photos for the tests of reports: the
// invented demo instrument, records of any number of marks and photos, and
// photos that need no file.
//
// Start with Demo and Photos. Nothing here is about an instrument that exists.
package reporttest

import (
	"fmt"
	"time"

	"wornwood/capture/record"
)

// Zone is the examiner's zone in the demo.
var Zone = time.FixedZone("", 3600)

// Demo is a record with something of everything: the instrument of the demo
// scenario with seven marks, parts that are not original, claims, readings and
// a grid with two faults. It refers to so many photos of Photos.
func Demo(photos int) *record.Record {
	r := &record.Record{
		Schema: record.Schema,
		Examination: record.Examination{ID: "abcdefghijklmnopqrstuvwxyz", Instrument: "a1", Number: "CR-2026-0417", Purpose: record.BeforeListing,
			Date: time.Date(2026, 11, 14, 15, 20, 0, 0, Zone), Examiner: "M. Østergård-Łuczak", Shop: "Fen Street Instruments"},
		Instrument: record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873",
			Colour: "Sunburst", Coating: "nitrocellulose", Body: "Alder", Neck: "maple", Fingerboard: "Rosewood", Hardware: "Nickel",
			Electronics: "Two passive pickups, 250 kΩ controls", ScaleLength: 648, Frets: 22, Strings: 6, Mass: 3.42, WithIt: "Original case, one key"},
		Claims: []record.Claim{
			{ID: "c1", About: "year", Text: "1974", By: "the seller", Support: "pot codes of week 34 of 1974", Standing: record.Seen},
			{ID: "c2", About: "edition", Text: "One of 60", By: "the seller", Standing: record.Stated},
		},
		Readings: []record.Reading{
			{ID: "string height, bass, fret 12", Value: record.Quantity{Value: 1.95, Uncertainty: 0.05, How: "string gauge"}, Unit: "mm"},
			{ID: "string height, treble, fret 12", Value: record.Quantity{Value: 2.2, Uncertainty: 0.05, How: "string gauge"}, Unit: "mm"},
			{ID: "relief", Value: record.Quantity{Value: 0.2, Uncertainty: 0.03, How: "feeler gauge"}, Unit: "mm"},
			{ID: "neck pickup resistance", Value: record.Quantity{Value: 7.42, Uncertainty: 0.05, How: "meter"}, Unit: "kΩ"},
		},
		Playing:     record.Playing{Others: record.Clean, Positions: []record.Position{{String: 1, Fret: 19, Sound: record.Buzz}, {String: 1, Fret: 20, Sound: record.Buzz}}},
		NotExamined: []string{"Neck pocket and cavity under the guard: not opened", "Inside of the case: not photographed"},
		Parts:       demoParts(),
	}
	for i := range photos {
		r.Photos = append(r.Photos, photo(i))
	}
	r.Marks = demoMarks()
	for i := range r.Marks {
		if photos == 0 {
			continue
		}
		p := r.Photos[i%photos]
		x, y := 0.3+0.06*float64(i), 0.35+0.05*float64(i)
		r.Marks[i].Photos = []record.PhotoPlace{{Photo: p.ID, Shape: record.PointShape, Points: []record.Point{{X: float64(p.Width) * x, Y: float64(p.Height) * y}}}}
	}
	return r
}

func demoParts() []record.Part {
	var out []record.Part
	for _, id := range []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Headstock, record.Fingerboard,
		record.Frets, record.Bridge, record.Guard} {
		out = append(out, record.Part{ID: id, State: record.Original, Inspected: true, Judged: []string{"seen"}})
	}
	return append(out,
		record.Part{ID: record.Nut, State: record.PeriodReplacement, Inspected: true, Judged: []string{"seen", "measured"}, Note: "bone; the first was of plastic"},
		record.Part{ID: record.Tuners, State: record.LaterReplacement, Inspected: true, Judged: []string{"seen", "screw holes"}, Reversible: "yes", Note: "filled holes of an older set beneath"},
		record.Part{ID: record.Binding, State: record.NotFitted},
		record.Part{ID: record.Electronics, State: record.NotSeen})
}

func demoMarks() []record.Mark {
	q := func(v, u float64) *record.Quantity {
		return &record.Quantity{Value: v, Uncertainty: u, How: "calliper"}
	}
	at := func(side string, x, y float64) []record.Place {
		return []record.Place{{Side: side, Shape: record.PointShape, Points: []record.Point{{X: x, Y: y}}}}
	}
	ring := func(side string, x, y, w, h float64) []record.Place {
		return []record.Place{{Side: side, Shape: record.AreaShape, Points: []record.Point{{X: x, Y: y}, {X: x + w*0.6, Y: y - h*0.1}, {X: x + w, Y: y + h*0.4}, {X: x + w*0.7, Y: y + h}, {X: x + w*0.1, Y: y + h*0.8}}}}
	}
	return []record.Mark{
		{Number: 1, Kind: "ding", Depth: record.InFinish, On: at("front", -60, 720), Length: q(3, 0.5)},
		{Number: 2, Kind: "chip", Depth: record.Through, On: at("front", 70, 735), Length: q(5, 0.5)},
		{Number: 3, Kind: "wear-through", Depth: record.Through, On: ring("front", -130, 600, 62, 38), Length: q(62, 0), Width: q(38, 0), Note: "where the forearm rests; smooth to the touch"},
		{Number: 4, Kind: "dent", Depth: record.IntoWood, On: at("front", -118, 480), Length: q(7, 0.5)},
		{Number: 5, Kind: "finish check", Depth: record.Through, On: []record.Place{
			{Side: "front", Shape: record.LineShape, Points: []record.Point{{X: 60, Y: 560}, {X: 120, Y: 640}}},
			{Side: "front", Shape: record.LineShape, Points: []record.Point{{X: 70, Y: 550}, {X: 130, Y: 630}}}}, Note: "a field of parallel checks"},
		{Number: 6, Kind: "buckle rash", Depth: record.InFinish, On: ring("back", -60, 590, 92, 60)},
		{Number: 7, Kind: "fret wear", Reading: &record.MarkReading{Kind: record.CrownReading, Quantity: record.Quantity{Value: 0.95, Uncertainty: 0.05, How: "crown gauge"}},
			On: []record.Place{{Part: record.Frets, Pieces: []int{1, 2, 3, 4, 5, 7}}}},
	}
}

// views are the first photos' views.
var views = []string{"front", "back", "whole", "bass side", "treble side", "head front", "head back", "board", "neck back", "serial"}

func photo(i int) record.Photo {
	p := record.Photo{ID: fmt.Sprintf("%064x", 0xabcdef0123*(i+1)), Name: fmt.Sprintf("DSC_%04d.JPG", 212+i), Size: int64(4_812_345 + 1000*i), Format: "jpeg",
		Width: Wide, Height: Tall, Orientation: 1, Taken: fmt.Sprintf("2026-11-14T14:%02d:%02d+01:00", 2+i/60, i%60), Camera: "Camera one", Agreement: "two readers agree"}
	if i < len(views) {
		p.View = views[i]
	}
	if i == 3 {
		p.Taken, p.Agreement = "", "one reader"
		p.Remarks = []string{"The file carries no camera date; its name suggests that it was sent by a messenger."}
	}
	return p
}

// Many is a record with so many marks and photos, the marks spread over the
// instrument.
func Many(marks, photos int) *record.Record {
	r := Demo(photos)
	r.Marks = nil
	kinds := []record.Kind{"ding", "scratch", "chip", "finish check", "dent"}
	for i := range marks {
		m := record.Mark{Number: i + 1, Kind: kinds[i%len(kinds)], Depth: record.Depths()[i%3], Note: "seen in raking light"}
		side := []string{"front", "back"}[i%2]
		m.On = []record.Place{{Side: side, Shape: record.PointShape, Points: []record.Point{{X: float64(i*37%200) - 100, Y: 560 + float64(i*53%200)}}}}
		if photos > 0 {
			p := r.Photos[i%photos]
			m.Photos = []record.PhotoPlace{{Photo: p.ID, Shape: record.PointShape, Points: []record.Point{{X: float64(100 + i*97%(Wide-200)), Y: float64(100 + i*61%(Tall-200))}}}}
		}
		r.Marks = append(r.Marks, m)
	}
	return r
}
