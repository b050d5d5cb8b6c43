package archive

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"
)

// Severity says how much a finding matters.
type Severity string

// The severities. Grave: something filed is lost or altered, or the log does
// not prove what it should. Minor: nothing filed is touched.
const (
	Grave Severity = "grave"
	Minor Severity = "minor"
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
	doLog     = "compare log.jsonl with a second copy and with the heads that were noted elsewhere, and put the whole one in its place"
	doRebuild = "wornwood archive rebuild DIR"
	doMove    = "find out who put it there; file it with 'wornwood archive file' if it belongs here, then take it out of the folder"
)

// CheckOptions say how to check.
type CheckOptions struct {
	Share    float64 // of the reports that are read byte by byte, drawn by Seed; 0 is all
	Seed     string  // "" or "day" draws others each day
	Copy     string  // place of a second copy of the archive (see OpenPlace), to repair from; "" repairs nothing
	Progress func(done, total int, name string)
}

// CheckReport is what a check found.
type CheckReport struct {
	Head     Head      `json:"head"` // of the log before the check
	Reports  int       `json:"reports"`
	Refused  int       `json:"refused"`
	Read     int       `json:"read"`  // files read byte by byte
	Bytes    int64     `json:"bytes"` // read
	Findings []Finding `json:"findings"`
	Restored []Ref     `json:"restored,omitempty"`
}

// checking is one check under way.
type checking struct {
	a     *Archive
	ctx   context.Context
	opt   CheckOptions
	out   *CheckReport
	copy  Store
	known map[[sha256.Size]byte]Area
	done  int
	fixed []Event
}

// Check sees that the log is one unbroken chain, that every file it names is
// there with the bytes that it names, that there is no other, and that the
// index follows the log. With a second copy, what is damaged or missing is
// brought back from it. The check itself becomes a line of the log.
func (a *Archive) Check(ctx context.Context, opt CheckOptions) (*CheckReport, error) {
	if opt.Share <= 0 || opt.Share > 1 {
		opt.Share = 1
	}
	if opt.Seed == "" || opt.Seed == "day" {
		opt.Seed = a.now().UTC().Format(time.DateOnly)
	}
	if opt.Progress == nil {
		opt.Progress = func(int, int, string) {}
	}
	c := &checking{a: a, ctx: ctx, opt: opt, out: &CheckReport{Head: a.Head(), Findings: []Finding{}}, known: map[[sha256.Size]byte]Area{}}
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
	whole, err := c.log()
	if err != nil {
		return err
	}
	if err := c.strangers(); err != nil {
		return err
	}
	c.indexed()
	if c.a.readOnly || !whole {
		return nil // a line on a chain that is broken would prove nothing
	}
	text := fmt.Sprintf("%d reports and %d refused ones; %d files read, %d findings, %d brought back", c.out.Reports, c.out.Refused, c.out.Read, len(c.out.Findings), len(c.out.Restored))
	if c.opt.Share < 1 {
		text += fmt.Sprintf("; a share of %g by the seed %q", c.opt.Share, clean(c.opt.Seed, 80))
	}
	events := append(c.fixed, Event{Entry: Entry{Kind: Checked, Summary: text}})
	at, err := c.a.index.At()
	follows := err == nil && (at == c.a.at || c.a.at.Seq == 0)
	if err := c.a.write(events); err != nil {
		return err
	}
	if !follows {
		return nil
	}
	return c.a.index.Apply(events, c.a.at)
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

// log goes along the log, and reads the files of each line. Behind a break it
// goes on, so that the files are checked all the same.
func (c *checking) log() (whole bool, err error) {
	head := Head{0, c.a.genesis}
	whole = true
	err = c.a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		e, err := readEntry(line, head)
		var broken *ChainError
		if errors.As(err, &broken) {
			whole = false
			c.find(Finding{Severity: Grave, Line: broken.Line, Text: "the line " + broken.Why, Do: doLog})
			e = Entry{}
			_ = json.Unmarshal(line, &e) // as much as can be read of it
		}
		if head = (Head{e.Seq, sum(line)}); e.Seq == 0 {
			head.Seq = broken.Line
		}
		if canonical, err := e.line(); broken == nil && (err != nil || string(canonical) != string(line)) {
			whole = false
			c.find(Finding{Severity: Grave, Line: e.Seq, Text: "the line is not written in the one form that a line has, or holds what this program does not know", Do: doLog})
		}
		return c.entry(e)
	})
	if errors.Is(err, ErrMissing) || (err == nil && head != c.a.Head() && whole) {
		whole, err = false, nil
		c.find(Finding{Severity: Grave, Text: "the log is missing or changed while it was read", Do: doLog})
	}
	return whole, err
}

