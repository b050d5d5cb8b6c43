package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"wornwood/pdfout/archive"
)

func runArchiveHistory(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the whole history as JSON")
	photos := c.flags.String("photos", "", "also write the photos of each view into a `folder`, one below another by date")
	c.protect()
	if err := c.parse(2, -1); err != nil {
		return err
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		inst, err := c.instrument(a, c.args[1:])
		if err != nil {
			return err
		}
		h, err := a.History(inst)
		if err == nil {
			err = c.reads(a, archive.ReadHistory, lookedAt(h)...)
		}
		if err != nil {
			return err
		}
		if *photos != "" {
			if err := c.writePhotos(ctx, a, h, *photos); err != nil {
				return err
			}
		}
		if *asJSON {
			return c.printJSON(h)
		}
		c.printHistory(h)
		return nil
	})
}

// instrument finds the instrument that a report's hash or a query names. A query
// that answers with several instruments lists them.
func (c *call) instrument(a *archive.Archive, args []string) (archive.Instrument, error) {
	if word := args[0]; len(args) == 1 && len(word) >= 8 && strings.Trim(strings.ToLower(word), "0123456789abcdef") == "" {
		i, err := a.Instrument(word)
		if err == nil || !errors.Is(err, archive.ErrMissing) || len(word) == 64 {
			return i, err
		}
	}
	q, err := archive.ParseQuery(queryLine(args))
	if err != nil {
		return archive.Instrument{}, &usageError{fmt.Sprintf("wornwood %s: %v", c.verb.name, err)}
	}
	const most = 20
	list, next, err := a.Instruments(q, 0, most)
	switch {
	case err != nil:
		return archive.Instrument{}, err
	case len(list) == 0:
		c.print("nothing answers this\n")
		return archive.Instrument{}, errAnswerNo
	case len(list) == 1 && next == 0:
		return list[0], nil
	}
	c.print("several instruments answer this; name one by a report's SHA-256:\n")
	for _, i := range list {
		r := i.Reports[len(i.Reports)-1]
		c.print("%s\n", onOneLine(fmt.Sprintf("%s  %s, serial %s, %d reports, the last of %s", r.Hash[:16], i.Title(), orDash(r.Serial), len(i.Reports), r.Date)))
	}
	if next > 0 {
		c.print("and more\n")
	}
	return archive.Instrument{}, errAnswerNo
}

func (c *call) printHistory(h *archive.History) {
	c.print("%s\n", onOneLine(fmt.Sprintf("%s, serial %s: %d examinations", h.Title, orDash(h.Serial), len(h.Looks))))
	if h.More {
		c.print("there are more; these are the latest\n")
	}
	if h.MoreMarks {
		c.print("not all marks of its reports are followed\n")
	}
	for i := range h.Looks {
		l := &h.Looks[i]
		c.print("\n%s\n", onOneLine(fmt.Sprintf("%s  %s  %s, filed %s, key %s", l.Report.Hash[:16], l.Report.Date, l.By(), l.Report.Filed.Format("2006-01-02"), l.Report.Verdict)))
		if l.Trouble != "" {
			c.print("  its record cannot be read: %s\n", onOneLine(l.Trouble))
			continue
		}
		c.print("  index %s, originality %s, %s, %d marks\n", ranged(l.Index, l.Low, l.High), ranged(l.Originality, l.OriginalityLow, l.OriginalityHigh), l.Playing(), l.Marks)
		for _, ch := range l.Changes {
			c.print("  %s\n", onOneLine(ch.Text))
		}
	}
	c.printMarks(h)
	c.print("\nWho held it, as far as the reports say:\n")
	for _, x := range h.Held {
		c.print("  %s  %s\n", x.Date, onOneLine(strings.TrimSpace(x.Who+" "+x.How)))
	}
	if len(h.Contradictions) > 0 {
		c.print("\nWhat does not fit together:\n")
		for _, x := range h.Contradictions {
			c.print("  %s\n", onOneLine(x.Text))
		}
	}
	for i, d := range h.Decisions {
		if i == 0 {
			c.print("\nDecided by people:\n")
		}
		c.print("  %s\n", onOneLine(fmt.Sprintf("%s  %s by %s: %s", d.Time.Format("2006-01-02"), d.Kind, d.By, d.Why)))
	}
}

func (c *call) printMarks(h *archive.History) {
	if len(h.Marks) == 0 {
		return
	}
	c.print("\nMarks over time:\n")
	for _, m := range h.Marks {
		where := ""
		if m.Where != "" {
			where = ", " + m.Where
		}
		c.print("  %s\n", onOneLine(m.Title+where))
		for i, cell := range m.Cells {
			if cell.Fate == "" && !cell.Listed() {
				continue
			}
			what := string(cell.Fate)
			if what == "" {
				what = "listed"
			}
			line := h.Looks[i].Report.Date + "  " + what
			if cell.Listed() {
				line += fmt.Sprintf(", mark %d", cell.Number)
			}
			for _, s := range []string{cell.Size, cell.Words} {
				if s != "" {
					line += ", " + s
				}
			}
			c.print("    %s\n", onOneLine(line))
		}
	}
}

func ranged(v *float64, low, high float64) string {
	switch {
	case v == nil:
		return "–"
	case high-low < 0.05:
		return fmt.Sprintf("%.1f", *v)
	}
	return fmt.Sprintf("%.1f (%.1f to %.1f)", *v, low, high)
}

// writtenSize is the longer side of a written photo, pixels.
const writtenSize = 1600

// writePhotos writes the photos of each view, named so that a list by name sets
// the same view of one date below the other. Nothing is written over.
func (c *call) writePhotos(ctx context.Context, a *archive.Archive, h *archive.History, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("write photos: %w", err)
	}
	n, missing := 0, 0
	for i := range h.Looks {
		var ids []string
		names := map[string]string{}
		for _, v := range h.Views() {
			if id := v.Photos[i]; id != "" && names[id] == "" && len(ids) < 60 {
				ids = append(ids, id)
				names[id] = fmt.Sprintf("%s-%s-%s.jpg", plainName(v.View), h.Looks[i].Report.Date, h.Looks[i].Report.Hash[:8])
			}
		}
		found, err := a.Photos(ctx, h.Looks[i].Report.Hash, ids, writtenSize)
		if err != nil {
			return fmt.Errorf("write photos: %w", err)
		}
		for _, id := range ids {
			if found[id] == nil {
				missing++
				continue
			}
			if err := writeNew(filepath.Join(dir, names[id]), found[id]); err != nil {
				return fmt.Errorf("write photos: %w", err)
			}
			n++
		}
	}
	fmt.Fprintf(c.Stderr, "%d photos written to %s; %d are named by a view but not printed in the report\n", n, dir, missing)
	return nil
}

func writeNew(path string, data []byte) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already, and nothing is written over; give another folder", path)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// plainName is a view as part of a file's name.
func plainName(s string) string {
	r := []rune(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, s))
	return strings.Trim(string(r[:min(len(r), 40)]), "-")
}
