package ui

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/pdfout/receive"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// receiveScreen is where a buyer goes through a report with the instrument in
// hand: the outline at the left, the report's photos in the middle, at the right
// every entry with its three answers and, below, what differs in words.
type receiveScreen struct {
	w        *Window
	m        *view.Receiving
	root     fyne.CanvasObject
	store    *markview.Store // of this report's photos, which are smaller than a bench's
	outline  *markview.Canvas
	photo    *markview.Canvas
	tabs     map[string]*look.Button
	line     *look.Text
	progress *look.Text
	actions  *fyne.Container // countersign and issue a receipt
	clean    bool            // as the actions show it
	list     *keyList
	scroll   *container.Scroll
	detail   *receiveDetail
	form     *signForm // opened last
}

// Columns of the list of what is to compare; the three answers come last.
const (
	entryColumn = iota
	saysColumn
	answerColumn
)

// Receive opens a report to receive its instrument against, or goes on with it.
// It needs no bench. A report that is altered is refused.
func (w *Window) Receive(path string) {
	var v *receive.Receiving
	var pics map[string][]byte
	folder, err := receive.Folder()
	if err != nil {
		w.Fail(err)
		return
	}
	w.work("Opening "+shortPath(path), func(ctx context.Context, _ func(int, int, string)) error {
		opt, err := w.trusting()
		if err != nil {
			return err
		}
		if v, err = receive.Open(ctx, path, folder, opt); err != nil {
			return err
		}
		// Without photos the answers can be given all the same.
		pics, _ = v.Pictures()
		return nil
	}, func() {
		w.try(func() error { return w.showReceiving(view.NewReceiving(v, folder, pics)) })
	})
}

func (w *Window) showReceiving(m *view.Receiving) error {
	if err := w.closeExam(); err != nil {
		return err
	}
	w.frame, w.find = nil, nil
	s := newReceiveScreen(w, m)
	w.setContent(s.root)
	w.receiving = s
	s.refresh()
	w.win.Canvas().Focus(s.list)
	return nil
}

func newReceiveScreen(w *Window, m *view.Receiving) *receiveScreen {
	s := &receiveScreen{w: w, m: m, store: markview.NewStore(128 << 20), tabs: map[string]*look.Button{}, line: look.NewText("", look.Small, look.Dim), progress: look.NewText("", look.Body, look.Ink).Right(), actions: container.NewStack()}
	s.offer(m.Clean())
	s.outline, s.photo = s.canvas(), s.canvas()
	s.outline.Control.SetTool(markview.HandTool)
	s.photo.Control.SetTool(markview.HandTool)
	s.outline.Control.OnPin = func(_ record.Shape, pts []shape.Pt) {
		s.w.takeTyped()
		s.w.try(func() error { return s.m.Pin(pts[0]) })
		s.refresh()
	}
	s.list = newKeyList(31, listColumn{title: "Entry", width: 88}, listColumn{title: "The report says", width: 0},
		listColumn{width: 88, box: true}, listColumn{width: 58, box: true}, listColumn{width: 88, box: true})
	s.list.onMove = s.choose
	s.list.onCell = func(row, col int) {
		if col >= answerColumn {
			s.choose(row)
			s.answer(col - answerColumn)
		}
	}
	s.list.onRune = s.rune
	s.list.onKey = s.key
	s.detail = newReceiveDetail(s)
	s.compose()
	return s
}

// canvas makes a canvas that selects marks and changes none.
func (s *receiveScreen) canvas() *markview.Canvas {
	c := markview.NewCanvas(s.store, func(_ context.Context, id string, show func(image.Image, bool)) error {
		j, err := s.m.Picture(id)
		if err != nil {
			return err
		}
		img, err := jpeg.Decode(bytes.NewReader(j))
		if err == nil {
			show(img, true)
		}
		return err
	})
	c.SetDark(s.w.dark)
	c.Control.OnSelect = func(n int) {
		s.w.takeTyped()
		s.m.SelectNumber(n)
		s.refresh()
	}
	c.Control.OnMove = func(int, int, record.Shape, []shape.Pt) { s.refresh() } // the report's marks stay where they are
	c.SetTip(s.m.Tip)
	return c
}

