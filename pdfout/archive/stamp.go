package archive

import (
	"context"
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"fmt"
	"net/http"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// maxStamp bounds a time-stamp token that goes into a line, in bytes: real ones
// have three to nine kilobytes.
const maxStamp = 32 << 10

// StampOptions say how the log's head is stamped.
type StampOptions struct {
	URL    string         // of a time-stamp authority (RFC 3161)
	Client *http.Client   // nil is one with a limit of time
	Signer *sign.Identity // signs the head as well; nil for nobody
	By     string         // who has it stamped; "" is nobody
}

// HeadStamp is a time-stamp over a head of the log.
type HeadStamp struct {
	Line int64        `json:"line"` // of the log, that keeps it
	Head TreeHead     `json:"head"`
	By   sign.Stamped `json:"stamp"`
}

// Stamp has an authority vouch for the time of the log's head, and keeps the
// token as a line of the log. Errors of the authority wrap sign.ErrTimestamp; then
// nothing is written.
func (a *Archive) Stamp(ctx context.Context, opt StampOptions) (*HeadStamp, error) {
	if a.readOnly {
		return nil, errors.New("stamp log: the archive is open for reading only")
	}
	if a.Head().Seq == 0 {
		return nil, errors.New("stamp log: it has no line yet")
	}
	head, err := a.TreeHead()
	if err != nil {
		return nil, fmt.Errorf("stamp log: %w", err)
	}
	content, err := head.Bytes()
	if err != nil {
		return nil, fmt.Errorf("stamp log: %w", err)
	}
	body := stampedBody{Head: head, URL: clean(opt.URL, 500)}
	digest := sha256.Sum256(content)
	if body.Token, err = sign.Stamp(ctx, opt.Client, opt.URL, digest[:]); err != nil {
		return nil, fmt.Errorf("stamp log: %w", err)
	}
	by, err := sign.CheckStamp(body.Token, content, nil)
	if err == nil && len(body.Token) > maxStamp {
		err = fmt.Errorf("the token has %d KiB, more than %d", len(body.Token)>>10, maxStamp>>10)
	}
	if err != nil {
		return nil, fmt.Errorf("stamp log: %w: %w", sign.ErrTimestamp, err)
	}
	if opt.Signer != nil {
		if body.Signature, err = sign.SignContent(opt.Signer, content); err != nil {
			return nil, fmt.Errorf("stamp log: %w", err)
		}
	}
	raw, err := pdfout.Canonical(body)
	if err != nil {
		return nil, fmt.Errorf("stamp log: %w", err)
	}
	e := Entry{Kind: Stamped, By: clean(opt.By, maxReason), Body: raw,
		Summary: fmt.Sprintf("head %d stamped %s by %s", head.Size, by.Time.UTC().Format(time.RFC3339), clean(by.Authority, 80))}
	if err := a.Note(e); err != nil {
		return nil, err
	}
	return &HeadStamp{a.Head().Seq, head, by}, nil
}

// Stamps are the time-stamps over the log's heads, the oldest first, judged by
// the authorities that are trusted. One that does not hold is left out; Check
// reports it.
func (a *Archive) Stamps(roots *x509.CertPool) ([]HeadStamp, error) {
	notes, err := a.Notes(Stamped)
	if err != nil {
		return nil, err
	}
	out := []HeadStamp{}
	for _, e := range notes {
		b := bodyOf[stampedBody](e)
		if by, err := b.check(roots); err == nil {
			out = append(out, HeadStamp{e.Seq, b.Head, by})
		}
	}
	return out, nil
}

// check judges the token and, where there is one, the signature.
func (b stampedBody) check(roots *x509.CertPool) (sign.Stamped, error) {
	content, err := b.Head.Bytes()
	if err != nil {
		return sign.Stamped{}, err
	}
	if len(b.Signature) > 0 {
		if _, err := sign.CheckContent(b.Signature, content); err != nil {
			return sign.Stamped{}, fmt.Errorf("the signature: %w", err)
		}
	}
	return sign.CheckStamp(b.Token, content, roots)
}
