package electronics

import (
	"fmt"
	"math"

	"wornwood/capture/record"
)

// CopperCoefficient is the temperature coefficient of the resistance of
// annealed copper at 20 °C and constant mass, per kelvin (IEC 60028, from
// memory; handbooks print 0.00393).
const CopperCoefficient = 0.00393

// The temperatures between which a reading is corrected, degrees Celsius. The
// law holds well beyond; a room outside them is a slip of the pen, most likely
// degrees Fahrenheit.
const (
	ColdestRoom = -10
	HottestRoom = 50
)

// Open stands for a resistance over the range of the meter, kilohms: no
// connection. A reading of so much or more reads as open.
const Open = 1e6

// At20 is what a copper winding that reads r at the ambient temperature t has
// at 20 °C: R20 = R / (1 + 0.00393 (t - 20)). Both uncertainties are carried;
// one that was not stated counts as none. ok is false where r is open or t is
// no room's temperature.
func At20(r, t record.Quantity) (at20 record.Quantity, ok bool) {
	if r.Value >= Open || r.Value <= 0 || t.Value < ColdestRoom || t.Value > HottestRoom {
		return record.Quantity{}, false
	}
	k := 1 + CopperCoefficient*(t.Value-20)
	v := r.Value / k
	return record.Quantity{
		Value:       v,
		Uncertainty: math.Hypot(r.Uncertainty/k, v/k*CopperCoefficient*t.Uncertainty),
		How:         fmt.Sprintf("from %s °C by copper's coefficient", figure(t.Value)),
	}, true
}

// PickupAt20 is a pickup's resistance at 20 °C; ok is false where resistance
// or temperature was not read, or the pickup's is not that of a copper winding.
func PickupAt20(p *record.Pickup) (record.Quantity, bool) {
	if p == nil || p.Resistance == nil || p.Ambient == nil || !Wound(p.Type) {
		return record.Quantity{}, false
	}
	return At20(*p.Resistance, *p.Ambient)
}

// Wound tells whether a meter on such a pickup reads the copper of a coil. A
// pickup whose type was not said is taken for one.
func Wound(t record.PickupType) bool {
	return t == "" || t == record.SingleCoil || t == record.DoubleCoil
}
