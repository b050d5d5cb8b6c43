package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/sign"
)

func runArchiveRemove(ctx context.Context, c *call) error {
	rule := c.flags.String("rule", "", "the `rule` under which it goes, or the law or order that asks for it")
	reason := c.flags.String("reason", "", "why; it stays in the log")
	who := c.flags.String("by", "", "`name` of who decides it; the first key's otherwise")
	finish := c.flags.Bool("finish", false, "only delete what is still there of a report that the log says to be removed")
	list := c.flags.Bool("list", false, "instead, list what was removed, when, by whom and why")
	asJSON := c.flags.Bool("json", false, "print as JSON")
	key := c.signingFlags("the tombstone")
	second := signing{c.flags.String("second-key", "", "PKCS#12 `file` with the key of a second person who signs it"), secret{
		file: c.flags.String("second-passphrase-file", "", "read the second key's passphrase from the first line of a `file`"),
		fd:   c.flags.Int("second-passphrase-fd", -1, "read the second key's passphrase from an open file descriptor `number`"),
		flag: "--second-passphrase", ask: "passphrase of the second signing key: ",
	}}
	if err := c.parse(1, 2); err != nil {
		return err
	}
	if *list {
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.printRemovals(a, *asJSON) })
	}
	if len(c.args) != 2 || *key.key == "" && !*finish {
		return &usageError{"usage: wornwood archive remove DIR SHA256 --rule RULE --reason TEXT --key FILE.p12, or --finish, or --list\n" + archive.RemovalCaution}
	}
	r := archive.Removal{Report: c.args[1], Rule: *rule, Reason: *reason, By: *who}
	for _, s := range []signing{key, second} {
		id, err := s.identity(c)
		if err != nil {
			return err
		}
		if id != nil {
			r.Signers = append(r.Signers, id)
		}
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		if *finish {
			if err := a.FinishRemoval(c.args[1]); err != nil {
				return err
			}
			c.print("nothing of the report is there any more\n")
			return nil
		}
		t, err := a.Remove(r)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(t)
		}
		c.print("removed %s, filed %s as line %d; the tombstone is line %d of the log\nhead %s\n%s\n", t.Report, t.Filed.Format("2006-01-02"), t.Line, a.Head().Seq, a.Head(), archive.RemovalCaution)
		return nil
	})
}

func (c *call) printRemovals(a *archive.Archive, asJSON bool) error {
	list, err := a.Removals()
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(list)
	}
	if len(list) == 0 {
		c.print("nothing was removed\n")
	}
	for _, r := range list {
		c.print("%s\n", onOneLine(fmt.Sprintf("%6d  %s  %s  by %s under %s: %s", r.Seq, r.Removed.Format("2006-01-02"), r.Report, r.By, r.Rule, r.Reason)))
		for _, s := range r.Signers {
			c.print("        signed by %s, key %s\n", onOneLine(s.Name), sign.Fingerprint(s.Fingerprint).Short())
		}
		if r.Why != "" {
			c.print("        a signature does not hold: %s\n", r.Why)
		}
		if r.Back {
			c.print("        filed again since\n")
		}
	}
	return nil
}

// printRemovedVersions tells of versions of a report that were removed.
func (c *call) printRemovedVersions(a *archive.Archive, first string) error {
	list, err := a.RemovedVersions(first)
	for _, r := range list {
		c.print("%s\n", onOneLine("removed: "+removedWords(r)))
	}
	return err
}

func removedWords(r archive.RemovedReport) string {
	return fmt.Sprintf("%s, as filed %s; removed %s under %s: %s", r.Report, r.Filed.Format("2006-01-02"), r.Removed.Format("2006-01-02"), r.Rule, r.Reason)
}

// sayRemoved tells of a report that is not there because it was removed.
func (c *call) sayRemoved(a *archive.Archive, hash string, missing error) error {
	if !errors.Is(missing, archive.ErrMissing) {
		return missing
	}
	list, err := a.Removals()
	if err != nil {
		return missing
	}
	for _, r := range list {
		if strings.HasPrefix(r.Report, strings.ToLower(strings.TrimSpace(hash))) {
			return fmt.Errorf("%w any more; %s", missing, removedWords(r))
		}
	}
	return missing
}
