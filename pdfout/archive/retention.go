package archive

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Basis is from when a rule counts.
type Basis string

// The bases.
const (
	AfterFiling      Basis = "filed"    // from the day of filing
	AfterExamination Basis = "examined" // from the day of the examination
	AfterInsurance   Basis = "insured"  // from the last day on which a policy insures the instrument
)

// Bases lists them.
func Bases() []Basis { return []Basis{AfterFiling, AfterExamination, AfterInsurance} }

// Rule says how long reports are kept: as long as it says, and then they are due
// to be removed, unless another rule that they fall under keeps them longer, or
// they are held. A report under no rule is kept. No rule removes anything.
type Rule struct {
	Name   string `json:"name"`
	Query  string `json:"query,omitempty"` // which reports, a query line; "" is all
	Basis  Basis  `json:"basis"`
	Months int    `json:"months"`
	Law    string `json:"law,omitempty"` // what it rests on, as whoever set it says
	Ended  bool   `json:"ended,omitempty"`
	Why    string `json:"why,omitempty"`
}

// RuleAt is a rule as the log has it.
type RuleAt struct {
	Rule
	Seq  int64     `json:"seq"`
	Time time.Time `json:"time"`
	By   string    `json:"by"`
}

// maxKeepMonths bounds how long a rule keeps: a thousand years.
const maxKeepMonths = 12_000

// maxRules bounds how many rules there are at a time.
const maxRules = 50

// Rules are the rules that hold, in the order in which they were first set.
func (a *Archive) Rules() ([]RuleAt, error) {
	notes, err := a.Notes(Ruled)
	if err != nil {
		return nil, err
	}
	out := []RuleAt{}
	for _, e := range notes {
		r, err := readNote[Rule](e)
		if err != nil {
			return nil, err
		}
		at := RuleAt{r, e.Seq, e.Time, e.By}
		i := slices.IndexFunc(out, func(o RuleAt) bool { return fold(o.Name) == fold(r.Name) })
		if i < 0 {
			out = append(out, at)
		} else {
			out[i] = at
		}
	}
	return slices.DeleteFunc(out, func(r RuleAt) bool { return r.Ended }), nil
}

// SetRule writes a rule into the log: a new one, or one in place of that of its
// name.
func (a *Archive) SetRule(by string, r Rule) error {
	r.Name, r.Query, r.Law, r.Why, r.Ended = clean(r.Name, 80), strings.TrimSpace(r.Query), clean(r.Law, maxReason), clean(r.Why, maxReason), false
	list, err := a.Rules()
	if err != nil {
		return err
	}
	switch {
	case r.Name == "":
		return errors.New("retention: give the rule a name")
	case !slices.Contains(Bases(), r.Basis):
		return fmt.Errorf("retention: there is no basis %q; a rule counts from filed, examined or insured", r.Basis)
	case r.Months < 1 || r.Months > maxKeepMonths:
		return fmt.Errorf("retention: a rule keeps for 1 to %d months", maxKeepMonths)
	case len(list) >= maxRules && !slices.ContainsFunc(list, func(o RuleAt) bool { return fold(o.Name) == fold(r.Name) }):
		return fmt.Errorf("retention: there are %d rules, more than can be told apart; end one first", len(list))
	}
	if _, err := ParseQuery(r.Query); err != nil {
		return fmt.Errorf("retention: %w", err)
	}
	return a.noteOf(Ruled, by, r)
}

// EndRule ends a rule.
func (a *Archive) EndRule(by, name, why string) error {
	list, err := a.Rules()
	if err != nil {
		return err
	}
	for _, r := range list {
		if fold(r.Name) == fold(name) {
			end := r.Rule
			end.Ended, end.Why = true, clean(why, maxReason)
			return a.noteOf(Ruled, by, end)
		}
	}
	return fmt.Errorf("retention: there is no rule %q", clean(name, 80))
}

