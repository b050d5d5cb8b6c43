package draw

import "wornwood/capture/record"

// Style is the inks and line weights of one medium. Start from ScreenLight,
// ScreenDark or Paper; At fits it to a screen with more pixels.
type Style struct {
	// The sheet and what lies on it.
	Ground  Ink // around the instrument
	Finish  Ink // surfaces with a finish: front, back, sides, neck, headstock
	Board   Ink // fingerboard
	Guard   Ink // guard and covers
	Fitting Ink // frets, nut, bridge, tuners, pickups, controls

	// Lines of the outline.
	Line       Ink // silhouette and fittings
	Thin       Ink // strings, screws, dashed edges
	Silhouette float64
	Region     float64
	Detail     float64
	EdgeDash   []float64

	// Marks, by level 0, 1, 2.
	Tint     [3]Ink
	Edge     [3]Ink
	Hatching [3]Hatch
	MarkLine float64
	MarkDash []float64
	LineHalo Ink // under drawn lines, so that they show on any ground
	EdgeHalo Ink // under the edges of areas; none on an outline, which it would cut up
	Halo     Ink // round pins
	Hint     Ink // ground that a selected point or line counts as covered

	// Pins, by level.
	PinFill   [3]Ink
	PinRing   [3]Ink
	PinFigure [3]Ink
	RingWidth float64
	HaloWidth float64
	Leader    Ink
	LeaderW   float64
	Select    Ink // ring of the selected pin

	// What the examiner works with: handles, measured lines, scale points,
	// suggestions. Unit is how many view units one unit of the window takes.
	Unit    float64
	Guide   Ink // the accent on this ground: what is being drawn, suggestions
	Measure Ink
	Warn    Ink
	Tag     Ink // ground of a label
	TagText Ink
	TagEdge Ink
}

// ScreenLight is the style of a light window. The three levels differ in
// lightness as well as in hue, so that they are told apart without colour.
func ScreenLight() Style {
	ink := Hex(0x1D2125)
	return Style{
		Ground: Hex(0xFCFCFA), Finish: Hex(0xF5F4F0), Board: Hex(0xE9E2DA), Guard: Hex(0xE8E8E3), Fitting: Hex(0xFFFFFF),
		Line: ink, Thin: Hex(0x8E8C87), Silhouette: 1.5, Region: 0.9, Detail: 0.6, EdgeDash: []float64{3, 2.6},
		Tint: [3]Ink{Hex(0x5C7029).Alpha(0.16), Hex(0xDD9E12).Alpha(0.24), Hex(0xB8391A).Alpha(0.22)},
		Edge: [3]Ink{Hex(0x4A5B1D), Hex(0x8A6100), Hex(0x9C2F12)},
		Hatching: [3]Hatch{{},
			{Angle: 45, Gap: 6, Width: 0.7, Ink: Hex(0x8A6100).Alpha(0.7)},
			{Angle: 45, Gap: 6, Width: 0.7, Cross: true, Ink: Hex(0x9C2F12).Alpha(0.55)}},
		MarkLine: 1.4, MarkDash: []float64{4, 2.6}, LineHalo: Hex(0xFFFFFF).Alpha(0.7), Halo: Hex(0xFFFFFF), Hint: Hex(0x0F6B5F).Alpha(0.13),
		PinFill:   [3]Ink{Hex(0xFFFFFF), Hex(0xE9B43C), Hex(0xBF4316)},
		PinRing:   [3]Ink{Hex(0x44551A), Hex(0x5C4300), Hex(0x7C2508)},
		PinFigure: [3]Ink{ink, ink, Hex(0xFFFFFF)},
		RingWidth: 1.6, HaloWidth: 2, Leader: ink, LeaderW: 1.1, Select: Hex(0x0F6B5F),
		Unit: 1, Guide: Hex(0x0F6B5F), Measure: ink, Warn: Hex(0xA04E00),
		Tag: Hex(0xFFFFFF).Alpha(0.95), TagText: ink, TagEdge: ink.Alpha(0.45),
	}
}

// ScreenDark is the style of a dark window for photo rooms.
func ScreenDark() Style {
	s := ScreenLight()
	s.Ground, s.Finish, s.Board, s.Guard, s.Fitting = Hex(0x1B1D1F), Hex(0x272A2C), Hex(0x34302C), Hex(0x303335), Hex(0x1F2224)
	s.Line, s.Thin = Hex(0xD9DBD8), Hex(0x7F8382)
	s.Tint = [3]Ink{Hex(0xA9C26A).Alpha(0.18), Hex(0xE9B43C).Alpha(0.22), Hex(0xE8693A).Alpha(0.26)}
	s.Edge = [3]Ink{Hex(0xB6CC7C), Hex(0xE9B43C), Hex(0xF08257)}
	for i := range s.Hatching {
		if s.Hatching[i].Ink.A > 0 {
			s.Hatching[i].Ink = s.Edge[i].Alpha(0.5)
		}
	}
	s.LineHalo = Hex(0x111315).Alpha(0.7)
	s.Halo, s.Hint, s.Select, s.Leader = Hex(0x111315), Hex(0x4FB3A3).Alpha(0.16), Hex(0x58BFAF), Hex(0xD9DBD8)
	s.PinFill[0], s.PinRing[0], s.PinFigure[0] = Hex(0xF4F4F0), Hex(0x44551A), Hex(0x1D2125)
	s.Guide, s.Measure, s.Warn = s.Select, Hex(0xE6E8E5), Hex(0xF2B45C)
	s.Tag, s.TagText, s.TagEdge = Hex(0x111315).Alpha(0.94), Hex(0xE6E8E5), Hex(0xD9DBD8).Alpha(0.45)
	return s
}

