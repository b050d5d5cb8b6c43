// Package due says what is due on a bench: batteries to change, instruments to
// examine again, reports whose countersignature is outstanding; and writes it as
// a calendar.
//
// Start with List, which works on what bench.Dated lists and a day that counts
// as today; Calendar makes iCalendar of it. Days are calendar days without a
// zone, kept as midnight UTC. What is due follows from the records, so nothing
// is stored here and nothing can be ticked off: a battery change is entered in
// the next examination, and a countersigned report is kept beside its original.
package due

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate/electronics"
	"wornwood/capture/bench"
	"wornwood/capture/index"
	"wornwood/capture/record"
)

// What says what is to be done.
type What string

// What can be due.
const (
	Battery     What = "battery change"
	Examine     What = "examination"
	Countersign What = "countersignature"
)

// Due is one thing to be done.
type Due struct {
	Instrument string    `json:"instrument"` // ID
	Exam       string    `json:"exam"`       // ID of the examination it follows from
	Title      string    `json:"title"`      // of the instrument, with its claimed year
	Serial     string    `json:"serial,omitempty"`
	What       What      `json:"what"`
	Place      string    `json:"place,omitempty"`  // of the battery
	Number     string    `json:"number,omitempty"` // of the report
	On         time.Time `json:"on"`               // the day, midnight UTC
	Overdue    bool      `json:"overdue"`          // the day is past
	Text       string    `json:"text"`             // what follows from what, in a sentence without a full stop

	waits bool // the day is one to ask on, not one that can be missed
}

// Rules are the bench's own.
type Rules struct {
	// ExamineEvery is after how many months an instrument is examined again
	// when its examination names no date; 0 for no rule.
	ExamineEvery int
}

// CountersignDays is how long a buyer's countersignature is waited for before
// it is due: a month leaves time for the way and for a look in daylight
// (practice).
const CountersignDays = 30

// List says what is due, overdue things first and then by day. Of each
// instrument
//
//   - the batteries are those of its latest examination that lists components;
//     each is due by electronics.BatteryDue;
//   - it is to be examined again by the date that its latest examination with one
//     names, unless a report was issued since without one; then, by the rule, so
//     many months after that;
//   - the report that was issued last before listing or before dispatch awaits
//     the buyer's countersignature until a countersigned copy or a receipt is kept. One issued
//     before listing is never overdue: who buys, and when, is open.
//
// Today is read as a day in its own zone. Exams come as bench.Dated lists them:
// those of one instrument together, the latest first.
func List(exams []bench.Dated, today time.Time, r Rules) []Due {
	var out []Due
	for len(exams) > 0 {
		n := 1
		for n < len(exams) && exams[n].Instrument == exams[0].Instrument {
			n++
		}
		of := instrument{exams: exams[:n], rules: r}
		exams = exams[n:]
		out = append(out, of.batteries()...)
		out = append(out, of.examination()...)
		out = append(out, of.countersignature()...)
	}
	now := Day(today)
	for i := range out {
		out[i].Overdue = out[i].On.Before(now) && !out[i].waits
	}
	slices.SortStableFunc(out, compare)
	return out
}

func compare(a, b Due) int {
	switch {
	case a.Overdue != b.Overdue && a.Overdue:
		return -1
	case a.Overdue != b.Overdue:
		return 1
	}
	if c := a.On.Compare(b.On); c != 0 {
		return c
	}
	return strings.Compare(a.Title+"\x00"+a.Serial+"\x00"+string(a.What)+"\x00"+a.Place, b.Title+"\x00"+b.Serial+"\x00"+string(b.What)+"\x00"+b.Place)
}

// Day is the calendar day of a time in its own zone, as midnight UTC.
func Day(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// instrument is the examinations of one instrument, the latest first.
type instrument struct {
	exams []bench.Dated
	rules Rules
}

// of is a thing due that follows from an examination.
func (in instrument) of(e bench.Dated, what What, on time.Time, text string) Due {
	newest := in.exams[0] // what it is called may have been put right since
	title := newest.Title
	if newest.Year != "" {
		title += ", " + newest.Year
	}
	return Due{Instrument: e.Instrument, Exam: e.Exam, Title: title, Serial: newest.Serial, What: what, Number: e.Number, On: on, Text: text}
}

func (in instrument) batteries() []Due {
	i := slices.IndexFunc(in.exams, func(e bench.Dated) bool { return e.Components > 0 })
	if i < 0 {
		return nil
	}
	var out []Due
	for _, b := range in.exams[i].Batteries {
		if on, ok := electronics.BatteryDue(b.Battery); ok {
			d := in.of(in.exams[i], Battery, on, batteryText(b))
			d.Place = b.Place
			out = append(out, d)
		}
	}
	return out
}

// batteryText is "9 V block, preamplifier: fitted 2026-01-10, changed every 12
// months, printed date 2027-03".
func batteryText(b index.Battery) string {
	name := b.Type
	if name == "" {
		name = "battery"
	}
	if b.Number > 1 {
		name = fmt.Sprintf("%d × %s", b.Number, name)
	}
	if b.Place != "" {
		name += ", " + b.Place
	}
	var why []string
	if b.Fitted != "" {
		why = append(why, "fitted "+b.Fitted)
	}
	if b.Fitted != "" && b.Every > 0 {
		why = append(why, "changed every "+months(b.Every))
	}
	if b.Expires != "" {
		why = append(why, "printed date "+b.Expires)
	}
	return name + ": " + strings.Join(why, ", ")
}

func months(n int) string {
	if n == 1 {
		return "month"
	}
	return fmt.Sprintf("%d months", n)
}

func after(n int) string {
	if n == 1 {
		return "a month"
	}
	return months(n)
}

func (in instrument) examination() []Due {
	for i, e := range in.exams {
		on, err := time.Parse(time.DateOnly, e.NextDue)
		text := "to be examined again by the date that its examination of " + day(e.Date) + " names"
		if err != nil {
			if e.Number == "" {
				continue // a draft without a date says nothing
			}
			if in.rules.ExamineEvery <= 0 {
				return nil
			}
			on = electronics.AddMonths(Day(e.Date), in.rules.ExamineEvery)
			text = fmt.Sprintf("examined %s (%s), to be examined again after %s", day(e.Date), e.Number, after(in.rules.ExamineEvery))
		}
		if i > 0 && in.exams[0].Number == "" {
			text += "; one begun on " + day(in.exams[0].Date) + " is not issued yet"
		}
		return []Due{in.of(e, Examine, on, text)}
	}
	return nil
}

func (in instrument) countersignature() []Due {
	for _, e := range in.exams {
		if e.Number == "" || (e.Purpose != record.BeforeListing && e.Purpose != record.BeforeDispatch) {
			continue
		}
		if e.Countersigned {
			return nil
		}
		at := e.IssuedAt
		if at.IsZero() {
			at = e.Date
		}
		text := fmt.Sprintf("%s, issued %s %s, is not countersigned by a buyer yet", e.Number, day(at), e.Purpose)
		d := in.of(e, Countersign, Day(at).AddDate(0, 0, CountersignDays), text)
		d.waits = e.Purpose == record.BeforeListing
		return []Due{d}
	}
	return nil
}

func day(t time.Time) string { return t.Format(time.DateOnly) }

// Soonest is what is due first of each instrument, by its ID, from a sorted
// list.
func Soonest(list []Due) map[string]Due {
	out := make(map[string]Due, len(list))
	for _, d := range list {
		if _, ok := out[d.Instrument]; !ok {
			out[d.Instrument] = d
		}
	}
	return out
}
