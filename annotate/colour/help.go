package colour

import (
	"fmt"
	"strings"
)

// SheenRate is how well a broad sheen is seen on one kind of surface.
type SheenRate struct {
	Surface string
	Strong  float64 // share seen of those that spoil a reading by CIEDE2000 of 3 or more
	Weak    float64 // share seen of those that spoil it by 1 to 3
	Clean   float64 // share of clean patches that are suspected all the same
}

// SheenRates are the figures that TestSheenRates measures on surfaces made for
// it: 120 with a sheen and 80 without of each kind.
func SheenRates() []SheenRate {
	return []SheenRate{
		{"plain", 0.99, 0.95, 0},
		{"grained", 0.99, 0.78, 0},
		{"grained, of two hues", 1.00, 0.82, 0.23},
	}
}

// SheenHelp says what the warning about a broad sheen is worth.
func SheenHelp() string {
	var b strings.Builder
	b.WriteString("A broad sheen, the mirror image of a window or a bright wall, lies over the colour like a veil. It is suspected when the colour drifts across the patch in a way that grain does not. " +
		"On made-up surfaces the warning saw these shares of sheens, and suspected these shares of clean patches:\n\n")
	for _, r := range SheenRates() {
		fmt.Fprintf(&b, "%s: %.0f %% of sheens that spoil the reading by ΔE00 3 or more, %.0f %% of those that spoil it by 1 to 3; %.0f %% of clean patches.\n", r.Surface, 100*r.Strong, 100*r.Weak, 100*r.Clean)
	}
	b.WriteString("\nA sheen that lies evenly over the whole patch cannot be seen in it at all. A sunburst, the border of the fade or a shadow inside the patch looks like a sheen and is suspected too: draw the patch on an even place.")
	return b.String()
}

// Help says what a reading of fade is and is not, for the window.
func Help() string {
	return fmt.Sprintf("Mark three patches in one photo: wood as it was, wood as it has faded, and a grey card (18 per cent) lying beside them in the same light. "+
		"Each patch needs %d pixels or more of one colour. Clipped pixels, outliers and small mirrored lights are left out; the mean is taken of the original in linear light. "+
		"ΔE00 is CIEDE2000, ΔE*ab is the CIELAB difference from which the grey-scale step (after ISO 105-A02) and the grade follow; below ΔE*ab %.1f, or below what the patches repeat by, no change is shown. "+
		"The figure after ± says how well the reading repeats, not how true it is. With the card, half a stop of exposure and 15 per cent of white balance change ΔE00 by about 0.1; without it by 0.1 to 1.2, and the figure after ± is widened. "+
		"A camera's tone curve may hide or add up to %.0f %% of the difference, which no card mends; a linear file has no such limit. "+
		"Both patches must have the same light: a shadow or a lamp nearer to one of them is read as a change of colour.", MinPixels, Visible, 100*ToneShare)
}