func (s *receiveScreen) compose() {
	title, sub := s.m.Header()
	back := look.NewButton("", "back", look.Quiet, s.close)
	head := look.SpacedColumns(12, look.Centred(back),
		look.Flex(1, look.Rows(look.Space(), look.NewText(title, look.Title, look.Ink).Bold(), look.NewText(sub, look.Small, look.Dim), look.Space())),
		look.Fixed(250, 0, look.Rows(look.Space(), s.progress, look.Space())), s.actions)
	left := look.Rows(look.Fixed(0, 38, look.Inset(10, 4, 6, 4, s.tabBar())), look.NewRule(), look.Flex(1, s.outline))
	step := func(by int) func() { return func() { s.m.Step(by); s.refresh() } }
	bar := look.SpacedColumns(4, look.Flex(1, look.Rows(look.Space(), s.line, look.Space())),
		look.NewButton("", "back", look.Quiet, step(-1)), look.NewButton("", "forward", look.Quiet, step(1)))
	middle := look.Rows(look.Fixed(0, 38, look.Inset(14, 4, 8, 4, bar)), look.NewRule(), look.Flex(1, s.photo))
	s.scroll = container.NewVScroll(look.Inset(6, 4, 6, 4, s.list))
	foot := look.SpacedColumns(8,
		look.NewButton("Add what is new", "plus", look.Plain, s.addNew),
		look.NewButton("The rest is as described", "check", look.Plain, func() { s.w.takeTyped(); s.w.try(s.m.Rest); s.refresh() }), look.Space())
	right := look.Rows(look.Flex(1, s.scroll), look.NewRule(), look.Fixed(0, 214, s.detail.root), look.NewRule(), look.Inset(16, 8, 16, 8, foot))
	s.root = look.Rows(look.Fixed(0, 56, look.Inset(10, 4, 16, 4, head)), look.NewRule(),
		look.Flex(1, look.Columns(look.Flex(30, left), look.NewRule(), look.Flex(36, middle), look.NewRule(), look.Fixed(580, 0, look.On(look.Panel, right)))),
		look.NewRule(), look.Fixed(0, 28, look.Inset(16, 4, 16, 4,
			look.NewText("In the list: 1 as described, 2 differs, 3 not checked; arrows move, N adds what is new. Every answer is saved as you give it.", look.Small, look.Dim))))
}

func (s *receiveScreen) tabBar() fyne.CanvasObject {
	var row []fyne.CanvasObject
	for _, t := range s.m.Tabs() {
		if s.tabs[t.Group] != nil {
			continue
		}
		b := look.NewButton(t.Group, "", look.Quiet, func() { s.m.NextTab(t.Group); s.refresh() })
		s.tabs[t.Group] = b
		row = append(row, b)
	}
	return look.Columns(append(row, look.Space())...)
}

// refresh follows the model.
func (s *receiveScreen) refresh() {
	tab := s.m.Tab()
	for g, b := range s.tabs {
		b.SetChosen(g == tab.Group)
	}
	marks, sel := s.m.Marks(), s.m.Number()
	s.outline.SetSheet(markview.Sheet{Side: s.m.Report().Drawing.Side(tab.Side), Focus: tab.Bounds, Marks: marks, Selected: sel})
	tool := markview.HandTool
	if s.m.New() != nil {
		tool = markview.PinTool // a click says where it is
	}
	s.outline.Control.SetTool(tool)
	s.photo.SetSheet(s.photoSheet(marks, sel))
	s.line.SetText(s.m.PhotoLine())
	s.progress.SetText(s.m.Progress())
	s.list.set(s.cells(), s.m.Selected())
	s.detail.refresh()
	s.follow()
	if c := s.m.Clean(); c != s.clean {
		s.offer(c)
	}
}

// offer shows what can be signed: a countersignature is the main one where
// everything is as described, else a receipt.
func (s *receiveScreen) offer(clean bool) {
	s.clean = clean
	kinds := [2]look.ButtonKind{look.Main, look.Plain}
	if clean && !s.m.Countersigned() {
		kinds = [2]look.ButtonKind{look.Plain, look.Main}
	}
	receipt := look.NewButton("Issue a receipt…", "", kinds[0], func() { s.askSign(false) })
	counter := look.NewButton("Countersign…", "", kinds[1], func() { s.askSign(true) })
	if s.m.Countersigned() {
		counter.Disable()
	}
	s.actions.Objects = []fyne.CanvasObject{look.SpacedColumns(12, look.Centred(receipt), look.Centred(counter))}
	s.actions.Refresh()
}

