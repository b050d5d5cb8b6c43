package archive

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"wornwood/pdfout/sign"
)

// log goes along the log, and reads the files of each line. Behind a break it
// goes on, so that the files are checked all the same.
func (c *checking) log() error {
	head := Head{0, c.a.genesis}
	err := c.a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		e, err := readEntry(line, head)
		var broken *ChainError
		if errors.As(err, &broken) {
			c.whole = false
			c.find(Finding{Severity: Grave, Line: broken.Line, Text: "the line " + broken.Why, Do: doLog})
			e = Entry{}
			_ = json.Unmarshal(line, &e) // as much as can be read of it
		}
		before := head
		if head = (Head{e.Seq, sum(line)}); e.Seq == 0 {
			head.Seq = broken.Line
		}
		if canonical, err := e.line(); broken == nil && (err != nil || string(canonical) != string(line)) {
			c.whole = false
			c.find(Finding{Severity: Grave, Line: e.Seq, Text: "the line is not written in the one form that a line has, or holds what this program does not know", Do: doLog})
		}
		if e.Kind == Stamped && c.whole {
			if err := c.stamp(e, before); err != nil {
				return err
			}
		}
		if err := c.tree.add(line); err != nil {
			return err
		}
		return c.entry(e)
	})
	if errors.Is(err, ErrMissing) || (err == nil && head != c.a.Head() && c.whole) {
		c.whole, err = false, nil
		c.find(Finding{Severity: Grave, Text: "the log is missing or changed while it was read", Do: doLog})
	}
	return err
}

func keyOf(hash string) (key [sha256.Size]byte, ok bool) {
	raw, err := hex.DecodeString(hash)
	return key, err == nil && copy(key[:], raw) == len(key)
}

// entry checks the files that a line names.
func (c *checking) entry(e Entry) error {
	key, ok := keyOf(e.File)
	if !ok {
		return nil // a line about no file
	}
	var list []wanted
	switch e.Kind {
	case Removed:
		c.out.Removed++
		c.tombstone(e, c.known[key])
		c.known[key] = kept{line: e.Seq}
		return nil
	case Filed:
		c.known[key] = kept{Files, e.Seq, e.First}
		list = []wanted{{Ref{Files, e.File}, e.File, e.Size}, {Ref{Verdicts, e.File}, e.Verdict, -1}, {Ref{Records, e.File}, e.Record, -1}}
	case Rejected:
		if c.known[key].area == "" {
			c.known[key] = kept{Refused, e.Seq, ""}
		}
		list = []wanted{{Ref{Refused, e.File}, e.File, e.Size}, {Ref{Reasons, e.File}, e.Verdict, -1}}
	}
	if e.Seq < c.before.gone[key] {
		return nil // removed later
	}
	switch e.Kind {
	case Filed:
		c.out.Reports++
	case Rejected:
		c.out.Refused++
	}
	full := c.picked(e)
	for _, w := range list {
		if err := c.file(w, full); err != nil {
			return err
		}
	}
	if full && len(list) > 0 && c.share != nil {
		c.read = extend(c.read, e.Seq, c.share.skipped)
		c.share.skipped = false
	}
	return nil
}

// picked says whether the files of a line are read byte by byte.
func (c *checking) picked(e Entry) bool {
	if c.share != nil {
		return c.share.pick(e)
	}
	return drawn(c.opt.Seed, e.File) < c.opt.Share
}

// stamp judges a time-stamp over the log before its line.
func (c *checking) stamp(e Entry, before Head) error {
	root, err := c.tree.root()
	if err != nil {
		return err
	}
	b := bodyOf[stampedBody](e)
	bad := func(why string) error {
		c.find(Finding{Severity: Grave, Line: e.Seq, Text: "the time-stamp " + why, Do: doStamp})
		return nil
	}
	if h := b.Head; h.Head() != before || h.Root != root || h.Archive != c.a.genesis {
		return bad("is not over the log before it")
	}
	by, err := b.check(c.opt.Trust.TSARoots)
	if err != nil {
		return bad("does not hold: " + sentence(err))
	}
	if c.out.Stamps++; !by.Trusted {
		c.authorities.add(by.Authority)
	}
	return nil
}

// tombstone judges what is left of a removed report.
func (c *checking) tombstone(e Entry, was kept) {
	b := bodyOf[removedBody](e)
	bad := func(why string) {
		c.find(Finding{Severity: Grave, Line: e.Seq, Ref: &Ref{Files, e.File}, Text: "the tombstone of a removed report " + why, Do: doTomb})
	}
	t := b.Tombstone
	switch {
	case t.Schema != TombstoneSchema:
		bad("cannot be read")
	case t.Report != e.File || t.Archive != c.a.genesis || t.Line != was.line || t.Area != was.area || t.By != e.By || t.First != was.first:
		bad("is another's: it does not fit the line that filed the report")
	case len(b.Signatures) == 0:
		bad("bears no signature")
	}
	seen := map[sign.Fingerprint]bool{}
	for _, s := range b.Signatures {
		print, name, err := t.signedBy(s)
		switch {
		case err != nil:
			bad("bears a signature that does not hold: " + sentence(err))
		case seen[print]:
			bad("is signed twice with one key")
		case c.opt.Trust.Known[print] == "" && !sign.LeadsTo(s, c.opt.Trust.Roots, t.Removed):
			c.keys.add(fmt.Sprintf("%s, %s", name, print.Short()))
		}
		seen[print] = true
	}
}

// strangers are names that are not known here.
type strangers map[string]int

func (s *strangers) add(name string) {
	if *s == nil {
		*s = strangers{}
	}
	if len(*s) < 20 || (*s)[name] > 0 {
		(*s)[name]++
	}
}

func (s strangers) list() string { return strings.Join(slices.Sorted(maps.Keys(s)), "; ") }

// unknown says once whose word it takes on trust.
func (c *checking) unknown() {
	if len(c.authorities) > 0 {
		c.find(Finding{Severity: Remark, Text: "the log's head was stamped by authorities that are not trusted here: " + clean(c.authorities.list(), 500), Do: doTrust})
	}
	if len(c.keys) > 0 {
		c.find(Finding{Severity: Remark, Text: "reports were removed with keys that are not known here: " + clean(c.keys.list(), 500), Do: doKnow})
	}
}
