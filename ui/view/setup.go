package view

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/units"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// UnitKeeper is where the unit of a bench is kept; capture/bench's Bench is one.
type UnitKeeper interface {
	Settings() bench.Settings
	SetSettings(bench.Settings) error
}

// Setup is the form on string heights, relief, crowns, nut, truss rod and
// tuners. It shows lengths in the bench's unit; the record keeps millimetres.
type Setup struct {
	s    *annotate.Session
	keep UnitKeeper
	unit units.Unit // instead of the bench's, "" for that

	Gauge string // what the next readings are taken with, "" for not said
}

// NewSetup makes the model on a session of a bench.
func NewSetup(s *annotate.Session, keep UnitKeeper) *Setup { return &Setup{s: s, keep: keep} }

// Gauges are what readings are usually taken with, in the order of a form.
func Gauges() []string {
	return []string{"rule", "string height gauge", "feeler gauge", "calliper", "straightedge and feeler gauge"}
}

// Unit is the unit in which lengths are shown and bare figures are read.
func (v *Setup) Unit() units.Unit {
	if v.unit != "" {
		return v.unit
	}
	if v.keep.Settings().Units == string(units.Inch) {
		return units.Inch
	}
	return units.MM
}

// SetUnit changes the bench's unit.
func (v *Setup) SetUnit(u units.Unit) error {
	set := v.keep.Settings()
	if set.Units = string(u); v.keep.Settings().Units == set.Units {
		return nil
	}
	return v.keep.SetSettings(set)
}

// UseUnit has this form alone show and read another unit than the bench's.
func (v *Setup) UseUnit(u units.Unit) { v.unit = u }

// ReadingRow is one reading of the form.
type ReadingRow struct {
	ID      string
	Label   string
	Group   string
	Unit    string // of Text: mm, in, or fret
	Text    string // what the field holds, "" while it was not read
	Usual   string // the usual range in the bench's unit, or why there is none
	Outside bool
	How     string // how it was taken, as the record has it
	Gauge   string // of How: with what
	Typed   string // of How: what was read in inches, "" for nothing
	Why     string // where the range comes from
}

// Rows lists the readings of the class in the order of a form, then any others
// that the record holds. Crowns fret by fret are in Crowns.
func (v *Setup) Rows() []ReadingRow {
	sc := v.s.Scene()
	var rows []ReadingRow
	for _, known := range v.known() {
		rows = append(rows, v.row(known, known.Reading, 0))
	}
	for _, q := range sc.Record.Readings {
		if _, _, ok := v.rubric(q.ID); !ok {
			r := ReadingRow{ID: q.ID, Label: Capital(q.ID), Group: "Others", Unit: q.Unit, Text: q.Value.String(), Usual: "not known", Why: "this class has no usual range for it"}
			r.tell(q.Value.How)
			rows = append(rows, r)
		}
	}
	return rows
}

func (v *Setup) known() []grade.SetupReading {
	return v.s.Rubric().Setup(v.s.Scene().Drawing.Class)
}

func (v *Setup) rubric(id string) (grade.SetupReading, int, bool) {
	return v.s.Rubric().SetupReading(v.s.Scene().Drawing.Class, id)
}

func (v *Setup) row(known grade.SetupReading, id string, piece int) ReadingRow {
	r := ReadingRow{ID: id, Label: Capital(id), Group: known.Group, Unit: known.Unit, Usual: v.usual(known), Why: known.Why}
	// What its group says anyway is left out of a label, which has little room.
	if rest, ok := strings.CutPrefix(id, "string height, "); ok {
		r.Label = Capital(rest)
	} else if rest, ok := strings.CutSuffix(id, "projection at the bridge"); ok {
		r.Label = Capital(rest) + "projection"
	}
	if known.Unit == "mm" {
		r.Unit = string(v.Unit())
	}
	if piece > 0 {
		r.Label = strconv.Itoa(piece)
	}
	q, ok := v.reading(id)
	if !ok {
		return r
	}
	r.tell(q.Value.How)
	mm, length := millimetres(q)
	switch {
	case known.Unit != "mm" || !length:
		r.Text, r.Unit = strconv.FormatFloat(q.Value.Value, 'f', -1, 64), q.Unit
	default:
		r.Text, r.Outside = units.Figure(mm, v.Unit(), style(known)), known.Outside(mm)
	}
	return r
}

// tell fills in how a reading was taken.
func (r *ReadingRow) tell(how string) {
	r.How, r.Gauge = how, how
	if gauge, typed, ok := strings.Cut(how, readSign); ok {
		r.Gauge, r.Typed = strings.TrimSuffix(gauge, "; "), strings.TrimSpace(readSign+typed)
	}
}

// readSign stands in How before what was typed in inches.
const readSign = "read "

// millimetres is a reading's length; records made elsewhere may hold it in
// inches. False when it is no length.
func millimetres(q record.Reading) (float64, bool) {
	switch q.Unit {
	case "mm":
		return q.Value.Value, true
	case "in":
		return q.Value.Value * units.PerInch, true
	}
	return 0, false
}

func style(s grade.SetupReading) units.Style {
	if s.Fine {
		return units.Thousandths
	}
	return units.Sixtyfourths
}

