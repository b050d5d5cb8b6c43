package pdfout

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/annotate/units"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/icons"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// ErrIssued says that a report of the examination was issued before.
var ErrIssued = errors.New("the report of this examination is issued; begin a new examination to say more")

// IssueOptions say how to issue.
type IssueOptions struct {
	Now   time.Time // the time printed and claimed by the signature; required
	Paper string    // "" takes the bench's setting
	// Language of the report, one of catalogue.Languages; "" takes the bench's
	// setting.
	Language string
	// WithOriginals puts the original photos into the report, as they were
	// imported, with all that the camera wrote into them; see OriginalsTell.
	WithOriginals bool
	// Timestamp and TimestampURL name a time-stamp authority, see package sign;
	// without either the time is the signer's word.
	Timestamp    func(ctx context.Context, digest []byte) ([]byte, error)
	TimestampURL string
	LongTerm     bool         // embed what the authorities publish on revoked certificates
	Client       *http.Client // asks the authorities; nil: one that gives up after 30 seconds
}

// Issued is a report that was issued.
type Issued struct {
	record.Issued
	Path    string // of the PDF
	Pages   int
	Verdict *Verdict // of its own check
	// Revocation tells whether statements on revoked certificates are embedded;
	// RevocationWhy says why not where they were wanted.
	Revocation    bool
	RevocationWhy string
}

// Issue grades the examination, gives it a number, builds the report, signs it,
// checks it as a stranger would, writes it once into the bench and freezes the
// examination. When it fails or is cancelled, nothing of it remains: no file,
// no number, no frozen examination.
func Issue(ctx context.Context, b *bench.Bench, ex *bench.Exam, id *sign.Identity, opt IssueOptions, progress Progress) (*Issued, error) {
	if is, ok := ex.Issued(); ok {
		return nil, fmt.Errorf("issue report: %s: %w", is.Number, ErrIssued)
	}
	if id == nil || id.Certificate == nil || opt.Now.IsZero() {
		return nil, errors.New("issue report: a key and the time of issue are needed")
	}
	if err := id.Usable(opt.Now); err != nil {
		return nil, fmt.Errorf("issue report: %w", err)
	}
	if opt.Paper == "" {
		opt.Paper = b.Settings().Paper
	}
	if opt.Language == "" {
		opt.Language = b.Settings().Language
	}
	text, err := catalogue.For(opt.Language)
	if err != nil {
		return nil, fmt.Errorf("issue report: %w", err)
	}
	number, err := b.NextNumber(opt.Now)
	if err != nil {
		return nil, fmt.Errorf("issue report: %w", err)
	}
	is := &issuing{ctx: ctx, b: b, id: id, opt: opt, text: text, progress: progress}
	if progress == nil {
		is.progress = func(int, int, string) {}
	}
	defer is.clean()
	out, err := is.run(ex, number)
	if err != nil {
		return nil, fmt.Errorf("issue report %s: %w", number, err)
	}
	return out, nil
}

// issuing is one issue under way, with the temporary files it has made.
type issuing struct {
	ctx      context.Context
	b        *bench.Bench
	id       *sign.Identity
	opt      IssueOptions
	text     *catalogue.Text
	progress Progress
	steps    int // of the build
	temps    []*os.File
	why      string // why no statements on revoked certificates are embedded
}

func (is *issuing) run(ex *bench.Exam, number string) (*Issued, error) {
	rec := *ex.Record()
	rubric, err := annotate.RubricFor(is.b, rec.Examination, false)
	if err != nil {
		return nil, err
	}
	rec.Examination.Number, rec.Examination.Rubric = number, rubric.Hash()
	drawn, err := is.temp()
	if err != nil {
		return nil, err
	}
	var originals Originals
	if is.opt.WithOriginals {
		originals = benchOriginals(is.b)
	}
	built, err := Build(is.ctx, Input{Originals: originals, Record: &rec, Rubric: rubric, Photos: is.b, Tables: dating.Load(is.b), Paper: is.opt.Paper, Language: is.opt.Language, Inches: is.b.Settings().Units == string(units.Inch), Created: is.opt.Now, Signer: SignerOf(is.id)}, drawn, is.building)
	if err != nil {
		return nil, err
	}
	signed, err := is.sign(drawn, built)
	if err != nil {
		return nil, err
	}
	if signed, err = is.longTerm(signed); err != nil {
		return nil, err
	}
	verdict, size, err := is.check(signed, built)
	if err != nil {
		return nil, err
	}
	rel, sum, err := is.b.WriteReport(number, func(w io.Writer) error {
		_, err := io.Copy(w, io.NewSectionReader(signed, 0, size))
		return err
	})
	if err != nil {
		return nil, err
	}
	out := &Issued{Path: is.b.ReportPath(rel), Pages: built.Pages, Verdict: verdict, Revocation: is.opt.LongTerm && is.why == "", RevocationWhy: is.why, Issued: record.Issued{
		Number: number, At: is.opt.Now, File: rel, SHA256: sum, RecordHash: built.RecordHash, Key: string(is.id.Fingerprint()), Rubric: rubric.Hash(), Language: is.opt.Language}}
	if err := ex.SetIssued(out.Issued); err != nil {
		// Without its entry in the journal the file would be a report that
		// nobody issued.
		return nil, errors.Join(err, os.Remove(out.Path))
	}
	return out, nil
}

