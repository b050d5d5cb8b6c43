package archive

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
)

// Instrument is everything that is filed of one instrument, as far as the
// records and the people who keep the archive say. It has no name of its own:
// any of its reports stands for it.
type Instrument struct {
	// Reports are in the order of the examinations, the versions of one report
	// one after the other as they were filed.
	Reports   []Row      `json:"reports"`
	Decisions []Decision `json:"decisions"` // that name any of them, the oldest first
	More      bool       `json:"more"`      // there are more reports than are listed
}

// maxInstrument bounds how many reports of one instrument are listed.
const maxInstrument = 1000

// Examinations are the reports without later versions of the same: of each the
// one filed last, which carries the most signatures.
func (i *Instrument) Examinations() []Row {
	var out []Row
	for _, r := range i.Reports {
		if n := len(out); n > 0 && out[n-1].First == r.First {
			out[n-1] = r
			continue
		}
		out = append(out, r)
	}
	return out
}

// Title is the line the instrument is known by, after its latest examination.
func (i *Instrument) Title() string {
	if len(i.Reports) == 0 {
		return "Unnamed instrument"
	}
	return i.Reports[len(i.Reports)-1].Title()
}

// Has says whether the report is one of the instrument's.
func (i *Instrument) Has(hash string) bool {
	return slices.ContainsFunc(i.Reports, func(r Row) bool { return r.Hash == hash })
}

// replayed keeps the decisions as they stood at one line of the log.
type replayed struct {
	mu   sync.Mutex
	head Head
	now  *replay
}

// decisions replays what was decided up to now. The lines are read again only
// when the log went on.
func (a *Archive) decisions() (*replay, error) {
	if a.behind != nil {
		return nil, a.behind
	}
	at, err := a.index.At()
	if err != nil {
		return nil, err
	}
	a.joins.mu.Lock()
	defer a.joins.mu.Unlock()
	if a.joins.now != nil && a.joins.head == at.Head {
		return a.joins.now, nil
	}
	notes, err := a.Notes(instrumentKinds...)
	if err != nil {
		return nil, err
	}
	p := newReplay()
	for _, e := range notes {
		d, err := e.decision()
		if err != nil {
			return nil, err
		}
		p.apply(d)
	}
	a.joins.head, a.joins.now = at.Head, p
	return p, nil
}

// row is the report of that SHA-256, or of a beginning of it.
func (a *Archive) row(hash string) (Row, error) {
	hash, err := cleanHash(hash)
	if err != nil {
		return Row{}, err
	}
	if a.behind != nil {
		return Row{}, a.behind
	}
	if len(hash) == 64 {
		r, err := a.index.Filed(hash)
		if err == nil && r == nil {
			err = fmt.Errorf("report %s: %w", hash, ErrMissing)
		}
		if err != nil {
			return Row{}, err
		}
		return *r, nil
	}
	found, err := a.Find(&Query{terms: []term{{op: opPrefix, column: "hash", text: hash}}, sort: "filed"}, 0, 2)
	switch {
	case err != nil:
		return Row{}, err
	case len(found.Rows) == 0:
		return Row{}, fmt.Errorf("report %s: %w", hash, ErrMissing)
	case len(found.Rows) > 1:
		return Row{}, fmt.Errorf("report %s: %w", hash, ErrAmbiguous)
	}
	return found.Rows[0], nil
}

func cleanHash(hash string) (string, error) {
	hash = strings.ToLower(strings.TrimSpace(hash))
	if len(hash) < 8 || len(hash) > 64 || strings.Trim(hash, "0123456789abcdef") != "" {
		return "", fmt.Errorf("%.70q is no beginning of a SHA-256: it takes 8 to 64 of the digits 0 to 9 and a to f", hash)
	}
	return hash, nil
}

