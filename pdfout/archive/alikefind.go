package archive

import (
	"context"
	"slices"
	"strings"
)

// What a search for candidates looks at, at most.
const (
	maxCandidates = 100 // records read
	perLookUp     = 50  // reports of one serial number, ID or number
	ofModel       = 300 // reports of the maker and model, the newest filed first
	byKinds       = 60  // of these, those whose marks are most alike
	maxVariants   = 320 // serial numbers that are looked up besides
)

// finder gathers candidates without repeating any.
type finder struct {
	a    *Archive
	p    *replay
	own  map[string]bool // elements of the instrument itself
	not  map[string]int64
	out  []Row
	at   map[string]int // first signature to the place in out
	left map[string]bool
}

// candidates finds reports that are worth being compared, those first that have
// the most in common.
func (a *Archive) candidates(ctx context.Context, p *replay, of *Look, told *Alike) ([]Row, error) {
	el := p.element(memberOf(of.Report))
	f := &finder{a: a, p: p, own: map[string]bool{}, not: p.distinctFrom(el), at: map[string]int{}, left: map[string]bool{}}
	for _, e := range p.together(el) {
		f.own[e] = true
	}
	r := of.Report
	key := SerialKey(r.Serial)
	var steps []func() error
	words := func(text string) {
		steps = append(steps, func() error {
			return f.take(&Query{terms: []term{{op: opPhrase, text: text}}, sort: "filed", down: true}, perLookUp, func(Row) bool { return true })
		})
	}
	// The query's own fields look for beginnings; sorted by the field, what is
	// equal comes first.
	equal := func(field, value string, most int, same func(Row) bool) {
		steps = append(steps, func() error {
			t, err := fields[field](value)
			if err != nil {
				return err
			}
			return f.take(&Query{terms: []term{*t}, sort: field}, most, same)
		})
	}
	serial := func(key string, most int) {
		equal("serial", key, most, func(r Row) bool { return SerialKey(r.Serial) == key })
	}
	if key != "" {
		serial(key, perLookUp)
	}
	if _, id := groupParts(groupOf(r.Key, r.Instrument)); id != "" {
		words(id)
	}
	if distinctive(r.Number) {
		words(r.Number)
	}
	for _, n := range namedIn(of) {
		equal("number", n, perLookUp, func(r Row) bool { return fold(r.Number) == fold(n) })
	}
	for _, v := range variants(key) {
		serial(v, 4)
	}
	for _, s := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := s(); err != nil {
			return nil, err
		}
	}
	if err := f.model(r, told); err != nil {
		return nil, err
	}
	told.Apart = len(f.left)
	return f.out[:min(len(f.out), maxCandidates)], nil
}

func (f *finder) take(q *Query, most int, same func(Row) bool) error {
	found, err := f.a.Find(q, 0, most)
	if err != nil {
		return err
	}
	for _, r := range found.Rows {
		if same(r) {
			f.add(r)
		}
	}
	return nil
}

// add takes a report in that is not one of the instrument's own and of which
// nobody said that it is another. Of several versions the latest counts.
func (f *finder) add(r Row) {
	el := f.p.element(memberOf(r))
	if _, apart := f.not[el]; apart {
		f.left[el] = true
		return
	}
	if f.own[el] {
		return
	}
	if i, is := f.at[r.First]; is {
		if f.out[i].Seq < r.Seq {
			f.out[i] = r
		}
		return
	}
	f.at[r.First] = len(f.out)
	f.out = append(f.out, r)
}

// model looks through reports of the same maker and model for those whose kinds
// of marks have most in common, because a serial number may be missing.
func (f *finder) model(r Row, told *Alike) error {
	var terms []term
	for column, text := range map[string]string{"maker": r.Maker, "model": r.Model} {
		if len(split(text)) > 0 {
			terms = append(terms, term{op: opWords, column: column, text: text})
		}
	}
	if len(terms) == 0 || len(r.Kinds) == 0 {
		return nil
	}
	slices.SortFunc(terms, func(a, b term) int { return strings.Compare(a.column, b.column) })
	found, err := f.a.Find(&Query{terms: terms, sort: "filed", down: true}, 0, ofModel)
	if err != nil {
		return err
	}
	told.More = found.More
	rows := slices.DeleteFunc(found.Rows, func(o Row) bool {
		return inCommon(r.Kinds, o.Kinds) == 0 || (SerialKey(o.Serial) != "" && SerialKey(r.Serial) != "" && inCommon(r.Kinds, o.Kinds) < 3)
	})
	slices.SortStableFunc(rows, func(a, b Row) int { return inCommon(r.Kinds, b.Kinds) - inCommon(r.Kinds, a.Kinds) })
	for _, o := range rows[:min(len(rows), byKinds)] {
		f.add(o)
	}
	return nil
}

// inCommon counts the marks that two lists of kinds have in common.
func inCommon(a, b []string) int {
	n := map[string]int{}
	for _, k := range a {
		n[k]++
	}
	both := 0
	for _, k := range b {
		if n[k] > 0 {
			n[k]--
			both++
		}
	}
	return both
}

// distinctive says whether a report's number is more than a count that any shop
// reaches.
func distinctive(number string) bool { return len([]rune(number)) >= 6 }

// maxNamed bounds how many reports' numbers are looked for in one record.
const maxNamed = 8

// namedIn are numbers of other reports that a record's claims and note name:
// words with a figure and a dash, as reports are numbered.
func namedIn(l *Look) []string {
	var out []string
	texts := []string{l.rec.Examination.Note}
	for _, c := range l.rec.Claims {
		texts = append(texts, c.Text, c.Support)
	}
	for _, t := range texts {
		for _, w := range strings.Fields(t) {
			w = strings.Trim(w, ".,;:()“”\"'")
			if distinctive(w) && w != l.Report.Number && strings.ContainsAny(w, "0123456789") && strings.Contains(w, "-") && !slices.Contains(out, w) {
				if out = append(out, w); len(out) == maxNamed {
					return out
				}
			}
		}
	}
	return out
}
