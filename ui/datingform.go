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

// datingForm adds evidence and edits the selected piece. While one piece is
// edited, a field that stays keeps its widget, though others come and go, so
// that the keyboard stays where it is.
type datingForm struct {
	s      *datingScreen
	body   *fyne.Container
	piece  string // which piece the fields are of
	shape  string // which fields are laid out
	fields map[string]view.Field
	kept   map[string]*keptField // by label
	update []func()              // of what is no field
	decode *look.Paragraph       // what the code typed so far means
	first  string                // label of the field to type into first
	root   fyne.CanvasObject
}

// keptField is one field's widget.
type keptField struct {
	object fyne.CanvasObject
	field  *look.Field // nil for a choice
	update func()
}

func newDatingForm(s *datingScreen) *datingForm {
	f := &datingForm{s: s, body: container.NewStack()}
	var rows [2][]fyne.CanvasObject
	for i, k := range record.EvidenceKinds() {
		b := look.NewButton(view.Capital(string(k)), "", look.Plain, func() { s.add(k) }).Tight()
		if s.w.exam.shell.Frozen() {
			b.Disable()
		}
		rows[i/3] = append(rows[i/3], look.Flex(1, b))
	}
	add := look.Spaced(6, look.NewText("Add evidence", look.Caption, look.Dim), look.SpacedColumns(6, rows[0]...), look.SpacedColumns(6, rows[1]...))
	f.root = look.Rows(look.Inset(20, 16, 20, 12, add), look.NewRule(), look.Flex(1, container.NewVScroll(look.Inset(20, 12, 20, 20, f.body))))
	return f
}

func (f *datingForm) object() fyne.CanvasObject { return f.root }

// focus puts the keyboard into the first field that is typed.
func (f *datingForm) focus() {
	if k := f.kept[f.first]; k != nil && k.field != nil {
		k.field.Focus(f.s.w.win.Canvas())
	}
}

// refresh shows the selected piece; fields are laid out again only when others
// are needed.
func (f *datingForm) refresh() {
	fields := f.s.m.Fields()
	p := f.s.m.Selected()
	piece, shape := "none", ""
	if p != nil {
		piece = string(p.Origin) + "/" + p.ID
		shape = string(p.Kind) + strings.Join(f.s.m.Features(), "\n")
	}
	f.fields = map[string]view.Field{}
	for _, x := range fields {
		shape += "|" + x.Label
		f.fields[x.Label] = x
	}
	if piece != f.piece {
		f.kept = map[string]*keptField{}
	}
	if piece != f.piece || shape != f.shape {
		f.piece, f.shape, f.update = piece, shape, nil
		f.body.Objects = []fyne.CanvasObject{f.lay(p, fields)}
		f.body.Refresh()
	}
	for _, x := range fields {
		f.kept[x.Label].update()
	}
	for _, u := range f.update {
		u()
	}
}

func (f *datingForm) lay(p *dating.Piece, fields []view.Field) fyne.CanvasObject {
	switch {
	case p == nil:
		return look.NewParagraph("Choose above what carries a date, or click a row to change it.", true).Object
	case fields == nil:
		return f.elsewhere(p)
	}
	frozen := f.s.w.exam.shell.Frozen()
	rows := []fyne.CanvasObject{}
	for i := 0; i < len(fields); i++ {
		o := f.field(fields[i], frozen)
		if short(fields[i]) && i+1 < len(fields) && short(fields[i+1]) {
			i++
			o = look.SpacedColumns(12, look.Flex(1, o), look.Flex(1, f.field(fields[i], frozen)))
		}
		rows = append(rows, o)
		switch fields[i].Label {
		case "What":
			if o := f.features(frozen); o != nil {
				rows = append(rows, o)
			}
		case "Code":
			rows = append(rows, f.decode.Object)
		case "Source":
			rows = append(rows, f.files(frozen))
		}
	}
	remove := look.NewButton("Remove this piece", "", look.Quiet, func() {
		f.s.w.try(f.s.m.Remove)
		f.s.refresh()
	})
	if frozen {
		remove.Disable()
	}
	return look.Spaced(10, append(rows, look.Columns(remove, look.Space()))...)
}

