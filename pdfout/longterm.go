package pdfout

import (
	"crypto/x509"
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

// refuseRevoked reads the embedded statements as somebody would who trusts the
// signer's authority.
func (is *issuing) refuseRevoked(report *os.File) error {
	if len(is.id.Chain) == 0 {
		return nil // statements on the time-stamp's authority alone
	}
	size, err := report.Seek(0, io.SeekCurrent)
	if err != nil {
		return err
	}
	roots := x509.NewCertPool()
	roots.AddCert(is.id.Chain[len(is.id.Chain)-1])
	rep, err := sign.Verify(is.ctx, report, size, sign.VerifyOptions{Roots: roots, Now: is.opt.Now})
	if err != nil {
		return err
	}
	if rep.Has(sign.Revoked) {
		return errors.New("its authority says that the certificate of the signing key was revoked; ask the authority for another and bring it along")
	}
	return nil
}
