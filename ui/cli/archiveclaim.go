package cli

import (
	"context"
	"fmt"
	"io"
	"os"

	"wornwood/capture/blob"
	"wornwood/pdfout/archive"
)

func runArchiveClaim(ctx context.Context, c *call) error {
	before := c.flags.String("before", "", "the `day` of the loss, 2026-11-14; an examination on that very day counts as since")
	out := c.flags.String("out", "", "write the bundle to a new zip `file`")
	policy := c.flags.String("policy", "", "`number` of the policy that the claim is against; it is told whether it insured the instrument")
	reference := c.flags.String("reference", "", "the claim's own number or name, for the summary")
	asJSON := c.flags.Bool("json", false, "print what is in it as JSON")
	key := c.signingFlags("head and list of sums")
	trusts := c.trustFlags()
	c.protect()
	if err := c.parse(2, -1); err != nil {
		return err
	}
	if *before == "" || *out == "" {
		return &usageError{"usage: wornwood archive claim DIR SHA256|QUERY ... --before DAY --out FILE.zip [options]"}
	}
	if _, err := os.Lstat(*out); err == nil {
		return fmt.Errorf("%s is there already, and nothing is written over; name a new file", *out)
	}
	opt := archive.BundleOptions{Before: *before, Reference: *reference, Progress: func(done, total int, _ string) {
		if done%20 == 19 {
			fmt.Fprintf(c.Stderr, "bundling: step %d of %d\n", done+1, total)
		}
	}}
	var err error
	if opt.Trust, err = trusts.options(c); err != nil {
		return err
	}
	if opt.Signer, err = key.identity(c); err != nil {
		return err
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		inst, err := c.instrument(a, c.args[1:])
		if err != nil {
			return err
		}
		var hashes []string
		for _, r := range inst.Reports {
			hashes = append(hashes, r.Hash)
		}
		if *policy != "" {
			if opt.Claim, err = a.ClaimOf(*policy, hashes[0], *before); err != nil {
				return err
			}
		}
		if err := c.reads(a, archive.ReadBundle, hashes...); err != nil {
			return err
		}
		var b *archive.Bundled
		err = blob.WriteFile(*out, 0o644, func(w io.Writer) error {
			b, err = a.Bundle(ctx, w, hashes, opt)
			return err
		})
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(b)
		}
		c.printBundled(b, *out)
		return nil
	})
}

func (c *call) printBundled(b *archive.Bundled, path string) {
	c.print("%s\n", onOneLine(fmt.Sprintf("%s, serial %s, loss of %s", b.Title, orDash(b.Serial), b.Date)))
	if r := b.Before; r != nil {
		c.print("%s\n", onOneLine(fmt.Sprintf("before  %s  %s by %s", r.Date, orDash(r.Number), orDash(r.Examiner))))
	}
	for _, r := range b.Since {
		c.print("%s\n", onOneLine(fmt.Sprintf("since   %s  %s by %s", r.Date, orDash(r.Number), orDash(r.Examiner))))
	}
	for _, m := range b.Remarks {
		c.print("        %s\n", onOneLine(m))
	}
	c.print("%d reports in %s; summary.html is to be read first\nhead %s\n", b.Reports, path, b.Head.Head())
}
