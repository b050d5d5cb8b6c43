package view

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/annotate/due"
	"wornwood/capture/bench"
	"wornwood/capture/blob"
)

// ListDue lists what is due on a bench on a day, by the bench's own rules.
func ListDue(b *bench.Bench, today time.Time) ([]due.Due, error) {
	exams, err := b.Dated()
	if err != nil {
		return nil, fmt.Errorf("list what is due: %w", err)
	}
	return due.List(exams, today, due.Rules{ExamineEvery: b.Settings().ExamineEvery}), nil
}

// DueRow is one thing due as the list shows it.
type DueRow struct {
	due.Due
	When string // "2027-01-10"
	Late string // "overdue" or ""
	Job  string // "Battery change"
	Name string // the instrument with its serial
}

// DueRows lists what is due, overdue things first and then by day; with words
// in Query, that of the instruments they are found on.
func (v *Bench) DueRows() ([]DueRow, error) {
	found := map[string]bool{}
	if v.Query != "" {
		rows, err := v.b.Search(v.Query)
		if err != nil {
			return nil, fmt.Errorf("list what is due: %w", err)
		}
		for _, r := range rows {
			found[r.Instrument] = true
		}
	}
	out := make([]DueRow, 0, len(v.due))
	for _, d := range v.due {
		if v.Query != "" && !found[d.Instrument] {
			continue
		}
		r := DueRow{Due: d, When: d.On.Format(time.DateOnly), Job: Capital(string(d.What)), Name: d.Title}
		if d.Overdue {
			r.Late = "overdue"
		}
		if d.Serial != "" {
			r.Name += ", No. " + d.Serial
		}
		out = append(out, r)
	}
	return out, nil
}

// DueCount is how much is due in all, and how much of it is overdue.
func (v *Bench) DueCount() (all, overdue int) {
	for _, d := range v.due {
		if d.Overdue {
			overdue++
		}
	}
	return len(v.due), overdue
}

// SaveCalendar writes everything that is due as a calendar to a file; see
// SaveCalendar below.
func (v *Bench) SaveCalendar(file string) error {
	return SaveCalendar(file, v.due, v.now(), v.b.Settings().Shop)
}

// SaveCalendar writes what is due as iCalendar to a file. A calendar that is
// there is replaced, so that a subscribed file stays the same one; any other
// file is not.
func SaveCalendar(file string, list []due.Due, stamp time.Time, shop string) error {
	name := filepath.Base(file)
	if ext := strings.ToLower(filepath.Ext(file)); ext != ".ics" {
		return fmt.Errorf("save calendar: give %s a name that ends with .ics", name)
	}
	old, err := isCalendar(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return fmt.Errorf("save calendar: %w", err)
	case !old:
		return fmt.Errorf("save calendar: %s is there and is no calendar; give another name", name)
	}
	err = blob.WriteFile(file, 0o644, func(w io.Writer) error {
		b := bufio.NewWriter(w)
		if err := due.Calendar(b, list, stamp, shop); err != nil {
			return err
		}
		return b.Flush()
	})
	if err != nil {
		return fmt.Errorf("save calendar: %w", err)
	}
	return nil
}

func isCalendar(file string) (bool, error) {
	st, err := os.Lstat(file)
	if err != nil || !st.Mode().IsRegular() {
		return false, err
	}
	f, err := os.Open(file)
	if err != nil {
		return false, err
	}
	defer f.Close()
	const begin = "BEGIN:VCALENDAR"
	head := make([]byte, len(begin))
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false, err
	}
	return bytes.Equal(head[:n], []byte(begin)), nil
}
