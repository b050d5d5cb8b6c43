package ui

import (
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// kindField is the entry in which a few letters call up the kind of a mark,
// with the best matches under it while it is typed in.
type kindField struct {
	s       *marksScreen
	entry   *kindEntry
	list    *fyne.Container
	choices []*look.Button
	kind    string // of the mark shown
	number  int
	at      int // chosen match
	found   []view.KindChoice
}

// matches is how many kinds the list offers at once.
const matches = 6

func newKindField(s *marksScreen) *kindField {
	k := &kindField{s: s}
	k.entry = &kindEntry{k: k}
	k.entry.ExtendBaseWidget(k.entry)
	k.entry.OnChanged = func(string) { k.at = 0; k.match() }
	var rows []fyne.CanvasObject
	for i := range matches {
		b := look.NewButton("", "", look.Quiet, func() { k.at = i; k.choose() })
		k.choices = append(k.choices, b)
		rows = append(rows, look.Columns(b, look.Space()))
	}
	k.list = look.Rows(rows...)
	k.list.Hide()
	return k
}

// set shows the mark's kind unless somebody is typing another.
func (k *kindField) set(v *view.Panel) {
	changed := k.number != v.Number
	k.number, k.kind = v.Number, v.Title
	if !k.entry.typing || changed {
		k.entry.typing = false
		k.entry.quiet(v.Title)
		k.list.Hide()
	}
}

func (k *kindField) focus() {
	k.s.w.win.Canvas().Focus(k.entry)
	k.begin()
}

// begin offers all kinds, with the present word selected by being cleared.
func (k *kindField) begin() {
	k.entry.typing = true
	k.entry.SetPlaceHolder(k.kind)
	k.entry.quiet("")
	k.at = 0
	k.match()
	k.list.Show()
	k.s.panel.layout()
}

// offered is how many kinds the list shows.
func (k *kindField) offered() int { return min(matches, len(k.found)) }

// match fills the list with what the letters call up.
func (k *kindField) match() {
	if !k.entry.typing {
		return
	}
	letters, _ := view.KindTyped(k.entry.Text)
	k.found = k.s.m.Kinds(letters)
	for i, b := range k.choices {
		if i >= len(k.found) {
			b.Hide()
			continue
		}
		b.Show()
		b.SetText(string(k.found[i].Kind))
		b.SetChosen(i == k.at)
	}
	k.list.Show()
	k.s.panel.layout()
}

// choose takes the chosen match and the depth typed behind its letters; with no
// letters typed, Enter keeps the kind.
func (k *kindField) choose() {
	letters, depth := view.KindTyped(k.entry.Text)
	named := k.at < len(k.found) && (letters != "" || k.at > 0)
	var kind record.Kind
	if named {
		kind = k.found[k.at].Kind
	}
	k.end()
	if named {
		k.s.w.try(func() error { return k.s.m.SetKind(kind) })
	}
	if depth >= 0 {
		k.s.w.try(func() error { return k.s.m.SetDepth(depth) })
	}
}

// end stops typing and shows the mark's kind again.
func (k *kindField) end() {
	k.entry.typing = false
	k.list.Hide()
	k.entry.quiet(k.kind)
	k.s.refresh()
}

// kindEntry is the entry itself: arrows move through the matches, Enter takes
// one, Escape keeps the kind.
type kindEntry struct {
	widget.Entry
	k      *kindField
	typing bool
}

// quiet sets the text without calling up kinds.
func (e *kindEntry) quiet(s string) {
	on := e.OnChanged
	e.OnChanged = nil
	e.SetText(s)
	e.OnChanged = on
}

// FocusGained begins the choice, also when the field is reached by Tab.
func (e *kindEntry) FocusGained() {
	e.Entry.FocusGained()
	if !e.typing {
		e.k.begin()
	}
}

// FocusLost keeps the kind that the mark has.
func (e *kindEntry) FocusLost() {
	e.Entry.FocusLost()
	if e.typing {
		e.k.end()
	}
}

// TypedKey is called by the toolkit.
func (e *kindEntry) TypedKey(ev *fyne.KeyEvent) {
	switch ev.Name {
	case fyne.KeyDown:
		e.k.at = min(e.k.at+1, max(0, min(matches, len(e.k.found))-1))
		e.k.match()
	case fyne.KeyUp:
		e.k.at = max(0, e.k.at-1)
		e.k.match()
	case fyne.KeyReturn, fyne.KeyEnter:
		e.k.choose()
		e.k.s.w.win.Canvas().Unfocus()
	case fyne.KeyEscape:
		e.k.end()
		e.k.s.w.win.Canvas().Unfocus()
	default:
		e.Entry.TypedKey(ev)
	}
}

func itoa(n int) string { return strconv.Itoa(n) }
