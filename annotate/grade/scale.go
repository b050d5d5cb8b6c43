package grade

import "math"

// slack absorbs the rounding of sums such as 0.1 + 0.2, so that a value that is
// a limit by hand is a limit by machine. It is far below what a report prints.
const slack = 1e-9

// score is a flaw's score as if it covered its whole part, 1..6.
func score(importance, intensity int) int { return max(1, importance+intensity+2) }

// flawClass is a flaw's class at its real extent, 1..6 (after NEN 2767-1).
func flawClass(importance, intensity, extent int) int { return max(1, importance+intensity+extent-2) }

// extent is the column 0..4 that a share 0..1 of a part falls into.
func (r *Rubric) extent(share float64) int {
	e := 0
	for e < len(r.ExtentLimits) && share >= r.ExtentLimits[e]-slack {
		e++
	}
	return e
}

// Class is the class 1..6 of a ratio R.
func (r *Rubric) Class(ratio float64) int {
	c := 0
	for c < len(r.ClassLimits) && ratio > r.ClassLimits[c]+slack {
		c++
	}
	return c + 1
}

// Index is 100 (1 - sqrt(R - 1)), held to 0..100.
func Index(ratio float64) float64 {
	return min(100, max(0, 100*(1-math.Sqrt(max(0, ratio-1)))))
}

// Top is the highest index of a class, 100 for class 1.
func (r *Rubric) Top(class int) float64 {
	if class <= 1 {
		return 100
	}
	return Index(r.ClassLimits[min(class, 6)-2])
}

// Words is the word for a class 1..6; "" for 0, nothing inspected.
func (r *Rubric) Words(class int) string {
	if class < 1 || class > len(r.ClassWords) {
		return ""
	}
	return r.ClassWords[class-1]
}

// ClassWord is one row of the words of the scale.
type ClassWord struct {
	Class    int
	Word     string
	From, To float64 // on the index
}

// Scale lists the classes with their words and bounds on the index, best first.
func (r *Rubric) Scale() []ClassWord {
	var out []ClassWord
	for c := 1; c <= len(r.ClassWords); c++ {
		from := 0.0
		if c < len(r.ClassWords) {
			from = r.Top(c + 1)
		}
		out = append(out, ClassWord{Class: c, Word: r.Words(c), From: from, To: r.Top(c)})
	}
	return out
}
