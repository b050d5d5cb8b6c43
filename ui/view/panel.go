package view

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"wornwood/annotate"
	"wornwood/annotate/colour"
	"wornwood/annotate/draw"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Panel is the panel of the selected mark.
type Panel struct {
	Number     int
	Level      int
	Title      string // the kind, capitalised
	Cost       string // "costs 2.7 points"
	Kind       record.Kind
	Where      string
	Depth      int // 0..2, -1 not judged
	DepthWords [3]string
	Reading    string // what is measured on this kind, "" for none
	Unit       string
	Value      string
	Beside     string // what the value means: grey-scale step, grade
	Extent     string
	Length     string
	Width      string
	Since      string
	Note       string
	Remark     string // what the grade says of the mark, "" for nothing
	Unplaced   bool
	Photos     int // how many photos show it
}

// Since lists how a mark may stand against the last examination.
var Since = []string{"unchanged", "grown", "new", "repaired"}

// Panel describes the selected mark, nil when none is.
func (v *Marks) Panel() *Panel {
	sc := v.s.Scene()
	m := sc.Record.MarkByNumber(sc.Selected)
	if m == nil {
		return nil
	}
	info, _ := v.s.Rubric().Kind(m.Kind)
	p := &Panel{Number: m.Number, Level: draw.Level(*m), Title: Capital(string(m.Kind)), Kind: m.Kind,
		Where: Where(sc.Drawing, m), Depth: m.Depth.Level(), DepthWords: DepthWords(info), Reading: string(info.Reading),
		Extent: Extent(sc.Drawing, m), Since: m.Since, Note: m.Note, Unplaced: len(m.On) == 0, Photos: len(m.Photos)}
	if m.Length != nil {
		p.Length = m.Length.String()
	}
	if m.Width != nil {
		p.Width = m.Width.String()
	}
	p.Unit, p.Beside = readingUnit(v.s.Rubric(), info.Reading), ""
	if m.Reading != nil {
		p.Value, p.Beside = m.Reading.Quantity.String(), readingMeans(m.Reading)
	}
	if m.Fade != nil {
		p.Beside = colour.Words(m.Fade)
	}
	if sc.Grade != nil {
		if l := sc.Grade.Line(m.Number); l != nil {
			p.Cost, p.Remark = "costs "+count1(l.Shown, "point", "points"), l.Remark
		}
	}
	return p
}

// DepthWords are a kind's three depths as a narrow panel says them.
func DepthWords(k grade.KindInfo) [3]string {
	w := k.DepthWords
	for i, d := range record.Depths() {
		if w[i] == string(d) {
			w[i] = d.Short()
		}
	}
	return w
}

func count1(x float64, one, many string) string {
	if x == 1 {
		return "1.0 " + one
	}
	return fmt.Sprintf("%.1f %s", x, many)
}

// Capital begins a text with a capital letter, as the first word of a line.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

func readingUnit(r *grade.Rubric, k record.ReadingKind) string {
	for _, s := range r.Scales {
		if s.Kind == k {
			return s.Unit
		}
	}
	return ""
}

func readingMeans(r *record.MarkReading) string {
	if r.Kind == record.FadeReading {
		return "grey-scale step " + grade.GreyStep(r.Value)
	}
	return r.How
}

// Where says in words where a mark is, capitalised; "not on the outline yet"
// before it was placed.
func Where(d *outline.Drawing, m *record.Mark) string {
	var words []string
	for _, p := range m.On {
		w := string(p.Part)
		if len(p.Points) > 0 {
			w = d.Span(outline.Side(p.Side), p.Points)
		}
		if w != "" && !contains(words, w) {
			words = append(words, w)
		}
	}
	if len(words) == 0 {
		return "not on the outline yet"
	}
	return Capital(strings.Join(words, "; "))
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// Extent says how large a mark was drawn or stated: area in cm2, length in mm,
// share or pieces of a part. A point has none.
func Extent(d *outline.Drawing, m *record.Mark) string {
	var out []string
	for _, p := range m.On {
		switch {
		case p.Coverage != nil:
			out = append(out, fmt.Sprintf("%.0f %% of %s, stated", 100**p.Coverage, p.Part))
		case len(p.Pieces) > 1:
			out = append(out, count(len(p.Pieces), "piece", "pieces"))
		case p.Shape == record.AreaShape:
			out = append(out, fmt.Sprintf("%.1f cm² drawn", shape.PolygonArea(p.Points)/100))
		case p.Shape == record.LineShape:
			out = append(out, fmt.Sprintf("%.0f mm drawn", shape.PolylineLength(p.Points)))
		}
	}
	return strings.Join(out, "; ")
}

// MarkRow is one line of the list of marks.
type MarkRow struct {
	Number   int
	Level    int
	Text     string
	Where    string
	Points   string
	Selected bool
}

// Rows lists all marks with what each costs.
func (v *Marks) Rows() []MarkRow {
	sc := v.s.Scene()
	rows := make([]MarkRow, 0, len(sc.Record.Marks))
	for i := range sc.Record.Marks {
		m := &sc.Record.Marks[i]
		rows = append(rows, MarkRow{Number: m.Number, Level: draw.Level(*m),
			Text: v.rowText(m), Where: shortWhere(sc, m), Points: rowPoints(sc, m.Number), Selected: m.Number == sc.Selected})
	}
	return rows
}

func (v *Marks) rowText(m *record.Mark) string {
	t := Capital(string(m.Kind))
	if s := m.ShortSize(); s != "" {
		return t + " " + s
	}
	if info, ok := v.s.Rubric().Kind(m.Kind); ok && m.Reading == nil {
		return join(", ", t, info.DepthWord(m.Depth))
	}
	return t
}

func shortWhere(sc *annotate.Scene, m *record.Mark) string {
	for _, p := range m.On {
		part := p.Part
		if reg, ok := sc.Drawing.Region(p.Region); ok {
			part = reg.Part
		}
		if part != "" {
			return shortPart(part)
		}
	}
	return "–"
}

// shortPart is a part's word in a narrow column.
func shortPart(p record.PartID) string {
	switch p {
	case record.FrontFinish:
		return "front"
	case record.BackFinish:
		return "back"
	case record.Headstock:
		return "head"
	case record.Fingerboard:
		return "board"
	case record.Bridge:
		return "bridge"
	case record.Guard:
		return "guard"
	}
	return string(p)
}

func rowPoints(sc *annotate.Scene, n int) string {
	if sc.Grade != nil {
		if l := sc.Grade.Line(n); l != nil {
			return fmt.Sprintf("%.1f", l.Shown)
		}
	}
	return "–"
}
