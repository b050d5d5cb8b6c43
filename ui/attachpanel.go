package ui

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// attachPanel is the page of documents, drawings, sounds and films.
type attachPanel struct {
	s       *identityScreen
	m       *view.Attachments
	root    fyne.CanvasObject
	laid    arranged
	summary *look.Text
	rows    []view.AttachmentRow
	table   *look.Table
	empty   fyne.CanvasObject
	kind    *look.Select
	form    *textForm
	facts   [][2]*look.Text
	hash    [2]*look.Text
	tied    *sentences
	content fyne.CanvasObject
	none    fyne.CanvasObject
	add     *look.Button
	remove  *look.Button
	save    *look.Button
}

func newAttachPanel(s *identityScreen) *attachPanel {
	p := &attachPanel{s: s, m: s.files, summary: look.NewText("", look.Small, look.Dim), tied: newSentences(false)}
	p.add = look.NewButton("Attach…", "plus", look.Plain, func() { s.w.askAttach(nil) })
	p.remove = look.NewButton("Remove", "delete", look.Quiet, func() { s.changed(p.m.Remove) })
	p.save = look.NewButton("Save a copy…", "export", look.Plain, p.askSave)
	p.table = look.NewTable([]look.Column{{Title: "", Width: 30, Right: true}, {Title: "Kind", Width: 82}, {Title: "What it shows"}, {Title: "File"}, {Title: "Date on it", Width: 92}, {Title: "Size", Width: 70, Right: true},
		{Title: "SHA-256", Width: 104, Dim: true}, {Title: "Tied to", Dim: true}},
		func() int { return len(p.rows) }, p.cell)
	p.table.OnSelect = func(i int) {
		s.w.takeTyped()
		p.m.Select(p.rows[i].ID)
		p.refresh()
	}
	fields := p.m.Fields()
	p.kind = look.NewSelect(fields[0].Choices, "", func(t string) { s.w.try(func() error { return p.m.Fields()[0].Set(t) }) })
	p.form = newTextForm(s.w, fields[1:])
	if s.w.exam.shell.Frozen() {
		p.add.Disable()
		p.remove.Disable()
		p.kind.Disable()
	}
	rows := []fyne.CanvasObject{look.Captioned(fields[0].Label, p.kind)}
	rows = append(rows, p.form.rows...)
	rows = append(rows, look.NewRule())
	for range 3 { // what view.Attachments.Facts tells
		name, value := look.NewText("", look.Caption, look.Dim), look.NewText("", look.Small, look.Ink)
		p.facts = append(p.facts, [2]*look.Text{name, value})
		rows = append(rows, look.SpacedColumns(8, look.Fixed(72, 0, name), look.Flex(1, value)))
	}
	for i := range p.hash {
		p.hash[i] = look.NewText("", look.Caption, look.Dim).Mono()
	}
	rows = append(rows, look.Captioned("SHA-256", look.Spaced(1, p.hash[0], p.hash[1])), look.Captioned("Tied to", p.tied.box), look.Columns(p.save, look.Space()))
	p.content = look.Spaced(10, rows...)
	p.none = paragraphsDim("Sounds, films and texts may also be dropped anywhere on the window. A PDF that is dropped is checked as a report; attach one with Attach….")
	inner := look.Inset(20, 14, 20, 16, look.Spaced(10, p.content, p.none))
	p.laid.root = inner
	p.empty = look.Inset(6, 14, 6, 6, paragraphs("Attach the papers that support what is claimed, drawings, recordings and short films.",
		"They are kept byte for byte beside the photos, and the report lists each with its SHA-256. The files themselves stay here."))
	list := look.Rows(pageHead("Documents, sounds and films", p.summary, p.remove, p.add), look.Flex(1, look.Inset(18, 0, 18, 8, container.NewStack(p.table.Object, p.empty))))
	p.root = beside(list, inner)
	return p
}

func (p *attachPanel) cell(row, col int) string {
	r := p.rows[row]
	return []string{strconv.Itoa(r.Number), view.Capital(r.Kind), view.Capital(r.About), r.Name, r.Date, r.Size, r.Hash, r.Tied}[col]
}

func (p *attachPanel) object() fyne.CanvasObject { return p.root }

func (p *attachPanel) refresh() {
	p.summary.SetText(p.m.Summary())
	p.rows = p.m.Rows()
	at := slices.IndexFunc(p.rows, func(r view.AttachmentRow) bool { return r.Selected })
	showListed(p.table, len(p.rows), at, p.empty, p.remove, p.content, p.none)
	if at < 0 {
		p.laid.follow("none")
		return
	}
	kind := p.m.Fields()[0]
	p.kind.SetOptions(kind.Choices)
	p.kind.Set(kind.Get())
	p.form.refresh()
	for i, f := range p.m.Facts() {
		p.facts[i][0].SetText(f[0])
		p.facts[i][1].SetText(f[1])
	}
	if id := p.m.Selected(); len(id) == 64 {
		p.hash[0].SetText(id[:32])
		p.hash[1].SetText(id[32:])
	}
	tied := p.rows[at].Tied
	if tied == "" {
		tied = "nothing yet"
	}
	p.tied.set([]string{view.Capital(tied)})
	p.laid.follow(p.tied.now)
}

// askSave saves a copy of the attachment shown under a new name.
func (p *attachPanel) askSave() {
	w := p.s.w
	w.askPath("Save a copy of "+p.m.Chosen().Name, "A new file, or a folder that takes it under its own name", "Save", false, func(path string) {
		saved := ""
		w.work("Saving a copy", func(ctx context.Context, _ func(int, int, string)) (err error) {
			saved, err = p.m.Save(ctx, w.bench, path)
			return err
		}, func() { w.frame.say("Saved " + filepath.Base(saved)) })
	})
}

// askAttach asks for a file to attach to the open examination; then is told what
// it is known by, and may be nil.
func (w *Window) askAttach(then func(ids []string)) {
	w.askPath("Attach a file", "PDF, text or picture; WAV, FLAC, MP3, Ogg, M4A; MP4, MOV, WebM, MKV", "Attach", false, func(path string) {
		w.Attach([]string{path}, then)
	})
}

// Attach stores files and lists them in the open examination; then is told what
// they are known by, and may be nil.
func (w *Window) Attach(paths []string, then func(ids []string)) {
	x := w.exam
	if x == nil {
		w.Fail(errors.New("open an examination first; a document, a sound or a film is attached to one"))
		return
	}
	if is := x.s.Scene().Issued; is != nil {
		w.Fail(fmt.Errorf("this examination was issued as %s and takes no more files; begin a new one", is.Number))
		return
	}
	var st *view.Stored
	w.work("Attaching", func(ctx context.Context, report func(int, int, string)) (err error) {
		st, err = view.StoreFiles(ctx, w.bench, paths, "", report)
		return err
	}, func() {
		said, err := view.NewAttachments(x.s).Enter(st)
		if err != nil {
			w.Fail(err)
			return
		}
		var ids, lines []string
		for _, a := range st.Files {
			ids = append(ids, a.ID)
		}
		if s, ok := w.frame.now.(*identityScreen); ok && len(ids) > 0 {
			s.files.Select(ids[0])
			s.refresh()
		}
		if then != nil && len(ids) > 0 {
			then(ids)
		}
		for _, r := range st.Refused {
			lines = append(lines, r.Why)
		}
		w.frame.say(said)
		if lines = append(lines, st.Remarks...); len(lines) > 0 {
			w.Tell("While attaching", lines...)
		}
	})
}
