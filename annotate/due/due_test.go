package due

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/index"
	"wornwood/capture/record"
)

// at is a moment of a day in a zone east of UTC, where it is still the day
// before in UTC.
func at(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return t.Add(30 * time.Minute).In(time.FixedZone("", 0)).Add(-time.Hour).In(time.FixedZone("", 3600)).Add(time.Hour)
}

func exam(instrument, date string, change ...func(*bench.Dated)) bench.Dated {
	d := bench.Dated{Instrument: instrument, Exam: instrument + date, Title: "Larkfoot " + instrument, Year: "1974", Serial: "41873", Date: at(date), Purpose: record.Intake}
	for _, c := range change {
		c(&d)
	}
	return d
}

func issuedAs(number string, p record.Purpose) func(*bench.Dated) {
	return func(d *bench.Dated) { d.Number, d.IssuedAt, d.Purpose = number, d.Date, p }
}

func battery(place string, b record.Battery) func(*bench.Dated) {
	return func(d *bench.Dated) {
		d.Components++
		d.Batteries = append(d.Batteries, index.Battery{Place: place, Battery: b})
	}
}

func nextDue(on string) func(*bench.Dated) { return func(d *bench.Dated) { d.NextDue = on } }
func noBattery(d *bench.Dated)             { d.Components++ }
func countersigned(d *bench.Dated)         { d.Countersigned = true }

func lines(list []Due) string {
	var s []string
	for _, d := range list {
		l := fmt.Sprintf("%s %s %s", d.On.Format(time.DateOnly), d.Instrument, d.What)
		if d.Overdue {
			l += " OVERDUE"
		}
		s = append(s, l)
	}
	return strings.Join(s, "\n")
}