func (s *receiveScreen) photoSheet(marks []record.Mark, sel int) markview.Sheet {
	sheet := markview.Sheet{Marks: marks, Selected: sel, Photo: s.m.Photo()}
	if p := s.m.Report().Record.PhotoByID(sheet.Photo); p != nil {
		sheet.Width, sheet.Height = p.Width, p.Height
		return sheet
	}
	j, err := s.m.Picture(sheet.Photo)
	if err == nil {
		var c image.Config
		if c, err = jpeg.DecodeConfig(bytes.NewReader(j)); err == nil {
			sheet.Width, sheet.Height = c.Width, c.Height
		}
	}
	if err != nil {
		sheet.Photo = ""
	}
	return sheet
}

func (s *receiveScreen) cells() [][]listCell {
	words := []string{"As described", "Differs", "Not checked"}
	var out [][]listCell
	for _, r := range s.m.Rows() {
		row := []listCell{{text: r.Label}, {text: r.Says, ink: look.Dim}}
		if r.Lacks != "" {
			row[saysColumn] = listCell{text: view.Capital(r.Lacks), ink: look.Bad}
		}
		for i, a := range record.ReceiptAnswers() {
			c := listCell{text: words[i], ink: look.Dim, flat: true}
			switch {
			case r.New > 0:
				c = listCell{bare: true}
			case r.Answer != a:
			case a == record.NotChecked: // what is still to do stays quiet
				c.ink, c.flat = look.Ink, false
			default:
				c.on = true
			}
			row = append(row, c)
		}
		out = append(out, row)
	}
	return out
}

// follow keeps the chosen row in sight.
func (s *receiveScreen) follow() {
	top, high := s.list.rowTop(s.m.Selected()), s.scroll.Size().Height
	switch at := s.scroll.Offset.Y; {
	case high <= 0:
	case top < at+listHead:
		s.scroll.ScrollToOffset(fyne.NewPos(0, max(0, top-listHead)))
	case top+s.list.height+12 > at+high:
		s.scroll.ScrollToOffset(fyne.NewPos(0, top+s.list.height+12-high))
	}
}

func (s *receiveScreen) choose(row int) {
	s.w.takeTyped()
	s.m.Select(row)
	s.refresh()
}

// answer answers for the chosen row; a difference is then asked for in words.
func (s *receiveScreen) answer(i int) {
	if s.m.Entry() == nil {
		return
	}
	a := record.ReceiptAnswers()[i]
	s.w.try(func() error { return s.m.Answer(a) })
	s.refresh()
	if a == record.Differs {
		s.detail.note.Focus(s.w.win.Canvas())
	}
}

// rune answers by 1, 2 and 3; as described and not checked walk down.
func (s *receiveScreen) rune(r rune) {
	switch r {
	case '1', '3':
		s.answer(int(r - '1'))
		s.choose(s.m.Selected() + 1)
	case '2':
		s.answer(1)
	case 'n', 'N':
		s.addNew()
	}
}

func (s *receiveScreen) key(k fyne.KeyName) {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		s.detail.focus()
	case fyne.KeyLeft:
		s.m.Step(-1)
		s.refresh()
	case fyne.KeyRight:
		s.m.Step(1)
		s.refresh()
	case fyne.KeyDelete:
		s.removeNew()
	}
}

func (s *receiveScreen) addNew() {
	s.w.takeTyped()
	s.w.try(s.m.AddNew)
	s.refresh()
	s.detail.focus()
}

func (s *receiveScreen) removeNew() {
	s.w.takeTyped()
	s.w.try(s.m.RemoveNew)
	s.refresh()
}

// dropped ties photos that were dropped to the chosen new thing.
func (s *receiveScreen) dropped(uris []fyne.URI) {
	s.w.takeTyped()
	for _, u := range uris {
		s.w.try(func() error { return s.m.AddPhoto(u.Path()) })
	}
	s.refresh()
}

// close goes back to the bench, or to the start. Everything is saved.
func (s *receiveScreen) close() {
	s.w.takeTyped()
	if s.w.bench != nil {
		s.w.ShowBench()
		return
	}
	s.w.ShowStart()
}
