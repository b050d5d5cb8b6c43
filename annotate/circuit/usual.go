package circuit

import "wornwood/capture/record"

// usual holds what is taken for a value that was not measured. All of it is
// common practice, from no published table: real pickups of one type differ by
// a third and more, which is why each use of it is named in Chain.Assumed.
type usual struct {
	resistance  float64 // ohms
	inductance  float64 // henries
	capacitance float64 // farads
	pot         float64 // ohms, volume and tone
	tone        float64 // farads
}

var usuals = map[record.PickupType]usual{
	record.SingleCoil: {resistance: 6.2e3, inductance: 2.4, capacitance: 110e-12, pot: 250e3, tone: 22e-9},
	record.DoubleCoil: {resistance: 8.0e3, inductance: 4.4, capacitance: 120e-12, pot: 500e3, tone: 22e-9},
}

// What the electronics look into (practice): three to five metres of cable of
// 100 to 150 pF a metre, and a valve amplifier's first grid.
const (
	UsualCable = 500e-12 // farads
	UsualLoad  = 1e6     // ohms
)

// usualType is what the pickups of a class usually are (practice), for a
// pickup whose type was not said.
func usualType(class string) record.PickupType {
	switch class {
	case "solid-body single-cutaway", "solid-body angular", "hollow archtop", "thinline":
		return record.DoubleCoil
	}
	return record.SingleCoil
}

// spans are the values that are believed of a measurement (practice, wide); one
// outside is a slip of the unit and is not computed with.
var (
	resistances  = span{10, 200e3}     // ohms
	inductances  = span{1e-3, 50}      // henries
	capacitances = span{1e-12, 5e-9}   // farads, of a winding
	pots         = span{1e3, 10e6}     // ohms
	capacitors   = span{10e-12, 10e-6} // farads, of a tone circuit or bleed
	resistors    = span{100, 100e6}    // ohms
	cables       = span{1e-12, 100e-9} // farads
	loads        = span{1e3, 100e6}    // ohms
)

type span struct{ least, most float64 }

func (s span) has(v float64) bool { return v >= s.least && v <= s.most }
