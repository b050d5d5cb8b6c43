package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime/debug"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

var issueVerb = &verb{name: "issue", args: "BENCH [--exam ID] [options]",
	short: "grade an examination, sign its report, and freeze it", run: runIssue}

func runIssue(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print number, path and hashes as JSON")
	authority := c.flags.String("timestamp", "", "`address` of a time-stamp authority (RFC 3161) that vouches for the time; none is asked otherwise")
	sec := c.secretFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, ex *bench.Exam, s *annotate.Session) error {
		sc := s.Scene()
		if sc.Issued != nil {
			return fmt.Errorf("this examination was issued as %s already; begin a new one to say more", sc.Issued.Number)
		}
		if sc.GradeError != nil {
			return sc.GradeError
		}
		id, err := c.identity(b, sc.Record, sec)
		if err != nil {
			return err
		}
		// One report is made and the process ends: collecting garbage sooner
		// costs a few milliseconds and halves what issuing holds at its peak.
		debug.SetGCPercent(25)
		issued, err := pdfout.Issue(ctx, b, ex, id, pdfout.IssueOptions{Now: c.Now(), TimestampURL: *authority}, nil)
		if errors.Is(err, sign.ErrTimestamp) {
			return fmt.Errorf("%w; nothing was issued. Try again, or issue it without --timestamp and have it stamped later with 'wornwood extend'", err)
		}
		if err != nil {
			return err
		}
		path := issued.Path
		if abs, err := filepath.Abs(path); err == nil {
			path = abs
		}
		if *asJSON {
			return c.printJSON(map[string]any{"number": issued.Number, "path": path, "sha256": issued.SHA256,
				"recordHash": issued.RecordHash, "key": issued.Key, "grade": sc.Grade})
		}
		printAnswers(c, sc.Grade)
		c.print("issued as %s, signed with key %s\n%s\n", issued.Number, id.Fingerprint().Short(), path)
		return nil
	})
}
