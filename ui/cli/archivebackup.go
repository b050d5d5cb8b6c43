package cli

import (
	"context"
	"fmt"
	"time"

	"wornwood/pdfout/archive"
)

func runArchiveBackup(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print what was copied as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	told := time.Now()
	r, err := archive.Backup(ctx, c.args[0], c.args[1], archive.BackupOptions{Now: c.Now, Progress: func(line, lines int64, files int, bytes int64) {
		if time.Since(told) > 2*time.Second {
			told = time.Now()
			fmt.Fprintf(c.Stderr, "copying: line %d of %d, %d files, %.1f MB\n", line, lines, files, float64(bytes)/1e6)
		}
	}})
	if err != nil {
		return err
	}
	if *asJSON {
		err = c.printJSON(r)
	} else {
		for _, f := range r.Findings {
			where := fmt.Sprintf("line %d of the log", f.Line)
			if f.Ref != nil {
				where = fmt.Sprintf("%s %s", f.Ref.Area, f.Ref.Hash)
			}
			c.print("%s  %s: %s\n       to do: %s\n", f.Severity, where, onOneLine(f.Text), f.Do)
		}
		c.print("%d files copied, %.1f MB", r.Files, float64(r.Bytes)/1e6)
		if r.Filled > 0 {
			c.print(", %d of them missed by an earlier copy", r.Filled)
		}
		c.print("; %d lines of the log, %d readings", r.Lines, r.Readings)
		if r.Removed > 0 {
			c.print("; %d removed reports taken out of the copy", r.Removed)
		}
		c.print("; %d files could not be copied\nhead of the copy %s\n", len(r.Findings), r.Head)
	}
	if err == nil && len(r.Findings) > 0 {
		err = errAnswerNo
	}
	return err
}
