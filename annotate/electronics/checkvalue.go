package electronics

import (
	"math"

	"wornwood/capture/record"
)

// Tolerances taken where a code gives none (common practice).
var (
	capacitorUsual = Tolerance{20, 20}
	resistorUsual  = Tolerance{10, 10}
)

// capacitor compares a capacitor's code, nominal and measured value.
func (k *checker) capacitor(c record.Component) {
	p := record.Capacitor{}
	if c.Capacitor != nil {
		p = *c.Capacitor
	}
	read, err := Capacitor(c.Code)
	k.valueOf(c, p.Nominal, p.Measured, read, err, capacitorUsual)
	if p.Role == "tone" && p.Nominal > 0 && (p.Nominal < 1 || p.Nominal > 470) {
		k.add(Look, Name(c)+": "+Farads(p.Nominal)+" is unusual in a tone control",
			"10 to 100 nF are usual (common practice); the field takes nanofarads: 22 for .022 µF")
	}
	if p.Nominal > 0 && !E12.Has(p.Nominal) {
		near, off := E12.Nearest(p.Nominal)
		k.add(Note, Name(c)+": "+Farads(p.Nominal)+" is none of today's preferred values",
			"The nearest of IEC 60063, E12, is "+Farads(near)+", "+percent(1/(1+off)-1)+" "+aboveBelow(1/(1+off)-1)+
				"; round values such as 20 and 50 nF were usual before that series took hold (from memory)")
	}
}

// resistor compares a resistor's code, nominal and measured value.
func (k *checker) resistor(c record.Component) {
	p := record.Resistor{}
	if c.Resistor != nil {
		p = *c.Resistor
	}
	read, err := resistorCode(c.Code)
	k.valueOf(c, p.Nominal, p.Measured, read, err, resistorUsual)
}

// valueOf compares what a code says, what was entered and what was measured.
func (k *checker) valueOf(c record.Component, nominal float64, measured *record.Quantity, read Reading, err error, usual Tolerance) {
	write, writeQ := Ohms, OhmsOf
	if c.Kind == record.CapacitorComponent {
		write, writeQ = Farads, FaradsOf
	}
	if c.Code != "" && err != nil {
		k.add(Note, Name(c)+": "+err.Error(), "It stays as it was read; it may be a maker's own number")
	}
	decoded := c.Code != "" && err == nil
	if decoded && nominal > 0 && math.Abs(read.Nominal/nominal-1) > 0.005 {
		k.add(Look, Name(c)+": the code "+c.Code+" says "+write(read.Nominal)+", entered was "+write(nominal), "One of the two is a slip, or the code means something else")
	}
	if nominal == 0 && decoded {
		nominal = read.Nominal
	}
	if nominal == 0 || measured == nil {
		return
	}
	tol, by := usual, "such parts are made to "+usual.String()+" where nothing else is printed (common practice)"
	if decoded && read.Tolerance.Given() {
		tol, by = read.Tolerance, "its code allows "+read.Tolerance.String()
	}
	off := measured.Value/nominal - 1
	if tol.Allows(off) {
		return
	}
	sev := Look
	if off > 4 || off < -0.8 {
		sev = Wrong
	}
	edge := nominal * (1 + tol.Above/100)
	if off < 0 {
		edge = nominal * (1 - tol.Below/100)
	}
	if math.Abs(measured.Value-edge) <= measured.Uncertainty {
		sev = Note
	}
	why := upper(by)
	if c.Kind == record.CapacitorComponent && off > 0 {
		why += "; paper capacitors rise when they take up moisture and leak, and a reading in the circuit misleads"
	} else if off < 0 {
		why += "; a reading taken in the circuit misleads, so lift one lead"
	}
	k.add(sev, Name(c)+": measured "+writeQ(*measured)+", "+beyond(off, tol)+" "+aboveBelow(off)+" its "+write(nominal), why)
}
