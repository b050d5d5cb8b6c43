package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime/debug"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/catalogue"
)

var issueVerb = &verb{name: "issue", args: "BENCH [--exam ID] [options]",
	short: "grade an examination, sign its report, and freeze it", run: runIssue}

func runIssue(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print number, path and hashes as JSON")
	originals := c.flags.Bool("with-originals", false, "put the original photos inside too, with all that the camera wrote into them")
	language := c.flags.String("language", "", "language of the report, `"+strings.Join(catalogue.Languages(), " or ")+"`; the bench's setting otherwise")
	ask := c.authorityFlags()
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
		opt, err := ask.options(c, b)
		if err != nil {
			return err
		}
		opt.Language = *language
		if opt.WithOriginals = *originals; *originals {
			if err := c.warnOfOriginals(ctx, b, sc.Record); err != nil {
				return err
			}
		}
		id, err := c.identity(ctx, b, sc.Record, sec)
		if err != nil {
			return err
		}
		// One report is made and the process ends: collecting garbage sooner
		// costs a few milliseconds and halves what issuing holds at its peak.
		debug.SetGCPercent(12)
		issued, err := pdfout.Issue(ctx, b, ex, id, opt, nil)
		if err != nil {
			return ask.advise(err)
		}
		path := issued.Path
		if abs, err := filepath.Abs(path); err == nil {
			path = abs
		}
		if *asJSON {
			return c.printJSON(map[string]any{"number": issued.Number, "path": path, "sha256": issued.SHA256,
				"recordHash": issued.RecordHash, "key": issued.Key, "revocation": issued.Revocation, "grade": sc.Grade})
		}
		printAnswers(c, sc.Grade)
		c.print("issued as %s, signed with key %s\n%s\n", issued.Number, id.Fingerprint().Short(), path)
		sayRevocation(c, issued)
		return nil
	})
}

// warnOfOriginals says before anything is signed what goes out with the
// originals.
func (c *call) warnOfOriginals(ctx context.Context, b *bench.Bench, r *record.Record) error {
	list, err := pdfout.OriginalsTell(ctx, b, r)
	if err != nil {
		return err
	}
	for _, s := range pdfout.TellingWords(len(r.Photos), list) {
		c.say("%s", s)
	}
	return nil
}
