//go:build ci

package ui

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"wornwood/capture/record"
	"wornwood/ui/view"
)

// partsNow shows the Parts screen, laid out, with a part selected.
func (w *Window) partsNow(t *testing.T, part record.PartID) *partsScreen {
	t.Helper()
	w.ShowScreen(view.PartsScreen)
	settle(w)
	s, ok := w.frame.now.(*partsScreen)
	if !ok {
		t.Fatalf("the Parts screen is a %T", w.frame.now)
	}
	if part != "" {
		s.choose(s.rowOf(part))
	}
	return s
}

func (s *partsScreen) rowOf(part record.PartID) int {
	return slices.IndexFunc(s.rows, func(r view.PartRow) bool { return r.Part == part })
}

// tapCell clicks on a cell of the list of parts.
func (l *keyList) tapCell(row, col int) {
	at, size := l.box(row, col)
	test.TapAt(l, at.AddXY(size.Width/2, size.Height/2))
}

// TestPartsByPointer changes what a part is by the list of states, the switch
// in the row, the panel and the ways of judging.
func TestPartsByPointer(t *testing.T) {
	w := bareWindow(t, large, false)
	s := w.partsNow(t, "")
	row := s.rowOf(record.Electronics)
	part := func() *record.Part { return w.exam.s.Scene().Record.PartByID(record.Electronics) }

	s.list.tapCell(row, stateColumn)
	if s.m.Selected() != record.Electronics {
		t.Fatalf("a click selects %q", s.m.Selected())
	}
	top := w.win.Canvas().Overlays().Top()
	if top == nil {
		t.Fatal("a click on the state opens no list")
	}
	list := lookAt(w)
	for _, st := range record.States() {
		if !list.has(string(st)) {
			t.Errorf("the list does not offer %q", st)
		}
	}
	w.win.Canvas().Overlays().Remove(top)
	s.list.tapCell(row, conditionColumn)
	if !part().Inspected {
		t.Error("a click on the condition did not say that it was inspected")
	}
	s.list.tapCell(row, conditionColumn)
	if part().Inspected {
		t.Error("another click did not take it back")
	}
	p := s.panel
	p.state.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	if part().State != record.Missing {
		t.Errorf("the arrow key on the panel's state left it at %q", part().State)
	}
	test.TapAt(p.inspected, fyne.NewPos(p.inspected.Size().Width*0.75, 10))
	if !part().Inspected {
		t.Error("a click on inspected did not say so")
	}
	for m, b := range p.methods {
		had := slices.Contains(part().Judged, m)
		test.Tap(b)
		if slices.Contains(part().Judged, m) == had {
			t.Errorf("a click on %q changed nothing", m)
		}
	}
	checkHeader(t, w, lookAt(w))
}

// TestPartsByKeys goes down the list and through a checklist without the
// pointer.
func TestPartsByKeys(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.partsNow(t, "")
	c := w.win.Canvas()
	part := func(id record.PartID) record.Part {
		if p := w.exam.s.Scene().Record.PartByID(id); p != nil {
			return *p
		}
		return record.Part{}
	}
	c.Focus(s.list)
	press(w, fyne.KeyHome)
	for _, k := range view.StateKeys() {
		typeText(t, w, string(k.Key))
		if got := part(record.FrontFinish).State; got != k.State {
			t.Errorf("%c gives %q, want %q", k.Key, got, k.State)
		}
	}
	press(w, fyne.KeyDown)
	was := part(record.BackFinish).Inspected
	typeText(t, w, "i")
	if s.m.Selected() != record.BackFinish || part(record.BackFinish).Inspected == was {
		t.Errorf("i on %q: inspected %v", s.m.Selected(), part(record.BackFinish).Inspected)
	}
	typeText(t, w, "r")
	if !s.panel.undoing.Visible() {
		t.Error("a refinished part is not asked whether it could be undone")
	}
	press(w, fyne.KeyReturn)
	if c.Focused() != s.panel.signs {
		t.Fatalf("Enter goes to a %T", c.Focused())
	}
	typeText(t, w, "123")
	rows := s.panel.signs.rows
	want := []record.Sign{{ID: rows[0].ID, Answer: "seen"}, {ID: rows[1].ID, Answer: "not seen"}, {ID: rows[2].ID, Answer: "not opened"}}
	if got := part(record.BackFinish).Signs; !slices.Equal(got, want) || s.panel.signs.at != 3 {
		t.Fatalf("123 answers %v and stands at %d", got, s.panel.signs.at)
	}
	if c.Focused() != s.panel.signs {
		t.Error("an answer takes the keyboard away")
	}
	press(w, fyne.KeyUp)
	typeText(t, w, "0")
	if got := part(record.BackFinish).Signs; !slices.Equal(got, want[:2]) {
		t.Errorf("0 leaves %v", got)
	}
	press(w, fyne.KeyHome)
	typeText(t, w, "1")
	if got := part(record.BackFinish).Signs; !slices.Equal(got, want[:2]) {
		t.Errorf("the same answer again leaves %v", got)
	}
	if len(w.exam.s.Scene().Undo) == 0 {
		t.Error("nothing to undo")
	}
}

