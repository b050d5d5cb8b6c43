package archive

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// world is a set of reports, some of which belong together by themselves.
type world []Member

func drawWorld(t *rapid.T) world {
	var w world
	for i := range rapid.IntRange(2, 12).Draw(t, "reports") {
		m := Member{Report: fmt.Sprint("r", i), First: fmt.Sprint("first", i)}
		if g := rapid.IntRange(0, 3).Draw(t, "group"); g > 0 {
			m.Group = fmt.Sprint("key/", g)
		}
		w = append(w, m)
	}
	return w
}

func (w world) some(t *rapid.T, least int) []Member {
	list := rapid.Permutation(w).Draw(t, "order")
	return list[:rapid.IntRange(min(least, len(w)), len(w)).Draw(t, "n")]
}

func (w world) line(t *rapid.T) Decision {
	k := rapid.SampledFrom(instrumentKinds).Draw(t, "kind")
	least := 2
	if k == Parted {
		least = 1
	}
	return Decision{Kind: k, Reports: w.some(t, least)}
}

// partition is which reports stand together, as sorted texts.
func (w world) partition(p *replay) []string {
	by := map[string][]string{}
	for _, m := range w {
		k := p.key(p.element(m))
		by[k] = append(by[k], m.Report)
	}
	var out []string
	for _, list := range by {
		slices.Sort(list)
		out = append(out, fmt.Sprint(list))
	}
	slices.Sort(out)
	return out
}

func replayOf(lines ...Decision) *replay {
	p := newReplay()
	for _, d := range lines {
		p.apply(d)
	}
	return p
}

// simple replays the same lines in the plainest way, report by report, without
// elements: what FORMAT.md says.
func (w world) simple(lines []Decision) []string {
	class := map[string]int{}
	next := 0
	byGroup := map[string]int{}
	for _, m := range w {
		c, is := byGroup[m.Group]
		if m.Group == "" || !is {
			next++
			c = next
			byGroup[m.Group] = c
		}
		class[m.Report] = c
	}
	for _, d := range lines {
		switch d.Kind {
		case Joined:
			to := class[d.Reports[0].Report]
			for _, m := range d.Reports {
				from := class[m.Report]
				for r, c := range class {
					if c == from {
						class[r] = to
					}
				}
			}
		case Parted:
			to := map[int]int{}
			for _, m := range d.Reports {
				from := class[m.Report]
				if to[from] == 0 {
					next++
					to[from] = next
				}
			}
			for _, m := range d.Reports {
				if c, is := to[class[m.Report]]; is {
					class[m.Report] = c
				}
			}
		}
	}
	by := map[int][]string{}
	for r, c := range class {
		by[c] = append(by[c], r)
	}
	var out []string
	for _, list := range by {
		slices.Sort(list)
		out = append(out, fmt.Sprint(list))
	}
	slices.Sort(out)
	return out
}

// TestReplayAgainstPlain holds the replay by elements to a plain one that knows
// every report.
func TestReplayAgainstPlain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWorld(t)
		var lines []Decision
		for range rapid.IntRange(0, 8).Draw(t, "lines") {
			lines = append(lines, w.line(t))
		}
		if got, want := w.partition(replayOf(lines...)), w.simple(lines); !slices.Equal(got, want) {
			t.Errorf("%v\nstand together: %v\nwant:           %v", lines, got, want)
		}
	})
}

// TestUnrelatedLines: lines about other reports change nothing, wherever they
// stand.
func TestUnrelatedLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWorld(t)
		var others world
		for i := range 4 {
			others = append(others, Member{Report: fmt.Sprint("o", i), First: fmt.Sprint("other", i), Group: []string{"", "else/1"}[i%2]})
		}
		var lines, mixed []Decision
		for range rapid.IntRange(1, 8).Draw(t, "lines") {
			d := w.line(t)
			lines, mixed = append(lines, d), append(mixed, d)
			if rapid.Bool().Draw(t, "between") {
				mixed = append(mixed, others.line(t))
			}
		}
		a, b := replayOf(lines...), replayOf(mixed...)
		if got, want := w.partition(b), w.partition(a); !slices.Equal(got, want) {
			t.Errorf("with lines between: %v, without: %v", got, want)
		}
		for _, m := range w {
			x, y := len(a.distinctFrom(a.element(m))), len(b.distinctFrom(b.element(m)))
			if x != y {
				t.Errorf("%s is distinct from %d, with lines between from %d", m.Report, x, y)
			}
		}
	})
}

