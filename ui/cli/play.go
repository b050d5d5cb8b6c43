package cli

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var playVerb = &verb{name: "play", args: "BENCH [SOUND] [--string 2] [--frets 3-7] [--rest SOUND] [--exam ID]",
	short: "show how every string speaks at every fret, or say it: clean, buzz, choke, dead, not tried", run: runPlay}

func runPlay(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	strs := c.flags.String("string", "", "`strings` from the treble side: 2, 1-3, 1,6; all of them otherwise")
	frets := c.flags.String("frets", "", "`frets` from the nut: 5, 3-7, 1,12; all of them otherwise")
	rest := c.flags.String("rest", "", "`sound` of every position that is not said by itself")
	asJSON := c.flags.Bool("json", false, "print the grid as JSON")
	if err := c.parse(1, 3); err != nil { // "not tried" may come as two words
		return err
	}
	sound := record.Sound(strings.Join(c.args[1:], " "))
	for _, snd := range []record.Sound{sound, record.Sound(*rest)} {
		if snd != "" && view.CheckSound(snd) != nil {
			return &usageError{view.CheckSound(snd).Error()}
		}
	}
	if sound == "" && (*strs != "" || *frets != "") {
		return &usageError{"say how these positions speak: wornwood play BENCH buzz --string 2 --frets 3-7"}
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		v := view.NewPlay(s)
		if *rest != "" {
			if err := s.SetOtherSounds(record.Sound(*rest)); err != nil {
				return err
			}
		}
		if sound != "" {
			on, err := numbersOf(*strs, "string", v.Strings())
			if err != nil {
				return err
			}
			at, err := numbersOf(*frets, "fret", v.Frets())
			if err != nil {
				return err
			}
			if err := v.SayAt(on, at, sound); err != nil {
				return err
			}
		}
		return c.printPlay(v, *asJSON)
	})
}

// numbersOf reads "2", "1-3" or "1,5-7" up to a largest number; "" is all.
func numbersOf(text, what string, most int) ([]int, error) {
	if text == "" {
		text = fmt.Sprintf("1-%d", most)
	}
	var out []int
	for _, part := range splitNames(text) {
		from, to, span := strings.Cut(part, "-")
		a, errA := strconv.Atoi(strings.TrimSpace(from))
		b := a
		var errB error
		if span {
			b, errB = strconv.Atoi(strings.TrimSpace(to))
		}
		if errA != nil || errB != nil || a < 1 || b < a || b > most {
			return nil, fmt.Errorf("%q names no %s from 1 to %d", text, what, most)
		}
		for n := a; n <= b; n++ {
			out = append(out, n)
		}
	}
	return out, nil
}

// playGridJSON is the grid for a program to read: sounds[string - 1][fret - 1].
type playGridJSON struct {
	Strings int              `json:"strings"`
	Frets   int              `json:"frets"`
	Sounds  [][]record.Sound `json:"sounds"`
	Summary string           `json:"summary"`
}

func (c *call) printPlay(v *view.Play, asJSON bool) error {
	if asJSON {
		return c.printJSON(playGridJSON{v.Strings(), v.Frets(), v.Sounds(), v.Summary()})
	}
	if v.Frets() > 0 {
		c.print("%s", v.Text())
		c.print(". clean, b buzz, h choke, d dead, - not tried\n")
	}
	c.print("%s\n", v.Summary())
	for _, t := range v.Faults() {
		if t != "" {
			c.print("%s\n", t)
		}
	}
	return nil
}
