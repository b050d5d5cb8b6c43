package sign

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"sort"
	"time"

	"wornwood/pdfout/pdf"
)

// VerifyOptions say what is known and trusted here.
type VerifyOptions struct {
	// KnownKeys are the keys the user has compared and named.
	KnownKeys map[Fingerprint]string
	// Roots are certificate authorities for signers, TSARoots those for
	// time-stamps. Nil trusts none; the system's own are never used.
	Roots, TSARoots *x509.CertPool
	// Now is the time against which certificates without a trusted time are
	// checked; required when Roots is set.
	Now time.Time
	// Limits bound the reading; zero fields take their defaults.
	Limits pdf.Limits
	// AttachmentBytes bounds all attachments together; default 64 MiB.
	AttachmentBytes int64
}

// maxSignatures bounds the work: each signature means hashing the file once.
const maxSignatures = 8

var errForm = fmt.Errorf("%w: the form's fields are broken", pdf.ErrMalformed)

// Verify tells what the signatures of the PDF of size bytes in r prove. What
// is wrong with the file is in the report; an error means that r could not be
// read or that ctx was cancelled.
func Verify(ctx context.Context, r io.ReaderAt, size int64, opt VerifyOptions) (*Report, error) {
	if opt.Roots != nil && opt.Now.IsZero() {
		return nil, errors.New("verify report: the time to check certificates at is missing")
	}
	if opt.AttachmentBytes <= 0 {
		opt.AttachmentBytes = 64 << 20
	}
	v := &verifier{ctx: ctx, opt: opt, report: &Report{Coverage: Coverage{Size: size}}}
	err := v.run(r, size)
	if err != nil && !pdf.IsRefusal(err) {
		return nil, fmt.Errorf("verify report: %w", err)
	}
	if err != nil {
		v.refuse(err)
	}
	rep := v.report
	rep.OK = err == nil && !rep.alarmed() && rep.Coverage.Whole
	sort.SliceStable(rep.Findings, func(i, j int) bool { return rep.Findings[i].Severity > rep.Findings[j].Severity })
	return rep, nil
}

type verifier struct {
	ctx    context.Context
	opt    VerifyOptions
	report *Report
	file   *pdf.File
	first  int         // index of the first signature among the report's, or -1
	store  *statements // what authorities said of certificates; read when first needed
}

// refuse reports a file that could not be read to its end.
func (v *verifier) refuse(err error) {
	switch {
	case errors.Is(err, pdf.ErrEncrypted):
		v.report.add(Encrypted, Alarm, "", "The PDF is encrypted, so it cannot be checked. A report issued by this program never is.")
	case errors.Is(err, pdf.ErrLimit):
		v.report.add(TooLarge, Alarm, "", "The PDF is larger or more deeply nested than this program reads (%v). It is not checked.", err)
	default:
		v.report.add(Unreadable, Alarm, "", "The file cannot be read as a PDF of the strict kind that reports have (%v). It is damaged, altered or from another program.", err)
	}
}

func (v *verifier) run(r io.ReaderAt, size int64) error {
	f, err := pdf.Open(r, size, v.opt.Limits)
	if err != nil {
		return err
	}
	v.file, v.first = f, -1
	v.checkFile()
	if err := v.readSignatures(); err != nil {
		return err
	}
	pages, err := f.Last().Pages()
	if err != nil {
		return err
	}
	v.report.Pages = len(pages)
	if err := v.checkActive(); err != nil {
		return err
	}
	if err := v.checkFirst(); err != nil {
		return err
	}
	if err := v.readAttachments(); err != nil {
		return err
	}
	v.conclude()
	return nil
}

