package electronics

import (
	"math"
	"strings"

	"wornwood/capture/record"
)

// PotTolerance is what potentiometers are made to, per cent (common practice).
var PotTolerance = Tolerance{20, 20}

// PotValues are the nominal values that instruments have, kilohms (common
// practice): 25 with active pickups, 250 with passive single coils, 500 with
// passive double coils, 300 also factory-fitted.
func PotValues() []float64 { return []float64{25, 50, 100, 250, 300, 500, 1000} }

// The limits between controls of active and of passive circuits, kilohms.
const (
	activeMost   = 100
	passiveLeast = 100
)

func (k *checker) pot(c record.Component, p record.Potentiometer) {
	if p.Nominal > 5000 {
		k.add(Look, Name(c)+": a nominal value of "+Ohms(p.Nominal), "The field takes kilohms: 250 for 250 kΩ")
		return
	}
	if p.Nominal > 0 && p.Measured != nil {
		k.track(c, p)
	}
	if p.Nominal > 0 {
		k.belongs(c, p)
	}
}

// track compares a potentiometer's resistance with its nominal value.
func (k *checker) track(c record.Component, p record.Potentiometer) {
	m := p.Measured.Value
	off := m/p.Nominal - 1
	switch {
	case m >= Open || m > 10*p.Nominal:
		k.add(Wrong, Name(c)+": its track is open", "Between the outer lugs there should be about "+Ohms(p.Nominal)+"; the track or a lug is broken")
		return
	case m < p.Nominal/50:
		k.add(Wrong, Name(c)+": "+Ohms(m)+" where "+Ohms(p.Nominal)+" should be", "Its outer lugs are connected, or the reading was taken in another unit")
		return
	case PotTolerance.Allows(off):
		return
	}
	sev := Look
	text := Name(c) + ": measured " + OhmsOf(*p.Measured) + ", " + beyond(off, PotTolerance) + " " + aboveBelow(off) + " its nominal " + Ohms(p.Nominal)
	why := "Potentiometers are made to ±20 % (common practice)"
	if edge := p.Nominal * (1 + math.Copysign(0.2, off)); math.Abs(m-edge) <= p.Measured.Uncertainty {
		sev = Note
		why += "; the reading's uncertainty reaches back to the limit"
	}
	if off < 0 {
		why += "; a reading taken in the circuit is too low, so lift a lug before the part is judged"
	} else {
		why += "; the track is worn or aged, or the nominal value is another"
	}
	k.add(sev, text, why)
}

// belongs asks whether a control's value goes with the pickups.
func (k *checker) belongs(c record.Component, p record.Potentiometer) {
	single, double, active, piezo, _ := k.pickups()
	passive := single || double
	role := strings.ToLower(p.Role)
	switch {
	case role == "blend" || role == "other":
		return // blends and trimmers have values of their own
	case active && !passive && !piezo && p.Nominal >= activeMost:
		k.add(Look, Name(c)+": "+Ohms(p.Nominal)+" with active pickups",
			"Active pickups take about 25 kΩ (common practice); with more the control works only near one end of its turn")
	case passive && !active && p.Nominal < passiveLeast:
		k.add(Look, Name(c)+": "+Ohms(p.Nominal)+" with passive pickups",
			"Passive pickups take 250 kΩ (single coils) or 500 kΩ (double coils) (common practice); so little damps their top notes, and is usual of active ones")
	case passive && p.Nominal == 300:
		k.add(Note, Name(c)+": 300 kΩ was factory-fitted too", "The usual values are 250 and 500 kΩ, but this one alone does not speak for a replacement (common practice)")
	case single && !double && p.Nominal >= 470:
		k.add(Note, Name(c)+": "+Ohms(p.Nominal)+" with single coils only", "250 kΩ is usual (common practice); more sounds brighter and may be meant so")
	case double && !single && p.Nominal >= 200 && p.Nominal < 300:
		k.add(Note, Name(c)+": "+Ohms(p.Nominal)+" with double coils only", "500 kΩ is usual (common practice); less sounds darker and may be meant so")
	}
}
