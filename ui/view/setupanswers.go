package view

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/pitch"
	"wornwood/annotate/units"
	"wornwood/capture/record"
)

// unsaid is the choice that takes an answer back.
const unsaid = "–"

// Answers lists the answers in words: truss rod, how the relief was read, neck
// angle, nut, tuning, strings.
func (v *Setup) Answers() []Field {
	fields := []Field{
		v.answer("Truss rod", record.TrussRodAnswers(), func(p *record.Setup) *string { return &p.TrussRod }),
		v.answer("Relief read with", record.CapoAnswers(), func(p *record.Setup) *string { return &p.Capo }),
		v.answer("Straightedge along the frets", record.NeckAngleAnswers(), func(p *record.Setup) *string { return &p.NeckAngle }),
		v.answer("Nut", record.NutAnswers(), func(p *record.Setup) *string { return &p.Nut }),
		v.tuning(), v.a4(),
		v.text("String set", 1, func(p *record.Setup) *string { return &p.StringSet }),
		v.text("Note on the setup", 2, func(p *record.Setup) *string { return &p.Note }),
	}
	if d := v.s.Scene().Drawing; d.Fretless {
		fields[2].Label = "Straightedge along the board"
	}
	return fields
}

func (v *Setup) answer(label string, choices []string, at func(*record.Setup) *string) Field {
	f := v.text(label, 1, at)
	set := f.Set
	f.Choices = append([]string{unsaid}, choices...)
	f.Set = func(t string) error {
		if t == unsaid {
			t = ""
		}
		if t != "" && !slices.Contains(choices, t) {
			return fmt.Errorf("set %s: %q is none of its answers; they are: %s", strings.ToLower(label), t, strings.Join(choices, ", "))
		}
		return set(t)
	}
	return f
}

func (v *Setup) text(label string, lines int, at func(*record.Setup) *string) Field {
	return Field{Group: "Answers", Label: label, Lines: lines,
		Get: func() string { p := v.s.Setup(); return *at(&p) },
		Set: func(t string) error {
			return v.s.SetSetup(strings.ToLower(label), func(p *record.Setup) { *at(p) = strings.TrimSpace(t) })
		}}
}

// tuning holds the notes of the open strings; one that the class has anyway
// need not be typed.
func (v *Setup) tuning() Field {
	d := v.s.Scene().Drawing
	f := v.text("Tuning, string 1 first", 1, func(p *record.Setup) *string { return &p.Tuning })
	f.Hint = pitch.Usual(d.Class, d.Strings).String()
	set := f.Set
	f.Set = func(t string) error {
		if t = strings.TrimSpace(t); t == "" {
			return set("")
		}
		notes, err := pitch.ParseTuning(t)
		if err != nil {
			return fmt.Errorf("set tuning: %w", err)
		}
		if n := v.s.Scene().Drawing.Strings; len(notes) != n {
			return fmt.Errorf("set tuning: %q has %d notes, this instrument has %d strings", t, len(notes), n)
		}
		return set(notes.String())
	}
	return f
}

func (v *Setup) a4() Field {
	return Field{Group: "Answers", Label: "Pitch of A4", Unit: "Hz", Hint: "440",
		Get: func() string {
			if hz := v.s.Setup().A4; hz != 0 {
				return strconv.FormatFloat(hz, 'f', -1, 64)
			}
			return ""
		},
		Set: func(t string) error {
			hz, err := Number(t)
			if err != nil || (hz != 0 && (hz < 300 || hz > 600)) {
				return fmt.Errorf("set pitch of A4: %q is no pitch from 300 to 600 Hz", t)
			}
			return v.s.SetSetup("pitch of A4", func(p *record.Setup) { p.A4 = hz })
		}}
}

// Notes names the open strings, string 1 first: as tuned, else as the class
// usually is, else nothing.
func (v *Setup) Notes() []string {
	d := v.s.Scene().Drawing
	notes, err := pitch.ParseTuning(v.s.Setup().Tuning)
	if err != nil || len(notes) != d.Strings { // not said, or said when it had other strings
		notes = pitch.Usual(d.Class, d.Strings)
	}
	out := make([]string, len(notes))
	for i, n := range notes {
		out[i] = n.String()
	}
	return out
}

// TunerRow is the tuner of one string.
type TunerRow struct {
	String   int
	Note     string // of its open string, "" where it is not known
	Backlash string // degrees
	Feel     string
}

// Tuners lists them, string 1 first.
func (v *Setup) Tuners() []TunerRow {
	rows := make([]TunerRow, v.s.Scene().Drawing.Strings)
	notes := v.Notes()
	for i := range rows {
		rows[i].String = i + 1
		if i < len(notes) {
			rows[i].Note = notes[i]
		}
	}
	for _, t := range v.s.Setup().Tuners {
		if t.String > len(rows) {
			continue
		}
		rows[t.String-1].Feel = t.Feel
		if t.Backlash != nil {
			rows[t.String-1].Backlash = strconv.FormatFloat(t.Backlash.Value, 'f', -1, 64)
		}
	}
	return rows
}