// checkFile looks at the file as a whole, signatures aside.
func (v *verifier) checkFile() {
	if n := v.file.Trailing; n > 0 {
		v.report.add(AfterEnd, Alarm, "", "Altered: %s after the end of the PDF.", count(int(n), "byte stands", "bytes stand"))
	}
	for i, rev := range v.file.Revisions {
		if rev.Hybrid {
			v.report.add(HiddenTable, Alarm, "", "Altered: part %d of the file refers to a second, hidden table of contents, which other programs may show instead.", i+1)
		}
		before := v.file.At(i - 1)
		for _, num := range rev.Numbers() {
			e := rev.Entries[num]
			if e.Free || e.InStream != 0 || (e.Offset >= rev.Start && e.Offset <= rev.XRef) {
				continue
			}
			if i > 0 {
				if old, _, ok := before.Lookup(num); ok && old == e {
					continue // a repeated row changes nothing
				}
			}
			v.report.add(MisplacedObject, Alarm, "", "Altered: the table of part %d of the file says that object %d stands outside that part.", i+1, num)
			break
		}
	}
}

func (v *verifier) readSignatures() error {
	last := v.file.Last()
	fields, err := readFields(last)
	if err != nil {
		return err
	}
	for i := range fields {
		if fields[i].value == nil {
			continue
		}
		if len(v.report.Signatures) >= maxSignatures {
			return fmt.Errorf("%w: more than %d signatures", pdf.ErrLimit, maxSignatures)
		}
		s, err := v.signature(&fields[i])
		if err != nil {
			return err
		}
		v.report.Signatures = append(v.report.Signatures, *s)
	}
	sigs := v.report.Signatures
	// Those whose range is wrong, and whose place is therefore unknown, last.
	sort.SliceStable(sigs, func(i, j int) bool { return uint(sigs[i].revision) < uint(sigs[j].revision) })
	for i := range sigs {
		if !sigs[i].Document {
			v.first = i
			break
		}
	}
	return nil
}

// checkFirst compares what the first signature covers with what is shown.
func (v *verifier) checkFirst() error {
	rep := v.report
	if v.first < 0 {
		rep.add(NotSigned, Alarm, "", "The PDF is not signed. Nothing shows who made it or whether it was changed.")
		return nil
	}
	s := &rep.Signatures[v.first]
	if s.Field != FieldExaminer {
		rep.add(NotSigned, Alarm, s.Field, "The first signature is in the field %q and not in the examiner's. This is not a report issued by this program.", s.Field)
	}
	if s.revision < 0 {
		return nil // nothing is known to be covered; an alarm says why
	}
	rep.Coverage.Signed = v.file.Revisions[s.revision].End
	if err := v.checkCertified(s); err != nil {
		return err
	}
	c := &comparison{v: v, first: s.revision}
	clean, err := c.run()
	if err != nil {
		return err
	}
	rep.Coverage.Whole = clean && s.Intact && rep.Coverage.Signed > 0 && v.file.Trailing == 0
	if clean {
		return nil
	}
	if later := v.laterSigner(); later != nil {
		rep.add(NotWhatIsShown, Alarm, s.Field, "The examiner's signature does not cover what is shown: the report was changed after it and then signed again by %s.", later.who())
	} else {
		rep.add(NotWhatIsShown, Alarm, s.Field, "The examiner's signature does not cover what is shown: the report was changed after it.")
	}
	return nil
}

// laterSigner is somebody who signed after the first signature.
func (v *verifier) laterSigner() *Signature {
	for i := v.first + 1; i < len(v.report.Signatures); i++ {
		if s := &v.report.Signatures[i]; !s.Document && s.Intact && s.revision > v.report.Signatures[v.first].revision {
			return s
		}
	}
	return nil
}

// checkCertified sees that the first signature forbids other changes than
// signing (ISO 32000-1, 12.8.2.2), so that other programs warn as well.
func (v *verifier) checkCertified(s *Signature) error {
	at := v.file.At(s.revision)
	_, cat, err := at.Catalog()
	if err != nil {
		return err
	}
	perms, err := at.Dict(cat["Perms"])
	if err != nil {
		return err
	}
	if perms["DocMDP"] != pdf.Object(s.ref) || !restricts(at, s.ref) {
		v.report.add(NotCertified, Warning, s.Field, "The examiner's signature does not forbid later changes, as one made by this program does. Other programs may not warn of them.")
	}
	return nil
}

