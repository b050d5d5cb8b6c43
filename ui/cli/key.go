package cli

import (
	"context"
	"errors"
	"fmt"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/keyring"
	"wornwood/pdfout/sign"
)

var keyVerb = &verb{name: "key", args: "BENCH [--make | --import FILE.p12] [--export FILE.pem] [--qr FILE.png] [--remember | --forget] [options]",
	short: "show the fingerprint of a bench's signing key, make the key or bring one along, hand its public half on", run: runKey}

// keyFlags are what is to be done with a key.
type keyFlags struct {
	fresh, remember, forget, asJSON *bool
	bring, export, code             *string
	examiner, shop                  *string
	pass, filePass                  secret
	kept                            string // file name of the key that a new one replaced
}

func runKey(ctx context.Context, c *call) error {
	k := &keyFlags{
		fresh:    c.flags.Bool("make", false, "make the key if the bench has none"),
		bring:    c.flags.String("import", "", "take key and certificate from a PKCS#12 `file`, as an authority gives them; the key there was is kept"),
		export:   c.flags.String("export", "", "write the public half, an X.509 certificate in PEM, to a new `file`"),
		code:     c.flags.String("qr", "", "write name and fingerprint as a square code to a new PNG `file`"),
		remember: c.flags.Bool("remember", false, "give the passphrase to this desktop's key ring"),
		forget:   c.flags.Bool("forget", false, "take the passphrase out of this desktop's key ring"),
		examiner: c.flags.String("examiner", "", "`name` for a new key; the bench's examiner otherwise"),
		shop:     c.flags.String("shop", "", "`name` for a new key; the bench's shop otherwise"),
		asJSON:   c.flags.Bool("json", false, "print name, fingerprint and validity as JSON"),
		pass:     c.secretFlags(),
		filePass: secret{
			file: c.flags.String("import-passphrase-file", "", "read the passphrase of the file to import from the first line of a `file`"),
			fd:   c.flags.Int("import-passphrase-fd", -1, "read the passphrase of the file to import from an open file descriptor `number`"),
			flag: "--import-passphrase", ask: "passphrase of the file to import: ", empty: true,
		},
	}
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if *k.remember && *k.forget || *k.fresh && *k.bring != "" {
		return &usageError{"--remember and --forget, and --make and --import, exclude each other"}
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		if *k.forget {
			if err := keyring.Forget(ctx, b.ID()); err != nil {
				return err
			}
			c.print("the key ring has forgotten the passphrase\n")
			if !*k.fresh && *k.bring == "" && *k.export == "" && *k.code == "" {
				return nil
			}
		}
		id, err := k.identity(ctx, c, b)
		if err != nil {
			return err
		}
		return k.handOn(c, id)
	})
}

// identity is the bench's key: brought along, made, opened, or, where nothing
// more is wanted of it, its public half, which needs no passphrase.
func (k *keyFlags) identity(ctx context.Context, c *call, b *bench.Bench) (*sign.Identity, error) {
	has := pdfout.HasKey(b)
	switch {
	case *k.bring != "":
		return k.importKey(ctx, c, b)
	case !has && !*k.fresh:
		return nil, errors.New("this bench has no signing key yet; 'wornwood key BENCH --make' makes one, --import FILE.p12 brings one along")
	case has && !*k.remember && !k.pass.given():
		if id, err := pdfout.PublicIdentity(b); err == nil {
			return id, nil
		}
	}
	rec := &record.Record{Examination: record.Examination{Examiner: *k.examiner, Shop: *k.shop}}
	if !*k.remember {
		return c.identity(ctx, b, rec, k.pass)
	}
	// What is to be remembered is typed, and tried before it is kept.
	pass, err := c.passphrase(k.pass, !has)
	if err != nil {
		return nil, err
	}
	id, err := pdfout.OpenIdentity(b, rec, pass, c.Now())
	if err != nil {
		return nil, err
	}
	return id, c.remember(ctx, b, pass)
}

func (k *keyFlags) importKey(ctx context.Context, c *call, b *bench.Bench) (*sign.Identity, error) {
	filePass, err := c.passphrase(k.filePass, false)
	if err != nil {
		return nil, err
	}
	has := pdfout.HasKey(b)
	if !has {
		k.pass.ask = "a passphrase for the key on this bench: "
	}
	pass, _, err := c.benchPassphrase(ctx, b, k.pass, !has)
	if err != nil {
		return nil, err
	}
	did, err := pdfout.ImportKey(b, *k.bring, filePass, pass, c.Now())
	if err != nil {
		return nil, err
	}
	k.kept = did.Kept
	if *k.remember {
		err = c.remember(ctx, b, pass)
	}
	return did.Identity, err
}

func (c *call) remember(ctx context.Context, b *bench.Bench, pass string) error {
	if err := keyring.Keep(ctx, b.ID(), pass); err != nil {
		return err
	}
	fmt.Fprintln(c.Stderr, "the key ring has the passphrase; whoever uses this account can sign now")
	return nil
}

// handOn writes what was asked for and prints whose key it is.
func (k *keyFlags) handOn(c *call, id *sign.Identity) error {
	if *k.export != "" {
		if err := pdfout.SavePublic(*k.export, id); err != nil {
			return err
		}
	}
	if *k.code != "" {
		if err := pdfout.SaveKeyCode(*k.code, id); err != nil {
			return err
		}
	}
	cert := id.Certificate
	if *k.asJSON {
		return c.printJSON(map[string]any{"name": pdfout.SignerOf(id).Name, "fingerprint": id.Fingerprint(), "from": cert.NotBefore, "until": cert.NotAfter,
			"selfMade": id.SelfMade(), "remembered": *k.remember, "kept": k.kept})
	}
	c.print("%s\n%s\n", pdfout.SignerOf(id).Name, id.Fingerprint().Long())
	if k.kept != "" {
		c.print("the key there was is kept as keys/%s\n", k.kept)
	}
	if c.Now().After(cert.NotAfter) {
		c.print("its certificate has expired on %s: nothing can be signed with it\n", cert.NotAfter.Format("2006-01-02"))
	}
	return nil
}

// identity loads the bench's key, or makes it on first use.
func (c *call) identity(ctx context.Context, b *bench.Bench, rec *record.Record, sec secret) (*sign.Identity, error) {
	fresh := !pdfout.HasKey(b)
	if fresh {
		fmt.Fprintln(c.Stderr, "this bench has no signing key yet; one is made now and kept encrypted under your passphrase")
	}
	pass, ring, err := c.benchPassphrase(ctx, b, sec, fresh)
	if err != nil {
		return nil, err
	}
	id, err := pdfout.OpenIdentity(b, rec, pass, c.Now())
	if ring && errors.Is(err, sign.ErrPassphrase) {
		return nil, fmt.Errorf("the passphrase in the key ring is not the key's any more: %w; 'wornwood key BENCH --remember' takes the right one", err)
	}
	return id, err
}
