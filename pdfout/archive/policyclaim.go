package archive

import (
	"errors"
	"fmt"
	"time"
)

// Claim is what matters for a loss: the last examination before it, and
// everything since.
type Claim struct {
	Policy PolicyAt `json:"policy"` // as it stood on the day of the loss
	Date   string   `json:"date"`   // of the loss
	Title  string   `json:"title"`
	Serial string   `json:"serial,omitempty"`
	// Insured says whether the policy insured the instrument on that day, by
	// what the log says now; Why says why not, or what else to know.
	Insured bool   `json:"insured"`
	Why     string `json:"why,omitempty"`
	Before  *Row   `json:"before"` // the last examination before the day, nil where there is none
	Since   []Row  `json:"since"`  // of the day itself and later, the oldest first
	// Hashes are all reports of those examinations, every version, in that order.
	Hashes []string `json:"sha256"`
}

// ClaimOf chooses the reports for a claim against a policy: an instrument,
// named by the SHA-256 of any of its reports or a beginning of it, and the day
// of the loss, 2006-01-02. An examination on that very day counts as since,
// because nobody can tell whether it came before.
func (a *Archive) ClaimOf(number, hash, date string) (*Claim, error) {
	date, err := cleanDay("date of the loss", date)
	if err == nil && date == "" {
		err = errors.New("say on which day the loss was")
	}
	if err != nil {
		return nil, fmt.Errorf("claim: %w", err)
	}
	at, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return nil, fmt.Errorf("claim: %w", err)
	}
	pol, err := a.PolicyOf(number, at)
	if err != nil {
		return nil, fmt.Errorf("claim: %w", err)
	}
	r, err := a.row(hash)
	if err != nil {
		return nil, fmt.Errorf("claim: %w", err)
	}
	p, err := a.decisions()
	if err != nil {
		return nil, err
	}
	inst, err := a.instrumentOf(p, r)
	if err != nil {
		return nil, err
	}
	c := &Claim{Policy: pol, Date: date, Title: inst.Title(), Serial: r.Serial, Since: []Row{}, Hashes: []string{}}
	c.choose(inst)
	if c.Insured, c.Why, err = a.insuredOn(p, pol, p.one(Item{Member: memberOf(r)}), date); err != nil {
		return nil, err
	}
	if c.Before == nil && c.Why == "" {
		c.Why = "no examination before the day is filed, so nothing shows what it looked like"
	}
	return c, nil
}

// choose parts an instrument's examinations by the day of the loss.
func (c *Claim) choose(inst Instrument) {
	wanted := map[string]bool{}
	for _, x := range inst.Examinations() {
		if x.Date < c.Date {
			c.Before = &x
			continue
		}
		c.Since = append(c.Since, x)
		wanted[x.First] = true
	}
	if c.Before != nil {
		wanted[c.Before.First] = true
	}
	for _, r := range inst.Reports {
		if wanted[r.First] {
			c.Hashes = append(c.Hashes, r.Hash)
		}
	}
}

// insuredOn says whether a policy insured an instrument on a day, and if not,
// why.
func (a *Archive) insuredOn(p *replay, pol PolicyAt, one, day string) (bool, string, error) {
	switch pol.State {
	case Coming:
		return false, "the policy begins " + pol.From, nil
	case Over, Ended:
		return false, "the policy ended with " + pol.Last(), nil
	}
	items, err := a.coveredBy(pol.Policy, day)
	if err != nil {
		return false, "", err
	}
	for _, i := range items {
		if p.one(i.Item) == one {
			return true, "", nil
		}
	}
	return false, "the policy did not name the instrument on that day", nil
}
