package suggest

import "fmt"

// The numbers in Help, in per cent, as TestFigures measures them with the
// slider in its middle: the share found of marks with the contrast, and the
// share of suggestions that are wrong.
const (
	promisedFrom = 0.15 // contrast on smooth finish

	smoothChecksFound = 96
	smoothChecksWrong = 3
	smoothDingsFound  = 79
	smoothDingsWrong  = 9

	grainFromContrast = 0.25 // contrast on open grain
	grainChecksFound  = 83
	grainDingsFound   = 67
)

// Help is the window's text about how far suggestions can be trusted.
func Help() string {
	return fmt.Sprintf("Suggestions are places to look at, nothing more: accept those that are real and dismiss the others. "+
		"On smooth finish, with the slider in its middle, %d of 100 finish checks that differ from the finish beside them by %.0f per cent were pointed at in trials, "+
		"and %d of 100 suggested checks were wrong; of such dings %d of 100, with %d of 100 suggestions wrong. "+
		"Fainter ones are found less often, stronger ones nearly always. "+
		"On open grain only strong checks show: at %.0f per cent, %d of 100 checks and %d of 100 dings. The window says when the grain is too strong. "+
		"Dust, screws, holes and lettering look like dings to it, and long smooth lines are taken for strings or binding and left out. "+
		"The trials were marks painted into rendered and photographed surfaces, not real damage. "+
		"Suggested lines come out too short or too long: trace a line before it is measured.",
		smoothChecksFound, 100*promisedFrom, smoothChecksWrong, smoothDingsFound, smoothDingsWrong,
		100*grainFromContrast, grainChecksFound, grainDingsFound)
}