// OnPhoto is the style of marks that lie on a photograph: nothing is known of
// the ground, so lines carry a halo and leaders are light.
func OnPhoto() Style {
	s := ScreenLight()
	s.Tint = [3]Ink{Hex(0xC6DB8A).Alpha(0.20), Hex(0xFFD267).Alpha(0.24), Hex(0xFF8A5C).Alpha(0.26)}
	s.Edge = [3]Ink{Hex(0xDDF0A4), Hex(0xFFD980), Hex(0xFFAE8C)}
	s.Hatching = [3]Hatch{}
	s.LineHalo, s.EdgeHalo = Hex(0x101214).Alpha(0.6), Hex(0x101214).Alpha(0.4)
	s.Halo, s.Leader = Hex(0xFFFFFF), Hex(0xFFFFFF)
	s.MarkLine = 1.6
	s.Guide, s.Measure, s.Warn = Hex(0x8FE9DB), Hex(0xFFFFFF), Hex(0xFFC861)
	s.Tag, s.TagText, s.TagEdge = Hex(0x16181A).Alpha(0.86), Hex(0xFFFFFF), Hex(0xFFFFFF).Alpha(0.35)
	return s
}

// Paper is the style of the printed report: greys only, weights in points.
func Paper() Style {
	ink, grey := Hex(0x16181A), Hex(0xBDBDBB)
	return Style{
		Ground: Hex(0xFFFFFF), Finish: Hex(0xF1F0ED), Board: Hex(0xFAFAF8), Guard: Hex(0xE6E5E2), Fitting: Hex(0xFFFFFF),
		Line: ink, Thin: Hex(0x8C8C89), Silhouette: 1.0, Region: 0.6, Detail: 0.35, EdgeDash: []float64{1.8, 1.5},
		Tint: [3]Ink{Hex(0x000000).Alpha(0.05), Hex(0x000000).Alpha(0.11), Hex(0x000000).Alpha(0.18)},
		Edge: [3]Ink{Hex(0x4A4A48), Hex(0x333331), ink},
		Hatching: [3]Hatch{{},
			{Angle: 45, Gap: 3.2, Width: 0.35, Ink: Hex(0x5A5A58)},
			{Angle: 45, Gap: 3.2, Width: 0.4, Cross: true, Ink: Hex(0x3A3A38)}},
		MarkLine: 0.8, MarkDash: []float64{2.2, 1.5}, LineHalo: Hex(0xFFFFFF).Alpha(0.7), Halo: Hex(0xFFFFFF), Hint: Ink{},
		PinFill:   [3]Ink{Hex(0xFFFFFF), grey, ink},
		PinRing:   [3]Ink{ink, ink, ink},
		PinFigure: [3]Ink{ink, ink, Hex(0xFFFFFF)},
		RingWidth: 0.9, HaloWidth: 1.2, Leader: ink, LeaderW: 0.6, Select: Ink{},
		Unit: 0.7, Guide: Hex(0x4A4A48), Measure: ink, Warn: ink,
		Tag: Hex(0xFFFFFF).Alpha(0.95), TagText: ink, TagEdge: ink,
	}
}

// At multiplies every width, dash and gap, for a screen with scale device
// pixels to the unit, or for a drawing that must be bolder or finer.
func (s Style) At(scale float64) Style {
	for _, w := range []*float64{&s.Silhouette, &s.Region, &s.Detail, &s.MarkLine, &s.RingWidth, &s.HaloWidth, &s.LeaderW, &s.Unit} {
		*w *= scale
	}
	s.EdgeDash, s.MarkDash = times(s.EdgeDash, scale), times(s.MarkDash, scale)
	for i := range s.Hatching {
		s.Hatching[i].Gap *= scale
		s.Hatching[i].Width *= scale
	}
	return s
}

func times(v []float64, k float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = x * k
	}
	return out
}

// partFill is the ink of a region of the part, and the weight of its edge. The
// finished surfaces of the body have no edge of their own: the silhouette is
// theirs, and where a surface is divided into regions that is nobody's concern
// but the count's.
func (s Style) partFill(p record.PartID) (fill Ink, edge float64) {
	switch p {
	case record.FrontFinish, record.BackFinish, record.SidesFinish:
		return s.Finish, 0
	case record.Neck, record.Headstock:
		return s.Finish, s.Region
	case record.Fingerboard:
		return s.Board, s.Region
	case record.Guard:
		return s.Guard, s.Region
	case record.Binding:
		return s.Fitting, s.Detail
	case record.Frets:
		return s.Fitting, s.Detail
	}
	return s.Fitting, s.Region
}
