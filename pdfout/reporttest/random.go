package reporttest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// words are what the free texts of random records are made of: none of them
// praises.
var words = []string{"brown case", "lined", "felt", "two keys", "strap", "from the first owner", "number 17", "moved once", "A note", "wide\nneck"}

func text(t *rapid.T, what string) string {
	return rapid.SampledFrom(append([]string{"", "", " "}, words...)).Draw(t, what)
}

var solidParts = []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Headstock, record.Fingerboard, record.Frets, record.Nut, record.Bridge,
	record.Tuners, record.Guard, record.Electronics}

// Random makes a record of anything that sentences are made from. Its kinds of
// mark are of the rubric, their places of the class.
func Random(t *rapid.T, kinds []grade.KindInfo) *record.Record {
	r := Demo(0)
	r.Instrument.Class = rapid.SampledFrom([]string{"solid-body double-cutaway", "violin", "flat-top square-shouldered"}).Draw(t, "class")
	if r.Instrument.Class == "violin" {
		r.Instrument.Frets, r.Instrument.Strings, r.Instrument.ScaleLength = 0, 4, 0
	}
	for _, f := range []*string{&r.Instrument.Maker, &r.Instrument.Year, &r.Instrument.Serial, &r.Instrument.Colour, &r.Instrument.Body, &r.Instrument.Inlays, &r.Instrument.WithIt} {
		if rapid.Bool().Draw(t, "own") {
			*f = text(t, "entry")
		}
	}
	if rapid.Bool().Draw(t, "material") {
		r.Materials = []record.Material{{ID: "1", Name: rapid.SampledFrom([]string{"ebony", "Brazilian rosewood", "elephant ivory"}).Draw(t, "name"), On: rapid.SampledFrom([]string{"", "fingerboard", "nut"}).Draw(t, "on")}}
	}
	r.Claims, r.Marks, r.Parts, r.Components, r.NotExamined = nil, nil, nil, nil, nil
	said := rapid.Permutation([]string{"", " ", "1974", "One of sixty", "Colour never changed", "owned by\ntwo sisters", "x"}).Draw(t, "said")
	for i := range rapid.IntRange(0, 4).Draw(t, "claims") {
		r.Claims = append(r.Claims, record.Claim{ID: fmt.Sprint("c", i+1), About: rapid.SampledFrom(append([]string{"", "woods used"}, record.ClaimSubjects()...)).Draw(t, "about"), Text: said[i], By: text(t, "by"),
			Support: rapid.SampledFrom([]string{"", "receipt of 2 May", "no document seen", "a look"}).Draw(t, "support"), Standing: rapid.SampledFrom(record.Standings()).Draw(t, "standing")})
	}
	drawMarks(t, r, kinds)
	for _, p := range []record.PartID{record.FrontFinish, record.BackFinish, record.Neck, record.Nut, record.Tuners, record.Frets, record.Electronics, record.Top, record.Belly, record.Scroll} {
		if rapid.IntRange(0, 3).Draw(t, "said") > 0 {
			r.Parts = append(r.Parts, record.Part{ID: p, State: rapid.SampledFrom(record.States()).Draw(t, "state"), Inspected: rapid.Bool().Draw(t, "inspected"),
				Judged: []string{rapid.SampledFrom(record.Methods()).Draw(t, "judged")}})
		}
	}
	r.Playing = record.Playing{Others: rapid.SampledFrom(append([]record.Sound{""}, record.Sounds()...)).Draw(t, "others")}
	if rapid.Bool().Draw(t, "some") {
		r.Playing.Positions = []record.Position{{String: 1, Fret: 2, Sound: rapid.SampledFrom(record.Sounds()).Draw(t, "sound")}, {String: 2, Fret: 3, Sound: record.Dead}}
	}
	if rapid.Bool().Draw(t, "gap") {
		r.NotExamined = []string{"Neck pocket: not opened", rapid.SampledFrom([]string{"", "Inside of the case", "ultraviolet light was not at hand."}).Draw(t, "gap text")}
	}
	drawRest(t, r)
	return r
}

func drawMarks(t *rapid.T, r *record.Record, kinds []grade.KindInfo) {
	for i := range rapid.IntRange(0, 12).Draw(t, "marks") {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		m := record.Mark{Number: i + 1, Kind: k.Kind, Depth: rapid.SampledFrom(append(record.Depths(), "")).Draw(t, "depth"), Since: rapid.SampledFrom([]string{"", "grown", "repaired"}).Draw(t, "since")}
		if rapid.Bool().Draw(t, "drawn") {
			m.On = []record.Place{{Side: rapid.SampledFrom([]string{"front", "back"}).Draw(t, "side"), Shape: record.PointShape,
				Points: []record.Point{{X: rapid.Float64Range(-150, 150).Draw(t, "x"), Y: rapid.Float64Range(0, 800).Draw(t, "y")}}}}
		} else if len(k.Parts) > 0 && slices.Contains(solidParts, k.Parts[0]) && strings.HasPrefix(r.Instrument.Class, "solid") {
			m.On = []record.Place{{Part: k.Parts[0], Pieces: []int{1, 2, 3, 7}}}
		}
		if rapid.Bool().Draw(t, "sized") {
			m.Length = &record.Quantity{Value: 12.3, Uncertainty: 0.4}
		}
		r.Marks = append(r.Marks, m)
	}
}

func drawRest(t *rapid.T, r *record.Record) {
	for i := range rapid.IntRange(0, 5).Draw(t, "components") {
		c := record.Component{ID: fmt.Sprint("n-", i+1), Kind: rapid.SampledFrom(record.ComponentKinds()).Draw(t, "component"), Place: rapid.SampledFrom([]string{"", "neck", "tone 1"}).Draw(t, "place"),
			Works: rapid.SampledFrom(append([]string{""}, record.WorksWords()...)).Draw(t, "works"), State: rapid.SampledFrom(append([]record.State{""}, record.States()...)).Draw(t, "component state")}
		r.Components = append(r.Components, c)
	}
	if rapid.Bool().Draw(t, "wired") {
		r.Wiring = &record.Wiring{Seen: rapid.SampledFrom(record.SignAnswers()).Draw(t, "wiring"), State: rapid.SampledFrom(record.States()).Draw(t, "wiring state")}
	}
	if rapid.Bool().Draw(t, "set up") {
		pick := func(list []string) string {
			return rapid.SampledFrom(append([]string{""}, list...)).Draw(t, "answer")
		}
		r.Setup = &record.Setup{TrussRod: pick(record.TrussRodAnswers()), NeckAngle: pick(record.NeckAngleAnswers()), Nut: pick(record.NutAnswers()),
			Tuners: []record.Tuner{{String: 1, Feel: pick(record.TunerAnswers())}, {String: 2, Feel: pick(record.TunerAnswers())}}}
	}
	if rapid.Bool().Draw(t, "dated") {
		r.Evidence = []record.Evidence{{ID: "e1", Kind: record.CodeEvidence, What: "tone potentiometer", Bound: rapid.SampledFrom(record.Bounds()).Draw(t, "bound"), From: rapid.IntRange(1950, 1990).Draw(t, "from")}}
		r.Examination.Date = time.Date(2026, 11, 14, 15, 20, 0, 0, Zone)
	}
}
