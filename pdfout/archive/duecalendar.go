package archive

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"time"

	"wornwood/annotate/due"
)

// Within are the things due up to so many days after the day of a time, overdue
// ones among them.
func Within(list []Due, at time.Time, days int) []Due {
	last := dayOf(at.AddDate(0, 0, days))
	out := []Due{}
	for _, d := range list {
		if d.On <= last {
			out = append(out, d)
		}
	}
	return out
}

// Events are the things due as those of a calendar. Each keeps its identity
// from one export to the next while its day and words change.
func (a *Archive) Events(list []Due) []due.Due {
	var out []due.Due
	for _, d := range list {
		on, err := time.Parse(time.DateOnly, d.On)
		if err != nil {
			continue // every day that Due gives is one
		}
		out = append(out, due.Due{Instrument: a.genesis + "\x00" + d.key, Title: d.Title, Serial: d.Serial, What: due.What(d.What), Place: d.place, On: on, Text: d.sentence()})
	}
	return out
}

// WriteCalendar writes what is due as an iCalendar, as annotate/due does for a
// bench: an all-day event each. stamp is the time of the export.
func (a *Archive) WriteCalendar(w io.Writer, list []Due, stamp time.Time) error {
	return due.Calendar(w, a.Events(list), stamp, a.Settings.Name)
}

// sentence is the text with whom it concerns.
func (d Due) sentence() string {
	s := d.Text
	if d.What != DueEnd {
		s += "; insured under " + strings.Join(d.Policies, ", ") + " of " + d.Holder
	}
	return s
}

// WriteDueCSV writes what is due as CSV for spreadsheets, with the care of
// WriteCSV.
func WriteDueCSV(w io.Writer, list []Due) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	rows := [][]string{{"what", "on", "overdue", "policies", "holder", "title", "serial", "report", "number", "text"}}
	for _, d := range list {
		late := "no"
		if d.Overdue {
			late = "yes"
		}
		rows = append(rows, []string{string(d.What), d.On, late, strings.Join(d.Policies, ", "), d.Holder, d.Title, d.Serial, d.Report, d.Number, d.Text})
	}
	for _, row := range rows {
		for i, s := range row {
			row[i] = harmless(s)
		}
		if err := c.Write(row); err != nil {
			return fmt.Errorf("export: %w", err)
		}
	}
	if c.Flush(); c.Error() != nil {
		return fmt.Errorf("export: %w", c.Error())
	}
	return nil
}
