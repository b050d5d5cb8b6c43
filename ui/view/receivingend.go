package view

import (
	"context"
	"fmt"
	"strings"
	"time"

	"wornwood/pdfout/receive"
	"wornwood/pdfout/sign"
)

// Progress is "9 of 12 checked" with what was found so far.
func (m *Receiving) Progress() string {
	n, all := m.v.Progress()
	t := m.v.Draft().Tally()
	s := fmt.Sprintf("%d of %d checked", n, all)
	if t.Differ > 0 {
		s += ", " + count(t.Differ, "difference", "differences")
	}
	if t.New > 0 {
		s += fmt.Sprintf(", %d new", t.New)
	}
	return s
}

// Lacks says in a sentence what has to be said before anything can be signed, ""
// for nothing.
func (m *Receiving) Lacks() string {
	for _, r := range m.Rows() {
		if r.Lacks != "" {
			return r.Label + ": " + r.Lacks + "."
		}
	}
	return ""
}

// Clean says that everything was compared and found as described.
func (m *Receiving) Clean() bool { return m.v.Draft().Tally().Clean() }

// Countersigned says that the report has a buyer's signature already, so that
// only a receipt can be issued.
func (m *Receiving) Countersigned() bool { return m.v.Verdict.Countersigned }

// Found is what was found, in a line.
func (m *Receiving) Found() string { return Capital(m.v.Draft().Tally().Words()) }

// By, Place and Note are what was typed of who receives it.
func (m *Receiving) By() string { return m.v.Draft().By }

// Place is where it was received.
func (m *Receiving) Place() string { return m.v.Draft().Place }

// Remark is the note on the whole.
func (m *Receiving) Remark() string { return m.v.Draft().Note }

// SetAbout keeps who receives the instrument, where, and a note on the whole.
func (m *Receiving) SetAbout(by, place, note string) error { return m.v.About(by, place, note) }

// FirstKey tells whether signing will make the user's own key.
func (m *Receiving) FirstKey() bool { return !receive.HasKey(m.folder) }

// CheckSigning says what is wrong with what was typed, "" for nothing.
func (m *Receiving) CheckSigning(by, one, two, file string) string {
	switch {
	case strings.TrimSpace(by) == "":
		return "Say who receives the instrument."
	case one == "":
		return "Type the passphrase of your signing key."
	case m.FirstKey() && len([]rune(one)) < sign.MinPassphrase:
		return fmt.Sprintf("A new key needs a passphrase of %d characters or more.", sign.MinPassphrase)
	case m.FirstKey() && one != two:
		return "The two passphrases differ."
	case strings.TrimSpace(file) == "":
		return "Say which file to write."
	}
	return m.Lacks()
}

// FileFor proposes a file beside the report for what is about to be signed.
func (m *Receiving) FileFor(countersign bool) string {
	base := strings.TrimSuffix(m.v.Path, ".pdf")
	if countersign {
		return base + "-countersigned.pdf"
	}
	return base + "-receipt.pdf"
}

// Sign opens or makes the user's key and writes the countersigned copy or the
// receipt. It may run beside the window; nothing else may use the model then.
func (m *Receiving) Sign(ctx context.Context, countersign bool, file, passphrase string, now time.Time) (*receive.Done, error) {
	id, err := receive.OpenKey(m.folder, m.By(), passphrase, now)
	if err != nil {
		return nil, err
	}
	if countersign {
		// Whoever countersigned with something amiss was asked before.
		return m.v.Countersign(ctx, file, id, now, true)
	}
	return m.v.Issue(ctx, file, "", id, now)
}
