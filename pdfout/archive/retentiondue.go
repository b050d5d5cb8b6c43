package archive

import (
	"context"
	"fmt"
	"time"
)

// Expired is a report that every rule it falls under has stopped keeping.
type Expired struct {
	Row   Row      `json:"report"`
	Rules []string `json:"rules"`          // names of those it falls under
	Since string   `json:"since"`          // the day after the last on which one of them kept it
	Hold  *Hold    `json:"hold,omitempty"` // it is held all the same
}

// monthsAfter is the day so many months after a day; where that month is shorter,
// its last day.
func monthsAfter(day string, months int) (string, error) {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return "", fmt.Errorf("%.20q is no day", day)
	}
	first := time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC).AddDate(0, months, 0)
	last := first.AddDate(0, 1, -1).Day()
	return dayOf(first.AddDate(0, 0, min(t.Day(), last)-1)), nil
}

// expiring is the search for reports that no rule keeps.
type expiring struct {
	a       *Archive
	day     string
	rules   []RuleAt
	queries []*Query
	holds   []Hold
	insured map[string]string // last day, by instrument
	replay  *replay
}

// Expired lists the reports that no rule keeps any more on a day, at most so many,
// and says whether there are more. Those under no rule are kept. Versions of one
// report count from the latest of them. Where policies name an instrument, a
// rule that counts from insurance takes the last day of any of them, and where
// none does, the day of filing.
func (a *Archive) Expired(ctx context.Context, at time.Time, most int) (list []Expired, more bool, err error) {
	x := &expiring{a: a, day: dayOf(at)}
	if x.rules, err = a.Rules(); err != nil || len(x.rules) == 0 {
		return []Expired{}, false, err
	}
	if x.holds, err = a.Holds(); err != nil {
		return nil, false, err
	}
	if err := x.policies(at); err != nil {
		return nil, false, err
	}
	for _, r := range x.rules {
		q, err := ParseQuery(r.Query)
		if err != nil {
			return nil, false, fmt.Errorf("the rule %q: %w", r.Name, err)
		}
		x.queries = append(x.queries, q)
	}
	list, seen := []Expired{}, map[string]bool{}
	for i := range x.rules {
		for from := 0; ; {
			q, err := x.candidates(i)
			if err != nil {
				return nil, false, err
			}
			found, err := a.Find(q, from, 200)
			if err != nil {
				return nil, false, err
			}
			for _, row := range found.Rows {
				if from++; seen[row.Hash] {
					continue
				}
				seen[row.Hash] = true
				if err := ctx.Err(); err != nil {
					return nil, false, err
				}
				e, err := x.judge(row)
				if err != nil {
					return nil, false, err
				}
				if e == nil {
					continue
				}
				if len(list) == most {
					return list, true, nil
				}
				list = append(list, *e)
			}
			if !found.More {
				break
			}
		}
	}
	return list, false, nil
}

// candidates asks for the reports of a rule that it may have stopped keeping: no
// basis is before the filing or the examination.
func (x *expiring) candidates(i int) (*Query, error) {
	r := x.rules[i]
	field := "filed"
	if r.Basis == AfterExamination {
		field = "date"
	}
	t, err := time.Parse(time.DateOnly, x.day)
	if err != nil {
		return nil, err
	}
	last := dayOf(t.AddDate(0, -r.Months, 3)) // months differ in length; each is judged by itself
	q, err := ParseQuery(field + ":.." + last + " sort:" + field)
	if err != nil {
		return nil, err
	}
	q.terms = append(q.terms, x.queries[i].terms...)
	return q, nil
}

// judge says whether no rule keeps a report any more; nil where one does.
func (x *expiring) judge(row Row) (*Expired, error) {
	out := &Expired{Row: row}
	for i, r := range x.rules {
		in := *x.queries[i]
		in.terms = append([]term{{op: opPrefix, column: "hash", text: row.Hash}}, in.terms...)
		found, err := x.a.Find(&in, 0, 1)
		if err != nil {
			return nil, err
		}
		if len(found.Rows) == 0 {
			continue
		}
		from, err := x.basis(r, row)
		if err != nil {
			return nil, err
		}
		end, err := monthsAfter(from, r.Months)
		if err != nil {
			return nil, fmt.Errorf("report %.16s: %w", row.Hash, err)
		}
		if end >= x.day {
			return nil, nil
		}
		t, err := time.Parse(time.DateOnly, end)
		if err != nil {
			return nil, err
		}
		out.Rules, out.Since = append(out.Rules, r.Name), max(out.Since, dayOf(t.AddDate(0, 0, 1)))
	}
	if len(out.Rules) == 0 {
		return nil, nil
	}
	for _, h := range x.holds {
		if h.holds(row.Hash, row.First) {
			out.Hold = &h
			break
		}
	}
	return out, nil
}

// basis is the day from which a rule counts for a report.
func (x *expiring) basis(r RuleAt, row Row) (string, error) {
	if r.Basis == AfterExamination {
		return row.Date, nil
	}
	versions, err := x.a.index.Versions(row.First)
	if err != nil {
		return "", err
	}
	from := dayOf(row.Filed.UTC())
	for _, v := range versions {
		from = max(from, dayOf(v.Filed.UTC()))
	}
	if r.Basis == AfterInsurance {
		from = max(from, x.insured[x.replay.one(Item{Member: memberOf(row)})])
	}
	return from, nil
}

// policies finds until when each instrument is insured at the most. Everything
// that any line of a policy or its collection ever named counts until the
// policy's last day: a report is rather kept too long.
func (x *expiring) policies(at time.Time) error {
	var err error
	if x.replay, err = x.a.decisions(); err != nil {
		return err
	}
	x.insured = map[string]string{}
	list, err := x.a.Policies(at)
	if err != nil {
		return err
	}
	last := map[string]string{}
	for _, p := range list {
		last[policyKey(p.Number)] = p.Last()
	}
	notes, err := x.a.Notes(Insuring, Collecting)
	if err != nil {
		return err
	}
	of := map[string][]Item{} // by collection
	for _, e := range notes {
		if e.Kind == Collecting {
			b, err := readNote[collectionBody](e)
			if err != nil {
				return err
			}
			of[fold(b.Name)] = append(of[fold(b.Name)], b.Add...)
		}
	}
	for _, e := range notes {
		if e.Kind != Insuring {
			continue
		}
		p, err := readNote[Policy](e)
		if err != nil {
			return err
		}
		items := p.Items
		if p.Collection != "" {
			items = append(items[:len(items):len(items)], of[fold(p.Collection)]...)
		}
		for _, i := range items {
			one := x.replay.one(i)
			x.insured[one] = max(x.insured[one], last[policyKey(p.Number)])
		}
	}
	return nil
}
