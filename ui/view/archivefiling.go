package view

import (
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
)

// ArchiveFiling is what became of what was given to file. It is told of outcomes
// from one goroutine and read after, or between.
type ArchiveFiling struct {
	Paths []string // what was given, for going on after a break
	tally archive.Tally
	lines []ArchiveOutcome
	over  int // outcomes that are counted and not listed any more
	done  bool
	err   error
}

// ArchiveOutcome is what became of one file.
type ArchiveOutcome struct {
	Result, Source, Text, Hash string
	Bad                        bool
}

// outcomesMost bounds the list: further files that were filed, or there before,
// are only counted.
const outcomesMost = 5000

// Take takes an outcome in.
func (m *ArchiveFiling) Take(o archive.Outcome) {
	line := ArchiveOutcome{Result: Capital(string(o.Result)), Source: o.Source, Text: o.Why, Hash: o.Hash}
	switch o.Result {
	case archive.IsFiled:
		m.tally.Filed++
		if o.Linked != "" {
			m.tally.Linked++
			line.Text = "a later version of one that is filed"
		}
	case archive.IsThere:
		m.tally.There++
		line.Result, line.Text = "There already", "the same file was filed before"
	case archive.IsRefused, archive.WasRefused:
		m.tally.Refused++
		line.Bad = true
	case archive.IsLeft:
		m.tally.Left++
		line.Result, line.Bad = "Left where it is", true
	}
	if len(m.lines) >= outcomesMost && !line.Bad || len(m.lines) >= 4*outcomesMost {
		m.over++
		return
	}
	m.lines = append(m.lines, line)
}

// End says that filing ended, all of it or by an error.
func (m *ArchiveFiling) End(t archive.Tally, err error) {
	m.done, m.err = true, err
	m.tally.Passed = t.Passed
}

// Count is how many outcomes are listed, and Line one of them, the latest first.
func (m *ArchiveFiling) Count() int { return len(m.lines) }

// Line is the i-th outcome, the latest first.
func (m *ArchiveFiling) Line(i int) ArchiveOutcome {
	if i < 0 || i >= len(m.lines) {
		return ArchiveOutcome{}
	}
	return m.lines[len(m.lines)-1-i]
}

// Done is how many files were gone through.
func (m *ArchiveFiling) Done() int {
	return m.tally.Filed + m.tally.There + m.tally.Refused + m.tally.Left
}

// Broken says that filing ended before everything was gone through.
func (m *ArchiveFiling) Broken() bool { return m.done && m.err != nil }

// Summary says in a sentence or two what became of everything.
func (m *ArchiveFiling) Summary() string {
	t := m.tally
	filed := Grouped(t.Filed) + " filed"
	if t.Linked > 0 {
		filed += fmt.Sprintf(" (%s of them later versions of filed ones)", Grouped(t.Linked))
	}
	parts := []string{filed}
	for _, p := range []struct {
		n    int
		text string
	}{{t.There, "there already"}, {t.Refused, "refused"}, {t.Left, "left where they are"}, {t.Passed, "passed over, being neither PDF nor mail"}} {
		if p.n > 0 {
			parts = append(parts, Grouped(p.n)+" "+p.text)
		}
	}
	s := strings.Join(parts, ", ") + "."
	switch {
	case m.over > 0:
		s += fmt.Sprintf(" The list leaves out %s of them.", Grouped(m.over))
	case m.done && m.err == nil && m.Done() == 0:
		s = "There was no PDF and no mail in what was given."
	}
	return s
}

// Trouble says why filing broke off, "" where it did not.
func (m *ArchiveFiling) Trouble() string {
	if m.err == nil {
		return ""
	}
	if Words(m.err) == "Cancelled. Nothing was left half done." {
		return "Cancelled. What is listed as filed stays filed; go on, and the rest is taken up."
	}
	return Words(m.err) + " What is listed as filed stays filed."
}
