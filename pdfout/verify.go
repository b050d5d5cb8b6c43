package pdfout

import (
	"bytes"
	"context"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/gowebpki/jcs"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/page"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// VerifyOptions say what is known and trusted here.
type VerifyOptions struct {
	Known           KnownKeys      // keys somebody has compared and named
	Roots, TSARoots *x509.CertPool // trusted authorities; nil trusts none
	Now             time.Time      // needed with Roots
	Limits          pdf.Limits     // zero fields take their defaults
	// Strict is for archives: the signer must be known or certified by a trusted
	// authority, a trusted authority must vouch for the time, the rubric must be
	// one of the program's, and the PDF must bear the marks of the archival form.
	// Each demand that is not met is a line of its own, and the verdict is not OK.
	Strict bool
}

// Verify reads the report at path as if its sender were clever and says what
// it proves. What is wrong with the report is in the verdict; an error means
// that the file could not be read or that ctx was cancelled.
func Verify(ctx context.Context, path string, opt VerifyOptions) (*Verdict, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("check report: %w", err)
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("check report: %w", err)
	}
	if !st.Mode().IsRegular() {
		return nil, fmt.Errorf("check report: %s is not a file", path)
	}
	return VerifyReader(ctx, f, st.Size(), opt)
}

// VerifyReader is Verify for a report that is open already. Several goroutines
// read from r at once.
func VerifyReader(ctx context.Context, r io.ReaderAt, size int64, opt VerifyOptions) (*Verdict, error) {
	v, _, err := verifyFile(ctx, r, size, opt)
	return v, err
}

// verifyFile also gives what package sign found, with the files inside.
func verifyFile(ctx context.Context, r io.ReaderAt, size int64, opt VerifyOptions) (*Verdict, *sign.Report, error) {
	rep, err := sign.Verify(ctx, r, size, sign.VerifyOptions{KnownKeys: opt.Known, Roots: opt.Roots, TSARoots: opt.TSARoots, Now: opt.Now, Limits: opt.Limits})
	if err != nil {
		return nil, nil, fmt.Errorf("check report: %w", err)
	}
	v := &Verdict{Schema: VerdictSchema, Size: size, Pages: rep.Pages, Countersigned: rep.Countersigned, Lines: []Line{}, Signatures: []Signed{}}
	v.signatures(rep)
	if !rep.Has(sign.Unreadable) && !rep.Has(sign.Encrypted) && !rep.Has(sign.TooLarge) {
		c := &checker{ctx: ctx, v: v, rep: rep, r: r, size: size, lim: opt.Limits}
		c.run()
	}
	if opt.Strict {
		v.strict(rep, r, size, opt.Limits)
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, fmt.Errorf("check report: %w", err)
	}
	v.OK = rep.OK && !v.bad()
	return v, rep, nil
}

// signatures takes over what package sign found.
func (v *Verdict) signatures(rep *sign.Report) {
	standing := map[sign.Severity]Standing{sign.Info: Good, sign.Warning: Note, sign.Alarm: Bad}
	for _, f := range rep.Findings {
		s := standing[f.Severity]
		if f.Code == sign.ClaimedTime {
			s = Note // a statement of the signer's, nothing proven
		}
		v.say(f.Code, s, f.Text)
	}
	at := func(t time.Time) *time.Time {
		if t.IsZero() {
			return nil
		}
		return &t
	}
	for _, s := range rep.Signatures {
		v.Signatures = append(v.Signatures, Signed{
			Field: s.Field, Signer: s.Signer, Shop: s.Shop, Fingerprint: string(s.Fingerprint), Known: s.Known, KnownAs: s.KnownAs, Trusted: s.Trusted,
			Intact: s.Intact, CoversAll: s.CoversAll, Claimed: at(s.ClaimedTime), Proven: at(s.TrustedTime), Authority: s.Authority,
		})
	}
	if len(rep.Signatures) > 0 && !rep.Countersigned {
		v.say(NotCountersigned, Note, "No buyer has countersigned it.")
	}
}

// checker compares record, grade and pages with one another.
type checker struct {
	ctx  context.Context
	v    *Verdict
	rep  *sign.Report
	r    io.ReaderAt
	size int64
	lim  pdf.Limits
	text *catalogue.Text // in which the pages must say what they say

	photos map[string]string // see named
}

func (c *checker) run() {
	rec, ok := c.record()
	if !ok {
		return
	}
	texts, err := pageTexts(c.r, c.size, c.lim)
	if err != nil {
		c.v.say(RecordOther, Bad, fmt.Sprintf("The pages cannot be read (%v), so nothing shows that they belong to the record inside.", err))
		return
	}
	if c.text = c.language(); c.text == nil {
		return
	}
	if len(texts) == 0 {
		c.v.say(RecordOther, Bad, "There are no pages, so nothing is shown of the record inside.")
		return
	}
	c.footers(texts)
	c.texts(rec, texts)
	if g := c.grade(rec, texts); g != nil {
		c.marks(g, texts)
	}
	c.files()
	c.originals(rec)
}