// TestPartUndoesJoin: two instruments joined and one of them parted again are as
// before.
func TestPartUndoesJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWorld(t)
		var lines []Decision
		for range rapid.IntRange(0, 5).Draw(t, "lines") {
			lines = append(lines, w.line(t))
		}
		before := replayOf(lines...)
		x, y := rapid.SampledFrom(w).Draw(t, "x"), rapid.SampledFrom(w).Draw(t, "y")
		kx, ky := before.key(before.element(x)), before.key(before.element(y))
		if kx == ky {
			return
		}
		var all []Member // of y's instrument
		for _, m := range w {
			if before.key(before.element(m)) == ky {
				all = append(all, m)
			}
		}
		join, part := Decision{Kind: Joined, Reports: []Member{x, y}}, Decision{Kind: Parted, Reports: all}
		after := replayOf(append(slices.Clone(lines), join, part)...)
		if got, want := w.partition(after), w.partition(before); !slices.Equal(got, want) {
			t.Errorf("after %v: %v, before: %v", lines, got, want)
		}
		joined := replayOf(append(slices.Clone(lines), join)...)
		if joined.key(joined.element(x)) != joined.key(joined.element(y)) {
			t.Error("what was joined does not stand together")
		}
	})
}

// TestDistinct: what was said to be distinct is never one and not proposed, until
// somebody joins it; joining says so for both sides.
func TestDistinct(t *testing.T) {
	a, b, c := Member{Report: "a", First: "a"}, Member{Report: "b", First: "b"}, Member{Report: "c", First: "c"}
	p := replayOf(Decision{Seq: 1, Kind: Joined, Reports: []Member{a, b}}, Decision{Seq: 2, Kind: Distinct, Reports: []Member{b, c}})
	if d := p.distinctFrom("fa"); len(d) != 1 || d["fc"] != 2 {
		t.Errorf("a is distinct from %v, want c by its companion b", d)
	}
	if d := p.distinctFrom("fc"); len(d) != 2 {
		t.Errorf("c is distinct from %v, want a and b", d)
	}
	p.apply(Decision{Seq: 3, Kind: Joined, Reports: []Member{a, c}})
	if d := p.distinctFrom("fb"); len(d) != 0 {
		t.Errorf("after joining, b is distinct from %v", d)
	}
	p.apply(Decision{Seq: 4, Kind: Distinct, Reports: []Member{b, c}})
	if d := p.distinctFrom("fb"); len(d) != 0 {
		t.Errorf("said of reports that stand joined: %v", d)
	}
}

// TestLaterReportOfGroup: a report that is filed after a line goes with the rest
// of its group, also where the line named the whole group.
func TestLaterReportOfGroup(t *testing.T) {
	one, two, later := Member{"1", "1", "k/i"}, Member{"2", "2", "k/i"}, Member{"3", "3", "k/i"}
	x := Member{Report: "x", First: "x"}
	p := replayOf(Decision{Kind: Joined, Reports: []Member{one, x}}, Decision{Kind: Parted, Reports: []Member{two}})
	if p.key(p.element(later)) != p.key("fx") || p.key(p.element(two)) == p.key("fx") {
		t.Error("the later report does not stand with the rest of its group, or what was parted does")
	}
	p = replayOf(Decision{Kind: Joined, Reports: []Member{one, x}}, Decision{Kind: Parted, Reports: []Member{{Group: "k/i"}}})
	if p.key(p.element(later)) == p.key("fx") || p.key(p.element(later)) != p.key(p.element(one)) {
		t.Error("after the whole group was parted, a later report of it stands with the others")
	}
}

// BenchmarkReplay replays ten thousand decisions.
func BenchmarkReplay(b *testing.B) {
	var lines []Decision
	for i := range 10_000 {
		lines = append(lines, Decision{Kind: Joined, Reports: []Member{{First: fmt.Sprint(i)}, {First: fmt.Sprint(i / 3)}}})
	}
	for b.Loop() {
		replayOf(lines...)
	}
}
