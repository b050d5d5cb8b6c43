package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// terminal tells whether somebody can type there.
func terminal(r io.Reader) bool {
	f, is := r.(*os.File)
	return is && term.IsTerminal(int(f.Fd()))
}

func runArchiveReadings(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print them as JSON Lines, one reading a line")
	of := c.flags.String("of", "", "only readings of this report: its `SHA-256` or the beginning of it")
	by := c.flags.String("by", "", "only those by this `name`")
	since := c.flags.String("since", "", "only those of this `day` (UTC) and later, 2026-11-14")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	q := archive.ReadingQuery{Who: *by}
	if *since != "" {
		t, err := time.Parse(time.DateOnly, *since)
		if err != nil {
			return &usageError{fmt.Sprintf("wornwood archive readings: %.40q is no day; write it as 2026-11-14", *since)}
		}
		q.Since = t
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		if *of != "" {
			var err error
			if q.Report, err = a.WholeHash(*of); err != nil {
				return err
			}
		}
		n := 0
		err := a.Readings(q, func(l archive.ReadingLine) error {
			n++
			if *asJSON {
				return json.NewEncoder(c.Stdout).Encode(l)
			}
			c.printReadingLine(l)
			return nil
		})
		var broken *archive.ReadingError
		if errors.As(err, &broken) {
			c.say("%v", err)
			return errAnswerNo
		}
		if err == nil && n == 0 && !*asJSON {
			c.print("nobody read anything that answers this\n")
		}
		return err
	})
}

func (c *call) printReadingLine(l archive.ReadingLine) {
	const most = 3
	line := fmt.Sprintf("%s  %-7s  %s", l.Time.Format("2006-01-02 15:04:05 MST"), l.What, l.Who)
	if l.From != "" {
		line += " from " + l.From
	}
	for i, h := range l.Reports {
		if i == most {
			line += fmt.Sprintf(" and %d more", len(l.Reports)-most)
			break
		}
		line += "  " + h[:min(16, len(h))]
	}
	c.print("%s\n", onOneLine(line))
}

// reads writes down that whoever runs the program reads reports, where readings
// of the archive are kept. Where it cannot be written down, nothing is shown.
func (c *call) reads(a *archive.Archive, what string, hashes ...string) error {
	return people.Reads(a, c.args[0], what, hashes...)
}

// lookedAt are the reports that a history tells of.
func lookedAt(h *archive.History) []string {
	var out []string
	for _, l := range h.Looks {
		out = append(out, l.Report.Hash)
	}
	return out
}
