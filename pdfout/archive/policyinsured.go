package archive

import (
	"context"
	"slices"
	"time"
)

// Insured is one instrument under one policy on a day.
type Insured struct {
	Policy string `json:"policy"` // its number
	Holder string `json:"holder"`
	Item   Item   `json:"item"`  // as the collection or policy names it
	Since  string `json:"since"` // first day insured
	Until  string `json:"until"` // last day insured, as far as is known on the day
	Title  string `json:"title"`
	Serial string `json:"serial,omitempty"`
	// Latest is the report of its latest examination up to the day, nil where
	// there is none.
	Latest       *Row `json:"latest"`
	Examinations int  `json:"examinations"` // up to the day
	// Others are the numbers of further policies that insure it on the day.
	Others []string `json:"others,omitempty"`

	one         string // the same for all reports of one instrument
	policy      Policy
	examination []Row // up to the day, the oldest first
	reports     []Row // all versions of them
}

// Insured lists every instrument that a policy insures on the day of a time in
// its own zone, by policy and then as the policies name them. An instrument
// that stands there under several of its reports counts once.
func (a *Archive) Insured(ctx context.Context, at time.Time) ([]Insured, error) {
	policies, err := a.Policies(at)
	if err != nil {
		return nil, err
	}
	p, err := a.decisions()
	if err != nil {
		return nil, err
	}
	day := dayOf(at)
	list := []Insured{}
	numbers := map[string][]string{} // of the policies of each instrument
	for _, pol := range policies {
		if pol.State != InForce {
			continue
		}
		items, err := a.coveredBy(pol.Policy, day)
		if err != nil {
			return nil, err
		}
		seen := map[string]bool{}
		for _, i := range items {
			one := p.one(i.Item)
			if seen[one] {
				continue
			}
			seen[one] = true
			numbers[one] = append(numbers[one], pol.Number)
			list = append(list, Insured{Policy: pol.Number, Holder: pol.Holder, Item: i.Item, Since: max(i.Since, pol.From), Until: pol.Last(), one: one, policy: pol.Policy})
		}
	}
	for i := range list {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		in := &list[i]
		if err := a.look(p, in, day); err != nil {
			return nil, err
		}
		in.Others = slices.DeleteFunc(slices.Clone(numbers[in.one]), func(n string) bool { return n == in.Policy })
	}
	return list, nil
}

// coveredBy is what a policy covers on a day: what its collection holds, and
// what it names itself.
func (a *Archive) coveredBy(p Policy, day string) ([]Placed, error) {
	var out []Placed
	if p.Collection != "" {
		c, err := a.Collection(p.Collection)
		if err != nil {
			return nil, err
		}
		out = c.In(day)
	}
	for _, i := range p.Items {
		out = append(out, Placed{Item: i, Since: p.From})
	}
	return out, nil
}

// look fills in what is filed of an insured instrument.
func (a *Archive) look(p *replay, in *Insured, day string) error {
	in.Title, in.Serial = in.Item.What, in.Item.Serial
	if in.Item.Described() {
		return nil
	}
	key, id := groupParts(in.Item.Group)
	// A report that was removed since still stands for the others of its instrument.
	inst, err := a.instrumentOf(p, Row{Hash: in.Item.Report, First: in.Item.First, Key: key, Instrument: id})
	if err != nil {
		return err
	}
	for _, r := range inst.Reports {
		if r.Date <= day {
			in.reports = append(in.reports, r)
		}
	}
	in.examination = (&Instrument{Reports: in.reports}).Examinations()
	in.Examinations = len(in.examination)
	named := inst.Reports
	if in.Examinations > 0 {
		in.Latest = &in.examination[in.Examinations-1]
		named = in.examination
	}
	if len(named) > 0 {
		in.Title, in.Serial = inst.Title(), named[len(named)-1].Serial
	} else {
		in.Title = "Instrument of the report " + in.Item.Report[:min(12, len(in.Item.Report))]
	}
	return nil
}