// short says whether two fields share a line.
func short(f view.Field) bool { return f.Unit == "year" }

// field is a field's widget, the one that is there already where there is one.
func (f *datingForm) field(x view.Field, frozen bool) fyne.CanvasObject {
	if k := f.kept[x.Label]; k != nil {
		return k.object
	}
	label := x.Label // what the field means may change with the kind
	set := func(t string) { f.s.w.try(func() error { return f.fields[label].Set(t) }) }
	k := &keptField{}
	f.kept[label] = k
	if x.Choices != nil {
		c := look.NewSelect(x.Choices, "", set)
		if frozen {
			c.Disable()
		}
		k.object, k.update = look.Captioned(label, c), func() { c.Set(f.fields[label].Get()) }
		return k.object
	}
	e := look.NewField(label, x.Unit, set)
	if x.Lines > 1 {
		e = look.NewNote(label, x.Lines, set)
	}
	if frozen {
		e.Disable()
	}
	k.object, k.field = e, e
	k.update = func() {
		e.SetHint(f.fields[label].Hint)
		e.Set(f.fields[label].Get())
	}
	switch label {
	case "What":
		f.first = label
	case "Code":
		if f.s.m.Selected().Kind == record.CodeEvidence {
			f.first = label
		}
		f.decodes(k)
	}
	return e
}

// decodes says under the field of the code, letter by letter, what it means.
func (f *datingForm) decodes(k *keptField) {
	f.decode = look.NewParagraph("", true)
	show := func(string) {
		words, _ := f.s.m.Decode(k.field.Text())
		f.decode.SetText(words)
	}
	k.field.Entry().OnChanged = show
	set := k.update
	k.update = func() { set(); show("") }
}

// features offers what the shop's own table says; nil without one.
func (f *datingForm) features(frozen bool) fyne.CanvasObject {
	words := f.s.m.Features()
	if len(words) == 0 || f.s.m.Selected().Kind != record.FeatureEvidence {
		return nil
	}
	c := look.NewSelect(words, "take one from the own table", func(t string) { f.s.w.try(func() error { return f.s.m.TakeFeature(t) }) })
	f.update = append(f.update, func() { c.Set("") })
	if frozen {
		c.Disable()
	}
	return look.Captioned("From the own table", c)
}

// files ties photos and attachments to the piece.
func (f *datingForm) files(frozen bool) fyne.CanvasObject {
	names, _ := f.s.m.Files()
	c := look.NewSelect(names, "tie or untie a file", func(t string) { f.s.w.try(func() error { return f.s.m.ToggleFile(t) }) })
	if frozen || len(names) == 0 {
		c.Disable()
	}
	tied := look.NewParagraph("", true)
	f.update = append(f.update, func() {
		c.Set("")
		text := "none"
		if n := f.s.m.FileNames(); len(n) > 0 {
			text = strings.Join(n, ", ")
		}
		tied.SetText("Tied: " + text)
	})
	return look.Spaced(4, look.Captioned("Photos and papers that show it", c), tied.Object)
}

// elsewhere says where a piece that is not listed here comes from.
func (f *datingForm) elsewhere(p *dating.Piece) fyne.CanvasObject {
	if p.Origin == dating.FromComponent {
		return look.Spaced(10, look.NewText(view.Capital(p.What), look.Body, look.Ink).Bold(),
			paragraphs("Its code "+p.Code+" is entered with the electronics, and so is whether it is original: a part that is not does not count."),
			look.Columns(look.NewButton("Go to Electronics", "", look.Plain, func() { f.s.w.ShowScreen(view.ElectronicsScreen) }), look.Space()))
	}
	return look.Spaced(10, look.NewText(view.Capital(p.What), look.Body, look.Ink).Bold(),
		paragraphs("It stands in the "+p.Source+". The serial number is entered with the identity.", p.Note))
}