// TestPartPanelTies ties photos by clicks and says what the signs contradict.
func TestPartPanelTies(t *testing.T) {
	w := bareWindow(t, small, false)
	s := w.partsNow(t, record.FrontFinish)
	test.Tap(s.panel.photos.tiles[1])
	test.Tap(s.panel.photos.tiles[4])
	rec := w.exam.s.Scene().Record
	if p := rec.PartByID(record.FrontFinish); !slices.Equal(p.Photos, []string{rec.Photos[1].ID, rec.Photos[4].ID}) {
		t.Fatalf("tied to %q", p.Photos)
	}
	if got := s.panel.photos.said.String(); got != "Photos that show it: 2, 5" {
		t.Errorf("it says %q", got)
	}
	test.Tap(s.panel.photos.tiles[1])
	if p := w.exam.s.Scene().Record.PartByID(record.FrontFinish); len(p.Photos) != 1 {
		t.Errorf("a click on a tied photo leaves %q", p.Photos)
	}
	// A click on an answer gives it, another takes it back.
	l := s.panel.signs
	at := fyne.NewPos(l.Size().Width-signRight-signWidths[2]-signWidths[1]-10, l.top(0)+12)
	test.TapAt(l, at)
	settle(w)
	if seen := lookAt(w); !strings.Contains(seen.joined(), "stated as original") || !strings.Contains(s.summary.String(), "signs contradict 1 part") {
		t.Errorf("a contradiction is not pointed out: %q; %s", s.summary.String(), seen.joined())
	}
	if got := w.exam.s.Scene().Record.PartByID(record.FrontFinish).State; got != record.Original {
		t.Errorf("a sign decided: %q", got)
	}
	test.TapAt(l, at)
	if p := w.exam.s.Scene().Record.PartByID(record.FrontFinish); len(p.Signs) != 0 {
		t.Errorf("a second click leaves %v", p.Signs)
	}
}

// TestExtrasByKeys enters what comes with the instrument without the pointer.
func TestExtrasByKeys(t *testing.T) {
	w := bareWindow(t, small, false)
	s := w.partsNow(t, "")
	s.show(1)
	settle(w)
	c := w.win.Canvas()
	c.Focus(s.extras.list)
	typeText(t, w, "+")
	typeText(t, w, "Hard case, plush lining")
	press(w, fyne.KeyReturn)
	c.Focus(s.extras.list)
	press(w, fyne.KeyInsert)
	typeText(t, w, "Two keys")
	c.Unfocus()
	list := w.exam.s.Extras()
	if len(list) != 2 || list[0].What != "Hard case, plush lining" || list[1].What != "Two keys" || list[1].Kind != "case" {
		t.Fatalf("%+v", list)
	}
	test.Tap(s.extras.photos.tiles[0])
	s.extras.number.Focus(c)
	s.extras.number.Entry().SetText("2")
	press(w, fyne.KeyReturn)
	if e := w.exam.s.Extras()[1]; e.Number != 2 || len(e.Files) != 1 {
		t.Errorf("%+v", e)
	}
	s.extras.number.Entry().SetText("many")
	press(w, fyne.KeyReturn)
	if top := w.win.Canvas().Overlays().Top(); top == nil || !strings.Contains(lookAt(w).joined(), "no number of things") {
		t.Error("a number that is none is taken")
	}
	c.Unfocus()
	press(w, fyne.KeyEscape)
	c.Focus(s.extras.list)
	press(w, fyne.KeyUp, fyne.KeyDelete)
	if l := w.exam.s.Extras(); len(l) != 1 || l[0].What != "Two keys" || s.extras.m.Selected() != l[0].ID {
		t.Errorf("after Delete: %+v", l)
	}
	settle(w)
	if !lookAt(w).has("Comes with it · 1") {
		t.Error("the tab does not count")
	}
}

