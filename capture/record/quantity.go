package record

import (
	"fmt"
	"math"
	"strings"
)

// Quantity is a measured value with its standard uncertainty in the same unit.
// An uncertainty of 0 means that none was stated.
type Quantity struct {
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty,omitempty"`
	How         string  `json:"how,omitempty"` // "calliper", "drawn on the outline", "estimated" ...
}

// String writes the value without more figures than its uncertainty leaves:
// that is rounded to one figure, or two where the first is a 1 (a usual reading
// of JCGM 100:2008, section 7.2.6), and the value to the same place. A value
// without a stated uncertainty has up to two places.
func (q Quantity) String() string {
	if !(q.Uncertainty > 0) {
		return strings.TrimSuffix(strings.TrimRight(trim2(q.Value), "0"), ".")
	}
	places := 0
	if lead := math.Floor(math.Log10(q.Uncertainty)); lead < 1 {
		places = int(-lead)
		if q.Uncertainty/math.Pow(10, lead) < 1.95 {
			places++
		}
		places = max(0, min(places, 3))
	}
	return fmt.Sprintf("%.*f ± %.*f", places, q.Value, places, q.Uncertainty)
}

// Size is the mark's stated size in words, "" when none was taken.
func (m Mark) Size() string {
	var out []string
	switch {
	case m.Length != nil && m.Width != nil:
		out = append(out, m.Length.String()+" × "+m.Width.String()+" mm")
	case m.Length != nil:
		out = append(out, m.Length.String()+" mm")
	}
	if m.Area != nil {
		out = append(out, m.Area.Surface())
	}
	return strings.Join(out, ", ")
}

// ShortSize is the size for narrow places: without the uncertainties where there
// are two lengths, and without the area.
func (m Mark) ShortSize() string {
	if m.Length != nil && m.Width != nil {
		return Quantity{Value: math.Round(m.Length.Value*10) / 10}.String() + " × " + Quantity{Value: math.Round(m.Width.Value*10) / 10}.String() + " mm"
	}
	if m.Length == nil && m.Area != nil {
		return m.Area.Surface()
	}
	m.Area = nil
	return m.Size()
}

// Surface is a quantity in mm2 as it is read: large ones in cm2.
func (q Quantity) Surface() string {
	if q.Value < 1000 {
		return q.String() + " mm²"
	}
	return Quantity{Value: q.Value / 100, Uncertainty: q.Uncertainty / 100}.String() + " cm²"
}
