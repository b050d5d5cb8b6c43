package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"golang.org/x/term"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

var knowVerb = &verb{name: "know", args: "[FINGERPRINT | FILE.pem [NAME]] [--remove] [--known FILE]",
	short: "list a key as known, after comparing its fingerprint by another channel; show what a file holds; list the known keys, or take one off", run: runKnow}

func runKnow(_ context.Context, c *call) error {
	list := c.flags.String("known", "", "`file` with the list of known keys; the user's own otherwise")
	remove := c.flags.Bool("remove", false, "take the key off the list")
	asJSON := c.flags.Bool("json", false, "print the list as JSON")
	if err := c.parse(0, 2); err != nil {
		return err
	}
	path, err := c.knownPath(*list)
	if err != nil {
		return err
	}
	if len(c.args) == 0 {
		return c.listKnown(path, *asJSON)
	}
	fp, err := c.shownKey(c.args[0])
	if err != nil {
		return err
	}
	switch {
	case *remove:
		return c.unknow(path, fp)
	case len(c.args) == 1:
		return errAfterShowing(c)
	}
	if err := c.confirmCompared(); err != nil {
		return err
	}
	err = pdfout.ChangeKnown(path, func(k pdfout.KnownKeys) (pdfout.KnownKeys, error) { return k.Add(fp, c.args[1]) })
	if err != nil {
		return err
	}
	c.print("known as %q; reports signed with this key now say so\n", c.args[1])
	return nil
}

// errAfterShowing ends a command that named a key and nothing to do with it.
func errAfterShowing(c *call) error {
	if _, err := sign.ParseFingerprint(c.args[0]); err == nil {
		return &usageError{"say whose key it is: wornwood know FINGERPRINT NAME"}
	}
	c.print("nothing was listed; compare the fingerprint by another channel, then give a name behind the file\n")
	return nil
}

// shownKey is the key that an argument names. That of a file is shown first, in
// groups of four, because it is what has to be compared.
func (c *call) shownKey(arg string) (sign.Fingerprint, error) {
	if fp, err := sign.ParseFingerprint(arg); err == nil {
		return fp, nil
	}
	id, err := sign.LoadPublic(arg)
	if errors.Is(err, os.ErrNotExist) {
		return "", fmt.Errorf("%.80q is neither a fingerprint, which has 64 digits from 0 to 9 and a to f, nor a file with a certificate", arg)
	}
	if err != nil {
		return "", err
	}
	c.print("%s\n%s\n", pdfout.SignerOf(id).Name, id.Fingerprint().Long())
	return id.Fingerprint(), nil
}

// confirmCompared asks whoever sits at a terminal whether the fingerprint was
// compared; a script has decided that before.
func (c *call) confirmCompared() error {
	in, ok := c.Stdin.(*os.File)
	if _, err := sign.ParseFingerprint(c.args[0]); err == nil || !ok || !term.IsTerminal(int(in.Fd())) {
		return nil
	}
	fmt.Fprint(c.Stderr, "has its holder read this fingerprint to you by another channel? yes or no: ")
	// A line of a terminal comes whole with one read.
	buf := make([]byte, 64)
	n, err := in.Read(buf)
	if err != nil {
		return fmt.Errorf("read the answer: %w", err)
	}
	if !strings.EqualFold(strings.TrimSpace(string(buf[:n])), "yes") {
		c.print("nothing was listed\n")
		return errAnswerNo
	}
	return nil
}

func (c *call) unknow(path string, fp sign.Fingerprint) error {
	name := ""
	err := pdfout.ChangeKnown(path, func(k pdfout.KnownKeys) (pdfout.KnownKeys, error) {
		var ok bool
		if name, ok = k[fp]; !ok {
			return nil, fmt.Errorf("the key %s is not on the list of known keys", fp.Short())
		}
		return k.Without(fp), nil
	})
	if err == nil {
		c.print("%q is taken off; reports signed with this key no longer say who signed\n", name)
	}
	return err
}

func (c *call) listKnown(path string, asJSON bool) error {
	known, err := pdfout.LoadKnown(path)
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(known)
	}
	rows := known.Rows()
	for _, r := range rows {
		c.print("%s\n  %s\n", r.Name, r.Fingerprint.Long())
	}
	if len(rows) == 0 {
		c.print("no key is known yet\n")
	}
	return nil
}

// knownPath is the list given, or the user's own.
func (c *call) knownPath(given string) (string, error) {
	if given != "" {
		return given, nil
	}
	return pdfout.KnownPath()
}
