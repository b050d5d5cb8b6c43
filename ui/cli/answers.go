package cli

import (
	"fmt"
	"strings"

	"wornwood/annotate/grade"
)

// printAnswers prints the three answers, each on a line of its own.
func printAnswers(c *call, r *grade.Result) {
	for _, s := range answers(r) {
		c.print("%s\n", s)
	}
}

func answers(r *grade.Result) []string {
	cond := "condition    not graded, nothing was inspected"
	if r.Index != nil {
		cond = fmt.Sprintf("condition    %.1f of 100, class %d of 6, %s, range %.1f to %.1f", *r.Index, r.Class, r.Word, r.Low, r.High)
		if r.Provisional {
			cond += fmt.Sprintf(", provisional (%.0f %% of the shares inspected)", 100*r.Inspected)
		}
	}
	orig := "originality  not judged, no part is known"
	if r.Originality != nil {
		orig = fmt.Sprintf("originality  %.0f of 100, range %.0f to %.0f", *r.Originality, r.OriginalityLow, r.OriginalityHigh)
		var not []string
		for _, p := range r.NotOriginal {
			not = append(not, fmt.Sprintf("%s: %s", p.Part, p.State))
		}
		if len(not) > 0 {
			orig += "; " + strings.Join(not, ", ")
		}
	}
	play := "plays clean  not tried"
	if r.Playing.Tried > 0 {
		play = fmt.Sprintf("plays clean  %d of %d positions", r.Playing.Clean, r.Playing.Total)
		if n := r.Playing.Total - r.Playing.Tried; n > 0 {
			play += fmt.Sprintf(", %d not tried", n)
		}
	}
	return []string{cond, orig, play}
}
