package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/asn1"
	"math/big"
	"slices"
	"time"

	"golang.org/x/crypto/ocsp"

	"wornwood/pdfout/pdf"
)

// Whether a certificate was revoked is said by its issuer, in answers to a
// single question (OCSP, RFC 6960) or in lists (CRL, RFC 5280). Both are signed
// by the issuer, so it does not matter who put them into the file or when.

// statements are what is embedded in a report for later checking.
type statements struct {
	ocsp  [][]byte
	crls  []*x509.RevocationList
	certs []*x509.Certificate
}

// Bounds of what is read from one file.
const (
	maxStatements     = 64
	maxStatementBytes = 16 << 20
)

// readStatements reads the document's security store (DSS, ISO 32000-2,
// 12.8.4.3). What cannot be read says nothing and is passed over; an error
// means that the file could not be read.
func readStatements(v pdf.View) (*statements, error) {
	s := &statements{}
	_, cat, err := v.Catalog()
	if err != nil {
		return nil, err
	}
	dss, err := v.Dict(cat["DSS"])
	if err != nil || dss == nil {
		return s, skipRefusal(err)
	}
	room := int64(maxStatementBytes)
	each := func(k pdf.Name, take func(der []byte)) error {
		list, err := v.Array(dss[k])
		if err != nil {
			return skipRefusal(err)
		}
		for _, o := range list[:min(len(list), maxStatements)] {
			o, err := v.Resolve(o)
			if err != nil {
				if err = skipRefusal(err); err != nil {
					return err
				}
				continue
			}
			st, ok := o.(*pdf.Stream)
			if !ok {
				continue
			}
			if der, err := st.Decode(room); err == nil {
				room -= int64(len(der))
				take(der)
			}
		}
		return nil
	}
	err = each("Certs", func(der []byte) {
		if c, err := x509.ParseCertificate(der); err == nil {
			s.certs = append(s.certs, c)
		}
	})
	if err == nil {
		err = each("OCSPs", func(der []byte) { s.ocsp = append(s.ocsp, der) })
	}
	if err == nil {
		err = each("CRLs", func(der []byte) {
			if l, err := x509.ParseRevocationList(der); err == nil {
				s.crls = append(s.crls, l)
			}
		})
	}
	return s, err
}

// skipRefusal lets pass what only says that something is badly formed.
func skipRefusal(err error) error {
	if err != nil && pdf.IsRefusal(err) {
		return nil
	}
	return err
}

// standing is what an issuer says of a certificate.
type standing struct {
	known   bool
	revoked bool
	when    time.Time // of the revocation, or of the statement that it is good
}

// about looks for the issuer's statement on a certificate that is worth
// something for the time at: one made then or later, or one whose time includes
// it. A revocation counts whenever it was said.
func (s *statements) about(cert, issuer *x509.Certificate, at time.Time) standing {
	var best standing
	note := func(st standing, from, until time.Time) {
		switch {
		case st.revoked:
			best = st
		case best.revoked, from.Before(at) && !until.After(at):
		case !best.known || from.After(best.when):
			best = standing{known: true, when: from}
		}
	}
	for _, der := range s.ocsp {
		r, err := ocsp.ParseResponseForCert(der, cert, issuer)
		if err != nil || !mayAnswer(r, issuer) {
			continue
		}
		switch r.Status {
		case ocsp.Revoked:
			note(standing{known: true, revoked: true, when: r.RevokedAt}, r.ThisUpdate, r.NextUpdate)
		case ocsp.Good:
			note(standing{known: true}, r.ThisUpdate, r.NextUpdate)
		}
	}
	for _, l := range s.crls {
		if !bytes.Equal(l.RawIssuer, issuer.RawSubject) || !plainList(l) || l.CheckSignatureFrom(issuer) != nil {
			continue
		}
		st := standing{known: true}
		if when, listed := listedIn(l, cert.SerialNumber); listed {
			st.revoked, st.when = true, when
		}
		note(st, l.ThisUpdate, l.NextUpdate)
	}
	return best
}

// mayAnswer: an answer is signed by the issuer, or by somebody whom the issuer
// certified for nothing but answering (RFC 6960, 4.2.2.2).
func mayAnswer(r *ocsp.Response, issuer *x509.Certificate) bool {
	c := r.Certificate
	if c == nil || bytes.Equal(c.Raw, issuer.Raw) {
		return true
	}
	return slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageOCSPSigning) && !r.ProducedAt.Before(c.NotBefore) && !r.ProducedAt.After(c.NotAfter)
}

var (
	oidDeltaCRL    = asn1.ObjectIdentifier{2, 5, 29, 27}
	oidIssuingDist = asn1.ObjectIdentifier{2, 5, 29, 28}
)

// plainList refuses lists that hold only a part of what is revoked: delta lists
// and those of one distribution point, and what carries anything critical that
// is not known here.
func plainList(l *x509.RevocationList) bool {
	for _, e := range l.Extensions {
		if e.Critical || e.Id.Equal(oidDeltaCRL) || e.Id.Equal(oidIssuingDist) {
			return false
		}
	}
	return true
}

func listedIn(l *x509.RevocationList, serial *big.Int) (time.Time, bool) {
	for _, e := range l.RevokedCertificateEntries {
		if e.SerialNumber.Cmp(serial) == 0 {
			return e.RevocationTime, true
		}
	}
	return time.Time{}, false
}

// checkRevocation says of a signer whose certificate comes from a trusted
// authority what the authorities said of the chain. At is the proven time of
// signing, or now without one.
func (v *verifier) checkRevocation(s *Signature, chain []*x509.Certificate, at time.Time) error {
	if v.store == nil {
		var err error
		if v.store, err = readStatements(v.file.Last()); err != nil {
			return err
		}
	}
	oldest := time.Time{}
	for i := 0; i+1 < len(chain); i++ {
		st := v.store.about(chain[i], chain[i+1], at)
		switch {
		case !st.known:
			v.report.add(RevocationUnknown, Warning, s.Field, "Nothing in the file says whether the certificate of %s had been revoked. Ask its authority, %s.", nameOf(chain[i]), nameOf(chain[i+1]))
			return nil
		case st.revoked && (s.TrustedTime.IsZero() || !st.when.After(s.TrustedTime)):
			s.Trusted = false
			v.report.add(Revoked, Alarm, s.Field, "The certificate of %s was revoked by its authority on %s, and nothing proves that the report was signed before.", nameOf(chain[i]), clock(st.when))
			return nil
		case st.revoked:
			v.report.add(RevokedLater, Warning, s.Field, "The certificate of %s was revoked on %s, after the proven time of signing.", nameOf(chain[i]), clock(st.when))
		case oldest.IsZero() || st.when.Before(oldest):
			oldest = st.when
		}
	}
	if !oldest.IsZero() {
		v.report.add(NotRevoked, Info, s.Field, "The certificate of %s was not revoked: its authorities' own statements, as of %s, are in the file.", s.who(), clock(oldest))
	}
	return nil
}
