package archive

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/currency"
)

// Policy says what is insured, for whom, and how old a report may be. Days are
// 2006-01-02, and both ends are insured.
type Policy struct {
	Number     string `json:"number"`
	Holder     string `json:"holder"`
	Collection string `json:"collection,omitempty"` // what is in it is insured
	Items      []Item `json:"items,omitempty"`      // and these
	From       string `json:"from"`
	To         string `json:"to"`
	Sum        string `json:"sum,omitempty"`      // insured in all, a decimal number as text: "250000.00"
	Currency   string `json:"currency,omitempty"` // code after ISO 4217
	// ReportMonths is how old the latest report of each instrument may be, by
	// the date of its examination; 0 for any age.
	ReportMonths int    `json:"reportMonths,omitempty"`
	Ended        string `json:"ended,omitempty"` // the last day insured, where it was ended before To
	Why          string `json:"why,omitempty"`   // of a change or end
	// On is the day from which it stands like this: earlier days keep what an
	// earlier line says of them.
	On string `json:"on"`
}

// PolicyState says how a policy stands on a day.
type PolicyState string

// The states.
const (
	Coming  PolicyState = "coming"   // begins later
	InForce PolicyState = "in force" // insures
	Over    PolicyState = "over"     // ran out
	Ended   PolicyState = "ended"    // was ended before it ran out
)

// Last is the last day insured.
func (p Policy) Last() string {
	if p.Ended != "" && p.Ended < p.To {
		return p.Ended
	}
	return p.To
}

// On is how the policy stands on a day.
func (p Policy) state(day string) PolicyState {
	switch {
	case day < p.From:
		return Coming
	case day <= p.Last():
		return InForce
	case p.Last() < p.To:
		return Ended
	}
	return Over
}

// PolicyAt is a policy as it stands on a day, and what the log says of it.
type PolicyAt struct {
	Policy
	State PolicyState  `json:"state"`
	Lines []PolicyLine `json:"lines"` // all that changed it, the oldest first
}

// PolicyLine is one line of the log about a policy.
type PolicyLine struct {
	Seq  int64     `json:"seq"`
	Time time.Time `json:"time"`
	By   string    `json:"by"`
	On   string    `json:"on"`
	Why  string    `json:"why,omitempty"`
}

// Policies are all policies as they stand on the day of a time in its own zone,
// by number: of each the last line of the log among those that hold from that
// day or before, or its first line where it begins later.
func (a *Archive) Policies(at time.Time) ([]PolicyAt, error) {
	notes, err := a.Notes(Insuring)
	if err != nil {
		return nil, err
	}
	day := dayOf(at)
	var list []PolicyAt
	index := map[string]int{}
	for _, e := range notes {
		b, err := readNote[Policy](e)
		if err != nil {
			return nil, err
		}
		i, is := index[policyKey(b.Number)]
		if !is {
			i = len(list)
			index[policyKey(b.Number)], list = i, append(list, PolicyAt{Policy: b})
		} else if b.On <= day || list[i].On > day && b.On <= list[i].On {
			list[i].Policy = b
		}
		list[i].Lines = append(list[i].Lines, PolicyLine{e.Seq, e.Time, e.By, b.On, b.Why})
	}
	for i := range list {
		list[i].State = list[i].state(day)
	}
	slices.SortFunc(list, func(a, b PolicyAt) int { return strings.Compare(a.Number, b.Number) })
	return list, nil
}

// PolicyOf is one policy as it stands on a day.
func (a *Archive) PolicyOf(number string, at time.Time) (PolicyAt, error) {
	list, err := a.Policies(at)
	if err != nil {
		return PolicyAt{}, err
	}
	for _, p := range list {
		if policyKey(p.Number) == policyKey(number) {
			return p, nil
		}
	}
	return PolicyAt{}, fmt.Errorf("there is no policy %.80q; 'wornwood archive policies DIR' lists them", number)
}

// policyKey is a policy's number without what people write differently.
func policyKey(number string) string {
	return strings.ToUpper(strings.Join(strings.Fields(number), " "))
}