// entry checks the files that a line names.
func (c *checking) entry(e Entry) error {
	var key [sha256.Size]byte
	if raw, err := hex.DecodeString(e.File); err != nil || copy(key[:], raw) != len(key) {
		return nil // a line about no file
	}
	var list []wanted
	switch e.Kind {
	case Filed:
		c.out.Reports++
		c.known[key] = Files
		list = []wanted{{Ref{Files, e.File}, e.File, e.Size}, {Ref{Verdicts, e.File}, e.Verdict, -1}, {Ref{Records, e.File}, e.Record, -1}}
	case Rejected:
		c.out.Refused++
		if c.known[key] == "" {
			c.known[key] = Refused
		}
		list = []wanted{{Ref{Refused, e.File}, e.File, e.Size}, {Ref{Reasons, e.File}, e.Verdict, -1}}
	}
	for _, w := range list {
		if err := c.file(w); err != nil {
			return err
		}
	}
	return nil
}

// wanted is a file as the log names it; a size below 0 is not named.
type wanted struct {
	ref  Ref
	hash string
	size int64
}

func (c *checking) file(w wanted) error {
	c.done++
	c.opt.Progress(c.done, 0, w.ref.Hash)
	n, err := c.read(c.a.store, w, drawn(c.opt.Seed, w.ref.Hash) < c.opt.Share)
	c.out.Bytes += n
	if n > 0 {
		c.out.Read++
	}
	var wrong *wrongFile
	if err == nil || !errors.As(err, &wrong) {
		return err
	}
	f := Finding{Severity: Grave, Ref: &w.ref, Text: wrong.why, Do: doRestore}
	if c.copy != nil {
		why, err := c.restore(w)
		if err != nil {
			return err
		}
		if why == "" {
			return nil
		}
		f.Text, f.Do = f.Text+"; "+why, "look for another copy, or for the file that the dealer sent"
	}
	c.find(f)
	return nil
}

// wrongFile says that a file is not what the log names.
type wrongFile struct{ why string }

func (e *wrongFile) Error() string { return e.why }

// read compares a file with what the log names: its size always, its bytes
// where asked.
func (c *checking) read(s Store, w wanted, bytes bool) (int64, error) {
	f, err := s.Open(w.ref)
	if errors.Is(err, ErrMissing) {
		return 0, &wrongFile{"the file is missing"}
	}
	if err != nil {
		return 0, &wrongFile{"the file cannot be opened: " + sentence(err)}
	}
	defer f.Close()
	if w.size >= 0 && f.Size() != w.size {
		return 0, &wrongFile{fmt.Sprintf("the file has %d bytes and not %d", f.Size(), w.size)}
	}
	if !bytes {
		return 0, nil
	}
	h := sha256.New()
	n, err := io.Copy(h, f)
	if err != nil {
		return n, &wrongFile{"the file cannot be read: " + sentence(err)}
	}
	if got := hex.EncodeToString(h.Sum(nil)); got != w.hash {
		return n, &wrongFile{fmt.Sprintf("the file was altered: its SHA-256 is now %s", got)}
	}
	return n, nil
}

// drawn is a number from 0 up to under 1 that follows from seed and report.
func drawn(seed, hash string) float64 {
	h := sha256.Sum256([]byte(seed + " " + hash))
	return float64(binary.BigEndian.Uint64(h[:8])>>11) / (1 << 53)
}

// restore brings a file back from the copy; it says why it could not.
func (c *checking) restore(w wanted) (why string, err error) {
	if _, err := c.read(c.copy, w, true); err != nil {
		return "in the copy, " + err.Error(), nil
	}
	f, err := c.copy.Open(w.ref)
	if err != nil {
		return "", err
	}
	defer f.Close()
	if err := c.a.store.Restore(w.ref, f); err != nil {
		return "", err
	}
	if _, err := c.read(c.a.store, w, true); err != nil {
		return "brought back from the copy, " + err.Error(), nil
	}
	c.out.Restored = append(c.out.Restored, w.ref)
	c.fixed = append(c.fixed, Event{Entry: Entry{Kind: Restored, File: w.ref.Hash, Area: w.ref.Area, Summary: "brought back from a second copy"}})
	return "", nil
}

// strangers looks for files that no line names.
func (c *checking) strangers() error {
	for _, area := range Areas() {
		err := c.a.store.List(area, func(hash string, _ int64, stranger string) error {
			if stranger != "" {
				c.find(Finding{Severity: Minor, Text: fmt.Sprintf("%s is no file of the archive", clean(stranger, 300)), Do: doMove})
				return nil
			}
			var key [sha256.Size]byte
			raw, err := hex.DecodeString(hash)
			copy(key[:], raw)
			is, named := c.known[key]
			if err != nil || !named || (is == Refused && area != Refused && area != Reasons) {
				c.find(Finding{Severity: Grave, Ref: &Ref{area, hash}, Text: "no line of the log names this file: it was put here by hand, or lines were taken out of the log", Do: doMove})
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

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
