package electronics

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// dateCode looks at the source-date code of a potentiometer or a speaker beside the claimed year.
func (k *checker) dateCode(c record.Component) {
	if strings.TrimSpace(c.Code) == "" {
		return
	}
	code, err := k.potCode(c.Code)
	if err != nil {
		k.add(Note, Name(c)+": "+err.Error(), "It stays as it was read and says nothing of the date; not every potentiometer carries one")
		return
	}
	if replaced(c) {
		return // said to be later work, and its code agrees or is earlier
	}
	_, to, ok := dating.ClaimedYears(k.rec.Instrument.Year)
	if !ok || to == 0 {
		return
	}
	first, last := code.Earliest().Year, code.Latest().Year
	claimed := strings.TrimSpace(k.rec.Instrument.Year)
	switch {
	case first > to:
		k.add(Wrong, Name(c)+fmt.Sprintf(": made in %d or after, the instrument is claimed to be of %s", first, claimed),
			"A part cannot be older work than its own date ("+code.Words()+"): it is a replacement, or the claimed year is too early")
	case last > to:
		k.add(Note, Name(c)+": its code goes with the claimed "+claimed+" in an early reading only",
			upper(code.Words())+"; the later reading would make it a replacement")
	}
}

// replaced tells whether a component is said to be a replacement.
func replaced(c record.Component) bool {
	return c.State == record.PeriodReplacement || c.State == record.LaterReplacement
}

// potCode reads a source-date code; no part is younger than the day of looking,
// so that a report says the same whenever it is made.
func (k *checker) potCode(code string) (dating.Code, error) {
	var sp dating.Spans
	if !k.today.IsZero() {
		sp.Last = k.today.Year()
	}
	return dating.PotCodeIn(code, sp)
}

// oneBatch notes potentiometers that were not made at one time. A maker's stock
// lasts some months; two years apart is a later hand (common practice).
func (k *checker) oneBatch() {
	const apart = 2 // years
	type dated struct {
		c    record.Component
		code dating.Code
	}
	var all []dated
	for _, c := range k.all {
		if c.Kind != record.PotComponent || strings.TrimSpace(c.Code) == "" || replaced(c) {
			continue
		}
		if code, err := k.potCode(c.Code); err == nil {
			all = append(all, dated{c, code})
		}
	}
	near := func(a, b dating.Code) bool {
		for _, x := range a.Weeks() {
			if slices.ContainsFunc(b.Weeks(), func(y dating.Week) bool { return x.Year-y.Year <= apart && y.Year-x.Year <= apart }) {
				return true
			}
		}
		return false
	}
	for i, a := range all {
		if i > 0 && !near(all[0].code, a.code) {
			k.add(Look, Name(a.c)+" and "+Name(all[0].c)+" were made more than two years apart",
				upper(all[0].code.Words())+"; "+a.code.Words()+"; makers fit what was bought together, so one of them may be later work (common practice)")
		}
	}
}
