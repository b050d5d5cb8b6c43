package ui

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// datingScreen shows the dated things as bars over years, what they allow
// together, and the form of the selected one.
type datingScreen struct {
	w    *Window
	m    *view.Dating
	root fyne.CanvasObject

	bars      *yearBars
	axis      *yearAxis
	foot      *yearAxis
	scroll    *container.Scroll // of the bars
	says      *look.Paragraph   // of the row under the pointer or selected
	sentences *fyne.Container
	told      []string
	form      *datingForm
}

func newDatingScreen(w *Window) *datingScreen {
	s := &datingScreen{w: w, m: view.NewDating(w.exam.s, func() []dating.Table { return dating.Load(w.bench) }, w.now)}
	s.bars = newYearBars(s.pick, s.hover)
	s.axis, s.foot = newYearAxis(false), newYearAxis(true)
	s.says, s.sentences = look.NewParagraph("", false), container.NewStack()
	s.form = newDatingForm(s)
	s.scroll = container.NewVScroll(s.bars)
	chart := look.Rows(s.axis, look.Flex(1, s.scroll), look.NewRule(), s.foot)
	tables := look.NewButton("Own tables…", "", look.Plain, func() { w.showTables(s) })
	head := look.SpacedColumns(12, look.Flex(1, look.Rows(look.Space(), look.NewText("Dating", look.Title, look.Ink).Bold(),
		look.NewText("What the dated parts and papers allow", look.Small, look.Dim), look.Space())), look.Centred(tables))
	left := look.Rows(look.Fixed(0, 44, head), look.Flex(1, chart), look.NewRule(),
		look.Inset(barSign+4, 7, 12, 5, look.Fixed(0, 52, container.NewVScroll(s.says.Object))), look.NewRule(),
		look.Fixed(0, 148, container.NewVScroll(look.Inset(barSign+4, 8, 12, 8, s.sentences))))
	s.root = look.Columns(look.Flex(1, look.Inset(24, 12, 16, 0, left)), look.NewRule(), look.Fixed(344, 0, s.form.object()))
	return s
}

func (s *datingScreen) object() fyne.CanvasObject { return s.root }

func (s *datingScreen) pick(key string) {
	s.w.takeTyped()
	s.m.Select(key)
	s.refresh()
	s.reveal()
}

// reveal scrolls as far as the selected row needs to be seen whole.
func (s *datingScreen) reveal() {
	top, bottom, ok := s.bars.selected()
	off, high := s.scroll.Offset.Y, s.scroll.Size().Height
	switch {
	case !ok:
		return
	case top < off:
		off = top
	case bottom > off+high:
		off = bottom - high
	default:
		return
	}
	s.scroll.ScrollToOffset(fyne.NewPos(0, off))
}

func (s *datingScreen) hover(key string) {
	_, rows := s.m.Chart()
	text := "Point at a row, or select one, to read what it says."
	for _, r := range rows {
		if r.Key == key || (key == "" && r.Selected) {
			text = r.Sentence
		}
	}
	if len(rows) == 0 {
		text = "List what carries a date: a code on a part, the serial number, a way of building, a paper. Codes entered on the Electronics screen are listed by themselves."
	}
	s.says.SetText(text)
}

func (s *datingScreen) refresh() {
	c, rows := s.m.Chart()
	s.bars.Set(c, rows)
	r := s.m.Result()
	claim := ""
	if cl := r.Claim(); cl != nil {
		claim = "claimed " + cl.Text
	}
	s.axis.Set(c, claim, "", "")
	allows := r.Allows.Words()
	if r.Counted == 0 {
		allows = "nothing counts yet"
	}
	s.foot.Set(c, "", "Allowed together", view.Capital(allows))
	s.hover("")
	if told := s.m.Sentences(); strings.Join(told, "\n") != strings.Join(s.told, "\n") {
		s.told = told
		s.sentences.Objects = []fyne.CanvasObject{paragraphs(told...)}
		s.sentences.Refresh()
	}
	s.form.refresh()
}

// add lists a new piece and puts the keyboard into its first field.
func (s *datingScreen) add(k record.EvidenceKind) {
	s.w.takeTyped()
	s.w.try(func() error { return s.m.Add(k) })
	s.refresh()
	s.reveal()
	s.form.focus()
}