// Instrument is the instrument that a report is of, named by the report's
// SHA-256 or a beginning of it.
func (a *Archive) Instrument(hash string) (Instrument, error) {
	r, err := a.row(hash)
	if err != nil {
		return Instrument{}, err
	}
	p, err := a.decisions()
	if err != nil {
		return Instrument{}, err
	}
	return a.instrumentOf(p, r)
}

func (a *Archive) instrumentOf(p *replay, r Row) (Instrument, error) {
	out := Instrument{Decisions: []Decision{}}
	els := map[string]bool{}
	for _, el := range p.together(p.element(memberOf(r))) {
		els[el] = true
	}
	for _, el := range slices.Sorted(maps.Keys(els)) {
		rows, more, err := a.rowsOf(p, el)
		if err != nil {
			return out, err
		}
		out.Reports, out.More = append(out.Reports, rows...), out.More || more
	}
	slices.SortFunc(out.Reports, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.First, b.First), cmp.Compare(a.Seq, b.Seq))
	})
	if len(out.Reports) > maxInstrument {
		out.Reports, out.More = out.Reports[:maxInstrument], true
	}
	for _, d := range p.lines {
		if p.concerns(d, els) {
			out.Decisions = append(out.Decisions, d)
		}
	}
	return out, nil
}

// rowsOf are the reports of one element.
func (a *Archive) rowsOf(p *replay, el string) ([]Row, bool, error) {
	if first, is := strings.CutPrefix(el, "f"); is {
		rows, err := a.index.Versions(first)
		return rows, false, err
	}
	key, id := groupParts(strings.TrimPrefix(el, "g"))
	found, err := a.Find(&Query{terms: []term{{op: opPhrase, text: id}, {op: opPrefix, column: "keyprint", text: key}}, sort: "filed", down: true}, 0, maxInstrument)
	if err != nil {
		return nil, false, err
	}
	var out []Row
	for _, r := range found.Rows {
		// The words may stand elsewhere in another record, and some may have been parted.
		if p.element(memberOf(r)) == el {
			out = append(out, r)
		}
	}
	return out, found.More, nil
}

// Together sorts reports by instrument without looking for others: each list
// holds those of the given reports that are of one, in their order. The lists
// are in the order of their first.
func (a *Archive) Together(rows []Row) ([][]Row, error) {
	p, err := a.decisions()
	if err != nil {
		return nil, err
	}
	var out [][]Row
	at := map[string]int{}
	for _, r := range rows {
		el := p.element(memberOf(r))
		key := el
		if c, is := p.class[el]; is {
			key = fmt.Sprint(c)
		}
		i, is := at[key]
		if !is {
			i = len(out)
			at[key], out = i, append(out, nil)
		}
		out[i] = append(out[i], r)
	}
	return out, nil
}

// Instruments lists the instruments of the reports that answer a query, from a
// place in the list of reports on, at most as many as asked for, and where to go
// on (0 at the end). An instrument some of whose reports come before that place
// is listed again.
func (a *Archive) Instruments(q *Query, from, most int) (list []Instrument, next int, err error) {
	p, err := a.decisions()
	if err != nil {
		return nil, 0, err
	}
	seen := map[string]bool{}
	for at := from; ; {
		found, err := a.Find(q, at, 100)
		if err != nil {
			return nil, 0, err
		}
		for _, r := range found.Rows {
			if at++; seen[r.Hash] {
				continue
			}
			if len(list) == most {
				return list, at - 1, nil
			}
			i, err := a.instrumentOf(p, r)
			if err != nil {
				return nil, 0, err
			}
			for _, o := range i.Reports {
				seen[o.Hash] = true
			}
			list = append(list, i)
		}
		if !found.More {
			return list, 0, nil
		}
	}
}

