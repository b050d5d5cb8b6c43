package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/units"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var setupVerb = &verb{name: "setup", args: "BENCH [--set \"READING=VALUE\" ...] [--how GAUGE] [--crowns 1=1.1,5=1.0] [--tuner 3=stiff,8] [--truss-rod works ...] [--exam ID]",
	short: "list string heights, relief, crowns, truss rod and tuners with their usual ranges, or record them", run: runSetup}

// answerFlags are the flags of the answers, in the order of view.Setup.Answers.
var answerFlags = []string{"truss-rod", "capo", "neck-angle", "nut", "tuning", "a4", "strings", "note"}

// setupFlags are what the verb was asked to record.
type setupFlags struct {
	sets, removes, tuners []string
	crowns, relief, how   string
	unit                  string
	answers               map[string]*string
}

func (f *setupFlags) define(c *call) {
	list := func(name, usage string, to *[]string) {
		c.flags.Func(name, usage, func(t string) error { *to = append(*to, t); return nil })
	}
	list("set", "`READING=VALUE`: one of the readings listed, as 1.6, \"1,6 mm\", \"5/64 in\", .063\\\" or \"63 thou\"; may be given again", &f.sets)
	list("remove", "`reading` to take away; may be given again", &f.removes)
	list("tuner", "`STRING=FEEL,DEGREES`: how a tuner feels and its backlash, either alone too; may be given again", &f.tuners)
	c.flags.StringVar(&f.crowns, "crowns", "", "heights of fret crowns: `FRET=HEIGHT,...`")
	c.flags.StringVar(&f.relief, "relief", "", "relief as a `length`, below 0 for a back bow")
	c.flags.StringVar(&f.how, "how", "", "`gauge` with which these readings were taken: rule, feeler gauge, calliper ...")
	c.flags.StringVar(&f.unit, "units", "", "`mm or in`, for bare figures and for the list; the bench's otherwise")
	usages := map[string]string{
		"truss-rod": "`answer`: " + strings.Join(record.TrussRodAnswers(), ", "), "capo": "how the string was held for the relief: `answer`: " + strings.Join(record.CapoAnswers(), "; "),
		"neck-angle": "where a straightedge along the frets meets the bridge: `answer`: " + strings.Join(record.NeckAngleAnswers(), "; "),
		"nut":        "`answer`: " + strings.Join(record.NutAnswers(), ", "), "tuning": "`notes` of the open strings, string 1 first", "a4": "pitch of A4 in `Hz`", "strings": "the `set` of strings", "note": "`text`",
	}
	f.answers = map[string]*string{}
	for _, name := range answerFlags {
		f.answers[name] = c.flags.String(name, "", usages[name])
	}
}

func runSetup(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print readings, answers and tuners as JSON")
	var f setupFlags
	f.define(c)
	if err := c.parse(1, 1); err != nil {
		return err
	}
	unit, err := units.ParseUnit(f.unit)
	if err != nil {
		return &usageError{err.Error()}
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		v := view.NewSetup(s, b)
		v.Gauge = f.how
		if f.unit != "" {
			v.UseUnit(unit)
		}
		changed, err := f.apply(c, v)
		if err != nil {
			return err
		}
		switch {
		case *asJSON:
			return c.printJSON(setupOf(v))
		case !changed:
			c.printSetup(v)
		}
		return nil
	})
}

// apply records what was asked for. Everything typed is read before anything is
// recorded, so that one slip leaves the record as it was.
func (f *setupFlags) apply(c *call, v *view.Setup) (changed bool, err error) {
	readings, err := f.readings(v)
	if err != nil {
		return false, err
	}
	tuners, err := f.tunerChanges(v)
	if err != nil {
		return false, err
	}
	var todo []func() error
	for _, r := range readings {
		todo = append(todo, func() error { return v.Keep(r) })
	}
	for _, id := range f.removes {
		todo = append(todo, func() error { return v.Remove(id) })
	}
	fields := v.Answers()
	for i, name := range answerFlags {
		if c.typed(name) {
			todo = append(todo, func() error { return fields[i].Set(*f.answers[name]) })
		}
	}
	for _, do := range append(todo, tuners...) {
		if err := do(); err != nil {
			return true, err
		}
	}
	return len(todo)+len(tuners) > 0, nil
}

// readings reads --set, --relief and --crowns.
func (f *setupFlags) readings(v *view.Setup) ([]record.Reading, error) {
	var out []record.Reading
	read := func(id, text string) error {
		r, err := v.Read(id, text)
		out = append(out, r)
		return err
	}
	for _, t := range f.sets {
		id, text, ok := strings.Cut(t, "=")
		if !ok {
			return nil, &usageError{fmt.Sprintf("--set %q has no =; write it like --set \"relief=0.2\"", t)}
		}
		if err := read(strings.TrimSpace(id), text); err != nil {
			return nil, err
		}
	}
	if f.relief != "" {
		if err := read("relief", f.relief); err != nil {
			return nil, err
		}
	}
	for _, t := range splitNames(f.crowns) {
		fret, text, ok := strings.Cut(t, "=")
		n, err := strconv.Atoi(strings.TrimSpace(fret))
		if !ok || err != nil {
			return nil, &usageError{fmt.Sprintf("--crowns %q is no list like 1=1.1,5=1.0", f.crowns)}
		}
		id, err := v.CrownID(n)
		if err == nil {
			err = read(id, text)
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// tunerChanges reads --tuner: a feel, a backlash in degrees, or both.
func (f *setupFlags) tunerChanges(v *view.Setup) ([]func() error, error) {
	var out []func() error
	for _, t := range f.tuners {
		str, rest, ok := strings.Cut(t, "=")
		n, err := strconv.Atoi(strings.TrimSpace(str))
		if !ok || err != nil || n < 1 || n > len(v.Tuners()) {
			return nil, &usageError{fmt.Sprintf("--tuner %q is not like 3=stiff,8 for a string from 1 to %d", t, len(v.Tuners()))}
		}
		for _, word := range splitNames(rest) {
			if _, err := units.Angle(word); err == nil {
				out = append(out, func() error { return v.SetBacklash(n, word) })
				continue
			}
			if err := v.CheckFeel(word); err != nil {
				return nil, err
			}
			out = append(out, func() error { return v.SetFeel(n, word) })
		}
	}
	if len(f.tuners) > 0 && len(out) == 0 {
		return nil, errors.New("set tuner: neither a feel nor degrees are given")
	}
	return out, nil
}

// typed tells whether a flag was on the command line, if only to be emptied.
func (c *call) typed(name string) bool {
	found := false
	c.flags.Visit(func(f *flag.Flag) { found = found || f.Name == name })
	return found
}
