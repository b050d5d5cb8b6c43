package archivetest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
)

// What random rows are made of: values that meet in many rows, some of them
// alike but for case, accents, blanks or signs, some empty.
var pool = struct{ maker, model, class, examiner, shop, serial, word, kind, part, state, purpose, year, sign []string }{
	maker:    []string{"Halden & Rowe", "HALDEN & rowe", "Østerby  Works", "Osterby Works", "", "Merrow & Finch", "Straße 7"},
	model:    []string{"Larkfoot Standard", "Larkfoot 12", "larkfoot 1x", "No. 3", ""},
	class:    []string{"violin", "flat-top", "solid-body double-cutaway"},
	examiner: []string{"R. Calloway", "Åse Østergård", "ase ostergard", "M. Fenn"},
	shop:     []string{"", "Fen Street Instruments", "Larkfoot Workshop"},
	serial:   []string{"L-41 87O", "l41870", "L4187 0", "FOX 12", "", "Ø12", "41002", "M", "l-418"},
	word:     []string{"case", "with", "key", "Étui", "41870", "l4", "worn", "sunburst", "halden", "ß"},
	kind:     []string{"ding", "Ding", "finish check", "headstock break", "fret wear"},
	part:     []string{"tuners", "Front finish", "front finish", "nut"},
	state:    []string{"original", "period replacement", "later replacement", "refinished", "missing"},
	purpose:  []string{"before listing", "Intake", "intake", ""},
	year:     []string{"1974", "about 1962", "before 1950", "", "1930"},
	sign:     []string{" ", ", ", "-", " / ", "\n"},
}

func one(t *rapid.T, list []string, what string) string { return rapid.SampledFrom(list).Draw(t, what) }

// drawRow is a random row.
func drawRow(t *rapid.T, seq int64) archive.Row {
	n := func(to int, what string) int { return rapid.IntRange(0, to).Draw(t, what) }
	r := archive.Row{Seq: seq, Hash: sum(fmt.Append(nil, "drawn ", seq)), First: sum(fmt.Append(nil, "drawn first ", seq)), Source: "drawn.pdf",
		Filed: When.Add(time.Duration(n(400, "filed")) * 11 * time.Hour).UTC().Truncate(time.Millisecond), Size: int64(n(3, "size")) * 70_000,
		Number: fmt.Sprintf(one(t, []string{"CR-2026-%04d", "cr-2026-%d", "X %d"}, "number"), n(30, "running")), Maker: one(t, pool.maker, "maker"), Model: one(t, pool.model, "model"),
		Class: one(t, pool.class, "class"), Serial: one(t, pool.serial, "serial"), Date: When.AddDate(0, 0, -n(800, "date")).Format(time.DateOnly), Purpose: one(t, pool.purpose, "purpose"),
		Examiner: one(t, pool.examiner, "examiner"), Shop: one(t, pool.shop, "shop"), Condition: n(6, "condition"), Photos: n(2, "photos"), Originals: n(1, "originals"),
		Key: sum(fmt.Append(nil, "key ", n(3, "key"))), Verdict: one(t, []string{archive.KnownKey, archive.TrustedKey, archive.UnknownKey}, "verdict"),
		Countersigned: n(1, "countersigned") == 1, Stamped: n(1, "stamped") == 1, Kinds: []string{}, Parts: []archive.PartState{}}
	switch r.Year = one(t, pool.year, "year"); r.Year {
	case "1974", "1930":
		_, _ = fmt.Sscan(r.Year, &r.YearFrom)
		r.YearTo = r.YearFrom
	case "about 1962":
		r.YearFrom, r.YearTo = 1960, 1964
	case "before 1950":
		r.YearTo = 1950
	}
	if i := n(7, "index"); i > 0 {
		v := []float64{0, 12.5, 61.3, 80, 80.95, 81, 100}[i-1]
		r.Index = &v
	}
	for range n(3, "marks") {
		r.Kinds = append(r.Kinds, one(t, pool.kind, "kind"))
	}
	for range n(2, "parts") {
		r.Parts = append(r.Parts, archive.PartState{Part: one(t, pool.part, "part"), State: one(t, pool.state, "state")})
	}
	for range n(6, "words") {
		r.Words += one(t, pool.word, "word") + one(t, pool.sign, "sign")
	}
	return r
}

// drawn is a random query: its line, and the same in Go.
type drawn struct {
	line  string
	is    []func(archive.Row) bool
	order func(a, b archive.Row) int
}

func (q drawn) answer(rows []archive.Row) []archive.Row {
	out := []archive.Row{}
	for _, r := range rows {
		if !slices.ContainsFunc(q.is, func(is func(archive.Row) bool) bool { return !is(r) }) {
			out = append(out, r)
		}
	}
	slices.SortFunc(out, q.order)
	return out
}

func drawQuery(t *rapid.T) drawn {
	q := drawn{order: func(a, b archive.Row) int { return cmp.Compare(b.Seq, a.Seq) }}
	var line []string
	for range rapid.IntRange(0, 4).Draw(t, "terms") {
		text, is := drawTerm(t)
		if rapid.IntRange(0, 3).Draw(t, "not") == 0 {
			line, q.is = append(line, "-"+text), append(q.is, func(r archive.Row) bool { return !is(r) })
			continue
		}
		line, q.is = append(line, text), append(q.is, is)
	}
	if by := one(t, []string{"", "filed", "date", "index", "maker", "serial", "year", "number", "size"}, "sort"); by != "" {
		down := rapid.Bool().Draw(t, "down")
		q.order = func(a, b archive.Row) int {
			c := cmp.Or(compareBy(by, a, b), cmp.Compare(a.Seq, b.Seq))
			if down {
				c = -c
			}
			return c
		}
		line = append(line, "sort:"+map[bool]string{true: "-"}[down]+by)
	}
	q.line = strings.Join(line, " ")
	return q
}

func compareBy(by string, a, b archive.Row) int {
	switch by {
	case "date":
		return cmp.Compare(a.Date, b.Date)
	case "index":
		return cmp.Compare(indexOr(a, -1), indexOr(b, -1))
	case "maker":
		return cmp.Compare(archive.FoldText(a.Maker), archive.FoldText(b.Maker))
	case "serial":
		return cmp.Compare(archive.SerialKey(a.Serial), archive.SerialKey(b.Serial))
	case "year":
		return cmp.Compare(a.YearFrom, b.YearFrom)
	case "number":
		return cmp.Compare(archive.FoldText(a.Number), archive.FoldText(b.Number))
	case "size":
		return cmp.Compare(a.Size, b.Size)
	}
	return 0
}

func indexOr(r archive.Row, none float64) float64 {
	if r.Index == nil {
		return none
	}
	return *r.Index
}
