package view

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wornwood/pdfout/archive"
)

// ArchiveDue is what is insured on a day and what is due for it.
type ArchiveDue struct {
	a        *archive.Archive
	at       time.Time
	all      []archive.Due
	shown    []archive.Due
	insured  []archive.Insured
	policies []archive.PolicyAt
	sets     []archive.Collection
	horizon  int
}

// Horizons are how far ahead the list looks, in words.
var Horizons = []string{"Overdue", "30 days", "90 days", "A year", "All"}

var horizonDays = []int{-1, 30, 90, 365, math.MaxInt16}

// usualHorizon is where the list begins.
const usualHorizon = 2

// ReadArchiveDue reads what is insured and due on the day of a time. It may be
// called beside the window: reading takes a moment for each insured instrument.
func ReadArchiveDue(ctx context.Context, a *archive.Archive, at time.Time) (*ArchiveDue, error) {
	m := &ArchiveDue{a: a, at: at}
	var err error
	if m.policies, err = a.Policies(at); err != nil {
		return nil, fmt.Errorf("list policies: %w", err)
	}
	if m.insured, err = a.Insured(ctx, at); err != nil {
		return nil, fmt.Errorf("list what is insured: %w", err)
	}
	if m.all, err = a.Due(ctx, at); err != nil {
		return nil, fmt.Errorf("list what is due: %w", err)
	}
	if m.sets, err = a.Collections(); err != nil {
		return nil, fmt.Errorf("list collections: %w", err)
	}
	m.SetHorizon(usualHorizon)
	return m, nil
}

// Archive is the archive it was read from.
func (m *ArchiveDue) Archive() *archive.Archive { return m.a }

// Horizon is which of Horizons is shown.
func (m *ArchiveDue) Horizon() int { return m.horizon }

// SetHorizon shows what is due up to one of Horizons.
func (m *ArchiveDue) SetHorizon(i int) {
	m.horizon, m.shown = i, nil
	for _, d := range archive.Within(m.all, m.at, max(0, horizonDays[i])) {
		if d.Overdue || horizonDays[i] >= 0 {
			m.shown = append(m.shown, d)
		}
	}
}

// Second says in a line how much is insured and due.
func (m *ArchiveDue) Second() string {
	if len(m.policies) == 0 {
		return "No policy is entered yet."
	}
	overdue, force, instruments := 0, 0, 0
	for _, in := range m.insured {
		if len(in.Others) == 0 || in.Policy < slices.Min(in.Others) { // once, under several policies
			instruments++
		}
	}
	for _, d := range m.all {
		if d.Overdue {
			overdue++
		}
	}
	for _, p := range m.policies {
		if p.State == archive.InForce {
			force++
		}
	}
	return fmt.Sprintf("%s insured under %s on %s; %d overdue", countWord(instruments, "instrument"), policiesWord(force), m.at.Format(time.DateOnly), overdue)
}

func policiesWord(n int) string {
	if n == 1 {
		return "1 policy"
	}
	return fmt.Sprintf("%d policies", n)
}

// DueLine is one thing due as the list shows it.
type DueLine struct {
	When, Late, What, Title, Policy string
	Overdue                         bool
	Details                         []string
	Hash                            string // of the latest report, "" for none
}

// Count is how many things due are shown.
func (m *ArchiveDue) Count() int { return len(m.shown) }

// Line is one of them.
func (m *ArchiveDue) Line(i int) DueLine {
	d := m.shown[i]
	l := DueLine{When: d.On, What: Capital(string(d.What)), Title: d.Title, Policy: strings.Join(d.Policies, ", "), Overdue: d.Overdue, Hash: d.Report}
	if d.Named != "" {
		l.What = Capital(d.Named)
	}
	if d.Overdue {
		l.Late = "overdue"
	}
	if d.Serial != "" {
		l.Title += ", No. " + d.Serial
	}
	l.Details = []string{Capital(d.Text) + "."}
	if d.What != archive.DueEnd {
		l.Details = append(l.Details, "Insured under "+l.Policy+" of "+d.Holder+".")
	}
	if do := whatToDo[d.What]; do != "" {
		l.Details = append(l.Details, do)
	}
	return l
}

