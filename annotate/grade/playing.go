package grade

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// setupRow is a reading of the setup with its usual range for some classes.
type setupRow struct {
	Reading      string   `json:"reading"`
	Unit         string   `json:"unit"`
	Group        string   `json:"group"`   // heading under which forms list it
	Classes      []string `json:"classes"` // "" for every class
	Low          float64  `json:"low"`
	High         float64  `json:"high"`
	LowOutside   bool     `json:"lowOutside"`   // the low end itself is outside
	RecordedOnly bool     `json:"recordedOnly"` // there is no usual range
	Fine         bool     `json:"fine"`         // in inches it is read in thousandths, not in 64ths
	Signed       bool     `json:"signed"`       // it can be below 0
	Each         string   `json:"each"`         // followed by a number, the same reading of one piece
	Why          string   `json:"why"`
}

// SetupReading is a reading that the rubric knows for a class. The record
// carries it under Reading as its ID.
type SetupReading struct {
	Reading string
	Unit    string
	Group   string // heading under which forms list it
	Each    string // "fret crown, fret": with a number behind it the reading of one piece; "" for none
	Signed  bool   // it can be below 0: a neck bows back, a straightedge runs into the bridge
	Fine    bool   // in inches it is read in thousandths, not in 64ths
	Judged  bool   // whether there is a usual range
	Low     float64
	High    float64
	Usual   string // the range in words
	Why     string // where it comes from

	lowOutside bool
}

// Setup lists the readings that the rubric knows for a class.
func (r *Rubric) Setup(class string) []SetupReading {
	var out []SetupReading
	for _, row := range r.setupRows(class) {
		out = append(out, SetupReading{Reading: row.Reading, Unit: row.Unit, Group: row.Group, Each: row.Each, Fine: row.Fine, Signed: row.Signed, Judged: !row.RecordedOnly,
			Low: row.Low, High: row.High, Usual: row.usual(), Why: row.Why, lowOutside: row.LowOutside})
	}
	return out
}

// ReadingID is the identity of the reading of one piece: "fret crown, fret 7".
// It is empty where the reading is not taken piece by piece.
func (s SetupReading) ReadingID(piece int) string {
	if s.Each == "" {
		return ""
	}
	return fmt.Sprintf("%s %d", s.Each, piece)
}

// readingOf tells which of several readings an identity is one of, with the number of
// its piece or 0; -1 where it is none.
func readingOf(rows []setupRow, id string) (row, piece int) {
	for i, r := range rows {
		if r.Reading == id {
			return i, 0
		}
		if rest, ok := strings.CutPrefix(id, r.Each+" "); ok && r.Each != "" {
			if n, err := strconv.Atoi(rest); err == nil && n > 0 && strconv.Itoa(n) == rest {
				return i, n
			}
		}
	}
	return -1, 0
}

// SetupReading is what the rubric knows of a reading by its identity, with the
// number of its piece or 0; false where the class has no such reading.
func (r *Rubric) SetupReading(class, id string) (s SetupReading, piece int, ok bool) {
	i, n := readingOf(r.setupRows(class), id)
	if i < 0 {
		return SetupReading{}, 0, false
	}
	return r.Setup(class)[i], n, true
}

// Outside tells whether a value in the reading's unit lies outside the usual
// range; false where there is none.
func (s SetupReading) Outside(v float64) bool { return s.row().outside(v) }

// Range is the usual range without its unit, each end written by a function
// that is given it in the reading's unit; "" where there is none.
func (s SetupReading) Range(write func(float64) string) string {
	if !s.Judged {
		return ""
	}
	return s.row().rangeIn(write)
}

func (s SetupReading) row() setupRow {
	return setupRow{Low: s.Low, High: s.High, LowOutside: s.lowOutside, RecordedOnly: !s.Judged}
}

// setupRows are the rows of a class; of rows for the same reading the one with
// the longest matching class counts.
func (r *Rubric) setupRows(class string) []setupRow {
	var out []setupRow
	var length []int
	for _, row := range r.setup {
		n := matchClass(row.Classes, class)
		i := slices.IndexFunc(out, func(o setupRow) bool { return o.Reading == row.Reading })
		switch {
		case n < 0:
		case i < 0:
			out, length = append(out, row), append(length, n)
		case n > length[i]:
			out[i], length[i] = row, n
		}
	}
	return out
}

// usual is the range in words.
func (s setupRow) usual() string {
	if s.RecordedOnly {
		return "recorded, not judged"
	}
	return s.rangeIn(number) + " " + s.Unit
}

