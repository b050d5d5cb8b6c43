package ui

import (
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// historyJoins is the page of instruments that may be the same, with what speaks
// for and against, and of what people decided before. They are looked for beside
// the window, for the selected examination.
type historyJoins struct {
	s     *archiveHistory
	root  fyne.CanvasObject
	list  *fyne.Container
	past  *fyne.Container
	words *look.Text
	part  *look.Button

	work  sync.WaitGroup
	of    string // hash that list is of, or is being looked for
	found bool
}

func newHistoryJoins(s *archiveHistory) *historyJoins {
	p := &historyJoins{s: s, list: look.Spaced(14), past: look.Spaced(6), words: look.NewText("", look.Small, look.Dim)}
	p.part = look.NewButton("Part this examination from the others…", "", look.Plain, func() {
		s.decide("Part "+s.m.Look(s.m.Selected()).Date+" from the others", "It then stands as another instrument, and can be joined again.", "Part",
			func(a *archive.Archive, by, why string) error { return s.m.Part(a, by, why) })
	})
	left := look.Rows(p.words, look.Fixed(0, 6, look.Space()), look.Flex(1, container.NewVScroll(look.Inset(0, 0, 14, 8, p.list))))
	right := look.Rows(look.NewText("Decided by people", look.Body, look.Ink).Bold(), look.Fixed(0, 6, look.Space()), look.Flex(1, container.NewVScroll(p.past)), look.Columns(p.part, look.Space()))
	p.root = look.Columns(look.Flex(1.6, left), look.Fixed(16, 0, look.Space()), look.NewRule(), look.Fixed(16, 0, look.Space()), look.Flex(1, right))
	return p
}

// forget makes the next show look again.
func (p *historyJoins) forget() { p.of, p.found = "", false }

func (p *historyJoins) show(m *view.ArchiveHistory) fyne.CanvasObject {
	p.past.Objects = nil
	for _, d := range m.Decisions() {
		p.past.Add(look.Rows(look.NewText(d.Date+"  "+d.What, look.Small, look.Dim), paragraphs(d.Why)))
	}
	if len(p.past.Objects) == 0 {
		p.past.Add(look.NewParagraph("Nothing yet. What one bench examined twice and signed with one key belongs together by itself; everything else is joined by a person.", true).Object)
	}
	p.part.Hidden = !m.CanPart()
	p.past.Refresh()
	if hash := m.Hash(); p.of != hash {
		p.of, p.found = hash, false
		p.list.Objects = nil
		p.words.SetText("Looking for instruments that may be the same as this one…")
		p.ask(m, hash)
	}
	return p.root
}

func (p *historyJoins) ask(m *view.ArchiveHistory, hash string) {
	p.work.Add(1)
	go func() {
		list, words, err := m.Propose(p.s.w.ctx, hash)
		fyne.Do(func() {
			defer p.work.Done()
			if p.of != hash || p.s.m != m {
				return
			}
			if err != nil {
				p.words.SetText(view.Words(err))
				return
			}
			p.found = true
			p.words.SetText(words)
			p.list.Objects = nil
			for _, x := range list {
				p.list.Add(p.proposal(x))
			}
			p.list.Refresh()
		})
	}()
}

// proposal is one instrument with what speaks for and against it being the same.
func (p *historyJoins) proposal(x view.HistoryProposal) fyne.CanvasObject {
	s := p.s
	join := look.NewButton("Join…", "", look.Plain, func() {
		s.decide("Join with "+x.Second, "All examinations of both then stand on one line of time. It can be parted again.", "Join",
			func(a *archive.Archive, by, why string) error { return s.m.Join(a, by, why, x.Hash) })
	}).Tight()
	not := look.NewButton("Not the same…", "", look.Plain, func() {
		s.decide("Not the same as "+x.Second, "The two are not proposed again.", "Keep apart",
			func(a *archive.Archive, by, why string) error { return s.m.Distinct(a, by, why, x.Hash) })
	}).Tight()
	buttons := []fyne.CanvasObject{look.Flex(1, look.Rows(look.NewText(x.Title, look.Body, look.Ink).Bold(), look.NewText(x.Second, look.Small, look.Dim))),
		look.Centred(look.NewText(x.Strength, look.Body, look.Accent).Bold().Whole()), look.Centred(join), look.Centred(not)}
	if s.onOpen != nil {
		buttons = append(buttons, look.Centred(look.NewButton("Open", "", look.Plain, func() { s.onOpen(x.Hash) }).Tight()))
	}
	rows := []fyne.CanvasObject{look.SpacedColumns(8, buttons...)}
	for _, part := range []struct {
		word string
		list []string
	}{{"For", x.For}, {"Against", x.Against}} {
		if len(part.list) > 0 {
			rows = append(rows, look.SpacedColumns(8, look.Fixed(54, 0, look.Rows(look.NewText(part.word, look.Small, look.Dim), look.Space())), look.Flex(1, paragraphs(part.list...))))
		}
	}
	return look.Spaced(6, append(rows, look.NewRule())...)
}

// decide asks who decides and why, and has it written. The history then stays on
// the selected examination.
func (s *archiveHistory) decide(title, what, main string, do func(a *archive.Archive, by, why string) error) {
	var sh *sheet
	by, why := look.NewField("Who decides it", "", nil), look.NewNote("Why; it is kept in the log for others", 3, nil)
	if s.w.bench != nil {
		by.Set(s.w.bench.Settings().Examiner)
	}
	write := func() {
		if err := s.carryOut(func(a *archive.Archive) error { return do(a, by.Text(), why.Text()) }); err != nil {
			s.w.Fail(err)
			return
		}
		sh.hide()
		s.again()
	}
	by.OnCancel = func() { sh.hide() }
	why.OnCancel = by.OnCancel
	sh = s.w.showSheet(title, 460, look.Spaced(10, paragraphs(what), by, why), "Cancel", look.NewButton(main, "", look.Main, write))
	if by.Text() == "" {
		by.Focus(s.w.win.Canvas())
	} else {
		why.Focus(s.w.win.Canvas())
	}
}

func (s *archiveHistory) carryOut(do func(*archive.Archive) error) error {
	if s.change != nil {
		return s.change(do)
	}
	return do(s.m.Archive())
}

// again reads the history anew after a decision.
func (s *archiveHistory) again() {
	s.m.Stay(s.m.Hash())
	if err := s.m.Read(); err != nil {
		s.w.Fail(err)
		return
	}
	s.joins.forget()
	s.refresh()
	if s.onChanged != nil {
		s.onChanged()
	}
}
