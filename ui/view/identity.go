package view

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Field is one line of a form: what it is called, its unit, what may be chosen
// (nil: free text), and how it is read and set.
type Field struct {
	Group, Label, Unit, Hint string
	Choices                  []string
	Lines                    int // 2 or more: a text of several lines
	Get                      func() string
	Set                      func(string) error
}

// Identity is the form on what the instrument is said to be and on the
// examination itself.
type Identity struct{ s *annotate.Session }

// NewIdentity makes the model on a session.
func NewIdentity(s *annotate.Session) *Identity { return &Identity{s} }

// Fields lists the form in order. Setting a field that has not changed makes
// no entry.
func (v *Identity) Fields() []Field {
	f := []Field{
		v.class(),
		v.text("Instrument", "Maker", func(i *record.Instrument) *string { return &i.Maker }),
		v.text("Instrument", "Model", func(i *record.Instrument) *string { return &i.Model }),
		v.text("Instrument", "Edition", func(i *record.Instrument) *string { return &i.Edition }),
		v.text("Instrument", "Claimed year", func(i *record.Instrument) *string { return &i.Year }),
		v.text("Instrument", "Serial", func(i *record.Instrument) *string { return &i.Serial }),
		v.number("Measures", "Scale length", "mm", func(i *record.Instrument) float64 { return i.ScaleLength },
			func(i *record.Instrument, x float64) { i.ScaleLength = x }),
		v.number("Measures", "Frets", "", func(i *record.Instrument) float64 { return float64(i.Frets) },
			func(i *record.Instrument, x float64) { i.Frets = int(x) }),
		v.number("Measures", "Strings", "", func(i *record.Instrument) float64 { return float64(i.Strings) },
			func(i *record.Instrument, x float64) { i.Strings = int(x) }),
		v.hand(),
		v.number("Measures", "Bass scale, fanned frets", "mm", func(i *record.Instrument) float64 { return i.BassScale },
			func(i *record.Instrument, x float64) { i.BassScale = x }),
		v.number("Measures", "Fret square to the strings", "", func(i *record.Instrument) float64 { return float64(i.StraightFret) },
			func(i *record.Instrument, x float64) { i.StraightFret = int(x) }),
		v.number("Measures", "Body length", "mm", func(i *record.Instrument) float64 { return i.BodyLength },
			func(i *record.Instrument, x float64) { i.BodyLength = x }),
		v.number("Measures", "Body width", "mm", func(i *record.Instrument) float64 { return i.BodyWidth },
			func(i *record.Instrument, x float64) { i.BodyWidth = x }),
		v.number("Measures", "Mass", "kg", func(i *record.Instrument) float64 { return i.Mass },
			func(i *record.Instrument, x float64) { i.Mass = x }),
		v.text("Finish and woods", "Colour", func(i *record.Instrument) *string { return &i.Colour }),
		v.text("Finish and woods", "Coating", func(i *record.Instrument) *string { return &i.Coating }),
		v.text("Finish and woods", "Body", func(i *record.Instrument) *string { return &i.Body }),
		v.text("Finish and woods", "Neck", func(i *record.Instrument) *string { return &i.Neck }),
		v.text("Finish and woods", "Fingerboard", func(i *record.Instrument) *string { return &i.Fingerboard }),
		v.text("Fittings", "Hardware", func(i *record.Instrument) *string { return &i.Hardware }),
		v.text("Fittings", "Inlays", func(i *record.Instrument) *string { return &i.Inlays }),
		v.text("Fittings", "Electronics", func(i *record.Instrument) *string { return &i.Electronics }),
		v.text("Fittings", "Comes with", func(i *record.Instrument) *string { return &i.WithIt }),
		v.text("Fittings", "Remark on materials", func(i *record.Instrument) *string { return &i.Material }),
	}
	for i := range f {
		f[i].Hint = hints[f[i].Label]
	}
	return append(f, v.examination()...)
}

