package view

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"wornwood/pdfout/archive"
)

// SaveCalendar writes what is shown as a calendar; see SaveCalendar.
func (m *ArchiveDue) SaveCalendar(file string) error {
	return SaveCalendar(file, m.a.Events(m.shown), m.at, m.a.Settings.Name)
}

// PolicyEntry is a policy as somebody types it. Empty entries of a change leave
// what is there.
type PolicyEntry struct {
	Number, Holder, Collection, From, To, Sum, Months string
	By, Why, On                                       string
}

// Entry is a policy as it stands, to be changed.
func (m *ArchiveDue) Entry(i int) PolicyEntry {
	p := m.policies[i]
	e := PolicyEntry{Number: p.Number, Holder: p.Holder, Collection: p.Collection, From: p.From, To: p.To, Sum: strings.TrimSpace(p.Sum + " " + p.Currency)}
	if p.ReportMonths > 0 {
		e.Months = strconv.Itoa(p.ReportMonths)
	}
	return e
}

// Collections are the names of the collections, to choose from.
func (m *ArchiveDue) Collections() []string {
	var out []string
	for _, c := range m.sets {
		out = append(out, c.Name)
	}
	return out
}

// WritePolicy writes what was typed into the log of an archive: a new policy for
// i < 0, else a change of that one.
func (m *ArchiveDue) WritePolicy(a *archive.Archive, i int, e PolicyEntry) error {
	p := archive.Policy{Number: e.Number}
	if i >= 0 {
		p = m.policies[i].Policy
		if e.To != p.To {
			p.Ended = "" // it goes on
		}
	} else if _, err := a.PolicyOf(e.Number, m.at); err == nil {
		return fmt.Errorf("policy %s is there already; choose it in the list to change it", e.Number)
	}
	p.Holder, p.Collection, p.From, p.To, p.Why, p.On = e.Holder, e.Collection, e.From, e.To, e.Why, e.On
	p.Sum, p.Currency, _ = strings.Cut(strings.TrimSpace(e.Sum), " ")
	p.ReportMonths = 0
	if s := strings.TrimSpace(e.Months); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			return fmt.Errorf("%q is no number of months", s)
		}
		p.ReportMonths = n
	}
	return a.Insure(e.By, p)
}

// EndPolicy ends one with a last day.
func (m *ArchiveDue) EndPolicy(a *archive.Archive, i int, by, last, why string) error {
	return a.EndPolicy(by, m.policies[i].Number, last, why)
}

// CollectionRow is one collection as the list shows it.
type CollectionRow struct {
	Name, Instruments, Policies string
}

// CollectionCount is how many collections there are.
func (m *ArchiveDue) CollectionCount() int { return len(m.sets) }

// mostListed bounds the instruments of a collection told one by one.
const mostListed = 40

// CollectionRow is one of them, with how many instruments are in it on the day.
func (m *ArchiveDue) CollectionRow(i int) CollectionRow {
	c := m.sets[i]
	in := c.In(m.at.Format(time.DateOnly))
	r := CollectionRow{Name: c.Name, Instruments: strconv.Itoa(len(in))}
	var numbers []string
	for _, p := range m.policies {
		if p.Collection == c.Name {
			numbers = append(numbers, p.Number)
		}
	}
	r.Policies = strings.Join(numbers, ", ")
	return r
}

// CollectionDetails tells the instruments of one, on the day.
func (m *ArchiveDue) CollectionDetails(i int) []string {
	in := m.sets[i].In(m.at.Format(time.DateOnly))
	var out []string
	for _, p := range in[:min(len(in), mostListed)] {
		out = append(out, m.placed(p)+", since "+p.Since+".")
	}
	if n := len(in) - mostListed; n > 0 {
		out = append(out, fmt.Sprintf("And %d more.", n))
	}
	if len(in) == 0 {
		out = append(out, "Nothing is in it today.")
	}
	return out
}

// placed is what an item of a collection is.
func (m *ArchiveDue) placed(p archive.Placed) string {
	what, serial := p.What, p.Serial
	if !p.Described() {
		what = "Report " + p.Report[:min(12, len(p.Report))]
		if s, err := m.a.Show(p.Report); err == nil {
			what, serial = s.Row.Title(), s.Row.Serial
		}
	} else {
		what += ", without a report"
	}
	if serial != "" {
		what += ", No. " + serial
	}
	return what
}

// CollectionEntry is what somebody types to put instruments into a collection.
type CollectionEntry struct {
	Name         string
	What, Serial string // of an instrument without a report; empty for none
	Since, By    string
}

// Collect puts the instruments of reports, and one that is described, into a
// collection from a day on; without any of them it only makes the collection.
func Collect(a *archive.Archive, e CollectionEntry, hashes ...string) (added int, err error) {
	var items []archive.Item
	for _, h := range hashes {
		i, err := a.ItemOf(h)
		if err != nil {
			return 0, err
		}
		items = append(items, i)
	}
	if e.What != "" || e.Serial != "" {
		i, err := archive.Describe(e.What, e.Serial)
		if err != nil {
			return 0, err
		}
		items = append(items, i)
	}
	return a.Collect(e.By, e.Name, e.Since, items...)
}

// EndCollection takes everything out of a collection from a day on.
func (m *ArchiveDue) EndCollection(a *archive.Archive, i int, by, on, why string) error {
	_, err := a.TakeOut(by, m.sets[i].Name, on, why)
	return err
}
