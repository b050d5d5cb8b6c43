package ui

import (
	"context"
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/receive"
	"wornwood/ui/look"
)

// receiveDetail is the chosen row in full: what the report says and how it
// differs, or what is new and where.
type receiveDetail struct {
	s     *receiveScreen
	root  *fyne.Container
	entry fyne.CanvasObject
	fresh fyne.CanvasObject
	shown fyne.CanvasObject

	title  *look.Text
	says   *look.Paragraph
	note   *look.Field
	newest *look.Text
	kind   *look.Field
	place  *look.Field
	more   *look.Field
	photos *look.Text
}

func newReceiveDetail(s *receiveScreen) *receiveDetail {
	d := &receiveDetail{s: s, root: container.NewStack()}
	set := func(f func(string) error) func(string) {
		return func(t string) {
			s.w.try(func() error { return f(t) })
			s.refresh()
		}
	}
	d.title = look.NewText("", look.Body, look.Ink).Bold()
	d.says = look.NewParagraph("", true)
	d.note = look.NewField("What differs, in words; Enter goes on to the next that is not checked", "", set(s.m.SetNote))
	d.note.Entry().OnSubmitted = func(string) {
		s.w.takeTyped()
		s.m.Next()
		s.refresh()
		s.w.win.Canvas().Focus(s.list)
	}
	d.entry = look.Inset(16, 10, 16, 10, look.Spaced(8, d.title, look.Flex(1, container.NewVScroll(d.says.Object)), d.note))
	d.newest = look.NewText("", look.Body, look.Ink).Bold()
	d.kind = look.NewField("What it is", "", set(s.m.SetKind))
	d.place = look.NewField("Where, in words; or click it on the outline", "", set(s.m.SetPlace))
	d.more = look.NewField("Size, depth and what else there is to say", "", set(s.m.SetNote))
	d.photos = look.NewText("", look.Small, look.Dim)
	d.fresh = look.Inset(16, 10, 16, 10, look.Spaced(8,
		look.SpacedColumns(8, look.Flex(1, look.Rows(look.Space(), d.newest, look.Space())), look.NewButton("Take it back", "delete", look.Quiet, s.removeNew)),
		look.SpacedColumns(10, look.Flex(2, d.kind), look.Flex(3, d.place)), d.more,
		look.SpacedColumns(10, look.NewButton("Add a photo…", "photos", look.Plain, s.askPhoto), look.Flex(1, look.Rows(look.Space(), d.photos, look.Space())))))
	return d
}

// refresh follows the model.
func (d *receiveDetail) refresh() {
	show := d.entry
	if n := d.s.m.New(); n != nil {
		show = d.fresh
		d.newest.SetText(fmt.Sprintf("New %d", n.Number))
		d.kind.Set(string(n.Kind))
		d.place.Set(n.Place)
		d.more.Set(n.Note)
		switch len(n.Photos) {
		case 0:
			d.photos.SetText("No photo yet; dropping one on the window does the same")
		case 1:
			d.photos.SetText("1 photo")
		default:
			d.photos.SetText(fmt.Sprintf("%d photos", len(n.Photos)))
		}
	} else if c := d.s.m.Entry(); c != nil {
		rows := d.s.m.Rows()
		d.title.SetText(rows[d.s.m.Selected()].Label)
		d.says.SetText(rows[d.s.m.Selected()].Says)
		d.note.Set(c.Note)
	}
	if d.shown != show {
		d.shown = show
		d.root.Objects = []fyne.CanvasObject{show}
		d.root.Refresh()
	}
}

// focus puts the keyboard where the chosen row is told in words.
func (d *receiveDetail) focus() {
	f := d.note
	if d.s.m.New() != nil {
		f = d.kind
	}
	f.Focus(d.s.w.win.Canvas())
}

func (s *receiveScreen) askPhoto() {
	s.w.takeTyped()
	s.w.askPath("Add a photo", "A photo of what is new; a reduced copy without camera data is printed in the receipt", "Add", false, func(path string) {
		s.w.try(func() error { return s.m.AddPhoto(path) })
		s.refresh()
	})
}