// hints say what a field is for, while it is empty.
var hints = map[string]string{
	"Edition": "series or run, where it has one", "Claimed year": "1974, about 1974 …",
	"Colour": "as it looks", "Coating": "lacquer, oil varnish …", "Body": "wood", "Neck": "wood",
	"Fingerboard": "wood; “appears to be” unless a paper names it", "Hardware": "nickel, gold-plated …",
	"Inlays": "dots, blocks; of what", "Electronics": "pickups and controls in a few words", "Comes with": "case, papers, tools",
	"Remark on materials": "what is known",
}

// identityItem is the rail's: what is not entered, then what claims and
// materials lack.
func (v *Shell) identityItem(sc *annotate.Scene) RailItem {
	in := sc.Record.Instrument
	it := RailItem{IdentityScreen, "identity", Complete, ""}
	for _, f := range [][2]string{{in.Maker, "maker"}, {in.Model, "model"}, {in.Year, "claimed year"}, {in.Serial, "serial"}, {in.Colour, "colour"}, {sc.Record.Examination.Examiner, "examiner"}} {
		if f[0] == "" {
			it.Why = join(", ", it.Why, f[1])
		}
	}
	if it.Why != "" {
		it.Progress, it.Why = SomethingMissing, "not entered: "+it.Why
	}
	if gaps := identityGaps(sc.Record); len(gaps) > 0 {
		it.Progress = SomethingMissing
		more := ""
		if len(gaps) > 2 {
			more, gaps = fmt.Sprintf("and %d more like it", len(gaps)-2), gaps[:2]
		}
		it.Why = join("; ", it.Why, strings.Join(gaps, "; "), more)
	}
	if in.Maker == "" && in.Model == "" && in.Serial == "" {
		it.Progress = NotStarted
	}
	return it
}

// identityGaps are what claims and materials lack for what they say.
func identityGaps(rec *record.Record) []string {
	var out []string
	for i := range rec.Claims {
		c := &rec.Claims[i]
		if gap := annotate.ClaimGap(rec, c); gap != "" {
			out = append(out, "claim on "+firstOf(c.About, c.Text, "nothing yet")+": "+gap)
		}
	}
	for i := range rec.Materials {
		m := &rec.Materials[i]
		if gap := annotate.MaterialGap(rec, m); gap != "" {
			out = append(out, m.Name+": "+gap)
		}
	}
	return out
}

// class chooses the outline. Measures that the other class cannot have are
// dropped, so that its own usual ones are drawn.
func (v *Identity) class() Field {
	return Field{Group: "Instrument", Label: "Class", Choices: outline.Classes(),
		Get: func() string { return v.s.Scene().Record.Instrument.Class },
		Set: func(t string) error {
			if v.s.Scene().Record.Instrument.Class == t {
				return nil
			}
			return v.s.SetInstrument("class", func(i *record.Instrument) {
				i.Class = t
				if _, err := grade.DrawingFor(*i); err != nil {
					i.ScaleLength, i.Frets, i.Strings, i.BassScale, i.StraightFret, i.BodyLength, i.BodyWidth, i.Own = 0, 0, 0, 0, 0, 0, 0, nil
				}
			})
		}}
}

var hands = []string{"right-handed", "left-handed"}

func (v *Identity) hand() Field {
	return Field{Group: "Measures", Label: "Built", Choices: hands,
		Get: func() string {
			if v.s.Scene().Record.Instrument.LeftHanded {
				return hands[1]
			}
			return hands[0]
		},
		Set: func(t string) error {
			if left := t == hands[1]; left != v.s.Scene().Record.Instrument.LeftHanded {
				return v.s.SetInstrument("handedness", func(i *record.Instrument) { i.LeftHanded = left })
			}
			return nil
		}}
}

func (v *Identity) text(group, label string, at func(*record.Instrument) *string) Field {
	return Field{Group: group, Label: label,
		Get: func() string { in := v.s.Scene().Record.Instrument; return *at(&in) },
		Set: func(t string) error {
			t = strings.TrimSpace(t)
			in := v.s.Scene().Record.Instrument
			if *at(&in) == t {
				return nil
			}
			return v.s.SetInstrument(strings.ToLower(label), func(i *record.Instrument) { *at(i) = t })
		}}
}