// usual is the usual range in the bench's unit.
func (v *Setup) usual(s grade.SetupReading) string {
	if !s.Judged {
		return "recorded, not judged"
	}
	if s.Unit != "mm" {
		return s.Usual
	}
	if v.Unit() == units.MM {
		return s.Usual
	}
	return s.Range(func(mm float64) string { return inward(s, mm) }) + " " + string(units.Inch)
}

// inward writes an end of a range in thousandths of an inch, rounded into the
// range, so that no length outside it is written like one inside.
func inward(s grade.SetupReading, mm float64) string {
	n := mm / units.PerInch * 1000
	if mm == s.Low && !s.Outside(s.Low) {
		n = math.Ceil(n - 1e-9)
	} else {
		n = math.Floor(n + 1e-9)
	}
	return units.Figure(n/1000*units.PerInch, units.Inch, units.Thousandths)
}

func (v *Setup) reading(id string) (record.Reading, bool) {
	all := v.s.Scene().Record.Readings
	i := slices.IndexFunc(all, func(q record.Reading) bool { return q.ID == id })
	if i < 0 {
		return record.Reading{}, false
	}
	return all[i], true
}

// Read makes a reading of what was typed for it: "1.6", "5/64 in", "63 thou".
// It keeps millimetres, with the uncertainty that was typed or that of reading
// to the last figure, and in How the gauge and what was typed in inches.
func (v *Setup) Read(id, text string) (record.Reading, error) {
	known, _, ok := v.rubric(id)
	if !ok {
		return record.Reading{}, fmt.Errorf("read %s: a %s has no such reading; 'setup' lists those that it has", id, v.s.Scene().Drawing.Class)
	}
	r := record.Reading{ID: id, Unit: known.Unit}
	r.Value.How = v.Gauge
	if known.Unit == "fret" {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if most := v.s.Scene().Drawing.Frets; err != nil || n < 1 || n > most {
			return record.Reading{}, fmt.Errorf("read %s: %q is no fret from 1 to %d", id, text, most)
		}
		r.Value.Value = float64(n)
		return r, nil
	}
	l, err := units.Parse(text, v.Unit())
	if err != nil {
		return record.Reading{}, fmt.Errorf("%s: %w", id, err)
	}
	if l.MM < 0 && !known.Signed {
		return record.Reading{}, fmt.Errorf("%s: %q is below nothing", id, text)
	}
	r.Value.Value, r.Value.Uncertainty = to(6, l.MM), to(4, l.Uncertainty())
	if strings.HasSuffix(l.Text, " in") || strings.HasSuffix(l.Text, " thou") {
		r.Value.How = join("; ", r.Value.How, readSign+l.Text)
	}
	return r, nil
}

// to rounds to so many places, so that a record reads 1.984375 and no more.
func to(places int, v float64) float64 {
	k := math.Pow10(places)
	return math.Round(v*k) / k
}

// Set records what was typed for a reading; nothing takes it away.
func (v *Setup) Set(id, text string) error {
	if strings.TrimSpace(text) == "" {
		return v.s.RemoveReading(id)
	}
	r, err := v.Read(id, text)
	if err != nil {
		return err
	}
	return v.Keep(r)
}

// Keep records a reading.
func (v *Setup) Keep(r record.Reading) error { return v.s.SetReading(r) }

// Remove takes a reading away; one that is not there is said not to be.
func (v *Setup) Remove(id string) error {
	if _, ok := v.reading(id); !ok {
		return fmt.Errorf("remove reading: there is none called %q", id)
	}
	return v.s.RemoveReading(id)
}

// Crowns lists the fields for fret crowns: a sample of the board and whatever
// was read besides, or every fret. It is empty where the class has no frets.
func (v *Setup) Crowns(every bool) []ReadingRow {
	d := v.s.Scene().Drawing
	var rows []ReadingRow
	for _, known := range v.known() {
		if known.Each == "" || d.Fretless {
			continue
		}
		for f := 1; f <= d.Frets; f++ {
			_, read := v.reading(known.ReadingID(f))
			if every || read || slices.Contains(sampled(d.Frets), f) {
				rows = append(rows, v.row(known, known.ReadingID(f), f))
			}
		}
	}
	return rows
}

// CrownID is the identity of the reading of one fret's crown.
func (v *Setup) CrownID(fret int) (string, error) {
	d := v.s.Scene().Drawing
	for _, known := range v.known() {
		if known.Each != "" && !d.Fretless && fret >= 1 && fret <= d.Frets {
			return known.ReadingID(fret), nil
		}
	}
	return "", fmt.Errorf("read crown: this instrument has no fret %d", fret)
}

// sampled are the frets that stand for a board: where chords wear it most, the
// middle, and the last.
func sampled(frets int) []int {
	var out []int
	for _, f := range []int{1, 5, 7, 12, frets} {
		if f <= frets && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}

// UsualCrown is the usual range of crowns, "" where the class has no frets.
func (v *Setup) UsualCrown() string {
	for _, known := range v.known() {
		if known.Each != "" {
			return v.usual(known)
		}
	}
	return ""
}
