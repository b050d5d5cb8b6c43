package pdfout

import (
	"errors"
	"fmt"
	"io"
	"os"

	"wornwood/pdfout/sign"
)

// longTerm embeds what the authorities say on revoked certificates, where that
// is wanted. Where there is no such authority the report stays as it is, with
// the reason; one that does not answer is an error that wraps
// sign.ErrRevocation. A signer whose certificate was revoked issues nothing.
func (is *issuing) longTerm(signed *os.File) (*os.File, error) {
	if !is.opt.LongTerm {
		return signed, nil
	}
	if is.id.Publishes() && len(is.id.Chain) == 0 {
		return nil, fmt.Errorf("%w: the authority's own certificate did not come along with the key; ask for a key file with the whole chain", sign.ErrRevocation)
	}
	is.progress(is.steps+1, is.steps+2, "asking the authority about revoked certificates")
	size, err := signed.Seek(0, io.SeekCurrent)
	if err != nil {
		return nil, err
	}
	out, err := is.temp()
	if err != nil {
		return nil, err
	}
	err = sign.AddRevocation(is.ctx, signed, size, out, sign.LongTermOptions{Now: is.opt.Now, Client: is.opt.Client})
	if errors.Is(err, sign.ErrSelfMade) {
		is.why = sign.ErrSelfMade.Error()
		return signed, nil
	}
	if err != nil {
		return nil, err
	}
	return out, is.refuseRevoked(out)
}

// refuseRevoked reads the statements just embedded.
func (is *issuing) refuseRevoked(report *os.File) error {
	size, err := report.Seek(0, io.SeekCurrent)
	if err != nil {
		return err
	}
	at, err := sign.SignerRevoked(is.ctx, report, size)
	if err == nil && !at.IsZero() {
		err = fmt.Errorf("the authority revoked the certificate of the signing key on %s; ask it for another and bring that along", at.Format("2006-01-02"))
	}
	return err
}
