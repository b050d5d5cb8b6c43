package archive

import (
	"crypto/x509"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"github.com/transparency-dev/merkle/proof"
	"github.com/transparency-dev/merkle/rfc6962"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// ProofTrust is what a proof is judged by; nothing of it is needed.
type ProofTrust struct {
	pdfout.VerifyOptions       // whose keys are known, whose stamps are trusted
	Noted                *Head // a head that was noted elsewhere, nil for none
	Earlier              *TreeHead
}

// ProofResult is what a proof shows.
type ProofResult struct {
	Holds  bool     `json:"holds"`
	Why    []string `json:"why,omitempty"` // where it does not
	Head   TreeHead `json:"head"`
	Signer string   `json:"signer,omitempty"` // fingerprint of the key that signed the head
	// SignerName is as known here, else as the certificate says; Known says which.
	SignerName string      `json:"signerName,omitempty"`
	Known      bool        `json:"signerKnown"`
	Lines      []ShownLine `json:"lines"`
	// Noted says that the noted head was given and is one that the proof goes through.
	Noted bool `json:"noted"`
}

// ShownLine is a line that stands in the log, and by when an authority says so.
type ShownLine struct {
	Entry
	Hash  string        `json:"lineHash"` // SHA-256 of the line
	Stamp *sign.Stamped `json:"stamp,omitempty"`
}

// Check judges the proof without the archive. What it shows, it shows of the log
// with that head: whether that is the log of the archive one means, only a head
// noted elsewhere, a signature or a time-stamp can say.
func (p *ProofFile) Check(by ProofTrust) *ProofResult {
	c := &proofCheck{p: p, out: &ProofResult{Head: p.Head, Lines: []ShownLine{}}}
	c.lines()
	c.stamps(by.TSARoots)
	for _, e := range p.Earlier {
		c.earlier(e)
	}
	c.signature(by)
	c.noted(by)
	c.out.Holds = len(c.out.Why) == 0
	return c.out
}

type proofCheck struct {
	p   *ProofFile
	out *ProofResult
}

func (c *proofCheck) say(format string, args ...any) {
	c.out.Why = append(c.out.Why, fmt.Sprintf(format, args...))
}

// included says whether a path leads from a line to a root.
func included(n int64, text string, path []string, h TreeHead) error {
	hashes, err := unhex(append([]string{h.Root}, path...))
	if err != nil || n < 1 {
		return fmt.Errorf("the path cannot be read")
	}
	return proof.VerifyInclusion(rfc6962.DefaultHasher, uint64(n-1), uint64(h.Size), rfc6962.DefaultHasher.HashLeaf([]byte(text)), hashes[1:], hashes[0])
}

// goesOn says whether a tree is the beginning of another.
func goesOn(size int64, root string, path []string, h TreeHead) error {
	hashes, err := unhex(append([]string{root, h.Root}, path...))
	if err != nil || size < 1 {
		return fmt.Errorf("the path cannot be read")
	}
	return proof.VerifyConsistency(rfc6962.DefaultHasher, uint64(size), uint64(h.Size), hashes[2:], hashes[0], hashes[1])
}

func unhex(list []string) ([][]byte, error) {
	out := make([][]byte, len(list))
	for i, s := range list {
		var err error
		if out[i], err = hex.DecodeString(s); err != nil || len(out[i]) != 32 {
			return nil, fmt.Errorf("%.70q is no SHA-256", s)
		}
	}
	return out, nil
}

func (c *proofCheck) lines() {
	for _, l := range c.p.Lines {
		var e Entry
		if err := json.Unmarshal([]byte(l.Text), &e); err != nil || e.Seq != l.Line {
			c.say("line %d cannot be read", l.Line)
			continue
		}
		if err := included(l.Line, l.Text, l.Path, c.p.Head); err != nil {
			c.say("line %d does not stand in the log with this head", l.Line)
			continue
		}
		hash := sum([]byte(l.Text))
		if l.Line == c.p.Head.Size && hash != c.p.Head.Hash {
			c.say("the head names another last line")
			continue
		}
		c.out.Lines = append(c.out.Lines, ShownLine{Entry: e, Hash: hash})
	}
}

// stamps judges the time-stamps and notes by when a line stood in the log.
func (c *proofCheck) stamps(roots *x509.CertPool) {
	texts := map[int64]string{}
	for _, l := range c.p.Lines {
		texts[l.Line] = l.Text
	}
	for _, s := range c.p.Stamps {
		head, err := s.Head.Bytes()
		var at sign.Stamped
		if err == nil {
			at, err = sign.CheckStamp(s.Token, head, roots)
		}
		switch {
		case err != nil:
			c.say("the time-stamp over %d lines does not hold: %s", s.Head.Size, sentence(err))
			continue
		case s.Head.Archive != c.p.Head.Archive || goesOn(s.Head.Size, s.Head.Root, s.Path, c.p.Head) != nil:
			c.say("the log does not go on from the %d lines that were stamped", s.Head.Size)
			continue
		}
		for _, l := range s.Lines {
			if included(l.Line, texts[l.Line], l.Path, s.Head) != nil {
				c.say("line %d does not stand in what was stamped over %d lines", l.Line, s.Head.Size)
				continue
			}
			for i := range c.out.Lines {
				if c.out.Lines[i].Seq == l.Line {
					c.out.Lines[i].Stamp = &at
				}
			}
		}
	}
}

func (c *proofCheck) earlier(e EarlierHead) {
	if goesOn(e.Size, e.Root, e.Path, c.p.Head) != nil {
		c.say("the log does not go on from its first %d lines as they were: lines were taken out or altered", e.Size)
	}
}

func (c *proofCheck) signature(by ProofTrust) {
	if len(c.p.Signature) == 0 {
		return
	}
	head, err := c.p.Head.Bytes()
	if err != nil {
		c.say("the head cannot be written")
		return
	}
	cert, err := sign.CheckContent(c.p.Signature, head)
	if err != nil {
		c.say("the signature of the head does not hold: %s", sentence(err))
		return
	}
	print := sign.FingerprintOf(cert)
	c.out.Signer, c.out.SignerName = string(print), clean(cert.Subject.CommonName, 80)
	if name, known := by.Known[print]; known {
		c.out.SignerName, c.out.Known = name, true
	} else if sign.LeadsTo(c.p.Signature, by.Roots, cert.NotBefore) {
		c.out.Known = true
	}
}

// noted compares with what the reader has kept.
func (c *proofCheck) noted(by ProofTrust) {
	if e := by.Earlier; e != nil {
		ok := e.Size == c.p.Head.Size && e.Root == c.p.Head.Root
		for _, h := range c.p.Earlier {
			ok = ok || h.Size == e.Size && h.Root == e.Root
		}
		if !ok || e.Archive != c.p.Head.Archive {
			c.say("the proof does not go on from the earlier head of %d lines", e.Size)
		}
	}
	if by.Noted == nil {
		return
	}
	c.out.Noted = *by.Noted == c.p.Head.Head()
	for _, s := range c.p.Stamps {
		c.out.Noted = c.out.Noted || *by.Noted == s.Head.Head()
	}
	for _, l := range c.out.Lines {
		c.out.Noted = c.out.Noted || *by.Noted == Head{l.Seq, l.Hash}
	}
	if !c.out.Noted {
		c.say("the noted head %d is not one of the proof's", by.Noted.Seq)
	}
}
