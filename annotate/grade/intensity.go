package grade

import (
	"fmt"

	"wornwood/capture/record"
)

// intensity is 0, 1 or 2: from the reading where the kind has one and one was
// taken, else from the depth. The remark says what was missing, "" for nothing.
func (r *Rubric) intensity(m *record.Mark, k KindInfo) (n int, remark string, err error) {
	if m.Reading != nil {
		sc := r.scale(m.Reading.Kind)
		if sc == nil {
			return 0, "", fmt.Errorf("mark %d carries the reading %q, which the rubric does not know", m.Number, m.Reading.Kind)
		}
		if m.Reading.Kind == k.Reading {
			return sc.Intensity(m.Reading.Value), "", nil
		}
		remark = fmt.Sprintf("a reading of %s does not judge this kind; the depth was used", m.Reading.Kind)
	}
	if l := m.Depth.Level(); l >= 0 {
		return l, remark, nil
	}
	return 0, "its depth was not judged; counted as " + k.DepthWords[0], nil
}

func (r *Rubric) scale(k record.ReadingKind) *ReadingScale {
	for i := range r.Scales {
		if r.Scales[i].Kind == k {
			return &r.Scales[i]
		}
	}
	return nil
}

// Intensity is 0, 1 or 2 for a measured value in the scale's unit.
func (s ReadingScale) Intensity(v float64) int {
	n := 0
	for _, lim := range s.Limits {
		past := v > lim
		if s.Falling {
			past = v < lim
		}
		if past || (v == lim && s.AtLimit == "worse") {
			n++
		}
	}
	return n
}

// greyLimits are the colour differences dE*ab at which the next lower half
// step of the grey scale begins: the half-way values between the steps of
// ISO 105-A02, as ISO 105-A05 rounds them.
var greyLimits = [8]float64{0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60}

// GreyStep is the step of the grey scale for change in colour (after
// ISO 105-A02) nearest to a CIELAB colour difference dE*ab: "5" for none,
// "4-5", "4" ... down to "1".
func GreyStep(dE float64) string {
	steps := [9]string{"5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1"}
	i := 0
	for i < len(greyLimits) && dE >= greyLimits[i] {
		i++
	}
	return steps[i]
}

// rustLimits are the largest rusted areas, per cent, of grades 10 down to 1,
// after ASTM D610-08(2012) table 1.
var rustLimits = [10]float64{0.01, 0.03, 0.1, 0.3, 1, 3, 10, 16, 33, 50}

// RustGrade is the grade 10 (clean) to 0 (more than half) of a rusted or
// corroded area in per cent, after ASTM D610.
func RustGrade(percent float64) int {
	g := 10
	for _, lim := range rustLimits {
		if percent <= lim {
			return g
		}
		g--
	}
	return 0
}

// ReadingWords says a mark's reading in words, with its step or grade where
// the scale has one: "colour difference 3.2, grey-scale step 3". It is "" for
// a mark without a reading.
func ReadingWords(m record.Mark) string {
	if m.Reading == nil {
		return ""
	}
	v := number(m.Reading.Value)
	if u := m.Reading.Uncertainty; u > 0 {
		v += " ± " + number(u)
	}
	switch m.Reading.Kind {
	case record.FadeReading:
		return fmt.Sprintf("colour difference ΔE*ab %s, grey-scale step %s", v, GreyStep(m.Reading.Value))
	case record.FlakeReading:
		return fmt.Sprintf("largest flake %s mm", v)
	case record.RustReading:
		return fmt.Sprintf("corroded area %s %%, grade %d", v, RustGrade(m.Reading.Value))
	case record.CrownReading:
		return fmt.Sprintf("fret crown %s mm", v)
	}
	return fmt.Sprintf("%s %s", m.Reading.Kind, v)
}