// rangeIn is the range without its unit, its ends written by a function.
func (s setupRow) rangeIn(write func(float64) string) string {
	if s.LowOutside {
		return fmt.Sprintf("above %s, up to %s", write(s.Low), write(s.High))
	}
	return fmt.Sprintf("%s to %s", write(s.Low), write(s.High))
}

func (s setupRow) outside(v float64) bool {
	return !s.RecordedOnly && (v < s.Low-slack || v > s.High+slack || (s.LowOutside && v <= s.Low+slack))
}

// millimetresPer are the units in which a length may be entered.
var millimetresPer = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "inch": 25.4, "\"": 25.4}

// inUnit converts a reading to the unit of its row; false when it cannot.
func inUnit(q record.Reading, unit string) (float64, bool) {
	from, okFrom := millimetresPer[strings.TrimSpace(q.Unit)]
	to, okTo := millimetresPer[unit]
	if q.Unit == unit {
		return q.Value.Value, true
	}
	return q.Value.Value * from / to, okFrom && okTo
}

// playing is the third answer: the positions that were tried, and each reading
// beside its usual range.
func playing(rec *record.Record, d *outline.Drawing, r *Rubric) Playing {
	p := Playing{Faults: []Fault{}, NotTried: []StringFrets{}, Readings: readings(rec, d, r)}
	frets := d.Frets
	if d.Fretless {
		frets = 0
	}
	p.Total = d.Strings * frets
	sounds := map[[2]int]record.Sound{}
	for _, q := range rec.Playing.Positions {
		sounds[[2]int{q.String, q.Fret}] = q.Sound
		if q.String > d.Strings || q.Fret > frets {
			p.OffGrid++
		}
	}
	for s := 1; s <= d.Strings; s++ {
		var open []int
		for f := 1; f <= frets; f++ {
			sound, ok := sounds[[2]int{s, f}]
			if !ok {
				sound = rec.Playing.Others
			}
			switch sound {
			case record.NotTried, "":
				open = append(open, f)
				continue
			case record.Clean:
				p.Clean++
			default:
				p.Faults = append(p.Faults, Fault{s, f, sound})
			}
			p.Tried++
		}
		if len(open) > 0 {
			p.NotTried = append(p.NotTried, StringFrets{s, open})
		}
	}
	return p
}

func readings(rec *record.Record, d *outline.Drawing, r *Rubric) []ReadingLine {
	out := []ReadingLine{}
	rows := r.setupRows(d.Class)
	for _, q := range rec.Readings {
		line := ReadingLine{Reading: q.ID, Value: q.Value.Value, Unit: q.Unit, Text: q.String()}
		if i, _ := readingOf(rows, q.ID); i >= 0 {
			line.Usual = rows[i].usual()
			if v, ok := inUnit(q, rows[i].Unit); ok {
				line.Outside = rows[i].outside(v)
			} else {
				line.Usual += fmt.Sprintf(" (not compared: %q is not a length)", q.Unit)
			}
		}
		out = append(out, line)
	}
	slices.SortFunc(out, func(a, b ReadingLine) int { return compareIDs(a.Reading, b.Reading) })
	return out
}

// compareIDs sorts identities by their words and, where only the numbers at the
// end differ, by those: fret 5 before fret 12.
func compareIDs(a, b string) int {
	wa, na := trailingNumber(a)
	wb, nb := trailingNumber(b)
	return cmp.Or(strings.Compare(wa, wb), cmp.Compare(na, nb), strings.Compare(a, b))
}

func trailingNumber(s string) (words string, n int) {
	words = strings.TrimRight(s, "0123456789")
	n, err := strconv.Atoi(s[len(words):])
	if err != nil { // none, or too long for one: then the words decide
		return s, 0
	}
	return words, n
}

// Replay is Grade for a record that differs from an earlier one, of which old
// is the result, in nothing but what the third answer is made from: playing,
// readings and setup. Condition and originality are then as they were, so only
// playing is computed. Drawing and rubric must be those of old. The old result
// is not changed; the two share what they have in common.
func Replay(old *Result, rec *record.Record, d *outline.Drawing, r *Rubric) (*Result, error) {
	if old == nil || rec == nil || d == nil || r == nil {
		return nil, fmt.Errorf("grade: a result, a record, a drawing and a rubric are needed")
	}
	if err := rec.Check(); err != nil {
		return nil, fmt.Errorf("grade: %w", err)
	}
	res := *old
	res.Playing = playing(rec, d, r)
	return &res, nil
}