// Join says that reports are of one instrument, and with them all that stand
// with each. by and why are kept in the log.
func (a *Archive) Join(by, why string, hashes ...string) error {
	p, rows, members, err := a.named(hashes)
	if err != nil {
		return fmt.Errorf("join: %w", err)
	}
	one := map[int]bool{}
	known := 0
	for i := range rows {
		if c, is := p.class[p.element(members[i])]; is {
			one[c] = true
			known++
		}
	}
	same := len(one) == 1 && known == len(rows)
	if els := elements(p, members); same || len(els) == 1 {
		return errors.New("join: these reports stand together already")
	}
	if err := a.decide(Joined, by, why, members); err != nil {
		return fmt.Errorf("join: %w", err)
	}
	return nil
}

// Part says that reports are of another instrument than those with which they
// stand now. Those of them that stood together stay together. Where all reports
// of one bench's instrument are named, those filed later go with them.
func (a *Archive) Part(by, why string, hashes ...string) error {
	p, rows, members, err := a.named(hashes)
	if err == nil {
		members, err = a.wholeGroups(p, rows, members)
	}
	if err != nil {
		return fmt.Errorf("part: %w", err)
	}
	if err := a.decide(Parted, by, why, members); err != nil {
		return fmt.Errorf("part: %w", err)
	}
	return nil
}

// Distinct says that each of the reports is of another instrument than the
// others, so that they are not proposed again as one.
func (a *Archive) Distinct(by, why string, hashes ...string) error {
	p, _, members, err := a.named(hashes)
	if err != nil {
		return fmt.Errorf("distinct: %w", err)
	}
	if len(members) < 2 {
		return errors.New("distinct: name two reports or more")
	}
	class := map[int]bool{}
	for _, m := range members {
		if c, is := p.class[p.element(m)]; is {
			if class[c] {
				return errors.New("distinct: two of these stand together as one instrument; part them first")
			}
			class[c] = true
		}
	}
	if len(elements(p, members)) < len(members) {
		return errors.New("distinct: two of these stand together as one instrument; part them first")
	}
	if err := a.decide(Distinct, by, why, members); err != nil {
		return fmt.Errorf("distinct: %w", err)
	}
	return nil
}

func elements(p *replay, members []Member) map[string]bool {
	out := map[string]bool{}
	for _, m := range members {
		out[p.element(m)] = true
	}
	return out
}

// named looks the reports of a decision up; a report given twice counts once.
func (a *Archive) named(hashes []string) (*replay, []Row, []Member, error) {
	p, err := a.decisions()
	if err != nil {
		return nil, nil, nil, err
	}
	var rows []Row
	var members []Member
	for _, h := range hashes {
		r, err := a.row(h)
		if err != nil {
			return nil, nil, nil, err
		}
		m := memberOf(r)
		if slices.ContainsFunc(members, func(o Member) bool { return o.First == m.First }) {
			continue // another version of the same report
		}
		rows, members = append(rows, r), append(members, m)
	}
	if len(members) == 0 {
		return nil, nil, nil, errors.New("name the reports")
	}
	return p, rows, members, nil
}

// wholeGroups puts a group in the place of its reports where all that are filed
// are named, and refuses what would change nothing.
func (a *Archive) wholeGroups(p *replay, rows []Row, members []Member) ([]Member, error) {
	by := map[string][]Member{}
	for i, m := range members {
		el := p.element(m)
		by[el] = append(by[el], members[i])
	}
	var out []Member
	alone := true
	for _, el := range slices.Sorted(maps.Keys(by)) {
		list := by[el]
		group, is := strings.CutPrefix(el, "g")
		if is {
			all, more, err := a.rowsOf(p, el)
			if err != nil {
				return nil, err
			}
			firsts := map[string]bool{}
			for _, r := range all {
				firsts[r.First] = true
			}
			if len(firsts) == len(list) && !more {
				list = []Member{{Group: group}}
			} else {
				alone = false
			}
		}
		out = append(out, list...)
		alone = alone && len(p.together(el)) == 1
	}
	if alone {
		return nil, errors.New("they stand with no other report")
	}
	return out, nil
}
