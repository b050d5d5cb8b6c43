package ui

import (
	"context"
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveCheck is the page on which the archive is checked and a noted head is
// proven.
type archiveCheck struct {
	s       *archiveScreen
	root    fyne.CanvasObject
	copy    *look.Field
	buttons []*look.Button
	last    *look.Paragraph
	list    *fyne.Container
	report  *archive.CheckReport
	head    *look.Field
	proof   *look.Paragraph
}

func newArchiveCheck(s *archiveScreen) *archiveCheck {
	p := &archiveCheck{s: s, last: look.NewParagraph("", false), list: look.Spaced(10), proof: look.NewParagraph("", false)}
	p.copy = look.NewField("Second copy, to bring damaged or missing files back from; empty for none", "", nil)
	p.copy.SetHint("folder of a copy of this archive")
	all := look.NewButton("Check everything", "verify", look.Main, func() { p.check(archive.CheckOptions{}) })
	share := look.NewButton("Check today's share of the quarter", "", look.Plain, func() { p.check(archive.CheckOptions{Quarter: true}) })
	p.buttons = []*look.Button{all, share}
	left := look.Inset(24, 16, 24, 12, look.Spaced(12,
		look.NewText("Check the archive", look.Title, look.Ink).Bold(),
		paragraphs("Every byte is read again and held to the hash in the log, the log's chain is followed from its first line, and what is missing or too much is named. A share each day reads, in turn, everything within a quarter."),
		p.copy, look.SpacedColumns(8, all, share, look.Space()), p.last.Object))
	p.head = look.NewField("A head that was noted earlier, NUMBER:HASH", "", nil)
	p.head.Entry().OnSubmitted = func(string) { p.prove() }
	right := look.Inset(16, 16, 16, 12, look.Spaced(12, look.NewText("Prove a noted head", look.Title, look.Ink).Bold(),
		paragraphs("The head at the foot, noted on paper or with somebody else, shows later that nothing before it was taken out or altered. Without one that was noted elsewhere, whoever can write to the folder could write a whole new log."),
		p.head, look.Columns(look.NewButton("Prove it", "", look.Plain, p.prove), look.Space()), p.proof.Object))
	p.root = look.Columns(look.Flex(1, look.Rows(left, look.NewRule(), look.Flex(1, container.NewVScroll(look.Inset(24, 10, 24, 12, p.list))))),
		look.NewRule(), look.Fixed(detailWide, 0, look.On(look.Panel, look.Rows(right, look.Space()))))
	p.changed()
	return p
}

func (p *archiveCheck) object() fyne.CanvasObject { return p.root }

func (p *archiveCheck) shown() { p.changed() }

func (p *archiveCheck) changed() {
	for _, b := range p.buttons {
		if p.s.task != nil {
			b.Disable()
		} else {
			b.Enable()
		}
	}
	if p.s.lookOnly {
		p.copy.Disable()
	}
	switch {
	case p.report != nil:
		p.last.SetText(view.CheckSummary(p.report))
	case p.s.task == nil:
		p.last.SetText(view.LastCheck(p.s.a))
	}
}

// check runs a check; what it finds is listed below.
func (p *archiveCheck) check(opt archive.CheckOptions) {
	if p.s.task != nil {
		return
	}
	opt.Copy = expand(p.copy.Text())
	var found *archive.CheckReport
	p.s.run("Checking", func(ctx context.Context, report func(int, int, string)) (err error) {
		if opt.Trust, err = p.s.w.trusting(); err != nil {
			return err
		}
		opt.Progress = func(c archive.CheckProgress) {
			report(c.Done, c.Total, fmt.Sprintf("Checking, %.0f of about %.0f MB read", float64(c.Bytes)/1e6, float64(c.Wholesale)/1e6))
		}
		found, err = p.s.a.Check(ctx, opt)
		return err
	}, func() {}, func(err error) {
		if err != nil {
			p.s.w.Fail(err)
			return
		}
		p.report = found
		p.fill()
	})
}

func (p *archiveCheck) fill() {
	p.list.Objects = nil
	list := view.ArchiveFindings(p.report)
	for i, f := range list {
		if i == findingsMost {
			p.list.Add(paragraphs(view.Grouped(len(list)-i) + " further findings; 'wornwood archive check DIR --json' lists all of them."))
			break
		}
		icon, ink := "info", look.Dim
		switch {
		case f.Grave:
			icon, ink = "warning", look.Bad
		case f.Severity == "Minor":
			icon, ink = "warning", look.Missing
		}
		p.list.Add(look.SpacedColumns(10, look.Rows(look.NewIcon(icon, ink, 18), look.Space()),
			look.Flex(1, look.Rows(look.NewText(f.Severity+", "+f.Where, look.Small, look.Dim), paragraphs(f.Text), look.NewParagraph(f.Do, true).Object))))
	}
	p.list.Refresh()
}

// findingsMost bounds how many findings are on the screen.
const findingsMost = 200

// prove follows the log through a head that was noted.
func (p *archiveCheck) prove() {
	since, err := archive.ParseHead(p.head.Text())
	if err != nil {
		p.proof.SetText(view.Words(err))
		return
	}
	if p.s.task != nil {
		return
	}
	var proof *archive.Proof
	p.s.w.work("Following the log", func(context.Context, func(int, int, string)) (err error) {
		proof, err = p.s.a.Prove(since, 0)
		return err
	}, func() { p.proof.SetText(view.ProofWords(proof)) })
}