// Insure writes a policy into the log: a new one, or, under the number of one
// that is there, how it stands from On on ("" is From for a new one, today for
// another).
func (a *Archive) Insure(by string, p Policy) error {
	before, err := a.Notes(Insuring)
	if err != nil {
		return err
	}
	known := ""
	for _, e := range before {
		b, err := readNote[Policy](e)
		if err != nil {
			return err
		}
		if policyKey(b.Number) == policyKey(p.Number) {
			known = b.Number
		}
	}
	if err := p.check(); err != nil {
		return fmt.Errorf("policy: %w", err)
	}
	switch {
	case known != "" && p.On == "":
		p.On = dayOf(a.now())
	case p.On == "":
		p.On = p.From
	}
	if known != "" {
		p.Number = known
	}
	if p.Collection != "" {
		c, err := a.Collection(p.Collection)
		if err != nil {
			return fmt.Errorf("policy: %w", err)
		}
		p.Collection = c.Name
	}
	if err := a.noteOf(Insuring, by, p); err != nil {
		return fmt.Errorf("policy: %w", err)
	}
	return nil
}

// EndPolicy ends a policy with a day as the last one insured ("" is today).
func (a *Archive) EndPolicy(by, number, last, why string) error {
	now := a.now()
	last, err := cleanDay("the last day insured", last)
	if err != nil {
		return fmt.Errorf("policy: %w", err)
	}
	if last == "" {
		last = dayOf(now)
	}
	p, err := a.PolicyOf(number, now)
	if err != nil {
		return err
	}
	if p.State == Ended {
		return fmt.Errorf("policy: %s ended with %s", p.Number, p.Last())
	}
	if last >= p.To {
		return fmt.Errorf("policy: %s runs out with %s by itself", p.Number, p.To)
	}
	end := p.Policy
	end.Ended, end.Why, end.On = last, why, min(dayOf(now), last)
	return a.Insure(by, end)
}

var sumForm = regexp.MustCompile(`^[0-9]{1,15}(\.[0-9]{1,4})?$`)

// check tidies a policy and says what is wrong with it.
func (p *Policy) check() (err error) {
	p.Number, p.Holder, p.Why = clean(p.Number, 80), clean(p.Holder, 200), clean(p.Why, maxReason)
	for _, d := range []struct {
		what string
		into *string
	}{{"insured from", &p.From}, {"insured to", &p.To}, {"ended", &p.Ended}, {"since when", &p.On}} {
		if *d.into, err = cleanDay(d.what, *d.into); err != nil {
			return err
		}
	}
	switch {
	case p.Number == "":
		return errors.New("it needs its number")
	case p.Holder == "":
		return errors.New("name the holder")
	case p.From == "" || p.To == "":
		return errors.New("say from which day to which it insures")
	case p.To < p.From:
		return fmt.Errorf("it ends %s, before it begins %s", p.To, p.From)
	case p.Collection == "" && len(p.Items) == 0:
		return errors.New("name the collection or the reports that it insures")
	case len(p.Items) > maxItems:
		return fmt.Errorf("%d instruments, more than %d; put them into a collection", len(p.Items), maxItems)
	case p.ReportMonths < 0 || p.ReportMonths > 600:
		return fmt.Errorf("a report may be from 1 to 600 months old, not %d; 0 is any age", p.ReportMonths)
	}
	return p.checkSum()
}

// checkSum holds the sum to its currency: a code of ISO 4217, and no more
// decimals than it has in payments.
func (p *Policy) checkSum() error {
	p.Sum, p.Currency = strings.TrimSpace(p.Sum), strings.ToUpper(strings.TrimSpace(p.Currency))
	if p.Sum == "" && p.Currency == "" {
		return nil
	}
	if !sumForm.MatchString(p.Sum) {
		return fmt.Errorf("%.40q is no sum; write it with a point and without other signs: 250000.00", p.Sum)
	}
	unit, err := currency.ParseISO(p.Currency)
	if err != nil || len(p.Currency) != 3 {
		return fmt.Errorf("%.20q is no currency; write its three letters after ISO 4217: EUR", p.Currency)
	}
	digits, _ := currency.Standard.Rounding(unit)
	if _, decimals, has := strings.Cut(p.Sum, "."); has && len(decimals) > digits {
		return fmt.Errorf("a sum in %s has %d decimals at most, and %s has more", p.Currency, digits, p.Sum)
	}
	return nil
}
