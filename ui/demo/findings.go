package demo

import (
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/annotate/render"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// instrument is the invented guitar that the photos show.
func instrument() record.Instrument {
	return record.Instrument{
		Class: outline.Classes()[0], Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873",
		Colour: "sunburst", Coating: "nitrocellulose", Body: "alder", Neck: "maple", Fingerboard: "appears to be rosewood",
		Hardware: "nickel", Inlays: "dots", Electronics: "two passive pickups, 250 kΩ controls", WithIt: "original case, one key",
		ScaleLength: 648, Frets: 22, Strings: 6, Mass: 3.42,
	}
}

// setViews says which view each photo fills.
func setViews(s *annotate.Session, ids map[string]string, seen []render.Truth) error {
	for _, t := range seen {
		id, ok := ids[t.File]
		if !ok {
			return fmt.Errorf("the photo %s was not imported", t.File)
		}
		if err := s.SetPhotoView(id, t.View); err != nil {
			return err
		}
	}
	return nil
}

// pinMarks records the marks as an examiner would: on the outline first, then
// on every photo that shows them.
func pinMarks(s *annotate.Session, ids map[string]string, seen []render.Truth) error {
	for i, m := range render.DemoMarks() {
		on := annotate.Surface{Side: outline.Side(m.Side)}
		n, err := s.AddMark(on, m.Shape, m.Points)
		if err != nil {
			return err
		}
		if err := s.SetKind(n, m.Kind); err != nil {
			return err
		}
		if err := s.EditMark(n, "Findings", func(r *record.Mark) { describe(r, m) }); err != nil {
			return err
		}
		for _, t := range seen {
			for _, k := range t.Marks {
				if k.Number != i+1 || underCard(t, k) {
					continue
				}
				if err := s.AddPlace(n, annotate.Surface{Photo: ids[t.File]}, k.Shape, k.Points); err != nil {
					return err
				}
			}
		}
	}
	s.Select(0)
	return nil
}

// underCard tells whether a mark lies under the card that the picture is
// measured by: an examiner would not pin what nobody can see.
func underCard(t render.Truth, k render.SeenMark) bool {
	for _, p := range k.Points {
		if shape.PointInPolygon(p, t.Card.Corners[:]) {
			return true
		}
	}
	return false
}

// describe fills in what the examiner measured and noted.
func describe(r *record.Mark, m render.Mark) {
	r.Note = m.Note
	if m.Depth != "" {
		r.Depth = m.Depth
	}
	if m.Length > 0 {
		r.Length = &record.Quantity{Value: m.Length, Uncertainty: 0.3, How: "calliper"}
	}
	if m.Width > 0 {
		r.Width = &record.Quantity{Value: m.Width, Uncertainty: 0.3, How: "calliper"}
	}
	if len(m.Pieces) > 0 && len(r.On) > 0 {
		r.On[0].Pieces = m.Pieces
	}
	if m.Kind == "fade" {
		r.Reading = &record.MarkReading{Kind: record.FadeReading, Quantity: record.Quantity{Value: 6.1, Uncertainty: 0.4, How: "two patches beside a grey card"}}
	}
}

// judge records parts with their signs and how it plays.
func judge(s *annotate.Session, ids map[string]string) error {
	part := func(id record.PartID, st record.State, inspected bool, note string, how ...string) error {
		return s.SetPart(id, "State", func(p *record.Part) {
			p.State, p.Inspected, p.Note, p.Judged = st, inspected, note, how
		})
	}
	steps := []func() error{
		func() error { return part(record.Binding, record.NotFitted, false, "") },
		func() error {
			return part(record.Tuners, record.LaterReplacement, true, "Older screw holes beside the new ones.", "seen", "screw holes")
		},
		func() error { return s.SetReversible(record.Tuners, "yes") },
		func() error { return s.TogglePartPhoto(record.Tuners, ids["head-back.jpg"]) },
		func() error {
			return part(record.Nut, record.PeriodReplacement, true, "Bone, well cut, older than the last strings.", "seen")
		},
		func() error {
			return part(record.Electronics, record.Original, true, "Joints and dust undisturbed under the guard.", "seen", "code", "solder", "measured")
		},
		func() error { return s.SetAllParts(record.Original, true) },
		func() error { return answerSigns(s) },
		func() error { return s.SetOtherSounds(record.Clean) },
		func() error { return s.SetSound(1, 19, record.Buzz) },
		func() error { return s.SetSound(1, 20, record.Buzz) },
		func() error {
			return s.SetNotExamined([]string{"Neck pocket: not opened.", "Ultraviolet light: not used.", "Inside of the case: not photographed."})
		},
	}
	for _, f := range steps {
		if err := f(); err != nil {
			return err
		}
	}
	return nil
}
