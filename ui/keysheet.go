package ui

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout"
	"wornwood/pdfout/keyring"
	"wornwood/pdfout/sign"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// The sheet of keys is as wide as its widest line, a fingerprint, and as high
// as the key with its square code.
const (
	keySheetWidth  float32 = 720
	keySheetHeight float32 = 372
	keyCodeSize    float32 = 230
)

// keySheet shows the bench's key, to be handed on, and the keys known here.
type keySheet struct {
	w     *Window
	m     *view.Keys
	sheet *sheet
	pages *look.Segments
	page  *fyne.Container
	said  *look.Text
	find  *look.Field // a key to be listed
}

// showKey shows the sheet of keys. It needs no bench for those of others.
func (w *Window) showKey() {
	k := &keySheet{w: w, m: view.NewKeys(w.bench, w.now), page: container.NewStack(), said: look.NewText("", look.Small, look.Dim)}
	k.pages = look.NewSegments([]string{"Your key", "Keys you know"}, func(int) { k.say(""); k.refresh() })
	k.pages.Set(0)
	if k.m.State() == view.NoBench {
		k.pages.Set(1)
	}
	k.refresh()
	k.sheet = w.showSheet("Keys", keySheetWidth, look.Spaced(14, look.Columns(look.Fixed(300, 0, k.pages), look.Space()), look.Fixed(0, keySheetHeight, k.page), k.said), "Close")
}

// say shows a line at the sheet's foot.
func (k *keySheet) say(s string) { k.said.SetText(s) }

func (k *keySheet) refresh() {
	k.page.Objects = []fyne.CanvasObject{k.shown()}
	k.page.Refresh()
}

func (k *keySheet) shown() fyne.CanvasObject {
	if k.pages.Chosen() == 1 {
		return k.others()
	}
	if k.m.State() != view.ShownKey {
		return k.noKey()
	}
	own, err := k.m.Own()
	if err != nil {
		return paragraphs(view.Words(err))
	}
	return k.own(own)
}

// own is the bench's key with what can be done with it.
func (k *keySheet) own(own *view.OwnKey) fyne.CanvasObject {
	valid := look.NewParagraph(own.Valid, true).Object
	if own.Expired {
		valid = look.SpacedColumns(8, look.Rows(look.NewIcon("warning", look.Bad, 18), look.Space()), look.Flex(1, look.NewParagraph(own.Valid, false).Object))
	}
	digits := []fyne.CanvasObject{}
	for _, line := range own.Fingerprint {
		digits = append(digits, look.NewText(line, look.Title, look.Ink).Mono().Whole())
	}
	code := canvas.NewImageFromImage(own.Code)
	code.ScaleMode, code.FillMode = canvas.ImageScalePixels, canvas.ImageFillContain
	left := look.Spaced(12,
		look.Spaced(4, look.NewText(own.Name, look.Title, look.Ink).Bold(), look.NewParagraph(own.By, true).Object, valid),
		look.Captioned("Fingerprint of the key", look.Spaced(2, digits...)),
		look.NewParagraph("Read it to whoever receives your reports, by telephone or on paper. It proves that a report was signed with your key, not who you are.", true).Object)
	return look.Rows(
		look.SpacedColumns(28, look.Flex(1, left), look.Rows(look.Fixed(keyCodeSize, keyCodeSize, code), look.Space())),
		look.Space(),
		look.Spaced(8, look.NewRule(),
			keyRow("Hand on",
				look.NewButton("Copy the fingerprint", "", look.Plain, func() { k.w.app.Clipboard().SetContent(own.Long); k.say("The fingerprint is on the clipboard.") }),
				look.NewButton("Save the certificate…", "", look.Plain, func() {
					k.save("Save the certificate", "A new file, .pem; it holds nothing secret", ".pem", k.m.Export)
				}),
				look.NewButton("Save the square code…", "", look.Plain, func() { k.save("Save the square code", "A new file, .png", ".png", k.m.SaveCode) })),
			keyRow("Change", look.NewButton("Bring another along…", "", look.Plain, k.askImport), k.ringButton())))
}

// keyRow is a row of buttons behind a word.
func keyRow(word string, buttons ...fyne.CanvasObject) fyne.CanvasObject {
	row := append([]fyne.CanvasObject{look.Fixed(64, 0, look.NewText(word, look.Small, look.Dim))}, buttons...)
	return look.SpacedColumns(8, append(row, look.Space())...)
}

// noKey says what is missing before the key can be shown, and offers it.
func (k *keySheet) noKey() fyne.CanvasObject {
	rows := []fyne.CanvasObject{paragraphs(k.m.StateText())}
	switch k.m.State() {
	case view.NoKey:
		rows = append(rows, look.SpacedColumns(8, look.NewButton("Make the key…", "key", look.Main, k.askOpen), look.NewButton("Bring one along…", "", look.Plain, k.askImport), look.Space()))
	case view.ClosedKey:
		rows = append(rows, look.SpacedColumns(8, look.NewButton("Open the key…", "key", look.Main, k.askOpen), look.Space()))
	}
	return look.Rows(look.Spaced(14, rows...), look.Space())
}

func (k *keySheet) save(title, caption, ext string, do func(string) error) {
	k.w.askPathFrom(title, caption, "Save", inHome(k.m.FileName(ext)), false, func(path string) {
		if err := do(path); err != nil {
			k.w.Fail(err)
			return
		}
		k.say("Saved " + path)
	})
}

