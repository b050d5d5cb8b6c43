package archive

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"time"

	"wornwood/pdfout"
)

// Severity says how much a finding matters.
type Severity string

// The severities. Grave: something filed is lost or altered, something removed
// is still there, or the log does not prove what it should. Minor: nothing filed
// is touched. Remark: all is as it should be, and there is something to know.
const (
	Grave  Severity = "grave"
	Minor  Severity = "minor"
	Remark Severity = "remark"
)

// Finding is one thing that is wrong, and what to do.
type Finding struct {
	Severity Severity `json:"severity"`
	Ref      *Ref     `json:"file,omitempty"` // where it is about a file
	Line     int64    `json:"line,omitempty"` // where it is about a line of the log
	Text     string   `json:"text"`
	Do       string   `json:"do"`
}

// What there is to do.
const (
	doRestore = "bring it back from a second copy: wornwood archive check DIR --copy COPY"
	doLog     = "compare log.jsonl with a second copy and with the heads that were noted elsewhere, and put the whole one in its place: wornwood archive check DIR --copy COPY does so where it can be proven"
	doRebuild = "wornwood archive rebuild DIR"
	doMove    = "find out who put it there; file it with 'wornwood archive file' if it belongs here, then take it out of the folder"
	doFinish  = "end the removal: wornwood archive remove DIR SHA256 --finish"
	doTomb    = "find out who removed it and why; bring the report back from a second copy or from the dealer, and keep the log as it is"
	doStamp   = "keep log.jsonl as it is, and compare it with a second copy; have the head stamped anew: wornwood archive stamp DIR --tsa ADDRESS"
	doTrust   = "where you rely on it: wornwood trust add FILE.pem --stamps, after comparing its certificate"
	doKnow    = "where it is one of yours: wornwood know add, after comparing the fingerprint"
)

// CheckOptions say how to check.
type CheckOptions struct {
	Share float64 // of the reports that are read byte by byte, drawn by Seed; 0 is all
	Seed  string  // "" or "day" draws others each day
	// Quarter reads, in place of a drawn share, those unread longest: as much of
	// all as the time since the last such check is of a quarter, so that every
	// night's share together is everything each quarter.
	Quarter  bool
	Copy     string               // place of a second copy of the archive, as OpenPlace takes it, to repair from; "" repairs nothing
	Mended   *Mended              // what MendLog did before the archive was opened, to be told of in the log
	Trust    pdfout.VerifyOptions // whose tombstones and time-stamps are relied on
	Progress func(CheckProgress)
}

// CheckProgress is how far a check is.
type CheckProgress struct {
	Done, Total      int    // files looked at
	Bytes, Wholesale int64  // of reports read, of about how many
	Name             string // SHA-256 of the report under way
}

// CheckReport is what a check found.
type CheckReport struct {
	Head     Head      `json:"head"` // of the log before the check
	Reports  int       `json:"reports"`
	Refused  int       `json:"refused"`
	Removed  int       `json:"removed"` // tombstones
	Stamps   int       `json:"stamps"`  // time-stamps over the log's head that hold
	Read     int       `json:"read"`    // files read byte by byte
	Bytes    int64     `json:"bytes"`   // read
	Findings []Finding `json:"findings"`
	Restored []Ref     `json:"restored,omitempty"`
	Mended   *Mended   `json:"mendedLog,omitempty"`
	// Unread is, after a check of a quarter's share, since when the one unread
	// longest is unread.
	Unread *time.Time `json:"unread,omitempty"`
}

// Wrong says whether there is a finding that asks for something to be done.
func (r *CheckReport) Wrong() bool { return r.count() > 0 }

// count is how many findings are more than remarks.
func (r *CheckReport) count() int {
	n := 0
	for _, f := range r.Findings {
		if f.Severity != Remark {
			n++
		}
	}
	return n
}

// kept is what the log says of a file up to a line.
type kept struct {
	area  Area // "" once it was removed
	line  int64
	first string
}

// checking is one check under way.
type checking struct {
	a      *Archive
	ctx    context.Context
	opt    CheckOptions
	out    *CheckReport
	copy   Store
	before survey
	share  *quarter // nil where a drawn share is read, or all
	known  map[[sha256.Size]byte]kept
	tree   *tree
	whole  bool // the chain, up to where the log was read
	done   CheckProgress
	fixed  []Event
	read   [][2]int64 // lines whose files were read

	authorities, keys strangers // who is not known here
}

// Check sees that the log is one unbroken chain, that every file it names is
// there with the bytes that it names, that there is no other, that what was
// removed is gone and signed for, that the time-stamps over the log hold, and
// that the index follows the log. With a second copy, what is damaged or missing
// is brought back from it. The check itself becomes a line of the log.
func (a *Archive) Check(ctx context.Context, opt CheckOptions) (*CheckReport, error) {
	if opt.Share <= 0 || opt.Share > 1 {
		opt.Share = 1
	}
	if opt.Seed == "" || opt.Seed == "day" {
		opt.Seed = a.now().UTC().Format(time.DateOnly)
	}
	if opt.Progress == nil {
		opt.Progress = func(CheckProgress) {}
	}
	c := &checking{a: a, ctx: ctx, opt: opt, out: &CheckReport{Head: a.Head(), Findings: []Finding{}}, known: map[[sha256.Size]byte]kept{}, tree: newTree(), whole: true}
	if m := opt.Mended; m != nil && m.Changed {
		c.out.Mended = m
		c.fixed = []Event{{Entry: m.entry()}}
	}
	if err := c.run(); err != nil {
		return nil, fmt.Errorf("check archive: %w", err)
	}
	return c.out, nil
}