// Feels are the choices for how a tuner feels, the first of which takes the
// answer back.
func (v *Setup) Feels() []string { return append([]string{unsaid}, record.TunerAnswers()...) }

// SetBacklash says by how many degrees a tuner's button turns before its post
// follows; "" takes it back.
func (v *Setup) SetBacklash(str int, text string) error {
	var q *record.Quantity
	if strings.TrimSpace(text) != "" {
		deg, err := units.Angle(text)
		if err != nil {
			return fmt.Errorf("backlash of tuner %d: %w", str, err)
		}
		q = &record.Quantity{Value: deg, How: "degrees of the button"}
	}
	return v.s.SetTuner(str, func(t *record.Tuner) {
		if q != nil && t.Backlash != nil && t.Backlash.Value == q.Value {
			return
		}
		t.Backlash = q
	})
}

// SetFeel says how a tuner feels.
func (v *Setup) SetFeel(str int, feel string) error {
	if feel == unsaid {
		feel = ""
	}
	if feel != "" {
		if err := v.CheckFeel(feel); err != nil {
			return err
		}
	}
	return v.s.SetTuner(str, func(t *record.Tuner) { t.Feel = feel })
}

// RestSmooth says of every tuner of which no feel was said that it is smooth, in
// one step of undo.
func (v *Setup) RestSmooth() error {
	return v.s.SetSetup("the other tuners", func(p *record.Setup) {
		for n := 1; n <= v.s.Scene().Drawing.Strings; n++ {
			i := slices.IndexFunc(p.Tuners, func(t record.Tuner) bool { return t.String == n })
			switch {
			case i < 0:
				p.Tuners = append(p.Tuners, record.Tuner{String: n, Feel: smooth})
			case p.Tuners[i].Feel == "":
				p.Tuners[i].Feel = smooth
			}
		}
		slices.SortStableFunc(p.Tuners, func(a, b record.Tuner) int { return a.String - b.String })
	})
}

// smooth is the answer on a tuner that is as it should be.
var smooth = record.TunerAnswers()[0]

// CheckFeel tells whether a word is an answer on a tuner.
func (v *Setup) CheckFeel(feel string) error {
	if !slices.Contains(record.TunerAnswers(), feel) {
		return fmt.Errorf("set tuner: %q is none of the answers; they are: %s", feel, strings.Join(record.TunerAnswers(), ", "))
	}
	return nil
}

// SetupCautions are shown where strings, frets and rods are worked on.
func SetupCautions() []string {
	return []string{
		"Strings are under tension: wear eye protection, and slacken them before nut, tuners or bridge are touched.",
		"A truss rod is tried with feeling, an eighth of a turn at most. One that does not move is left alone; forced, it breaks.",
	}
}

// setupMissing says what of the setup was not read, in the words of the rail.
func setupMissing(sc *annotate.Scene) []string {
	var out []string
	heights, relief, crowns := 0, false, false
	for _, r := range sc.Record.Readings {
		relief = relief || r.ID == "relief"
		crowns = crowns || strings.HasPrefix(r.ID, "fret crown")
		if strings.HasPrefix(r.ID, "string height, ") {
			heights++
		}
	}
	said := record.Setup{}
	if sc.Record.Setup != nil {
		said = *sc.Record.Setup
	}
	if heights < 2 { // bass and treble
		out = append(out, "string heights")
	}
	if !relief {
		out = append(out, "relief")
	}
	if !crowns && !sc.Drawing.Fretless {
		out = append(out, "fret crowns")
	}
	if said.TrussRod == "" && !sc.Drawing.Fretless {
		out = append(out, "truss rod")
	}
	if len(said.Tuners) == 0 {
		out = append(out, "tuners")
	}
	return out
}

func setupItem(sc *annotate.Scene) RailItem {
	r := sc.Record
	if len(r.Readings) == 0 && r.Setup == nil && len(r.Playing.Positions) == 0 && r.Playing.Others == "" {
		return RailItem{SetupScreen, "setup", NotStarted, "nothing read or played yet"}
	}
	why := ""
	if m := setupMissing(sc); len(m) > 0 {
		why = "not said: " + strings.Join(m, ", ")
	}
	if g := sc.Grade; g != nil && g.Playing.Tried < g.Playing.Total {
		why = join("; ", why, count(g.Playing.Total-g.Playing.Tried, "position not tried", "positions not tried"))
	}
	if why != "" {
		return RailItem{SetupScreen, "setup", SomethingMissing, why}
	}
	return RailItem{SetupScreen, "setup", Complete, "read and played throughout"}
}
