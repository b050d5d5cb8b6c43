package index

import (
	"encoding/json"
	"fmt"
	"time"

	"wornwood/capture/record"
)

// Dated is what one examination says with a date in it: what is asked when it
// is listed what is due.
type Dated struct {
	Instrument, Exam string // IDs
	Title, Year      string
	Serial           string
	Date             time.Time
	Purpose          record.Purpose
	Number           string    // of the issued report, "" while there is none
	IssuedAt         time.Time // zero while there is none
	NextDue          string    // Examination.NextDue
	Components       int       // how many were listed; 0 says nothing of batteries
	Batteries        []Battery

	// Countersigned is set by the bench: whether its buyer answered, so that a
	// countersigned copy of the report or a receipt for it is kept.
	Countersigned bool
}

// Battery is a battery with its place in the instrument.
type Battery struct {
	Place string `json:"place,omitempty"`
	record.Battery
}

// DatedOf is what the index keeps of one examination for Dated.
func DatedOf(r *record.Record, issued *record.Issued) Dated {
	d := Dated{
		Instrument: r.Examination.Instrument, Exam: r.Examination.ID, Title: r.Instrument.Title(), Year: r.Instrument.Year, Serial: r.Instrument.Serial,
		Date: r.Examination.Date, Purpose: r.Examination.Purpose, NextDue: r.Examination.NextDue, Components: len(r.Components),
	}
	if issued != nil {
		d.Number, d.IssuedAt = issued.Number, issued.At
	}
	for _, c := range r.Components {
		if c.Kind == record.BatteryComponent && c.Battery != nil && c.State != record.Missing {
			d.Batteries = append(d.Batteries, Battery{Place: c.Place, Battery: *c.Battery})
		}
	}
	return d
}

// batteriesOf is the column of them: JSON, "" for none.
func batteriesOf(r *record.Record) (string, error) {
	list := DatedOf(r, nil).Batteries
	if list == nil {
		return "", nil
	}
	b, err := json.Marshal(list)
	return string(b), err
}

// Dated lists every examination that says something with a date in it or was
// issued, instrument by instrument, the latest first.
func (x *Index) Dated() ([]Dated, error) {
	rows, err := x.db.Query(`SELECT instrument, id, title, year, serial, date, purpose, issued, number, issuedAt, nextDue, components, batteries
		FROM examination WHERE issued OR nextDue <> '' OR components > 0 ORDER BY instrument, at DESC, n DESC`)
	if err != nil {
		return nil, fmt.Errorf("read index: %w", err)
	}
	defer rows.Close()
	var out []Dated
	for rows.Next() {
		var d Dated
		var date, purpose, issuedAt, batteries string
		var issued bool
		err := rows.Scan(&d.Instrument, &d.Exam, &d.Title, &d.Year, &d.Serial, &date, &purpose, &issued, &d.Number, &issuedAt, &d.NextDue, &d.Components, &batteries)
		if err == nil {
			d.Date, err = time.Parse(time.RFC3339Nano, date)
		}
		if err == nil && issuedAt != "" {
			d.IssuedAt, err = time.Parse(time.RFC3339, issuedAt)
		}
		if err == nil && batteries != "" {
			err = json.Unmarshal([]byte(batteries), &d.Batteries)
		}
		if err != nil {
			return nil, fmt.Errorf("read index: %w", err)
		}
		d.Purpose = record.Purpose(purpose)
		if !issued {
			d.Number = ""
		}
		out = append(out, d)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read index: %w", err)
	}
	return out, nil
}

// Keep keeps a short text with an examination as long as it stays in the state
// that the stamp names: Row.Answers has it until the examination changes. A text
// for another state is let go, since it says nothing of this one.
func (x *Index) Keep(id string, at Stamp, text string) error {
	if _, err := x.db.Exec(`UPDATE examination SET answers = ? WHERE id = ? AND size = ? AND changed = ?`, text, id, at.Size, at.Changed); err != nil {
		return fmt.Errorf("change index: %w", err)
	}
	return nil
}