func (is *issuing) sign(drawn *os.File, built *Built) (*os.File, error) {
	is.progress(is.steps, is.steps+2, "signing")
	size, err := drawn.Seek(0, io.SeekCurrent)
	if err != nil {
		return nil, err
	}
	signed, err := is.temp()
	if err != nil {
		return nil, err
	}
	err = sign.Sign(is.ctx, drawn, size, signed, is.id, sign.SignOptions{
		Field: sign.FieldExaminer, Now: is.opt.Now, Reason: is.text.Say("file.issued"), Appearance: appearance(is.text, "field.signed", is.id, is.opt.Now),
		Font: icons.Font("sans"), Timestamp: is.opt.Timestamp, TimestampURL: is.opt.TimestampURL, Client: is.opt.Client,
	})
	return signed, err
}

// check verifies the signed report as a stranger would who knows the key.
func (is *issuing) check(signed *os.File, built *Built) (*Verdict, int64, error) {
	is.progress(is.steps+1, is.steps+2, "checking")
	size, err := signed.Seek(0, io.SeekCurrent)
	if err != nil {
		return nil, 0, err
	}
	v, err := VerifyReader(is.ctx, signed, size, VerifyOptions{Known: KnownKeys{is.id.Fingerprint(): SignerOf(is.id).Name}})
	if err != nil {
		return nil, 0, err
	}
	if !v.OK || v.RecordHash != built.RecordHash {
		return nil, 0, fmt.Errorf("the report does not pass its own check and was not kept: %s", v.Worst())
	}
	return v, size, nil
}

// building passes on the progress of the build: signing and checking are two
// steps more.
func (is *issuing) building(done, total int, what string) {
	is.steps = total
	is.progress(done, total+2, what)
}

// temp makes a temporary file that clean removes.
func (is *issuing) temp() (*os.File, error) {
	f, err := os.CreateTemp("", "wornwood-report-*.pdf")
	if err != nil {
		return nil, fmt.Errorf("make temporary file: %w", err)
	}
	is.temps = append(is.temps, f)
	return f, nil
}

func (is *issuing) clean() {
	for _, f := range is.temps {
		// What cannot be removed from the system's temporary folder now is
		// removed by the system later.
		_ = f.Close()
		_ = os.Remove(f.Name())
	}
}

// SignerOf is how a report prints who signs with an identity.
func SignerOf(id *sign.Identity) Signer {
	s := id.Certificate.Subject
	name := s.CommonName
	if len(s.Organization) > 0 {
		name += ", " + strings.Join(s.Organization, ", ")
	}
	return Signer{Name: oneLine(name), Key: string(id.Fingerprint())}
}

// appearance are the lines drawn in a signature's field: who, what by the ID of
// its message, with which key.
func appearance(t *catalogue.Text, what string, id *sign.Identity, at time.Time) []string {
	return []string{SignerOf(id).Name, t.Say(what, t.DateTime(at)), t.Say("field.key", id.Fingerprint().Short())}
}

// Countersign copies a report from r to w with the buyer's signature in the
// field made for it. A report that does not pass Verify, or is countersigned
// already, is refused.
func Countersign(ctx context.Context, r io.ReaderAt, size int64, w io.Writer, id *sign.Identity, now time.Time) error {
	v, err := VerifyReader(ctx, r, size, VerifyOptions{})
	if err != nil {
		return fmt.Errorf("countersign report: %w", err)
	}
	if !v.OK {
		return fmt.Errorf("countersign report: it does not pass the check: %s", v.Worst())
	}
	text, err := textOf(r, size, pdf.Limits{})
	if err != nil {
		return fmt.Errorf("countersign report: %w", err)
	}
	return sign.Sign(ctx, r, size, w, id, sign.SignOptions{
		Field: sign.FieldBuyer, Now: now, Reason: text.Say("file.received"), Appearance: appearance(text, "field.countersigned", id, now), Font: icons.Font("sans"),
	})
}
