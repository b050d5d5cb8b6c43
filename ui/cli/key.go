package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

var keyVerb = &verb{name: "key", args: "BENCH [--make] [options]",
	short: "show the fingerprint of a bench's signing key, or make the key", run: runKey}

var knowVerb = &verb{name: "know", args: "FINGERPRINT NAME [--known FILE]",
	short: "list a key as known, after comparing its fingerprint by another channel", run: runKnow}

func runKey(_ context.Context, c *call) error {
	fresh := c.flags.Bool("make", false, "make the key if the bench has none")
	examiner := c.flags.String("examiner", "", "`name` for a new key; the bench's examiner otherwise")
	shop := c.flags.String("shop", "", "`name` for a new key; the bench's shop otherwise")
	sec := c.secretFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		if !*fresh {
			if !pdfout.HasKey(b) {
				return errors.New("this bench has no signing key yet; 'wornwood key BENCH --make' makes one")
			}
		}
		rec := &record.Record{Examination: record.Examination{Examiner: *examiner, Shop: *shop}}
		id, err := c.identity(b, rec, sec)
		if err != nil {
			return err
		}
		c.print("%s\n%s\n", pdfout.SignerOf(id).Name, id.Fingerprint().Long())
		return nil
	})
}

// identity loads the bench's key, or makes it on first use.
func (c *call) identity(b *bench.Bench, rec *record.Record, sec secret) (*sign.Identity, error) {
	fresh := !pdfout.HasKey(b)
	if fresh {
		fmt.Fprintln(c.Stderr, "this bench has no signing key yet; one is made now and kept encrypted under your passphrase")
	}
	pass, err := c.passphrase(sec, fresh)
	if err != nil {
		return nil, err
	}
	return pdfout.OpenIdentity(b, rec, pass, c.Now())
}

func runKnow(_ context.Context, c *call) error {
	list := c.flags.String("known", "", "`file` with the list of known keys; the user's own otherwise")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	path, err := c.knownPath(*list)
	if err != nil {
		return err
	}
	known, err := pdfout.LoadKnown(path)
	if err != nil {
		return err
	}
	fp, err := sign.ParseFingerprint(c.args[0])
	if err != nil {
		return err
	}
	if known, err = known.Add(fp, c.args[1]); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("keep the list of known keys: %w", err)
	}
	if err := known.Save(path); err != nil {
		return err
	}
	c.print("known as %q; reports signed with this key now say so\n", c.args[1])
	return nil
}

// knownPath is the list given, or the user's own.
func (c *call) knownPath(given string) (string, error) {
	if given != "" {
		return given, nil
	}
	return pdfout.KnownPath()
}

func (c *call) knownKeys(given string) (pdfout.KnownKeys, error) {
	path, err := c.knownPath(given)
	if err != nil {
		return nil, err
	}
	return pdfout.LoadKnown(path)
}
