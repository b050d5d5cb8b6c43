package archive

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"wornwood/annotate/dating"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// lookOf is an examination as it would be read from the archive.
func lookOf(r *record.Record, key string) *Look {
	row := Row{Hash: sum([]byte(r.Examination.ID)), First: r.Examination.ID, Number: r.Examination.Number, Maker: r.Instrument.Maker, Model: r.Instrument.Model, Class: r.Instrument.Class, Year: r.Instrument.Year,
		Serial: r.Instrument.Serial, Date: r.Examination.Date.Format(time.DateOnly), Key: key, Instrument: r.Examination.Instrument}
	if from, to, ok := dating.ClaimedYears(r.Instrument.Year); ok {
		if row.YearFrom, row.YearTo = from, to; to == 0 {
			row.YearTo = openYear
		}
	}
	for _, m := range r.Marks {
		row.Kinds = append(row.Kinds, string(m.Kind))
	}
	d, err := grade.DrawingFor(r.Instrument)
	if err != nil {
		panic(err)
	}
	return &Look{Report: row, rec: r, draw: d}
}

// maker draws invented instruments and what examiners write of them. Its habits
// are not those that the rules are set by: places and weights scatter wider than
// the rules take for near.
type instrumentMaker struct{ r *rand.Rand }

var figureKinds = []record.Kind{"ding", "ding", "ding", "dent", "chip", "chip", "scratch", "scratch", "finish check", "closed crack", "touch-up", "added hole"}

// worn are the places where every instrument wears.
var worn = []record.Mark{
	{Kind: "wear-through", Depth: record.InFinish, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: -120, Y: 620}}}}},
	{Kind: "buckle rash", Depth: record.InFinish, On: []record.Place{{Side: "back", Shape: record.PointShape, Points: []record.Point{{X: -10, Y: 620}}}}},
	{Kind: "surface scratches", Depth: record.InFinish, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: 30, Y: 600}}}}},
	{Kind: "fret wear", Depth: record.InFinish, On: []record.Place{{Part: record.Frets, Pieces: []int{1, 2, 3}}}},
}

func (g *instrumentMaker) chance(p float64) bool { return g.r.Float64() < p }

func (g *instrumentMaker) marks(n int) []record.Mark {
	var out []record.Mark
	for range n {
		m := record.Mark{Kind: figureKinds[g.r.IntN(len(figureKinds))], Depth: record.Depths()[g.r.IntN(3)]}
		side := []string{"front", "back"}[g.r.IntN(2)]
		at := record.Point{X: -130 + 260*g.r.Float64(), Y: 480 + 290*g.r.Float64()}
		p := record.Place{Side: side, Shape: record.PointShape, Points: []record.Point{at}}
		if m.Kind == "finish check" || m.Kind == "closed crack" || m.Kind == "scratch" {
			a := g.r.Float64() * math.Pi
			l := 20 + 60*g.r.Float64()
			p.Shape, p.Points = record.LineShape, []record.Point{at, {X: at.X + l*math.Cos(a), Y: at.Y + l*math.Sin(a)}}
		} else {
			m.Length = &record.Quantity{Value: 1 + 8*g.r.Float64(), Uncertainty: 0.5}
		}
		m.On = []record.Place{p}
		out = append(out, m)
	}
	for _, m := range worn {
		if g.chance(0.5) {
			out = append(out, m)
		}
	}
	return out
}

// instrument is one as it is.
func (g *instrumentMaker) instrument() (record.Instrument, []record.Mark) {
	i := record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: fmt.Sprint(1968 + g.r.IntN(12)), Serial: fmt.Sprint(10_000 + g.r.IntN(900_000)),
		Colour: []string{"Sunburst", "Black", "White"}[g.r.IntN(3)], ScaleLength: 648, Frets: 22, Strings: 6, Mass: 3.5 + 0.2*g.r.NormFloat64()}
	return i, g.marks(2 + g.r.IntN(20))
}

// twin is another of the same run.
func (g *instrumentMaker) twin(of record.Instrument) (record.Instrument, []record.Mark) {
	i, marks := g.instrument()
	i.Year, i.Mass = of.Year, of.Mass+0.1*g.r.NormFloat64()
	if g.chance(0.7) {
		i.Colour = of.Colour
	}
	var n int
	fmt.Sscan(of.Serial, &n)
	if g.chance(0.7) {
		i.Serial = fmt.Sprint(n + 1 + g.r.IntN(40))
	}
	return i, marks
}

// examined is what an examiner writes of an instrument in a year.
func (g *instrumentMaker) examined(i record.Instrument, marks []record.Mark, year int) *record.Record {
	r := &record.Record{Schema: record.Schema, Instrument: i}
	r.Examination = record.Examination{ID: fmt.Sprint("x", g.r.Uint64()), Number: fmt.Sprintf("CR-%d-%04d", year, g.r.IntN(3000)), Date: time.Date(year, 3, 1+g.r.IntN(28), 10, 0, 0, 0, time.UTC)}
	r.Instrument.Serial = g.misread(i.Serial)
	if r.Instrument.Mass = math.Round(100*(i.Mass+0.02*g.r.NormFloat64())) / 100; g.chance(0.3) {
		r.Instrument.Mass = 0
	}
	if g.chance(0.2) {
		r.Instrument.Colour = ""
	}
	for _, m := range marks {
		if g.chance(0.15) && m.Depth != record.IntoWood {
			continue // overlooked, or thought too small
		}
		r.Marks = append(r.Marks, g.seen(m, len(r.Marks)+1))
	}
	for _, p := range []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Guard, record.Bridge} {
		r.Parts = append(r.Parts, record.Part{ID: p, State: record.Original, Inspected: true})
	}
	return r
}

