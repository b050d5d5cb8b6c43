package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// whatIfPane lists the parts that were not inspected, and the index if each
// turned out sound or worn out.
type whatIfPane struct {
	m     *view.Grade
	rows  []view.UnseenRow
	table *look.Table
	says  *look.Paragraph
	root  fyne.CanvasObject
}

func newWhatIfPane(m *view.Grade) *whatIfPane {
	p := &whatIfPane{m: m, says: look.NewParagraph("", false)}
	p.table = look.NewTable([]look.Column{{Title: "Not inspected", Width: 150}, {Title: "Share", Width: 56, Right: true, Dim: true}, {Title: "If sound"}, {Title: "If worn out"}},
		func() int { return len(p.rows) }, func(row, col int) string {
			r := p.rows[row]
			return [...]string{view.Capital(string(r.Part)), r.Share, r.Sound, r.WornOut}[col]
		})
	p.root = look.Rows(look.Inset(0, 0, 0, 10, p.says.Object), look.Flex(1, p.table.Object))
	return p
}

func (p *whatIfPane) object() fyne.CanvasObject { return p.root }

func (p *whatIfPane) refresh() {
	p.rows = p.m.Unseen()
	p.says.SetText("What the index would be if a part that was not inspected were looked at and found sound, or worn out. What each mark does stands under the ledger.")
	if len(p.rows) == 0 {
		p.says.SetText("Every part that is fitted was inspected, so no part leaves the index open. What each mark does stands under the ledger.")
		p.table.Object.Hide()
	} else {
		p.table.Object.Show()
	}
	p.table.Refresh()
}

// originalityPane lists the parts with their states and what each takes.
type originalityPane struct {
	m     *view.Grade
	rows  []view.StateRow
	says  *look.Paragraph
	table *look.Table
	of    *look.Text
	ifs   *ifList
	root  fyne.CanvasObject
}

func newOriginalityPane(m *view.Grade) *originalityPane {
	p := &originalityPane{m: m, says: look.NewParagraph("", false), of: look.NewText("", look.Small, look.Ink).Bold(), ifs: newIfList()}
	p.table = look.NewTable([]look.Column{{Title: "Part"}, {Title: "Share", Width: 56, Right: true, Dim: true}, {Title: "State", Width: 150}, {Title: "takes", Width: 80, Right: true}},
		func() int { return len(p.rows) }, func(row, col int) string {
			r := p.rows[row]
			return [...]string{view.Capital(string(r.Part)), r.Share, r.State, r.Takes}[col]
		})
	p.table.OnSelect = func(row int) {
		m.ChoosePart(p.rows[row].Part)
		p.states()
	}
	p.root = look.Rows(look.Inset(0, 0, 0, 10, p.says.Object), look.Flex(1, p.table.Object), look.Inset(0, 8, 0, 0, look.Spaced(2, p.of, p.ifs.box)))
	return p
}

func (p *originalityPane) object() fyne.CanvasObject { return p.root }

func (p *originalityPane) refresh() {
	p.rows = p.m.States()
	p.says.SetText(p.m.OriginalityWords())
	p.table.Refresh()
	p.states()
}

// states shows what originality would be with the chosen part in another state.
func (p *originalityPane) states() {
	if p.m.ChosenPart() == record.PartID("") {
		p.of.SetText("Choose a part to see what another state would make of it.")
	} else {
		p.of.SetText("Originality if the " + string(p.m.ChosenPart()) + " were")
	}
	p.ifs.set(p.m.IfStates())
}

// wordsPane is the calculation in sentences.
type wordsPane struct {
	m     *view.Grade
	words *sentences
	root  fyne.CanvasObject
}

func newWordsPane(m *view.Grade) *wordsPane {
	p := &wordsPane{m: m, words: newSentences(false)}
	p.root = container.NewVScroll(look.Inset(0, 0, 12, 0, p.words.box))
	return p
}

func (p *wordsPane) object() fyne.CanvasObject { return p.root }

func (p *wordsPane) refresh() {
	all := p.m.Explain()
	const most = 120 // laying out many hundred paragraphs takes too long
	if len(all) > most {
		all = append(all[:most:most], "And more; “wornwood grade --explain” prints every step.")
	}
	p.words.set(all)
}
