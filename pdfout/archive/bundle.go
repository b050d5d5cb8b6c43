package archive

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// BundleOptions say what a bundle for a claim holds.
type BundleOptions struct {
	Before    string               // the day of the loss, 2006-01-02: the last examination before it, and everything since
	Reference string               // of the claim, as whoever asks calls it; "" for none
	Claim     *Claim               // against a policy, as ClaimOf tells it; nil for none
	Signer    *sign.Identity       // signs the head and the list of sums; nil for nobody
	Trust     pdfout.VerifyOptions // by which the reports are checked once more
	Progress  func(done, total int, name string)
}

// Bundled says what a bundle holds.
type Bundled struct {
	Title   string   `json:"title"`
	Serial  string   `json:"serial,omitempty"`
	Date    string   `json:"date"`
	Before  *Row     `json:"before"` // nil where no examination before the day is filed
	Since   []Row    `json:"since"`
	Reports int      `json:"reports"` // PDFs, every version of each
	Remarks []string `json:"remarks"` // what a reader should know first
	Head    TreeHead `json:"head"`
}

// maxBundle bounds the reports of one bundle.
const maxBundle = 200

// bundling is a bundle in the making.
type bundling struct {
	a     *Archive
	ctx   context.Context
	opt   BundleOptions
	claim Claim
	rows  []Row             // in the order of the examinations, the versions of each after one another
	names map[string]string // of the files of a report, by its SHA-256, without folder and ending
	proof *ProofFile
	shown *ProofResult
	now   map[string]*pdfout.Verdict // checked once more
	out   *Bundled
}

// Bundle writes a zip with what is filed of one instrument that matters for a
// loss: of its reports, named by their SHA-256, the last before the day and all
// since, with every version; what was found when each was filed; the proof that
// each stands in the log, by when; and a summary that explains itself. Everything
// in it can be checked without this program: HOW-TO-CHECK.txt says how. Without a
// key the same archive gives the same bytes.
//
// A report that is damaged ends it with an error: a bundle holds only what is as
// it was filed.
func (a *Archive) Bundle(ctx context.Context, w io.Writer, hashes []string, opt BundleOptions) (*Bundled, error) {
	if opt.Progress == nil {
		opt.Progress = func(int, int, string) {}
	}
	b := &bundling{a: a, ctx: ctx, opt: opt, names: map[string]string{}, now: map[string]*pdfout.Verdict{}}
	for _, step := range []func() error{func() error { return b.choose(hashes) }, b.check, b.prove} {
		if err := step(); err != nil {
			return nil, fmt.Errorf("bundle: %w", err)
		}
	}
	s, err := b.summary()
	if err == nil {
		err = b.write(w, s)
	}
	if err != nil {
		return nil, fmt.Errorf("bundle: %w", err)
	}
	b.out.Remarks = s.Remarks
	return b.out, nil
}

// choose finds the last examination before the day and those since.
func (b *bundling) choose(hashes []string) error {
	day, err := cleanDay("date of the loss", b.opt.Before)
	if err == nil && day == "" {
		err = errors.New("say on which day the loss was")
	}
	if err != nil {
		return err
	}
	var inst Instrument
	for _, h := range hashes {
		r, err := b.a.row(h)
		if err != nil {
			return err
		}
		if !inst.Has(r.Hash) {
			inst.Reports = append(inst.Reports, r)
		}
	}
	slices.SortFunc(inst.Reports, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.First, b.First), cmp.Compare(a.Seq, b.Seq))
	})
	b.claim = Claim{Date: day, Since: []Row{}}
	b.claim.choose(inst)
	for _, r := range inst.Reports {
		if slices.Contains(b.claim.Hashes, r.Hash) {
			b.rows = append(b.rows, r)
		}
	}
	if len(b.rows) == 0 {
		return errors.New("no report is named")
	}
	if len(b.rows) > maxBundle {
		return fmt.Errorf("%d reports, more than %d; name fewer", len(b.rows), maxBundle)
	}
	for i, r := range b.rows {
		what := "since"
		if r.Date < day {
			what = "before"
		}
		b.names[r.Hash] = fmt.Sprintf("%02d-%s-%s-%s-%s", i+1, what, r.Date, fileWord(r.Number), r.Hash[:8])
	}
	last := b.rows[len(b.rows)-1]
	b.out = &Bundled{Title: last.Title(), Serial: last.Serial, Date: day, Before: b.claim.Before, Since: b.claim.Since, Reports: len(b.rows)}
	return nil
}

// fileWord is a text of a report as part of a file's name on any system.
func fileWord(s string) string {
	s = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return '_'
	}, clean(s, 40))
	if s == "" {
		return "report"
	}
	return s
}

// check checks every report once more, as a reader would.
func (b *bundling) check() error {
	for i, r := range b.rows {
		b.opt.Progress(i, 2*len(b.rows), r.Hash)
		in, err := b.a.store.Open(Ref{Files, r.Hash})
		if err != nil {
			return fmt.Errorf("report %.16s: %w; 'wornwood archive check' says more", r.Hash, err)
		}
		v, _, err := pdfout.VerifyWhole(b.ctx, in, in.Size(), b.opt.Trust)
		if err := errors.Join(err, in.Close()); err != nil {
			return fmt.Errorf("report %.16s: %w", r.Hash, err)
		}
		b.now[r.Hash] = v
	}
	return nil
}

// prove proves that each report stands in the log.
func (b *bundling) prove() error {
	ask := ProofAsk{Signer: b.opt.Signer}
	for _, r := range b.rows {
		ask.Lines = append(ask.Lines, r.Seq)
	}
	var err error
	if b.proof, err = b.a.LineProof(b.ctx, ask); err != nil {
		return err
	}
	b.shown = b.proof.Check(ProofTrust{VerifyOptions: b.opt.Trust})
	b.out.Head = b.proof.Head
	if !b.shown.Holds {
		return fmt.Errorf("the log does not prove its own lines: %s; 'wornwood archive check' says more", strings.Join(b.shown.Why, "; "))
	}
	return nil
}

// stamped is by when a report stood in the log as an authority says, nil where
// none does.
func (b *bundling) stamped(r Row) *sign.Stamped {
	for _, l := range b.shown.Lines {
		if l.Seq == r.Seq {
			return l.Stamp
		}
	}
	return nil
}

// proven is when an authority that is trusted says the report was signed.
func (b *bundling) proven(r Row) *time.Time {
	if v := b.now[r.Hash]; len(v.Signatures) > 0 {
		return v.Signatures[0].Proven
	}
	return nil
}
