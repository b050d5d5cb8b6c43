package suggest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/record"
)

// The figures: marks of known contrast are painted into rendered and
// photographed surfaces (paint_test.go, grounds_test.go), searched, and compared
// with the truth (match_test.go). The seeds are not those with which the bounds
// were set; the surfaces are. FIGURES.md is made anew with
//
//	WORNWOOD_FIGURES=1 go test ./annotate/suggest -run TestFigures
var (
	contrasts = []float64{0.06, 0.10, 0.15, 0.25, 0.40}
	sliders   = []float64{0, 0.25, 0.5, 0.75, 1}
)

const firstSeed = 9000

// run is what one surface gave at one contrast and place of the slider.
type run struct {
	checks, dings tally
	result        *Result
}

func (a *run) add(b run) { a.checks.add(b.checks); a.dings.add(b.dings) }

func (a run) of(k record.Kind) tally {
	if k == Check {
		return a.checks
	}
	return a.dings
}

// measured holds the runs: [surface][contrast][slider], and of the same without
// the guards against grain, in the slider's middle.
type measured struct {
	runs map[[3]int]run
	bare map[[2]int]run
}

func measure(t *testing.T) measured {
	m := measured{map[[3]int]run{}, map[[2]int]run{}}
	for i, s := range surfaces {
		base, ring := s.picture(t)
		seeds := 1
		if s.smooth {
			seeds = 2
		}
		for c, contrast := range contrasts {
			for n := range seeds {
				img, marks := paintMarks(t, base, ring, contrast, uint64(firstSeed+100*i+10*c+n))
				search, err := Prepare(t.Context(), img, ring, Options{})
				if err != nil {
					t.Fatal(err)
				}
				count := func(res *Result) run {
					return run{match(Check, res.Ghosts, marks), match(Ding, res.Ghosts, marks), res}
				}
				for k, slider := range sliders {
					r := count(search.At(slider))
					old := m.runs[[3]int{i, c, k}]
					old.add(r)
					old.result = r.result
					m.runs[[3]int{i, c, k}] = old
				}
				search.texture = texture{}
				old := m.bare[[2]int{i, c}]
				old.add(count(search.At(0.5)))
				m.bare[[2]int{i, c}] = old
				if d := os.Getenv("WORNWOOD_PICTURES"); d != "" && n == 0 {
					overlay(t, filepath.Join(d, fmt.Sprintf("suggest-%02d-%02.0f.png", i, 100*contrast)), img, search.At(0.5).Ghosts, marks)
				}
			}
		}
	}
	return m
}

// pooled adds up the surfaces that are smooth, or the others, where the kind is
// suggested.
func (m measured) pooled(isSmooth bool, c, k int) (sum run) {
	for i, s := range surfaces {
		r := m.runs[[3]int{i, c, k}]
		if s.smooth == isSmooth && r.result.FaintestCheck > 0 {
			sum.checks.add(r.checks)
		}
		if s.smooth == isSmooth && r.result.FaintestDing > 0 {
			sum.dings.add(r.dings)
		}
	}
	return sum
}

const middle = 2 // of sliders