func (c *checking) run() error {
	if c.opt.Copy != "" {
		if c.a.readOnly {
			return errors.New("nothing can be brought back into an archive that is open for reading only")
		}
		if err := c.openCopy(); err != nil {
			return err
		}
	}
	if err := c.look(); err != nil {
		return err
	}
	err := c.log()
	if err == nil {
		err = c.strangers()
	}
	if err == nil {
		err = c.readings()
	}
	if err != nil {
		// What was brought back is told of, and what was read counts.
		if (len(c.fixed) > 0 || c.share != nil && len(c.read) > 0) && c.whole && !c.a.readOnly {
			err = errors.Join(err, c.note("broken off: "))
		}
		return err
	}
	c.unknown()
	c.indexed()
	if c.share != nil && !c.share.oldest.IsZero() {
		c.out.Unread = &c.share.oldest
	}
	if c.a.readOnly || !c.whole {
		return nil // a line on a chain that is broken would prove nothing
	}
	return c.note("")
}

// look surveys the log before anything is read.
func (c *checking) look() error {
	var err error
	if c.before, err = c.a.survey(c.ctx); err != nil && !errors.Is(err, ErrMissing) {
		return err
	}
	c.done.Total, c.done.Wholesale = c.before.files, int64(float64(c.before.bytes)*c.opt.Share)
	if !c.opt.Quarter {
		return nil
	}
	if c.share, err = c.a.quarter(c.ctx, &c.before, c.a.now()); err != nil {
		return err
	}
	c.done.Wholesale = c.share.bytes
	return nil
}

// note writes what was brought back, and the check itself, into the log.
func (c *checking) note(before string) error {
	text := fmt.Sprintf("%s%d reports and %d refused ones; %d files read, %d findings, %d brought back", before, c.out.Reports, c.out.Refused, c.out.Read, c.out.count(), len(c.out.Restored))
	body := checkedBody{Read: c.read}
	switch {
	case c.share != nil:
		text += "; the share of a quarter"
		body.Quarter = true
	case c.opt.Share < 1:
		text += fmt.Sprintf("; a share of %g by the seed %q", c.opt.Share, clean(c.opt.Seed, 80))
		body.Read = nil
	case before == "" && c.out.Head.Seq > 0:
		body.Read = [][2]int64{{1, c.out.Head.Seq}}
	}
	e := Entry{Kind: Checked, Summary: text}
	if len(body.Read) > 0 || body.Quarter {
		raw, err := pdfout.Canonical(body)
		if err != nil {
			return err
		}
		e.Body = raw
	}
	events := append(c.fixed, Event{Entry: e})
	at, err := c.a.index.At()
	follows := err == nil && (at == c.a.at || c.a.at.Seq == 0)
	if err := c.a.write(events); err != nil {
		return err
	}
	if !follows {
		return nil
	}
	return c.a.apply(events)
}

// openCopy opens the second copy and sees that its log is the same as far as
// both go.
func (c *checking) openCopy() error {
	s, err := OpenPlace(c.ctx, c.opt.Copy)
	if err != nil {
		return fmt.Errorf("second copy: %w", err)
	}
	c.copy = s
	settings, err := s.Settings()
	if err != nil {
		return fmt.Errorf("second copy: %w", err)
	}
	if sum(settings) != c.a.genesis {
		return fmt.Errorf("%s is a copy of another archive: its %s differs", c.opt.Copy, settingsName)
	}
	p, err := prove(s, Head{0, c.a.genesis}, c.a.Head())
	switch {
	case err != nil:
		return fmt.Errorf("second copy: %w", err)
	case p.Holds && p.Head.Seq > c.a.Head().Seq:
		c.find(Finding{Severity: Grave, Line: c.a.Head().Seq, Text: fmt.Sprintf("the log ends here with line %d, that of the copy goes on to line %d: lines were taken out at the end", c.a.Head().Seq, p.Head.Seq), Do: doLog})
	case !p.Holds && p.Head.Seq >= c.a.Head().Seq:
		c.find(Finding{Severity: Grave, Text: "the log and that of the copy differ: " + p.Why, Do: doLog})
	}
	return nil
}

func (c *checking) find(f Finding) { c.out.Findings = append(c.out.Findings, f) }

// indexed looks at the index.
func (c *checking) indexed() {
	err := c.a.index.Check()
	if err == nil {
		var at Position
		if at, err = c.a.index.At(); err == nil && at != c.a.at && c.a.at.Seq > 0 {
			err = errors.New("the index does not follow the log")
		}
	}
	if err != nil {
		c.find(Finding{Severity: Minor, Text: sentence(err), Do: doRebuild})
	}
}