// inHome proposes a place for a file: the user's own folder.
func inHome(name string) string {
	home, err := os.UserHomeDir()
	if err != nil {
		return name
	}
	return filepath.Join(home, name)
}

// ringButton gives the passphrase to the desktop's key ring, or takes it out.
func (k *keySheet) ringButton() fyne.CanvasObject {
	b := k.w.bench
	switch {
	case k.w.ring.remembered(b.ID()):
		return look.NewButton("Forget the passphrase", "", look.Plain, func() {
			k.w.work("Asking the key ring", func(ctx context.Context, _ func(int, int, string)) error {
				err := k.w.ring.forget(ctx, b.ID())
				if errors.Is(err, keyring.ErrNone) {
					return nil // somebody took it out by other means
				}
				return err
			}, func() { k.say("The key ring has forgotten the passphrase."); k.refresh() })
		})
	case k.w.ring.here():
		return look.NewButton("Remember the passphrase…", "", look.Plain, k.askRemember)
	}
	return look.NewText("", look.Small, look.Dim)
}

// others are the keys known here, and a field to add one.
func (k *keySheet) others() fyne.CanvasObject {
	known, err := k.m.Known()
	if err != nil {
		return paragraphs(view.Words(err))
	}
	var rows []fyne.CanvasObject
	for _, r := range known {
		rows = append(rows, k.knownRow(r), look.NewRule())
	}
	if len(rows) == 0 {
		rows = append(rows, paragraphs("No key is known here yet. Once you have compared a key with its holder and listed it, reports signed with it say whose they are."))
	}
	k.find = look.NewField("Add a key: paste a fingerprint or the text of a card, or the path of a certificate's file", "", nil)
	k.find.Entry().OnSubmitted = func(string) { k.askAdd() }
	k.find.OnCancel = func() { k.sheet.hide() }
	foot := []fyne.CanvasObject{look.Flex(1, k.find), look.Rows(look.Space(), look.NewButton("Look for it…", "folder", look.Plain, k.lookForKey)),
		look.Rows(look.Space(), look.NewButton("Compare and add…", "key", look.Main, k.askAdd))}
	return look.Spaced(12, look.Flex(1, container.NewVScroll(look.Spaced(6, rows...))), look.SpacedColumns(8, foot...))
}

func (k *keySheet) knownRow(r pdfout.KnownKey) fyne.CanvasObject {
	remove := look.NewButton("Take off", "", look.Quiet, func() {
		k.w.try(func() error { return k.m.Remove(r.Fingerprint) })
		k.refresh()
		k.offerBack()
	})
	return look.SpacedColumns(10, look.Flex(1, look.Spaced(2, look.NewText(r.Name, look.Body, look.Ink).Bold(), look.NewText(r.Fingerprint.Long(), look.Caption, look.Dim).Mono())), look.Centred(remove))
}

// offerBack says what was taken off, with a way back.
func (k *keySheet) offerBack() {
	name := k.m.Taken()
	if name == "" {
		return
	}
	k.say("")
	back := look.NewButton("Put it back", "", look.Quiet, func() {
		k.w.try(k.m.PutBack)
		k.refresh()
		k.say(name + " is listed again.")
	})
	list := k.page.Objects[0]
	k.page.Objects = []fyne.CanvasObject{look.Rows(look.Flex(1, list), look.Inset(0, 8, 0, 0, look.SpacedColumns(8, look.Centred(look.NewText(name+" is taken off.", look.Small, look.Dim).Whole()), back, look.Space())))}
	k.page.Refresh()
}

func (k *keySheet) lookForKey() {
	k.w.askPath("A certificate's file", "The file that somebody sent, .pem", "Show", false, func(p string) {
		k.find.Set(p)
		k.askAdd()
	})
}

// askAdd shows the fingerprint of what was typed, to be compared.
func (k *keySheet) askAdd() {
	fp, name, err := k.m.Read(expand(k.find.Text()))
	if err != nil {
		k.w.Fail(err)
		return
	}
	k.w.askCompared(fp, name, func() { k.refresh(); k.say("Listed; reports signed with this key now say whose they are.") })
}

// askCompared lists a key as known, after the user has compared it.
func (w *Window) askCompared(fp sign.Fingerprint, whose string, done func()) {
	name := look.NewField("Whose key is it?", "", nil)
	name.Set(whose)
	var s *sheet
	name.OnCancel = func() { s.hide() }
	finish := func() {
		if err := view.NewKeys(w.bench, w.now).Add(fp, name.Text()); err != nil {
			w.Fail(err) // the sheet stays, so nothing typed is lost
			return
		}
		s.hide()
		if done != nil {
			done()
		}
	}
	name.Entry().OnSubmitted = func(string) { finish() }
	var digits []fyne.CanvasObject
	for long := fp.Long(); len(long) > 0; long = long[min(20, len(long)):] {
		digits = append(digits, look.NewText(long[:min(19, len(long))], look.Title, look.Ink).Mono().Whole())
	}
	s = w.showSheet("A key you have compared", 520, look.Spaced(10,
		paragraphs("List a key as known only after its holder has read this fingerprint to you by another channel, by telephone or on paper:"),
		look.Spaced(2, digits...), name), "Cancel", look.NewButton("List as known", "", look.Main, finish))
	name.Focus(w.win.Canvas())
}