// TestFigures holds the promises, the numbers in Help, and FIGURES.md to what is
// measured.
func TestFigures(t *testing.T) {
	m := measure(t)
	m.checkPromises(t)
	m.checkGuards(t)
	m.checkHelp(t)
	have := m.table()
	if os.Getenv("WORNWOOD_FIGURES") != "" {
		if err := os.WriteFile("FIGURES.md", []byte(have), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("FIGURES.md")
	if err != nil {
		t.Fatal(err)
	}
	sameFigures(t, have, string(want))
}

// checkPromises asks for 0.8 found at 0.9 right on smooth finish: of checks from
// contrast 0.15 on all of it together, of dings from 0.15 where Result says that
// such faint ones show, and from 0.25 on all of it together.
func (m measured) checkPromises(t *testing.T) {
	for c, contrast := range contrasts {
		if contrast < promisedFrom {
			continue
		}
		r := m.pooled(true, c, middle)
		even := tally{}
		for i, s := range surfaces {
			if one := m.runs[[3]int{i, c, middle}]; s.smooth && one.result.FaintestDing <= promisedFrom {
				even.add(one.dings)
			}
		}
		for what, f := range map[string]tally{"checks": r.checks, "dings": r.dings, "dings on even ground": even} {
			if what == "dings" && contrast < 0.25 {
				continue
			}
			if f.truth == 0 || f.recall() < 0.8 || f.precision() < 0.9 {
				t.Errorf("%s on smooth finish at contrast %.2f: %d painted, %.2f found at %.2f right, promised 0.8 at 0.9", what, contrast, f.truth, f.recall(), f.precision())
			}
		}
	}
}

// checkGuards holds Result to what is found where: a kind that is suggested must
// reach 0.6 found at 0.8 right from the contrast that Result states, and what is
// held back must fall short of that.
func (m measured) checkGuards(t *testing.T) {
	for i, s := range surfaces {
		for _, k := range []record.Kind{Check, Ding} {
			reached := false
			for c, contrast := range contrasts {
				r := m.runs[[3]int{i, c, middle}]
				faintest := r.result.FaintestCheck
				if k == Ding {
					faintest = r.result.FaintestDing
				}
				f := r.of(k)
				if faintest > 0 && contrast >= faintest && (f.recall() < 0.6 || f.precision() < 0.8) {
					t.Errorf("%s on %s at contrast %.2f, stated from %.2f: %.2f found at %.2f right", k, s.name, contrast, faintest, f.recall(), f.precision())
				}
				if faintest == 0 && f.ghosts > 0 {
					t.Errorf("%s on %s: held back, and %d suggested", k, s.name, f.ghosts)
				}
				b := m.bare[[2]int{i, c}].of(k)
				reached = reached || b.recall() >= 0.6 && b.precision() >= 0.8 && faintest == 0
			}
			if reached {
				t.Errorf("%s on %s: held back though it reaches 0.6 at 0.8", k, s.name)
			}
		}
		if m.runs[[3]int{i, 0, middle}].result.Grainy != s.grainy {
			t.Errorf("%s: Grainy is %v", s.name, !s.grainy)
		}
	}
}

func pair(a tally) string {
	if a.ghosts == 0 {
		return fmt.Sprintf("%.2f / none", a.recall())
	}
	return fmt.Sprintf("%.2f / %.2f", a.recall(), a.precision())
}

// table is FIGURES.md.
func (m measured) table() string {
	var b strings.Builder
	b.WriteString(figuresHead)
	for _, k := range []record.Kind{Check, Ding} {
		fmt.Fprintf(&b, "\n## %ss, slider in the middle, by relative contrast: found / right\n\n| surface |", strings.ToUpper(string(k[:1]))+string(k[1:]))
		for _, c := range contrasts {
			fmt.Fprintf(&b, " %.2f |", c)
		}
		b.WriteString(" stated from |\n|---|" + strings.Repeat("---|", len(contrasts)+1) + "\n")
		for i, s := range surfaces {
			fmt.Fprintf(&b, "| %s |", s.name)
			for c := range contrasts {
				b.WriteString(" " + pair(m.runs[[3]int{i, c, middle}].of(k)) + " |")
			}
			b.WriteString(" " + m.stated(i, k) + " |\n")
		}
		for _, isSmooth := range []bool{true, false} {
			fmt.Fprintf(&b, "| **%s** |", map[bool]string{true: "all smooth", false: "all grained that are searched"}[isSmooth])
			for c := range contrasts {
				b.WriteString(" " + pair(m.pooled(isSmooth, c, middle).of(k)) + " |")
			}
			b.WriteString(" |\n")
		}
	}
	m.sliderTable(&b)
	m.bareTable(&b)
	return b.String()
}

// stated is the faintest contrast that Result names, in the middle of what it
// names over the contrasts.
func (m measured) stated(i int, k record.Kind) string {
	r := m.runs[[3]int{i, middle, middle}].result
	v := r.FaintestCheck
	if k == Ding {
		v = r.FaintestDing
	}
	if v == 0 {
		return "held back"
	}
	return fmt.Sprintf("%.2f", v)
}

func (m measured) sliderTable(b *strings.Builder) {
	b.WriteString("\n## By the slider: found / right\n\n| slider | checks, smooth, 0.15 | dings, smooth, 0.15 | checks, grained, 0.25 | dings, grained, 0.25 |\n|---|---|---|---|---|\n")
	for k, v := range sliders {
		s, g := m.pooled(true, 2, k), m.pooled(false, 3, k)
		fmt.Fprintf(b, "| %.2f | %s | %s | %s | %s |\n", v, pair(s.checks), pair(s.dings), pair(g.checks), pair(g.dings))
	}
}

func (m measured) bareTable(b *strings.Builder) {
	b.WriteString("\n## What is held back would have given, slider in the middle: found / right\n\n| surface |")
	for _, c := range contrasts {
		fmt.Fprintf(b, " %.2f |", c)
	}
	b.WriteString("\n|---|" + strings.Repeat("---|", len(contrasts)) + "\n")
	for i, s := range surfaces {
		for _, k := range []record.Kind{Check, Ding} {
			if m.stated(i, k) != "held back" {
				continue
			}
			fmt.Fprintf(b, "| %s, %ss |", s.name, k)
			for c := range contrasts {
				b.WriteString(" " + pair(m.bare[[2]int{i, c}].of(k)) + " |")
			}
			b.WriteString("\n")
		}
	}
}

// sameFigures compares two tables, number by number to 0.03: processors that
// fuse a multiplication and an addition round differently.
func sameFigures(t *testing.T, have, want string) {
	t.Helper()
	a, b := strings.Fields(have), strings.Fields(want)
	if len(a) != len(b) {
		t.Fatalf("FIGURES.md has %d words and should have %d; make it anew with WORNWOOD_FIGURES=1", len(b), len(a))
	}
	for i := range a {
		var x, y float64
		_, e1 := fmt.Sscanf(a[i], "%f", &x)
		_, e2 := fmt.Sscanf(b[i], "%f", &y)
		if e1 == nil && e2 == nil && math.Abs(x-y) <= 0.03 || a[i] == b[i] {
			continue
		}
		t.Fatalf("FIGURES.md says %q where %q was measured (word %d); make it anew with WORNWOOD_FIGURES=1", b[i], a[i], i)
	}
}

const figuresHead = `# Figures of the suggestions

Made by TestFigures; see figures_test.go for how to make them anew. "Found" is the share of the painted marks that were pointed at, "right" the share of
the suggestions that point at a painted mark. What a photographed surface shows of its own (specks, scratches, dust) counts as wrong.

Checks are dark or, one in four, light lines, 0.8 to 2 px wide in the middle and tapering, 60 to 240 px long, wandering; dings are pits 4 to 20 px across with
a shaded and a lit side. Noise of 2 grey values and JPEG at quality 90 lie over all. A suggested line is right when half of its length lies within 3 px of painted
lines; a painted line is found when right suggestions cover 40 % of it to within 3 px; a ding is found when a suggestion lies within its radius or 6 px. The
rendered surfaces are the demo's; the photographed ones come from the Debian packages pychess and python3-skimage (wood cuts laid beside their mirror images).
A column with "none" had no suggestion. Two pictures a cell on smooth surfaces, one on grained; 8 to 28 marks of each kind.

How far to trust them: the marks were painted with seeds that were not used while the bounds were set, but the surfaces are those the bounds, the limits against
grain and the stated contrasts were set on, so a surface of another kind may do worse. The marks are painted, not real damage. The lacquered board is the only real
gloss finish among them, and the hardest of the smooth ones: its own specks are what dings are mistaken for.
`