func (g *instrumentMaker) seen(m record.Mark, n int) record.Mark {
	m.Number = n
	on := m.On[0]
	on.Points = append([]record.Point{}, on.Points...)
	dx, dy := 2.5*g.r.NormFloat64(), 2.5*g.r.NormFloat64()
	for k := range on.Points {
		on.Points[k].X += dx + g.r.NormFloat64()
		on.Points[k].Y += dy + g.r.NormFloat64()
	}
	m.On = []record.Place{on}
	if m.Kind == "ding" && g.chance(0.15) {
		m.Kind = "dent"
	}
	if m.Length != nil {
		m.Length = &record.Quantity{Value: m.Length.Value + 0.5*g.r.NormFloat64() + 0.3, Uncertainty: 0.5}
	}
	return m
}

// misread is a serial number as it gets into a record.
func (g *instrumentMaker) misread(s string) string {
	b := []byte(s)
	i := g.r.IntN(len(b))
	switch x := g.r.Float64(); {
	case x < 0.72:
		return s
	case x < 0.82:
		return ""
	case x < 0.88: // a figure taken for another that looks like it
		for k := range b {
			if r := strings.IndexByte("8B5S2Z6G", b[k]); r >= 0 {
				b[k] = "8B5S2Z6G"[r^1]
				return string(b)
			}
		}
		return s
	case x < 0.92:
		b[i] = byte('0' + g.r.IntN(10))
	case x < 0.95:
		return s[:i] + s[i+1:]
	case i+1 < len(b):
		b[i], b[i+1] = b[i+1], b[i]
	}
	return string(b)
}

// later is what years do: marks grow and come.
func (g *instrumentMaker) later(marks []record.Mark) []record.Mark {
	return append(append([]record.Mark{}, marks...), g.marks(g.r.IntN(5))...)
}

type figures struct{ pairs, any, fair, strong int }

func (f *figures) count(p Proposal) {
	f.pairs++
	if p.Strength != "" {
		f.any++
	}
	if p.Strength == Fair || p.Strength == Strong {
		f.fair++
	}
	if p.Strength == Strong {
		f.strong++
	}
}

func (f figures) line(what string) string {
	pc := func(n int) string { return fmt.Sprintf("%.1f %%", 100*float64(n)/float64(f.pairs)) }
	return fmt.Sprintf("| %s | %d | %s | %s | %s |\n", what, f.pairs, pc(f.any), pc(f.fair), pc(f.strong))
}

var writeFigures = flag.Bool("figures", os.Getenv("WORNWOOD_FIGURES") != "", "write the figures into INSTRUMENTS.md")

// TestAlikeFigures measures the rules on made instruments and holds
// INSTRUMENTS.md, and the rules in it, to what it finds.
func TestAlikeFigures(t *testing.T) {
	const n = 600
	g := &instrumentMaker{rand.New(rand.NewPCG(41873, 1974))}
	var same, noSerial, twins, others figures
	for range n {
		i, marks := g.instrument()
		a, b := lookOf(g.examined(i, marks, 2018), "k1"), lookOf(g.examined(i, g.later(marks), 2019+g.r.IntN(7)), "k2")
		same.count(Weigh(a, b))
		if SerialKey(a.Report.Serial) == "" || SerialKey(b.Report.Serial) == "" {
			noSerial.count(Weigh(a, b))
		}
		j, other := g.twin(i)
		twins.count(Weigh(a, lookOf(g.examined(j, other, 2022), "k3")))
		k, third := g.instrument()
		others.count(Weigh(a, lookOf(g.examined(k, third, 2022), "k4")))
	}
	got := "| made pairs | of them | proposed | fair or strong | strong |\n|---|---|---|---|---|\n" +
		same.line("the same instrument, examined twice") + noSerial.line("of these, with a serial number missing in one") + twins.line("two of one run") + others.line("two of one model")
	if float64(same.fair) < 0.95*n || float64(same.strong) < 0.85*n {
		t.Errorf("of %d true pairs %d are fair or strong, %d strong", n, same.fair, same.strong)
	}
	if twins.strong > 0 || others.strong > 0 || float64(twins.any) > 0.05*n || float64(others.any) > 0.05*n {
		t.Errorf("of %d twins %d are proposed, %d as strong; of others %d and %d", n, twins.any, twins.strong, others.any, others.strong)
	}
	holdTo(t, "figures", got)
	rules := "| rule | points | at most | |\n|---|---|---|---|\n"
	for _, r := range AlikeRules() {
		most := ""
		if r.Most != 0 {
			most = fmt.Sprintf("%+.1f", r.Most)
		}
		rules += fmt.Sprintf("| %s | %+.1f | %s | %s |\n", r.ID, r.Points, most, r.Says)
	}
	rules += fmt.Sprintf("\nStrong from %.1f points, fair from %.1f, weak from %.1f.\n", StrongFrom, FairFrom, WeakFrom)
	holdTo(t, "rules", rules)
}

// holdTo compares what stands between two marks in INSTRUMENTS.md.
func holdTo(t *testing.T, part, want string) {
	t.Helper()
	const name = "INSTRUMENTS.md"
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	begin, end := "<!-- "+part+" -->\n", "<!-- end of "+part+" -->\n"
	before, rest, ok := strings.Cut(string(b), begin)
	is, after, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatalf("%s has no part %q", name, part)
	}
	if is == want {
		return
	}
	if *writeFigures {
		if err := os.WriteFile(name, []byte(before+begin+want+end+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("%s says of %s:\n%s\nit is:\n%s", name, part, is, want)
}