func TestList(t *testing.T) {
	yearly := record.Battery{Type: "9 V block", Fitted: "2026-01-31", Every: 13}
	for name, x := range map[string]struct {
		exams []bench.Dated
		every int
		want  string
	}{
		"nothing":                                               {nil, 12, ""},
		"battery by months, the month shorter":                  {[]bench.Dated{exam("a", "2026-03-01", battery("preamplifier", yearly))}, 0, "2027-02-28 a battery change"},
		"battery by its printed month":                          {[]bench.Dated{exam("a", "2026-03-01", battery("", record.Battery{Fitted: "2026-01-31", Every: 13, Expires: "2026-10"}))}, 0, "2026-10-31 a battery change OVERDUE"},
		"due today is not overdue":                              {[]bench.Dated{exam("a", "2026-03-01", battery("", record.Battery{Expires: "2026-11-14"}))}, 0, "2026-11-14 a battery change"},
		"due yesterday":                                         {[]bench.Dated{exam("a", "2026-03-01", battery("", record.Battery{Expires: "2026-11-13"}))}, 0, "2026-11-13 a battery change OVERDUE"},
		"battery without a date":                                {[]bench.Dated{exam("a", "2026-03-01", battery("", record.Battery{Type: "AA"}))}, 0, ""},
		"battery that a later examination no longer lists":      {[]bench.Dated{exam("a", "2026-06-01", noBattery), exam("a", "2026-03-01", battery("", yearly))}, 0, ""},
		"battery of the last examination that lists components": {[]bench.Dated{exam("a", "2026-06-01"), exam("a", "2026-03-01", battery("", yearly))}, 0, "2027-02-28 a battery change"},
		"examination by its own date":                           {[]bench.Dated{exam("a", "2026-03-01", nextDue("2026-09-01"))}, 12, "2026-09-01 a examination OVERDUE"},
		"examination by the rule":                               {[]bench.Dated{exam("a", "2026-03-01", issuedAs("CR-2026-0001", record.Periodic))}, 12, "2027-03-01 a examination"},
		"no rule":                                               {[]bench.Dated{exam("a", "2026-03-01", issuedAs("CR-2026-0001", record.Periodic))}, 0, ""},
		"a draft follows no rule":                               {[]bench.Dated{exam("a", "2026-03-01")}, 12, ""},
		"a report since, without a date, ends the older date":   {[]bench.Dated{exam("a", "2026-06-01", issuedAs("CR-2026-0002", record.Periodic)), exam("a", "2026-03-01", nextDue("2026-09-01"))}, 0, ""},
		"a draft since does not":                                {[]bench.Dated{exam("a", "2026-06-01"), exam("a", "2026-03-01", nextDue("2026-09-01"), issuedAs("CR-2026-0002", record.Periodic))}, 12, "2026-09-01 a examination OVERDUE"},
		"an own date goes before the rule":                      {[]bench.Dated{exam("a", "2026-03-01", nextDue("2029-09-01"), issuedAs("CR-2026-0002", record.Periodic))}, 12, "2029-09-01 a examination"},
		"a date that is none":                                   {[]bench.Dated{exam("a", "2026-03-01", nextDue("soon"))}, 12, ""},
		"dispatched":                                            {[]bench.Dated{exam("a", "2026-11-01", issuedAs("CR-2026-0001", record.BeforeDispatch))}, 0, "2026-12-01 a countersignature"},
		"dispatched long ago":                                   {[]bench.Dated{exam("a", "2026-10-01", issuedAs("CR-2026-0001", record.BeforeDispatch))}, 0, "2026-10-31 a countersignature OVERDUE"},
		"listed long ago":                                       {[]bench.Dated{exam("a", "2026-03-01", issuedAs("CR-2026-0001", record.BeforeListing))}, 0, "2026-03-31 a countersignature"},
		"countersigned":                                         {[]bench.Dated{exam("a", "2026-11-01", issuedAs("CR-2026-0001", record.BeforeDispatch), countersigned)}, 0, ""},
		"listed, then dispatched and countersigned":             {[]bench.Dated{exam("a", "2026-11-01", issuedAs("CR-2026-0002", record.BeforeDispatch), countersigned), exam("a", "2026-03-01", issuedAs("CR-2026-0001", record.BeforeListing))}, 0, ""},
		"for another purpose":                                   {[]bench.Dated{exam("a", "2026-11-01", issuedAs("CR-2026-0001", record.AfterDamage))}, 0, ""},
		"a draft before dispatch":                               {[]bench.Dated{exam("a", "2026-11-01", func(d *bench.Dated) { d.Purpose = record.BeforeDispatch })}, 0, ""},
		"overdue first, then by day": {[]bench.Dated{
			exam("a", "2026-03-01", nextDue("2026-12-24"), issuedAs("CR-2026-0001", record.BeforeListing)),
			exam("b", "2026-03-01", nextDue("2026-11-01")), exam("c", "2026-03-01", nextDue("2026-10-01"), battery("", yearly))}, 0,
			"2026-10-01 c examination OVERDUE\n2026-11-01 b examination OVERDUE\n2026-03-31 a countersignature\n2026-12-24 a examination\n2027-02-28 c battery change"},
	} {
		t.Run(name, func(t *testing.T) {
			list := List(x.exams, at("2026-11-14"), Rules{ExamineEvery: x.every})
			if got := lines(list); got != x.want {
				t.Errorf("got\n%s\nwant\n%s", got, x.want)
			}
			for _, d := range list {
				if d.Title != "Larkfoot "+d.Instrument+", 1974" || d.Serial != "41873" || d.Text == "" || strings.HasSuffix(d.Text, ".") || d.Exam == "" {
					t.Errorf("%+v", d)
				}
			}
		})
	}
}

func TestTexts(t *testing.T) {
	list := List([]bench.Dated{
		exam("a", "2026-06-01"),
		exam("a", "2026-03-01", battery("preamplifier", record.Battery{Type: "AA", Number: 2, Fitted: "2026-01-10", Every: 12, Expires: "2027-03"}), issuedAs("CR-2026-0001", record.BeforeDispatch)),
	}, at("2026-11-14"), Rules{ExamineEvery: 1})
	want := []string{
		"CR-2026-0001, issued 2026-03-01 before dispatch, is not countersigned by a buyer yet",
		"examined 2026-03-01 (CR-2026-0001), to be examined again after a month; one begun on 2026-06-01 is not issued yet",
		"2 × AA, preamplifier: fitted 2026-01-10, changed every 12 months, printed date 2027-03",
	}
	for i, w := range want {
		if len(list) != len(want) || list[i].Text != w {
			t.Errorf("text %d of %d: %q", i, len(list), list[min(i, len(list)-1)].Text)
		}
	}
	if s := list[2].Summary(); s != "Battery change: Larkfoot a, 1974, No. 41873" {
		t.Error(s)
	}
	soonest := Soonest(list)
	if len(soonest) != 1 || soonest["a"].What != Countersign {
		t.Errorf("%+v", soonest)
	}
}

// The day is the reader's own: at half past midnight in Berlin it is not
// yesterday's.
func TestDay(t *testing.T) {
	berlin := time.Date(2026, 11, 14, 0, 30, 0, 0, time.FixedZone("", 3600))
	if d := Day(berlin); d.Format(time.RFC3339) != "2026-11-14T00:00:00Z" {
		t.Error(d)
	}
}
