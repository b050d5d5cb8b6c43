package sign

import (
	"crypto"
	"crypto/x509"
	"errors"
	"fmt"
	"hash"
	"io"
	"time"

	"wornwood/pdfout/pdf"
)

// signature checks one filled field. Faults of the signature become findings;
// an error means that the file could not be read.
func (v *verifier) signature(f *field) (*Signature, error) {
	name := printable(f.name)
	s := &Signature{Field: name, revision: -1}
	ref, ok := f.value.(pdf.Ref)
	if !ok {
		v.report.add(BrokenSignature, Alarm, name, "The signature in %q does not stand by itself in the file, as signatures do.", name)
		return s, nil
	}
	s.ref = ref
	for i := range v.report.Signatures {
		if v.report.Signatures[i].ref == ref {
			v.report.add(BrokenSignature, Alarm, name, "The field %q shows the signature that belongs to the field %q.", name, v.report.Signatures[i].Field)
			return s, nil
		}
	}
	d, spans, err := v.file.Last().Spans(ref)
	if err != nil {
		if !pdf.IsRefusal(err) {
			return nil, err
		}
		v.report.add(BrokenSignature, Alarm, name, "The signature in %q cannot be read: %v.", name, err)
		return s, nil
	}
	readClaims(s, d)
	s.Document = d["Type"] == pdf.Name("DocTimeStamp")
	span, fault := v.byteRange(s, d, spans)
	if fault != "" {
		v.report.add(ByteRange, Alarm, name, "Altered: the signature in %q %s.", name, fault)
		return s, nil
	}
	return s, v.checkCMS(s, d, span)
}

func readClaims(s *Signature, d pdf.Dict) {
	text := func(k pdf.Name) string {
		t, _ := d[k].(pdf.String)
		if len(t) > 4096 {
			t = t[:4096]
		}
		return pdf.PlainText(t)
	}
	s.Reason, s.Location = text("Reason"), text("Location")
	if m, ok := d["M"].(pdf.String); ok {
		if t, err := pdf.ParseDate(m); err == nil {
			s.ClaimedTime = t
		}
	}
}

// byteRange checks that the signed ranges start at 0, leave out exactly the
// signature's own hexadecimal string and reach the end of a revision, the one
// that brought the signature. It returns where that string stands, or what is
// wrong.
func (v *verifier) byteRange(s *Signature, d pdf.Dict, spans map[pdf.Name]pdf.Span) (pdf.Span, string) {
	a, ok := d["ByteRange"].(pdf.Array)
	if !ok || len(a) != 4 {
		return pdf.Span{}, "does not say in four numbers which bytes it covers"
	}
	var n [4]int64
	for i, o := range a {
		if n[i], ok = o.(int64); !ok || n[i] < 0 || n[i] > v.file.Size() {
			return pdf.Span{}, "covers bytes that do not exist"
		}
	}
	gap := pdf.Span{Start: n[1], End: n[2]}
	end := n[2] + n[3]
	switch {
	case n[0] != 0:
		return gap, "does not start at the beginning of the file"
	case gap.End < gap.Start:
		return gap, "covers bytes twice"
	case gap != spans["Contents"]:
		return gap, "leaves out other bytes than the signature itself"
	case end > v.file.Size():
		return gap, "covers bytes that do not exist"
	}
	for i, rev := range v.file.Revisions {
		if end != rev.End && end != rev.Mark {
			continue
		}
		if gap.Start < rev.Start || gap.End > rev.XRef {
			return gap, "stands in another part of the file than the one it covers last"
		}
		s.revision, s.end = i, end
		return gap, ""
	}
	return gap, "does not reach to the end of the state that was signed"
}

// checkCMS checks the signature itself.
func (v *verifier) checkCMS(s *Signature, d pdf.Dict, gap pdf.Span) error {
	contentType := oidData
	switch {
	case s.Document && d["SubFilter"] == pdf.Name("ETSI.RFC3161"):
		return v.checkDocumentStamp(s, d, gap)
	case d["SubFilter"] != pdf.Name("ETSI.CAdES.detached"):
		kind, _ := d["SubFilter"].(pdf.Name)
		v.report.add(ForeignSignature, Alarm, s.Field, "The signature in %q is of the kind %q, which this program does not check. It was made by another program.", s.Field, printable(string(kind)))
		return nil
	}
	contents, _ := d["Contents"].(pdf.String)
	if int64(2*len(contents)+2) != gap.End-gap.Start {
		v.report.add(ByteRange, Alarm, s.Field, "Altered: the signature in %q does not fill its place exactly.", s.Field)
		return nil
	}
	c, err := parseCMS([]byte(contents), contentType)
	if err != nil {
		v.sayBroken(s, err)
		return nil
	}
	s.Certificate = c.cert
	s.Fingerprint = FingerprintOf(c.cert)
	s.Signer = printable(c.cert.Subject.CommonName)
	if len(c.cert.Subject.Organization) > 0 {
		s.Shop = printable(c.cert.Subject.Organization[0])
	}
	h := c.hash()
	if err := v.hashRanges(h, gap, s); err != nil {
		return err
	}
	if err := c.verify(h.Sum(nil)); err != nil {
		v.sayBroken(s, err)
		return nil
	}
	s.Intact = true
	s.KnownAs, s.Known = v.opt.KnownKeys[s.Fingerprint]
	v.checkTime(s, c)
	if v.opt.Roots != nil {
		at := v.opt.Now
		if !s.TrustedTime.IsZero() {
			at = s.TrustedTime
		}
		if chain, err := c.chain(v.opt.Roots, at, x509.ExtKeyUsageAny); err == nil {
			s.Trusted = true
			return v.checkRevocation(s, chain, at)
		}
	}
	return nil
}

