package colour

import "wornwood/annotate/grade"

// Visible is the colour difference dE*ab under which no change is shown: the
// smallest visible difference of the CCI light-damage calculator, about step 4
// of the grey scale. Sources go up to 2.3 (Mahy 1994).
const Visible = 1.6

// GreyStep is the step of the grey scale for change in colour, after ISO
// 105-A02, of a difference dE*ab: "5", "4-5" ... "1". It is the one that grades
// follow from.
func GreyStep(dEab float64) string { return grade.GreyStep(dEab) }

// Limit is the difference dE*ab that a pair must reach before a change is
// shown: Visible, or twice the standard uncertainty of its repeatability where
// that is more.
func Limit(repeatability float64) float64 { return max(Visible, 2*repeatability) }