// restricts says whether a signature dictionary forbids all changes (P=1) or
// all but signing and filling in (P=2).
func restricts(v pdf.View, ref pdf.Ref) bool {
	d, err := v.Dict(ref)
	if err != nil {
		return false
	}
	list, _ := d["Reference"].(pdf.Array)
	for _, o := range list {
		r, _ := o.(pdf.Dict)
		p, _ := r["TransformParams"].(pdf.Dict)
		if n, ok := p["P"].(int64); ok && r["TransformMethod"] == pdf.Name("DocMDP") && (n == 1 || n == 2) {
			return true
		}
	}
	return false
}

// conclude says in words what holds for each signature.
func (v *verifier) conclude() {
	rep := v.report
	whole := rep.Coverage.Whole && !rep.alarmed()
	for i := range rep.Signatures {
		s := &rep.Signatures[i]
		s.CoversAll = s.Intact && (whole || (s.revision == len(v.file.Revisions)-1 && v.file.Trailing == 0))
		if s.Document || !s.Intact {
			continue
		}
		v.saySigner(s)
		v.sayTime(s)
		if i == v.first && whole {
			rep.add(Unaltered, Info, s.Field, "Nothing in the report has changed since %s signed it: %s and %s are covered.", s.who(),
				count(rep.Pages, "page", "pages"), count(len(rep.Attachments), "attached file", "attached files"))
		}
		if s.Field == FieldBuyer && whole && i > v.first {
			rep.Countersigned = true
			rep.add(Countersigned, Info, s.Field, "Countersigned by %s. The examiner's signature remains intact.", s.who())
		}
	}
}

// who names a signer for a sentence.
func (s *Signature) who() string {
	switch {
	case s.KnownAs != "":
		return s.KnownAs
	case s.Signer != "" && s.Shop != "":
		return fmt.Sprintf("%q of %q", s.Signer, s.Shop)
	case s.Signer != "":
		return fmt.Sprintf("%q", s.Signer)
	}
	return "somebody without a name"
}

func (v *verifier) saySigner(s *Signature) {
	switch {
	case s.Known:
		v.report.add(SignerKnown, Info, s.Field, "The key is known here as %s.", s.KnownAs)
	case s.Trusted:
		v.report.add(SignerTrusted, Info, s.Field, "The certificate of %s was issued by an authority that is trusted here.", s.who())
	default:
		v.report.add(SignerUnknown, Warning, s.Field, "The signer is unknown here. The name %s is what the signer wrote; it proves only that nothing changed since the holder of this key signed. "+
			"Compare the key's fingerprint over another channel: %s", s.who(), s.Fingerprint.Long())
	}
}

func (v *verifier) sayTime(s *Signature) {
	at := s.ClaimedTime
	switch {
	case !s.TrustedTime.IsZero():
		at = s.TrustedTime
		v.report.add(TrustedTime, Info, s.Field, "Signed before %s, as the time-stamp of %q shows.", clock(s.TrustedTime), s.Authority)
	case at.IsZero():
		v.report.add(ClaimedTime, Warning, s.Field, "The signature does not say when it was made.")
		return
	default:
		v.report.add(ClaimedTime, Info, s.Field, "Signed on %s by the signer's own clock; no authority vouches for that time.", clock(at))
	}
	if c := s.Certificate; at.Before(c.NotBefore) || at.After(c.NotAfter) {
		v.report.add(OutsideValidity, Warning, s.Field, "At that time the certificate was not valid; it is for %s to %s.", clock(c.NotBefore), clock(c.NotAfter))
	}
}

func clock(t time.Time) string { return t.UTC().Format("2 January 2006, 15:04 UTC") }

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