func (v *verifier) sayBroken(s *Signature, err error) {
	var weak weakError
	switch {
	case errors.Is(err, errDigest):
		v.report.add(AlteredBytes, Alarm, s.Field, "Altered: the bytes that the signature in %q covers are not those that were signed.", s.Field)
	case errors.As(err, &weak):
		v.report.add(WeakAlgorithm, Alarm, s.Field, "The signature in %q is not accepted: %v.", s.Field, err)
	default:
		v.report.add(BrokenSignature, Alarm, s.Field, "The signature in %q is not valid: %v.", s.Field, err)
	}
}

// hashRanges hashes everything of the signed state but the gap.
func (v *verifier) hashRanges(h hash.Hash, gap pdf.Span, s *Signature) error {
	if err := copyHashed(v.ctx, h, v.file.Reader(), gap.Start); err != nil {
		return err
	}
	n := s.end - gap.End
	return copyHashed(v.ctx, h, io.NewSectionReader(v.file.Reader(), gap.End, n), n)
}

// token checks a time-stamp token and names its authority.
func (v *verifier) token(der []byte, over func(crypto.Hash) ([]byte, error)) (time.Time, string, error) {
	at, cert, err := verifyToken(der, over, v.opt.TSARoots)
	if err != nil {
		return time.Time{}, "", err
	}
	return at, nameOf(cert), nil
}

// checkTime looks at the time-stamp on the signature value.
func (v *verifier) checkTime(s *Signature, c *cms) {
	token, err := c.timeToken()
	if err == nil && token == nil {
		return
	}
	if err == nil {
		s.TrustedTime, s.Authority, err = v.token(token, func(h crypto.Hash) ([]byte, error) { return digestOf(h, c.si.Signature) })
	}
	if err != nil {
		v.report.add(NoTrustedTime, Warning, s.Field, "No trusted time: the time-stamp on the signature in %q proves nothing, because %v.", s.Field, err)
	}
}

// checkDocumentStamp checks a time-stamp over the whole file
// (ISO 32000-2, 12.8.5).
func (v *verifier) checkDocumentStamp(s *Signature, d pdf.Dict, gap pdf.Span) error {
	contents, _ := d["Contents"].(pdf.String)
	if int64(2*len(contents)+2) != gap.End-gap.Start {
		v.report.add(ByteRange, Alarm, s.Field, "Altered: the time-stamp in %q does not fill its place exactly.", s.Field)
		return nil
	}
	var fatal error
	at, authority, err := v.token([]byte(contents), func(h crypto.Hash) ([]byte, error) {
		if h == 0 {
			return digestOf(h, nil)
		}
		sum := h.New()
		fatal = v.hashRanges(sum, gap, s)
		return sum.Sum(nil), nil
	})
	if fatal != nil {
		return fatal
	}
	if err != nil {
		v.report.add(NoTrustedTime, Warning, s.Field, "No trusted time: the time-stamp over the file in %q proves nothing, because %v.", s.Field, err)
		return nil
	}
	s.Intact, s.TrustedTime, s.Authority = true, at, authority
	v.report.add(DocumentStamped, Info, s.Field, "The whole file existed before %s, as a time-stamp of %q shows.", clock(at), authority)
	return nil
}

// printable makes foreign text fit for a sentence.
func printable(s string) string {
	out := make([]rune, 0, min(len(s), 128))
	for _, r := range s {
		if len(out) == 128 {
			return string(out) + "…"
		}
		if r < ' ' || (r >= 0x7F && r < 0xA0) || (r >= 0x202A && r <= 0x202E) || (r >= 0x2066 && r <= 0x2069) || r == 0x200E || r == 0x200F {
			r = '\uFFFD' // controls and changes of direction could disguise a name
		}
		out = append(out, r)
	}
	return string(out)
}

func nameOf(c *x509.Certificate) string {
	if c.Subject.CommonName != "" {
		return printable(c.Subject.CommonName)
	}
	return printable(fmt.Sprint(c.Subject))
}