var whatToDo = map[archive.DueKind]string{
	archive.DueReport:  "Ask the holder for a new examination; filed, it takes this off the list.",
	archive.DueMissing: "Ask the holder for a report; when it is filed, put it into the collection and take the description out.",
	archive.DueRefused: "Look at the reason on the refused pile and ask the sender for the file as it was issued.",
	archive.DueEnd:     "Change the policy to its new last day, or end it.",
	archive.DueRecord:  "A later examination that is filed takes this off the list.",
}

// InsuredLine is one insured instrument as the list shows it.
type InsuredLine struct {
	Policy, Title, Latest, Since, Until, Also string
	Hash                                      string
	Details                                   []string
}

// InsuredCount is how many instruments are insured; one under two policies
// counts twice.
func (m *ArchiveDue) InsuredCount() int { return len(m.insured) }

// InsuredLine is one of them.
func (m *ArchiveDue) InsuredLine(i int) InsuredLine {
	in := m.insured[i]
	l := InsuredLine{Policy: in.Policy, Title: in.Title, Latest: "no report", Since: in.Since, Until: in.Until, Also: strings.Join(in.Others, ", ")}
	if in.Serial != "" {
		l.Title += ", No. " + in.Serial
	}
	l.Details = []string{fmt.Sprintf("Insured under %s of %s from %s to %s.", in.Policy, in.Holder, in.Since, in.Until)}
	if in.Latest == nil {
		l.Details = append(l.Details, "No report is filed of it.")
	} else {
		l.Latest, l.Hash = in.Latest.Date, in.Latest.Hash
		l.Details = append(l.Details, fmt.Sprintf("%s filed; the latest is %s of %s by %s.", Capital(countWord(in.Examinations, "examination")), orWord(in.Latest.Number, "one without a number"), in.Latest.Date, orWord(in.Latest.Examiner, "nobody named")))
	}
	if l.Also != "" {
		l.Details = append(l.Details, "Also insured under "+l.Also+".")
	}
	return l
}

// PolicyRow is one policy as the list shows it.
type PolicyRow struct {
	Number, Holder, State, From, Last, Sum string
	Details                                []string
	Open                                   bool // it can be ended
}

// PolicyCount is how many policies there are.
func (m *ArchiveDue) PolicyCount() int { return len(m.policies) }

// PolicyRow is one of them.
func (m *ArchiveDue) PolicyRow(i int) PolicyRow {
	p := m.policies[i]
	r := PolicyRow{Number: p.Number, Holder: p.Holder, State: string(p.State), From: p.From, Last: p.Last(), Sum: strings.TrimSpace(p.Sum + " " + p.Currency), Open: p.State == archive.InForce || p.State == archive.Coming}
	switch {
	case p.Collection != "" && len(p.Items) > 0:
		r.Details = append(r.Details, fmt.Sprintf("It insures what is in the collection %s, and %s named.", p.Collection, countWord(len(p.Items), "instrument")))
	case p.Collection != "":
		r.Details = append(r.Details, "It insures what is in the collection "+p.Collection+".")
	default:
		r.Details = append(r.Details, "It insures "+countWord(len(p.Items), "instrument")+" named.")
	}
	if p.ReportMonths > 0 {
		r.Details = append(r.Details, "A report may be up to "+countWord(p.ReportMonths, "month")+" old.")
	} else {
		r.Details = append(r.Details, "A report may be of any age.")
	}
	for _, l := range p.Lines {
		why := ""
		if l.Why != "" {
			why = ": " + l.Why
		}
		r.Details = append(r.Details, fmt.Sprintf("Line %d of the log, by %s, holds from %s%s.", l.Seq, l.By, l.On, why))
	}
	return r
}
