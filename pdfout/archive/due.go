package archive

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate/due"
	"wornwood/annotate/electronics"
	"wornwood/capture/index"
	"wornwood/capture/record"
)

// DueKind says what is to be done.
type DueKind string

// What can be due in an archive.
const (
	DueReport  DueKind = "report too old"
	DueMissing DueKind = "no report"
	DueRefused DueKind = "refused report"
	DueEnd     DueKind = "policy ends"
	DueRecord  DueKind = "date in the report" // that the latest report itself names
)

// Due is one thing to be done about what is insured.
type Due struct {
	What     DueKind  `json:"what"`
	On       string   `json:"on"`      // the day, 2006-01-02
	Overdue  bool     `json:"overdue"` // the day is past
	Policies []string `json:"policies"`
	Holder   string   `json:"holder"`
	Title    string   `json:"title"`           // of the instrument; of the policy where it ends
	Named    string   `json:"named,omitempty"` // what a DueRecord is about: examination, battery change, countersignature
	Serial   string   `json:"serial,omitempty"`
	Report   string   `json:"report,omitempty"` // SHA-256 of the latest report
	Number   string   `json:"number,omitempty"` // of the same
	Text     string   `json:"text"`             // what follows from what, without a full stop

	key   string // names the instrument or policy, the same in each export
	place string // tells apart what is alike otherwise
}

// ranOutDays is for how long a policy that ran out is listed, unless it was
// ended or goes on by then: what was not renewed in two months was not
// forgotten (practice).
const ranOutDays = 60

// Due lists what is due for the instruments that are insured on the day of a
// time in its own zone, overdue things first and then by day:
//
//   - a report that is older, by the date of its examination, than its policy
//     takes, on the day on which it gets so;
//   - an instrument insured without a report, from the day on which it is insured;
//   - a later version of its report, or a file that begins with the report,
//     that was refused since, on the day of that;
//   - dates that the latest report names: its next examination, batteries,
//     a countersignature outstanding;
//   - the end of each policy, on its last day.
//
// Everything is listed that has a day, however far ahead.
func (a *Archive) Due(ctx context.Context, at time.Time) ([]Due, error) {
	insured, err := a.Insured(ctx, at)
	if err != nil {
		return nil, err
	}
	list := []Due{}
	seen := map[string]bool{}
	for _, in := range insured {
		list = append(list, in.reportDue()...)
		if seen[in.one] || in.Latest == nil {
			continue
		}
		seen[in.one] = true
		more, err := a.namedDue(in, at)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	refused, err := a.refusedDue(ctx, insured)
	if err != nil {
		return nil, err
	}
	policies, err := a.Policies(at)
	if err != nil {
		return nil, err
	}
	list = append(append(list, refused...), endsDue(policies, at)...)
	day := dayOf(at)
	for i := range list {
		list[i].Overdue = list[i].Overdue || list[i].On < day
	}
	slices.SortStableFunc(list, compareDue)
	return list, nil
}

func compareDue(a, b Due) int {
	if a.Overdue != b.Overdue {
		if a.Overdue {
			return -1
		}
		return 1
	}
	return cmp.Or(strings.Compare(a.On, b.On), strings.Compare(a.Title, b.Title), strings.Compare(a.Serial, b.Serial), strings.Compare(string(a.What), string(b.What)), strings.Compare(strings.Join(a.Policies, " "), strings.Join(b.Policies, " ")))
}

// due is something due for the instrument.
func (in Insured) due(what DueKind, on, text string) Due {
	d := Due{What: what, On: on, Policies: append([]string{in.Policy}, in.Others...), Holder: in.Holder, Title: in.Title, Serial: in.Serial, Text: text, key: in.Item.key()}
	if in.Latest != nil {
		d.Report, d.Number = in.Latest.Hash, in.Latest.Number
	}
	return d
}

// reportDue is what the policy itself asks for.
func (in Insured) reportDue() []Due {
	months := in.policy.ReportMonths
	only := func(d Due) []Due {
		d.Policies, d.place = []string{in.Policy}, in.Policy
		return []Due{d}
	}
	switch {
	case in.Latest == nil:
		d := in.due(DueMissing, in.Since, "insured under "+in.Policy+" since "+in.Since+" without a report")
		d.Overdue = true
		return only(d)
	case months == 0:
		return nil
	}
	date, err := time.Parse(time.DateOnly, in.Latest.Date)
	if err != nil {
		d := in.due(DueReport, in.Since, "its report names no date, and "+in.Policy+" takes none older than "+monthsOf(months))
		d.Overdue = true
		return only(d)
	}
	last := electronics.AddMonths(date, months)
	return only(in.due(DueReport, dayOf(last), fmt.Sprintf("last examined %s (%s), and %s takes no report older than %s", in.Latest.Date, orNone(in.Latest.Number), in.Policy, monthsOf(months))))
}

func monthsOf(n int) string {
	if n == 1 {
		return "a month"
	}
	return fmt.Sprintf("%d months", n)
}

func orNone(s string) string {
	if s == "" {
		return "without a number"
	}
	return s
}

// readBack is how many examinations are read for the batteries of one that
// does not list its components.
const readBack = 4

// namedDue is what the records of the latest examinations name, by the rules of
// a bench.
func (a *Archive) namedDue(in Insured, at time.Time) ([]Due, error) {
	var dated []index.Dated
	for i := len(in.examination) - 1; i >= 0 && len(dated) < readBack; i-- {
		row := in.examination[i]
		b, err := a.bytes(Ref{Records, row.Hash}, maxVerdict)
		if err != nil {
			return nil, fmt.Errorf("record of %s: %w", row.Hash[:12], err)
		}
		var r record.Record
		if err := json.Unmarshal(b, &r); err != nil {
			return nil, fmt.Errorf("record of %s: %w", row.Hash[:12], err)
		}
		d := index.DatedOf(&r, &record.Issued{Number: orNone(row.Number)})
		d.Instrument, d.Exam = in.one, row.Hash
		for _, v := range in.reports {
			d.Countersigned = d.Countersigned || v.First == row.First && v.Countersigned
		}
		if dated = append(dated, d); d.Components > 0 {
			break
		}
	}
	var out []Due
	for _, d := range due.List(dated, at, due.Rules{}) {
		n := in.due(DueRecord, dayOf(d.On), string(d.What)+": "+d.Text)
		n.Overdue, n.Named, n.place = d.Overdue, string(d.What), string(d.What)+"\x00"+fold(d.Place)
		n.Report, n.Number = d.Exam, d.Number
		out = append(out, n)
	}
	return out, nil
}

// endsDue are the ends of policies that are in force, and of those that ran out
// lately.
func endsDue(policies []PolicyAt, at time.Time) []Due {
	var out []Due
	day, lately := dayOf(at), dayOf(at.AddDate(0, 0, -ranOutDays))
	for _, p := range policies {
		d := Due{What: DueEnd, On: p.Last(), Policies: []string{p.Number}, Holder: p.Holder, Title: "Policy " + p.Number, key: "p" + policyKey(p.Number)}
		switch {
		case p.State == InForce:
			d.Text = "the last day insured under " + p.Number + " of " + p.Holder
		case p.State == Over && p.Last() >= lately:
			d.Text, d.Overdue = p.Number+" of "+p.Holder+" ran out with "+p.Last()+" and was neither continued nor ended", p.Last() < day
		default:
			continue
		}
		out = append(out, d)
	}
	return out
}