// Hold is a line that keeps reports from being removed.
type Hold struct {
	Seq     int64     `json:"seq"`
	Time    time.Time `json:"time"`
	By      string    `json:"by"`
	Why     string    `json:"why"`
	Reports []Member  `json:"reports"` // none is all
}

// holds says whether the hold is over a report with this SHA-256 and first
// signature: a hold on one version is on all of the same report.
func (h Hold) holds(hash, first string) bool {
	return len(h.Reports) == 0 || slices.ContainsFunc(h.Reports, func(m Member) bool { return m.Report == hash || m.First != "" && m.First == first })
}

// Holds are the holds that have not ended, the oldest first; of those that held
// several reports, what is left of them.
func (a *Archive) Holds() ([]Hold, error) {
	notes, err := a.Notes(Held, Released)
	if err != nil {
		return nil, err
	}
	out := []Hold{}
	for _, e := range notes {
		b, err := readNote[heldBody](e)
		if err != nil {
			return nil, err
		}
		if e.Kind == Held {
			out = append(out, Hold{e.Seq, e.Time, e.By, b.Why, b.Reports})
			continue
		}
		out = release(out, b.Reports)
	}
	return out, nil
}

// release takes reports out of holds; no report ends the holds over all.
func release(holds []Hold, reports []Member) []Hold {
	var out []Hold
	for _, h := range holds {
		all := len(h.Reports) == 0
		if all == (len(reports) == 0) {
			if all {
				continue
			}
			h.Reports = slices.DeleteFunc(slices.Clone(h.Reports), func(m Member) bool {
				return slices.ContainsFunc(reports, func(r Member) bool { return r.Report == m.Report || r.First != "" && r.First == m.First })
			})
			if len(h.Reports) == 0 {
				continue
			}
		}
		out = append(out, h)
	}
	return out
}

// Hold keeps reports from being removed, whatever a rule says, until they are
// released; no report is the whole archive.
func (a *Archive) Hold(by, why string, hashes ...string) error {
	return a.holding(Held, by, why, hashes)
}

// Release ends holds over reports; no report ends those over the whole archive.
func (a *Archive) Release(by, why string, hashes ...string) error {
	holds, err := a.Holds()
	if err != nil {
		return err
	}
	if len(hashes) == 0 && !slices.ContainsFunc(holds, func(h Hold) bool { return len(h.Reports) == 0 }) {
		return errors.New("release: no hold is over the whole archive; name the reports")
	}
	return a.holding(Released, by, why, hashes)
}

func (a *Archive) holding(kind EventKind, by, why string, hashes []string) error {
	if why = clean(why, maxReason); why == "" {
		return fmt.Errorf("%s: say why; others will want to know", kind)
	}
	if len(hashes) > MaxMembers {
		return fmt.Errorf("%s: %d reports at once, more than %d; name fewer", kind, len(hashes), MaxMembers)
	}
	b := heldBody{Why: why}
	for _, h := range hashes {
		e, err := a.filing(h)
		if err != nil {
			return fmt.Errorf("%s: %w", kind, err)
		}
		b.Reports = append(b.Reports, Member{Report: e.File, First: e.First})
	}
	if kind == Released && len(hashes) > 0 {
		holds, err := a.Holds()
		if err != nil {
			return err
		}
		for _, m := range b.Reports {
			if !slices.ContainsFunc(holds, func(h Hold) bool { return len(h.Reports) > 0 && h.holds(m.Report, m.First) }) {
				return fmt.Errorf("released: the report %.16s is not held by itself", m.Report)
			}
		}
	}
	return a.noteOf(kind, by, b)
}

// heldBack is the hold over what a line filed, nil for none.
func (a *Archive) heldBack(e Entry) (*Hold, error) {
	holds, err := a.Holds()
	if err != nil {
		return nil, err
	}
	for _, h := range holds {
		if h.holds(e.File, e.First) {
			return &h, nil
		}
	}
	return nil, nil
}
