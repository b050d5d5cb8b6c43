package sign

import (
	"bytes"
	"crypto/x509"
	"fmt"
	"io"
	"time"

	"wornwood/pdfout/pdf"
)

// Severity says how much a finding matters.
type Severity int

// From a statement, over something to know, to a reason not to rely on the
// report.
const (
	Info Severity = iota
	Warning
	Alarm
)

func (s Severity) String() string {
	switch s {
	case Info:
		return "info"
	case Warning:
		return "warning"
	case Alarm:
		return "alarm"
	}
	return fmt.Sprintf("severity %d", int(s))
}

// Code names a kind of finding for programs; it stays the same when the words
// change.
type Code string

// The kinds of findings.
const (
	Unreadable        Code = "unreadable"         // no PDF this program reads
	Encrypted         Code = "encrypted"          // the PDF is encrypted
	TooLarge          Code = "too-large"          // a limit was reached
	NotSigned         Code = "not-signed"         // no signature, or none of the examiner
	ForeignSignature  Code = "foreign-signature"  // made in a way this program does not check
	AlteredBytes      Code = "altered-bytes"      // signed bytes are not those signed
	ByteRange         Code = "byte-range"         // the signature's range has a gap, an overlap or a wrong start or end
	BrokenSignature   Code = "broken-signature"   // the signature is not well-formed or names another certificate
	WeakAlgorithm     Code = "weak-algorithm"     // digest, signature algorithm or key not accepted
	AfterEnd          Code = "after-end"          // bytes after the last end-of-file mark
	HiddenTable       Code = "hidden-table"       // a hybrid reference
	MisplacedObject   Code = "misplaced-object"   // a table points outside its own revision
	StrayBytes        Code = "stray-bytes"        // bytes that belong to no object, after the first signature
	ChangedAfter      Code = "changed-after"      // an object changed or added after the first signature
	FreedObject       Code = "freed-object"       // an object removed after the first signature
	ChangedTrailer    Code = "changed-trailer"    // the trailer changed after the first signature
	NotWhatIsShown    Code = "not-what-is-shown"  // the first signature does not cover what is shown
	NotCertified      Code = "not-certified"      // the first signature does not restrict later changes
	ActiveContent     Code = "active-content"     // scripts, layers or actions that can change what is shown
	AttachmentBroken  Code = "attachment-broken"  // an attachment cannot be read or does not fit its checksum
	Unaltered         Code = "unaltered"          // unaltered since the examiner signed
	SignerKnown       Code = "signer-known"       // the key is known here
	SignerUnknown     Code = "signer-unknown"     // it is not
	SignerTrusted     Code = "signer-trusted"     // the certificate leads to a configured root
	NotRevoked        Code = "not-revoked"        // its authorities' statements in the file say so
	Revoked           Code = "revoked"            // revoked, and not proven to be signed before
	RevokedLater      Code = "revoked-later"      // revoked after the proven time of signing
	RevocationUnknown Code = "revocation-unknown" // nothing in the file says
	OutsideValidity   Code = "outside-validity"   // signed outside the certificate's time
	ClaimedTime       Code = "claimed-time"       // the time is only the signer's word
	TrustedTime       Code = "trusted-time"       // an authority vouches for the time
	NoTrustedTime     Code = "no-trusted-time"    // there is a time-stamp, but it proves nothing
	Countersigned     Code = "countersigned"      // the buyer signed and nothing else happened
	DocumentStamped   Code = "document-timestamp" // a later time-stamp over the whole file
)

// Finding is one thing to say, in a plain sentence.
type Finding struct {
	Code     Code
	Severity Severity
	Text     string
	Field    string // of the signature it is about, or empty
}

// Coverage says how much of the file the first signature covers.
type Coverage struct {
	Signed int64 // bytes, counted from the start, up to the end of the first signature's revision
	Size   int64 // bytes of the whole file
	// Whole is true when whatever follows is a countersignature or data for
	// later checking and nothing else.
	Whole bool
}

// Signature is what one signature says and what was found about it.
type Signature struct {
	Field       string
	Signer      string // common name in the certificate
	Shop        string // organisation in the certificate
	Fingerprint Fingerprint
	Certificate *x509.Certificate // nil when the signature could not be read

	Known   bool   // the key is among VerifyOptions.KnownKeys
	KnownAs string // the name it is known by
	Trusted bool   // the certificate leads to one of VerifyOptions.Roots

	ClaimedTime time.Time // the signer's word
	TrustedTime time.Time // zero unless an authority that is trusted here vouches for it
	Authority   string    // that authority's name

	Intact    bool // the signed bytes are unchanged and the signature fits its certificate
	CoversAll bool // and nothing in the file was changed afterwards but what it allows
	Reason    string
	Location  string

	// Document is true for a time-stamp over the whole file, which nobody
	// signs.
	Document bool

	revision int   // that it covers last; -1 when its range is wrong
	end      int64 // of the signed bytes
	ref      pdf.Ref
}

// Attachment is a file inside the report. It is read from the state that the
// first signature covers, so that what is compared is what was signed; in a
// file without a readable signature, from the last state.
type Attachment struct {
	Name         string
	MediaType    string
	Description  string
	Relationship string
	Size         int64  // bytes
	Data         []byte // nil for a file that is left where it is; Open reads it

	in io.ReaderAt // the PDF, for a file left in it
	at int64       // where it stands there
}

// Open reads the attachment; each call starts anew.
func (a Attachment) Open() *io.SectionReader {
	if a.in != nil {
		return io.NewSectionReader(a.in, a.at, a.Size)
	}
	return io.NewSectionReader(bytes.NewReader(a.Data), 0, int64(len(a.Data)))
}

// Bytes is the attachment's content, at most limit bytes.
func (a Attachment) Bytes(limit int64) ([]byte, error) {
	if a.in == nil {
		return a.Data, nil
	}
	if a.Size > limit {
		return nil, fmt.Errorf("read attachment: %w: %d bytes, more than %d", pdf.ErrLimit, a.Size, limit)
	}
	data := make([]byte, a.Size)
	if _, err := io.ReadFull(a.Open(), data); err != nil {
		return nil, fmt.Errorf("read attachment: %w", err)
	}
	return data, nil
}

// Report is the answer of Verify.
type Report struct {
	// OK is true when the examiner's signature is intact, covers everything
	// that is shown, and nothing speaks against relying on it. It does not say
	// that the signer is known.
	OK            bool
	Coverage      Coverage
	Signatures    []Signature // in the order they were made
	Findings      []Finding   // alarms first
	Attachments   []Attachment
	Countersigned bool // by the buyer, intact, with no other change
	Pages         int
}

// Attachment finds an attachment by name.
func (r *Report) Attachment(name string) (Attachment, bool) {
	for _, a := range r.Attachments {
		if a.Name == name {
			return a, true
		}
	}
	return Attachment{}, false
}

// Has says whether there is a finding with the code.
func (r *Report) Has(c Code) bool {
	for _, f := range r.Findings {
		if f.Code == c {
			return true
		}
	}
	return false
}

func (r *Report) add(c Code, s Severity, field, format string, args ...any) {
	r.Findings = append(r.Findings, Finding{Code: c, Severity: s, Field: field, Text: fmt.Sprintf(format, args...)})
}

// alarmed says whether anything speaks against the report.
func (r *Report) alarmed() bool {
	for _, f := range r.Findings {
		if f.Severity == Alarm {
			return true
		}
	}
	return false
}

func (r *Report) worst() string {
	for _, f := range r.Findings {
		if f.Severity == Alarm {
			return f.Text
		}
	}
	return ""
}
