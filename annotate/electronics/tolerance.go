package electronics

// Tolerance is how far a part may be from its nominal value, per cent below
// and above. The zero value says that none was given.
type Tolerance struct {
	Below float64 `json:"below,omitempty"`
	Above float64 `json:"above,omitempty"`
}

// The letters of IEC 60062 for tolerances in per cent; the wide ones of old
// ceramics are asymmetric (from memory; J, K, M and Z agree with printed
// tables of the trade).
var toleranceLetters = []struct {
	letter byte
	t      Tolerance
}{
	{'B', Tolerance{0.1, 0.1}}, {'C', Tolerance{0.25, 0.25}}, {'D', Tolerance{0.5, 0.5}}, {'F', Tolerance{1, 1}}, {'G', Tolerance{2, 2}},
	{'J', Tolerance{5, 5}}, {'K', Tolerance{10, 10}}, {'M', Tolerance{20, 20}}, {'N', Tolerance{30, 30}},
	{'Q', Tolerance{10, 30}}, {'T', Tolerance{10, 50}}, {'S', Tolerance{20, 50}}, {'Z', Tolerance{20, 80}},
}

// toleranceOf is the tolerance that a letter stands for.
func toleranceOf(letter byte) (Tolerance, bool) {
	for _, e := range toleranceLetters {
		if e.letter == letter {
			return e.t, true
		}
	}
	return Tolerance{}, false
}

// Letter is the letter of the tolerance, "" where it has none.
func (t Tolerance) Letter() string {
	for _, e := range toleranceLetters {
		if e.t == t {
			return string(e.letter)
		}
	}
	return ""
}

// Given tells whether a tolerance was given at all.
func (t Tolerance) Given() bool { return t != Tolerance{} }

// String writes "±10 %" or "−20 % +80 %", "" for none.
func (t Tolerance) String() string {
	switch {
	case !t.Given():
		return ""
	case t.Below == t.Above:
		return "±" + figure(t.Above) + " %"
	}
	return "−" + figure(t.Below) + " % +" + figure(t.Above) + " %"
}

// Allows tells whether off, a share of the nominal value, is within it.
func (t Tolerance) Allows(off float64) bool {
	const rounding = 1e-9
	return off >= -t.Below/100-rounding && off <= t.Above/100+rounding
}