// askSign asks who signs and which file to write, and signs.
func (s *receiveScreen) askSign(countersign bool) {
	s.w.takeTyped()
	if lacks := s.m.Lacks(); lacks != "" {
		s.w.Tell("Not yet", lacks+" Then it can be signed.")
		return
	}
	title, main := "Issue a receipt", "Sign and issue"
	text := []string{s.m.Found() + ". The receipt is a PDF of its own that lists every answer and names the report by its digest. Send it back to the dealer, and keep a copy."}
	if countersign {
		title, main = "Countersign the report", "Countersign"
		text = []string{"Your signature goes into the field that the report keeps for it, in a copy; nothing else of the report changes. Your answers are written beside it. Send both files back."}
		if !s.m.Clean() {
			title = "Countersign although not everything is as described?"
			text = append([]string{s.m.Found() + ". The signature will say so, but only a receipt says what differs for everybody to read. Better issue a receipt."}, text...)
		}
	}
	f := &signForm{s: s, countersign: countersign}
	s.form = f
	f.by = look.NewField("Who receives the instrument", "", nil)
	f.by.Set(s.m.By())
	f.place = look.NewField("Where", "", nil)
	f.place.Set(s.m.Place())
	f.remark = look.NewField("A note on the whole, such as the state of the parcel", "", nil)
	f.remark.Set(s.m.Remark())
	f.file = look.NewField("Write to this file", "", nil)
	f.file.Set(s.m.FileFor(countersign))
	f.one = f.secret("Passphrase of your signing key")
	f.wrong = look.NewText("", look.Small, look.Bad)
	rows := []fyne.CanvasObject{look.SpacedColumns(10, look.Flex(1, f.by), look.Flex(1, f.place)), f.remark, f.file, f.one}
	if s.m.FirstKey() {
		text = append(text, "You have no signing key yet. One is made now and kept in your own folder, encrypted under the passphrase you choose. Nobody can recover it for you.")
		f.two = f.secret("The same passphrase once more")
		rows = append(rows, f.two)
	}
	rows = append([]fyne.CanvasObject{paragraphs(text...)}, append(rows, f.wrong)...)
	f.sheet = s.w.showSheet(title, 560, look.Spaced(10, rows...), "Cancel", look.NewButton(main, "key", look.Main, f.sign))
	f.by.Focus(s.w.win.Canvas())
}

// signForm is the form with which a receiving is signed.
type signForm struct {
	s                       *receiveScreen
	sheet                   *sheet
	countersign             bool
	by, place, remark, file *look.Field
	one, two                *look.Field
	wrong                   *look.Text
}

func (f *signForm) secret(caption string) *look.Field {
	e := look.NewField(caption, "", nil)
	e.Entry().Password = true
	e.Entry().OnSubmitted = func(string) { f.sign() }
	return e
}

func (f *signForm) sign() {
	again := ""
	if f.two != nil {
		again = f.two.Text()
	}
	s := f.s
	if err := s.m.SetAbout(f.by.Text(), f.place.Text(), f.remark.Text()); err != nil {
		f.wrong.SetText(err.Error())
		return
	}
	file := expand(f.file.Text())
	if f.wrong.SetText(s.m.CheckSigning(f.by.Text(), f.one.Text(), again, file)); f.wrong.String() != "" {
		return
	}
	pass := f.one.Text()
	f.one.Entry().SetText("")
	f.sheet.hide()
	var done *receive.Done
	s.w.work("Signing", func(ctx context.Context, _ func(int, int, string)) (err error) {
		done, err = s.m.Sign(ctx, f.countersign, file, pass, s.w.now())
		return err
	}, func() {
		lines := []string{shortPath(done.File) + " is written and passes its own check. Send it to the dealer, and keep a copy."}
		if done.Beside != "" {
			lines[0] = shortPath(done.File) + " and " + shortPath(done.Beside) + " are written. Send both to the dealer, and keep a copy."
		}
		s.w.Tell("Signed: "+done.Words, append(lines, "Your key's fingerprint, to be compared by another channel:", longKey(done.Key))...)
	})
}
