package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// archiveHistoryPane is the page with the history of an instrument.
type archiveHistoryPane struct {
	s    *archiveScreen
	h    *archiveHistory
	hash string // of a report of the instrument
}

func newArchiveHistoryPane(s *archiveScreen) *archiveHistoryPane {
	p := &archiveHistoryPane{s: s, h: newArchiveHistory(s.w)}
	p.h.onOpen = s.open
	p.h.onChanged = s.refreshFoot
	p.h.change = s.change
	p.h.onRead = func(hashes ...string) error { return people.Reads(s.a, s.dir, archive.ReadHistory, hashes...) }
	return p
}

func (p *archiveHistoryPane) object() fyne.CanvasObject { return p.h.object() }
func (p *archiveHistoryPane) changed()                  {}

// shown tells the history of the report that was chosen last.
func (p *archiveHistoryPane) shown() {
	if hash, _ := p.s.find.m.Chosen(); p.hash == "" {
		p.hash = hash
	}
	if p.hash != "" {
		p.h.show(p.s.a, p.hash)
	}
}

// archiveDuePane is the page with what is insured and what is due for it.
type archiveDuePane struct {
	s     *archiveScreen
	d     *archiveDue
	stale bool
}

func newArchiveDuePane(s *archiveScreen) *archiveDuePane {
	p := &archiveDuePane{s: s, d: newArchiveDue(s.w), stale: true}
	p.d.onOpen, p.d.change, p.d.onChanged = s.open, s.change, s.refreshFoot
	return p
}

func (p *archiveDuePane) object() fyne.CanvasObject { return p.d.object() }
func (p *archiveDuePane) changed()                  { p.stale = true }

// shown reads what is due where something may have changed.
func (p *archiveDuePane) shown() {
	if p.stale {
		p.stale = p.s.task != nil
		p.d.show(p.s.a)
	}
}