func (v *Identity) number(group, label, unit string, get func(*record.Instrument) float64, set func(*record.Instrument, float64)) Field {
	return Field{Group: group, Label: label, Unit: unit,
		Get: func() string {
			in := v.s.Scene().Record.Instrument
			if x := get(&in); x != 0 {
				return strconv.FormatFloat(x, 'f', -1, 64)
			}
			return ""
		},
		Set: func(t string) error {
			x, err := Number(t)
			if err != nil {
				return fmt.Errorf("set %s: %w", strings.ToLower(label), err)
			}
			in := v.s.Scene().Record.Instrument
			if get(&in) == x {
				return nil
			}
			return v.s.SetInstrument(strings.ToLower(label), func(i *record.Instrument) { set(i, x) })
		}}
}

// Number reads a figure as people type it: decimal point or comma, "" for 0.
func Number(t string) (float64, error) {
	t = strings.Replace(strings.TrimSpace(t), ",", ".", 1)
	if t == "" {
		return 0, nil
	}
	x, err := strconv.ParseFloat(t, 64)
	if err != nil || x != x || x < 0 || x > 1e6 {
		return 0, fmt.Errorf("%q is not a figure of 0 or more", t)
	}
	return x, nil
}

func (v *Identity) examination() []Field {
	ex := func() record.Examination { return v.s.Scene().Record.Examination }
	free := func(label string, lines int, at func(*record.Examination) *string) Field {
		return Field{Group: "Examination", Label: label, Lines: lines,
			Get: func() string { e := ex(); return *at(&e) },
			Set: func(t string) error {
				e := ex()
				if t = strings.TrimSpace(t); *at(&e) == t {
					return nil
				}
				return v.s.SetExamination(strings.ToLower(label), func(e *record.Examination) { *at(e) = t })
			}}
	}
	var purposes []string
	for _, p := range record.Purposes() {
		purposes = append(purposes, string(p))
	}
	return []Field{
		{Group: "Examination", Label: "Purpose", Choices: purposes,
			Get: func() string { return string(ex().Purpose) },
			Set: func(t string) error {
				if string(ex().Purpose) == t {
					return nil
				}
				return v.s.SetExamination("purpose", func(e *record.Examination) { e.Purpose = record.Purpose(t) })
			}},
		{Group: "Examination", Label: "Date", Unit: "ISO, with zone",
			Get: func() string { return ex().Date.Format("2006-01-02 15:04 -07:00") },
			Set: v.setDate},
		{Group: "Examination", Label: "Next examination due", Unit: "day", Hint: "2027-11-14, or empty",
			Get: func() string { return ex().NextDue }, Set: v.setNext},
		free("Examiner", 1, func(e *record.Examination) *string { return &e.Examiner }),
		free("Shop", 1, func(e *record.Examination) *string { return &e.Shop }),
		free("Note", 8, func(e *record.Examination) *string { return &e.Note }),
	}
}

// setNext sets the day by which it should be examined again; "" takes it back.
func (v *Identity) setNext(t string) error {
	t = strings.TrimSpace(t)
	if _, err := time.Parse(time.DateOnly, t); t != "" && err != nil {
		return fmt.Errorf("set next examination: %q is no day written like 2027-11-14", t)
	}
	if v.s.Scene().Record.Examination.NextDue == t {
		return nil
	}
	return v.s.SetExamination("next examination", func(e *record.Examination) { e.NextDue = t })
}

func (v *Identity) setDate(t string) error {
	old := v.s.Scene().Record.Examination.Date
	for _, layout := range []string{"2006-01-02 15:04 -07:00", time.RFC3339, "2006-01-02 15:04", "2006-01-02"} {
		d, err := time.ParseInLocation(layout, strings.TrimSpace(t), old.Location())
		if err != nil {
			continue
		}
		if d.Format("2006-01-02 15:04 -07:00") == old.Format("2006-01-02 15:04 -07:00") {
			return nil
		}
		return v.s.SetExamination("date", func(e *record.Examination) { e.Date = d })
	}
	return fmt.Errorf("set date: %q is not a date like 2026-11-14 10:05 +01:00", t)
}
