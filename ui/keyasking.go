package ui

import (
	"context"

	"fyne.io/fyne/v2"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// secretField is a field whose text is shown as dots.
func secretField(caption string) *look.Field {
	f := look.NewField(caption, "", nil)
	f.Entry().Password = true
	return f
}

// askSecrets asks for passphrases; check says what is wrong with them, do runs
// beside the window. The sheet stays until that has worked, so nothing typed is
// lost. The first field is a path where file is true.
func (k *keySheet) askSecrets(title, text, main string, fields []*look.Field, file bool, check func() string, do func(ctx context.Context) error, done func()) {
	wrong := look.NewText("", look.Small, look.Bad)
	var s *sheet
	finish := func() {
		if wrong.SetText(check()); wrong.String() != "" {
			return
		}
		k.w.work(title, func(ctx context.Context, _ func(int, int, string)) error { return do(ctx) }, func() {
			s.hide()
			done()
		})
	}
	rows := []fyne.CanvasObject{}
	if text != "" {
		rows = append(rows, paragraphs(text))
	}
	for i, f := range fields {
		f.Entry().OnSubmitted = func(string) { finish() }
		f.OnCancel = func() { s.hide() }
		if file && i == 0 {
			button := k.w.browse(false, func(p string) { f.Set(p); f.Focus(k.w.win.Canvas()) })
			rows = append(rows, look.SpacedColumns(8, look.Flex(1, f), look.Rows(look.Space(), button)))
			continue
		}
		rows = append(rows, f)
	}
	s = k.w.showSheet(title, 480, look.Spaced(10, append(rows, wrong)...), "Cancel", look.NewButton(main, "", look.Main, finish))
	fields[0].Focus(k.w.win.Canvas())
}

// askOpen opens the bench's key so that it can be shown, or makes it.
func (k *keySheet) askOpen() {
	one := secretField("Passphrase of the signing key")
	check := func() string {
		if one.Text() == "" {
			return "Type the passphrase of the signing key."
		}
		return ""
	}
	title, text, fields := "Open the key", "", []*look.Field{one}
	if k.m.State() == view.NoKey {
		two := secretField("The same passphrase once more")
		title, text, fields = "Make the key", "It is kept on this bench, encrypted under the passphrase you choose. Nobody can recover that for you: keep it, and a copy of the folder keys, in a safe place.", append(fields, two)
		check = func() string { return k.m.CheckNew(one.Text(), two.Text()) }
	}
	k.askSecrets(title, text, title, fields, false, check, func(context.Context) error { return k.m.Open(one.Text()) }, k.refresh)
}

// askImport brings a certificate along.
func (k *keySheet) askImport() {
	file := look.NewField("Key file with its certificate, .p12 or .pfx", "", nil)
	theirs := secretField("Passphrase of that file")
	fields := []*look.Field{file, theirs}
	ours := secretField("Passphrase of this bench's key; the new one is kept under it")
	check := func() string {
		if ours.Text() == "" {
			return "Type the passphrase of this bench's key."
		}
		return ""
	}
	fields = append(fields, ours)
	if k.m.State() == view.NoKey {
		ours.SetCaption("A passphrase for the key on this bench")
		two := secretField("The same passphrase once more")
		fields = append(fields, two)
		check = func() string { return k.m.CheckNew(ours.Text(), two.Text()) }
	}
	said := ""
	k.askSecrets("Bring a certificate along", "Reports are signed with it from then on. The key there is now stays in the folder keys, and reports signed with it stay as they are.", "Bring along", fields, true,
		func() string {
			if expand(file.Text()) == "" {
				return "Name the key file."
			}
			return check()
		}, func(context.Context) (err error) {
			said, err = k.m.Import(expand(file.Text()), theirs.Text(), ours.Text())
			return err
		}, func() { k.refresh(); k.say(said) })
}

// askRemember gives the passphrase to the key ring after it has opened the key.
func (k *keySheet) askRemember() {
	one := secretField("Passphrase of the signing key")
	b := k.w.bench
	k.askSecrets("Remember the passphrase", "This desktop's key ring keeps it. Whoever uses this account can sign reports then.", "Remember", []*look.Field{one}, false,
		func() string {
			if one.Text() == "" {
				return "Type the passphrase of the signing key."
			}
			return ""
		}, func(ctx context.Context) error {
			if _, err := pdfout.OpenIdentity(b, &record.Record{}, one.Text(), k.w.now()); err != nil {
				return err
			}
			return k.w.ring.keep(ctx, b.ID(), one.Text())
		}, func() { k.refresh(); k.say("The key ring has the passphrase.") })
}