// frozenParts finds nothing to change on the screen of an issued examination.
func frozenParts(t *testing.T, w *Window) {
	t.Helper()
	s := w.partsNow(t, record.Tuners)
	before, err := json.Marshal(w.exam.s.Scene().Record)
	if err != nil {
		t.Fatal(err)
	}
	p, x := s.panel, s.extras
	if !p.state.Disabled() || !p.inspected.Disabled() || !p.note.Entry().Disabled() || !p.reversible.Disabled() || !p.signs.off {
		t.Error("a part of an issued examination can be changed")
	}
	for m, b := range p.methods {
		if !b.Disabled() {
			t.Errorf("the way of judging %q can be changed", m)
		}
	}
	s.list.TypedRune('r')
	s.list.tapCell(0, stateColumn)
	s.list.tapCell(0, conditionColumn)
	p.signs.TypedRune('1')
	test.Tap(p.photos.tiles[0])
	s.show(1)
	x.list.TypedRune('+')
	x.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDelete})
	if !x.what.Entry().Disabled() || !x.add.Disabled() {
		t.Error("what comes with an issued instrument can be changed")
	}
	after, err := json.Marshal(w.exam.s.Scene().Record)
	if err != nil || string(after) != string(before) {
		t.Errorf("an issued examination changed: %v", err)
	}
}

// TestPartsScreenStands renders the screen full and empty, both pages, for a
// solid body and a violin, at both sizes, light and dark: no text is shortened
// but long notes, none lies over another.
func TestPartsScreenStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := demoWindow(t, v.size, v.dark)
			s := w.partsNow(t, record.FrontFinish)
			checkStands(t, w, s, "parts-empty-"+v.name)
			fillParts(t, w)
			for _, part := range []record.PartID{record.Electronics, record.Tuners, record.FrontFinish} {
				s = w.partsNow(t, part)
				w.win.Canvas().Focus(s.panel.signs)
				checkStands(t, w, s, "parts-"+strings.ReplaceAll(string(part), " ", "-")+"-"+v.name)
			}
			s.panel.scroll.ScrollToBottom()
			checkStands(t, w, s, "parts-below-"+v.name)
			s.show(1)
			w.win.Canvas().Focus(s.extras.list)
			checkStands(t, w, s, "extras-"+v.name)
			if err := w.exam.s.SetInstrument("class", func(in *record.Instrument) {
				in.Class, in.ScaleLength, in.Frets, in.Strings = "violin", 0, 0, 0
			}); err != nil {
				t.Fatal(err)
			}
			s = w.partsNow(t, record.BassBar)
			checkStands(t, w, s, "parts-violin-"+v.name)
		})
	}
}

func checkStands(t *testing.T, w *Window, s *partsScreen, name string) {
	t.Helper()
	capture(t, w, name)
	seen := lookAt(w)
	for _, f := range seen.faults() {
		t.Errorf("%s: %s", name, f)
	}
	for _, r := range s.panel.signs.rows {
		for _, c := range seen.cut {
			if head := strings.TrimSuffix(c, "…"); len(head) > 6 && (strings.HasPrefix(r.Ask, head) || strings.HasPrefix(r.Look, head)) {
				t.Errorf("%s: %q is cut", name, c)
			}
		}
	}
	for _, word := range []string{"Parts and originality"} {
		if !seen.has(word) {
			t.Errorf("%s does not say %q", name, word)
		}
	}
	if len(seen.cut) > 0 {
		t.Logf("%s, shortened: %q", name, seen.cut)
	}
}

// fillParts says everything that can be said.
func fillParts(t *testing.T, w *Window) {
	t.Helper()
	x := w.exam.s
	do := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	m := view.NewParts(x)
	do(m.SetState(record.FrontFinish, record.Original))
	do(m.SetState(record.Tuners, record.LaterReplacement))
	do(m.SetReversible(record.Tuners, "yes"))
	for _, id := range []record.PartID{record.FrontFinish, record.Tuners, record.Electronics} {
		for i, s := range x.PartSigns(id) {
			do(x.SetSign(id, s.ID, record.SignAnswers()[i%3]))
		}
	}
	rec := x.Scene().Record
	for i := range 4 {
		do(m.TogglePhoto(record.FrontFinish, rec.Photos[i*2].ID))
	}
	for _, e := range []record.Extra{
		{Kind: "case", What: "Hard case, tweed, handle renewed", State: record.Original, Files: []string{rec.Photos[0].ID}},
		{Kind: "papers", What: "Receipt of 12 March 1974, folded, one corner torn", State: record.Original},
		{Kind: "tools", What: "Truss-rod key", Number: 2, State: record.LaterReplacement},
		{Kind: "removed parts", What: "Six open tuners with their screws, in a bag", State: record.Original, Number: 6, Note: "Taken off in 1988 and kept; two buttons are cracked."},
	} {
		_, err := x.AddExtra(e)
		do(err)
	}
}
