package electronics

import (
	"fmt"
	"time"

	"wornwood/capture/record"
)

func (k *checker) battery(b record.Battery) {
	c := record.Component{}
	for _, o := range k.all {
		if o.ID == k.now {
			c = o
		}
	}
	if k.today.IsZero() {
		k.batteryVoltage(c, b)
		k.batteryHours(c, b)
		return // no day to judge dates by
	}
	today := time.Date(k.today.Year(), k.today.Month(), k.today.Day(), 0, 0, 0, 0, time.UTC)
	k.batteryDates(c, b, today)
	k.batteryVoltage(c, b)
	k.batteryHours(c, b)
}

// batteryHours says how long a fresh one lasts.
func (k *checker) batteryHours(c record.Component, b record.Battery) {
	if h, usual, ok := Hours(b); ok {
		by := "The entered capacity over the current"
		if usual {
			cell, _ := CellOf(b.Type)
			by = fmt.Sprintf("%s mAh, usual of this type (%s), over the current", figure(cell.Capacity), cell.Source)
		}
		sev := Note
		if h < 50 {
			sev = Look
		}
		k.add(sev, Name(c)+": a fresh one lasts about "+HoursWords(h), by+"; the plug in the jack often switches it on")
	}
}

// batteryDates looks at when it was fitted, when it is due and what is printed.
func (k *checker) batteryDates(c record.Component, b record.Battery, today time.Time) {
	fitted, err := time.Parse(time.DateOnly, b.Fitted)
	switch {
	case b.Fitted != "" && err != nil:
		k.add(Look, Name(c)+": "+b.Fitted+" is no date on which it was fitted", "Dates are written 2026-11-14, so that the next change can be reckoned")
	case err == nil && fitted.After(today):
		k.add(Look, Name(c)+": fitted on "+b.Fitted+", which is still to come", "One of the dates is a slip")
	}
	end, known := Expiry(b.Expires)
	switch {
	case b.Expires != "" && !known:
		k.add(Look, Name(c)+": "+b.Expires+" is no date printed on a battery", "It is written 2027-03 or 2027-03-15")
	case known && end.Before(today):
		k.add(Look, Name(c)+": past the date printed on it, "+b.Expires, "An old battery fails without warning and may leak; change it")
	}
	if b.Every > 0 && err == nil {
		due := AddMonths(fitted, b.Every)
		if due.Before(today) {
			k.add(Look, Name(c)+": its change was due on "+due.Format(time.DateOnly),
				fmt.Sprintf("It was fitted on %s and is changed every %s; players change it on a regular date, because it fails at the wrong time (common practice)", b.Fitted, count(b.Every, "month", "months")))
		}
	}
}

// batteryVoltage compares the voltage with what its type has fresh and empty.
func (k *checker) batteryVoltage(c record.Component, b record.Battery) {
	cell, known := CellOf(b.Type)
	v := b.Voltage
	if v == nil || !known {
		return
	}
	switch {
	case v.Value < cell.Low:
		k.add(Look, Name(c)+": "+figure(v.Value)+" V, under "+figure(cell.Low)+" V",
			"A "+cell.Name+" under "+figure(cell.Low)+" V is nearly empty, and preamplifiers distort first; change it")
	case v.Value > cell.Volts*1.2:
		k.add(Look, Name(c)+": "+figure(v.Value)+" V is more than a "+cell.Name+" gives",
			"The voltage is that of one, not of several in series; or the type is another")
	}
}

// HoursWords writes hours as an estimate deserves: "1570 hours", "55 hours".
func HoursWords(h float64) string {
	switch {
	case h >= 1000:
		return fmt.Sprintf("%.0f hours", roundTo(h, 10))
	case h >= 100:
		return fmt.Sprintf("%.0f hours", roundTo(h, 5))
	}
	return fmt.Sprintf("%.0f hours", h)
}