// maxInside bounds one of the JSON files inside, in bytes.
const maxInside = 64 << 20

// inside is the content of an attached JSON file, nil when there is none.
func (c *checker) inside(name string) []byte {
	a, ok := c.rep.Attachment(name)
	if !ok {
		return nil
	}
	data, err := a.Bytes(maxInside)
	if err != nil {
		return []byte{} // there is one, and nothing can be read from it
	}
	return data
}

// record reads the attached record and its digest.
func (c *checker) record() (*record.Record, bool) {
	data := c.inside(RecordName)
	if data == nil {
		c.v.say(RecordMissing, Bad, "There is no record inside the file. It is not a report of this program, or the record was taken out.")
		return nil, false
	}
	rec, err := record.Read(bytes.NewReader(data))
	if err != nil || rec.Schema != record.Schema {
		if err == nil {
			err = fmt.Errorf("it does not name the schema %s", record.Schema)
		}
		c.v.say(RecordMissing, Bad, fmt.Sprintf("The record inside the file cannot be read: %v.", err))
		return nil, false
	}
	// A record that says a thing twice could be read in two ways; the canonical
	// form cannot.
	if one, err := jcs.Transform(data); err != nil || !bytes.Equal(one, data) {
		c.v.say(RecordMissing, Bad, "The record inside the file is not in the one form that a report's record has, so different programs might read it differently.")
		return nil, false
	}
	c.v.Record, c.v.RecordHash = rec, hexSum(data)
	return rec, true
}

// footers sees that every page names the attached record and no other.
func (c *checker) footers(texts [][]string) {
	for i, page := range texts {
		if why := c.footer(page); why != "" {
			c.v.say(RecordOther, Bad, fmt.Sprintf("Page %d %s The record inside (%s …) and the pages do not belong together.", i+1, why, c.v.RecordHash[:16]))
			return
		}
	}
	c.v.say(RecordFits, Good, fmt.Sprintf("The record inside is the one that all %d pages name, by its digest.", len(texts)))
}

func (c *checker) footer(texts []string) string {
	found := false
	for _, s := range texts {
		d := page.FooterDigest(s, c.text)
		if d == "" {
			continue
		}
		if d != c.v.RecordHash {
			return fmt.Sprintf("names the record %.16s ….", d)
		}
		found = true
	}
	if !found {
		return "names no record."
	}
	return ""
}

// grade computes the grade again and compares it with the one attached and the
// figures printed. It returns the grade when all three agree.
func (c *checker) grade(rec *record.Record, texts [][]string) *grade.Result {
	data := c.inside(GradeName)
	if data == nil {
		c.v.say(GradeMissing, Bad, "No grade is attached, so the printed figures cannot be compared with one.")
		return nil
	}
	var said grade.Result
	if err := json.Unmarshal(data, &said); err != nil {
		c.v.say(GradeMissing, Bad, fmt.Sprintf("The grade inside the file cannot be read: %v.", err))
		return nil
	}
	rubric := c.rubric(rec, &said)
	if rubric == nil {
		return nil
	}
	d, err := grade.DrawingFor(rec.Instrument)
	if err == nil {
		c.v.Grade, err = grade.Grade(rec, d, rubric)
	}
	if err != nil {
		c.v.say(GradeNotFollowing, Bad, fmt.Sprintf("The grade does not follow from the record: %v.", err))
		return nil
	}
	if diff := differs(c.v.Grade, data); diff != "" {
		c.v.say(GradeNotFollowing, Bad, "The grade does not follow from the record: "+diff+".")
		return nil
	}
	if diff := figuresDiffer(c.v.Grade, texts, c.text); diff != "" {
		c.v.say(FiguresOther, Bad, "Page 1 does not print the grade of the record: "+diff+".")
		return nil
	}
	c.v.say(GradeFollows, Good, fmt.Sprintf("The grade was computed again from the record inside with %q: it is the one attached, and page 1 prints it.", said.Rubric))
	if !rubric.Shipped() {
		c.v.say(RubricOwn, Note, fmt.Sprintf("It was recomputed by the rubric inside the report, which is not one of Wornwood's: %s (%.16s …), %s. Whether its numbers are fair is not checked.", rubric.Name, rubric.Hash(), rubric.Origin()))
	}
	return c.v.Grade
}

// figuresDiffer looks for the three answers on page 1, each label with its
// figure behind it.
func figuresDiffer(g *grade.Result, texts [][]string, t *catalogue.Text) string {
	if len(texts) == 0 {
		return "there is no page 1"
	}
	for _, want := range page.Answers(g, t) {
		found := false
		for i, s := range texts[0] {
			found = found || (s == want.Label && i+1 < len(texts[0]) && texts[0][i+1] == want.Figure)
		}
		if !found {
			return fmt.Sprintf("“%s %s” is not on it", want.Label, want.Figure)
		}
	}
	return ""
}
