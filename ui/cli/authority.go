package cli

import (
	"errors"
	"flag"
	"fmt"

	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// authorities are the flags that say which authorities are asked for a report;
// the bench's settings say it otherwise.
type authorities struct {
	stamp    *string
	longTerm *bool
}

// noAuthority is the word that asks none where the bench names one.
const noAuthority = "none"

func (c *call) authorityFlags() authorities {
	return authorities{
		stamp:    c.flags.String("timestamp", "", "`address` of a time-stamp authority (RFC 3161) that vouches for the time, or none; the bench's otherwise, see settings"),
		longTerm: c.flags.Bool("long-term", false, "embed what the authority of the signing certificate publishes on revoked certificates; the bench's settings say so otherwise"),
	}
}

// options are what the command line says, else the bench.
func (a authorities) options(c *call, b *bench.Bench) (pdfout.IssueOptions, error) {
	set := b.Settings()
	o := pdfout.IssueOptions{Now: c.Now(), TimestampURL: set.Timestamp, LongTerm: set.LongTerm}
	var err error
	c.flags.Visit(func(f *flag.Flag) {
		switch f.Name {
		case "timestamp":
			if o.TimestampURL = *a.stamp; o.TimestampURL == noAuthority {
				o.TimestampURL = ""
			}
			err = bench.CheckAuthority(o.TimestampURL)
		case "long-term":
			o.LongTerm = *a.longTerm
		}
	})
	return o, err
}

// advise says what to do when an authority did not answer.
func (a authorities) advise(err error) error {
	switch {
	case errors.Is(err, sign.ErrTimestamp):
		return fmt.Errorf("%w; nothing was issued. Try again, or issue it without --timestamp (--timestamp none where the bench names an authority) and have it stamped later with 'wornwood extend'", err)
	case errors.Is(err, sign.ErrRevocation):
		return fmt.Errorf("%w; nothing was issued. Try again, or issue it with --long-term=false and have the statements added later with 'wornwood extend'", err)
	}
	return err
}

// sayRevocation tells whether statements on revoked certificates were embedded,
// where that was wanted.
func sayRevocation(c *call, is *pdfout.Issued) {
	switch {
	case is.Revocation:
		c.print("the authorities' statements on revoked certificates are embedded\n")
	case is.RevocationWhy != "":
		c.print("nothing on revoked certificates: %s\n", is.RevocationWhy)
	}
}
