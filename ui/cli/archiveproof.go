package cli

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/sign"
)

// signing are the flags that name a key to sign with.
type signing struct {
	key  *string
	pass secret
}

func (c *call) signingFlags(what string) signing {
	return signing{c.flags.String("key", "", "PKCS#12 `file` with the key that signs "+what+", such as keys/examiner.p12 of a bench"), c.secretFlags()}
}

// identity opens the key; nil where none was named.
func (s signing) identity(c *call) (*sign.Identity, error) {
	if *s.key == "" {
		return nil, nil
	}
	pass, err := c.passphrase(s.pass, false)
	if err != nil {
		return nil, err
	}
	id, err := sign.LoadIdentity(*s.key, pass)
	if err == nil {
		err = id.Usable(c.Now())
	}
	return id, err
}

func runArchiveProve(ctx context.Context, c *call) error {
	since := c.flags.String("since", "", "prove as well that the log only went on from the head in this earlier proof `file`")
	out := c.flags.String("out", "", "write the proof to a new `file`; it is printed otherwise")
	key := c.signingFlags("the head")
	if err := c.parse(1, -1); err != nil {
		return err
	}
	ask := archive.ProofAsk{}
	if *since != "" {
		earlier, err := readProof(*since)
		if err != nil {
			return err
		}
		if earlier.Head.Size > 0 {
			ask.Earlier = []int64{earlier.Head.Size}
		}
	}
	id, err := key.identity(c)
	if err != nil {
		return err
	}
	ask.Signer = id
	return c.readArchive(ctx, func(a *archive.Archive) error {
		for _, h := range c.args[1:] {
			whole, err := a.WholeHash(h)
			if err != nil {
				return err
			}
			ask.Reports = append(ask.Reports, whole)
		}
		p, err := a.LineProof(ctx, ask)
		if err != nil {
			return err
		}
		if *out == "" {
			return c.printJSON(p)
		}
		b, err := json.Marshal(p)
		if err != nil {
			return err
		}
		if err := writeNew(*out, append(b, '\n')); err != nil {
			return err
		}
		c.print("%d lines of %d proven in %s\nhead %s\nroot %s\n", len(p.Lines), p.Head.Size, *out, p.Head.Head(), p.Head.Root)
		return nil
	})
}

func readProof(path string) (*archive.ProofFile, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read proof: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, 65<<20))
	if err != nil {
		return nil, fmt.Errorf("read proof: %w", err)
	}
	return archive.ParseProof(b)
}

func runArchiveVerifyProof(_ context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print what it shows as JSON")
	noted := c.flags.String("head", "", "a `head` that was noted elsewhere, NUMBER:HASH; the proof must go through it")
	since := c.flags.String("since", "", "an earlier proof `file`; the log must only have gone on from its head")
	report := c.flags.String("report", "", "a report's PDF `file`; one of the lines must have filed it")
	trusts := c.trustFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	p, err := readProof(c.args[0])
	if err != nil {
		return err
	}
	by := archive.ProofTrust{}
	if by.VerifyOptions, err = trusts.options(c); err != nil {
		return err
	}
	if *noted != "" {
		h, err := archive.ParseHead(*noted)
		if err != nil {
			return &usageError{"wornwood archive verify-proof: " + err.Error()}
		}
		by.Noted = &h
	}
	if *since != "" {
		earlier, err := readProof(*since)
		if err != nil {
			return err
		}
		by.Earlier = &earlier.Head
	}
	r := p.Check(by)
	if *report != "" {
		hash, err := hashOfFile(*report)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(r.Lines, func(l archive.ShownLine) bool { return l.File == hash && l.Kind == archive.Filed }) {
			r.Holds, r.Why = false, append(r.Why, "no line of the proof filed this report")
		}
	}
	if *asJSON {
		err = c.printJSON(r)
	} else {
		c.printProven(p, r)
	}
	if err == nil && !r.Holds {
		err = errAnswerNo
	}
	return err
}

func hashOfFile(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", fmt.Errorf("read report: %w", err)
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", fmt.Errorf("read report: %w", err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

func (c *call) printProven(p *archive.ProofFile, r *archive.ProofResult) {
	for _, l := range r.Lines {
		by := ""
		if s := l.Stamp; s != nil {
			by = fmt.Sprintf("; in the log by %s as %s says", s.Time.UTC().Format(time.RFC3339), s.Authority)
			if !s.Trusted {
				by += ", which is not trusted here"
			}
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("line %d  %s  %s  %s  %s%s", l.Seq, l.Time.UTC().Format(time.RFC3339), l.Kind, orDash(l.File), l.Summary, by)))
	}
	if !r.Holds {
		c.print("The proof does not hold: %s.\n", onOneLine(strings.Join(r.Why, "; ")))
		return
	}
	c.print("The proof holds: %d lines stand in the log of the archive %q with the head below.\n", len(r.Lines), onOneLine(p.Name))
	for _, e := range p.Earlier {
		c.print("Of its first %d lines none was taken out or altered since.\n", e.Size)
	}
	switch {
	case r.Signer == "":
		c.print("Nobody signed the head.\n")
	case r.Known:
		c.print("%s signed the head; the key is known here.\n", onOneLine(r.SignerName))
	default:
		c.print("The head is signed with a key that names itself %s and is not known here: %s\n", onOneLine(r.SignerName), sign.Fingerprint(r.Signer).Long())
	}
	if !r.Noted {
		c.print("Compare the head with one that you have from elsewhere (--head): a proof alone does not say of which archive it is.\n")
	}
	c.print("head %s\nroot %s\n", r.Head.Head(), r.Head.Root)
}

func runArchiveStamp(ctx context.Context, c *call) error {
	url := c.flags.String("tsa", "", "`address` of a time-stamp authority (RFC 3161)")
	who := c.flags.String("by", "", "`name` of who has it stamped")
	asJSON := c.flags.Bool("json", false, "print as JSON")
	key := c.signingFlags("the head as well")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if *url == "" {
		return &usageError{"usage: wornwood archive stamp DIR --tsa ADDRESS"}
	}
	id, err := key.identity(c)
	if err != nil {
		return err
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		s, err := a.Stamp(ctx, archive.StampOptions{URL: *url, Signer: id, By: *who})
		if errors.Is(err, sign.ErrTimestamp) {
			return fmt.Errorf("%w; nothing was written, try again", err)
		}
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(s)
		}
		c.print("%s vouches that the log's first %d lines were there at %s; kept as line %d\nhead %s\nroot %s\n",
			onOneLine(s.By.Authority), s.Head.Size, s.By.Time.UTC().Format(time.RFC3339), s.Line, s.Head.Head(), s.Head.Root)
		return nil
	})
}
