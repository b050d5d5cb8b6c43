package ui

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/blob"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveDetail is the chosen report in full, with what can be done with it.
type archiveDetail struct {
	s    *archiveScreen
	root *fyne.Container
	d    *view.ArchiveDetail
	want string // the report that is being read
	said *look.Text
}

func newArchiveDetail(s *archiveScreen) *archiveDetail {
	d := &archiveDetail{s: s, root: container.NewStack(), said: look.NewText("", look.Small, look.Dim)}
	d.root.Objects = []fyne.CanvasObject{look.Centred(look.NewText("Choose a report to see it here.", look.Body, look.Dim).Whole())}
	return d
}

// show reads a report beside the window and shows it.
func (d *archiveDetail) show(hash string) {
	if d.want == hash && d.d != nil && d.d.Hash == hash {
		return
	}
	d.want = hash
	var read *view.ArchiveDetail
	var err error
	d.s.beside(func() {
		if err = people.Reads(d.s.a, d.s.dir, archive.ReadReport, hash); err == nil {
			read, err = view.ReadArchiveDetail(d.s.a, hash)
		}
	}, func() {
		switch {
		case d.want != hash:
		case err != nil:
			d.d = nil
			d.root.Objects = []fyne.CanvasObject{look.Inset(16, 14, 16, 14, look.Spaced(8, look.NewText("This report cannot be shown", look.Title, look.Bad).Bold(), paragraphs(view.Words(err)), look.NewText(hash, look.Caption, look.Dim).Mono()))}
			d.root.Refresh()
		default:
			d.d = read
			d.fill()
		}
	})
}

func (d *archiveDetail) fill() {
	r := d.d
	answers := []fyne.CanvasObject{}
	for _, a := range r.Answers {
		answers = append(answers, look.NewFigure(a.Caption, a.Figure, a.Beside))
	}
	rows := []fyne.CanvasObject{
		look.NewParagraph(r.Title, false).Object, look.NewText(r.Sub, look.Small, look.Dim),
		look.Inset(0, 6, 0, 4, look.Spaced(4, answers...)), look.NewRule(),
	}
	rows = append(rows, look.Inset(0, 4, 0, 0, d.verdict()))
	for _, f := range r.Facts {
		rows = append(rows, detailFact(f[0], f[1]))
	}
	for i, v := range r.Versions {
		caption := "Versions"
		if i > 0 {
			caption = ""
		}
		rows = append(rows, look.Columns(look.Fixed(factWide, 0, look.NewText(caption, look.Small, look.Dim)), look.Flex(1, look.NewText(v.Text, look.Small, look.Ink)),
			look.NewButton("Show", "", look.Quiet, func() { d.show(v.Hash) }).Tight()))
	}
	if r.Marks != "" {
		rows = append(rows, detailFact("Marks", r.Marks))
	}
	for i, p := range r.Parts {
		caption := "Parts"
		if i > 0 {
			caption = ""
		}
		rows = append(rows, detailFact(caption, p))
	}
	rows = append(rows, look.Inset(0, 4, 0, 0, look.NewText("SHA-256", look.Caption, look.Dim)), hash(r.Hash))
	d.said.SetText("")
	actions := look.Spaced(6,
		look.SpacedColumns(6, look.NewButton("Open the PDF", "report", look.Main, d.openPDF), look.NewButton("History", "history", look.Plain, func() { d.s.showHistory(r.Hash) }), look.Space()),
		look.SpacedColumns(2, look.NewButton("Save a copy…", "", look.Quiet, d.askCopy).Tight(), look.NewButton("Save a proof…", "", look.Quiet, d.askProof).Tight(), look.NewButton("Copy the hash", "", look.Quiet, d.copyHash).Tight(), look.Space()),
		d.said)
	d.root.Objects = []fyne.CanvasObject{look.Rows(look.Flex(1, container.NewVScroll(look.Inset(16, 12, 14, 12, look.Spaced(5, rows...)))), look.NewRule(), look.Inset(16, 8, 10, 6, actions))}
	d.root.Refresh()
}

const factWide float32 = 74

func detailFact(caption, text string) fyne.CanvasObject {
	return look.Columns(look.Fixed(factWide, 0, look.Rows(look.NewText(caption, look.Small, look.Dim), look.Space())), look.Flex(1, look.NewParagraph(text, false).Object))
}

// verdict is what was found when the report was filed, in one line that opens the
// whole.
func (d *archiveDetail) verdict() fyne.CanvasObject {
	icon, ink := "check", look.Accent
	bad := 0
	for _, f := range d.d.Findings {
		if f.Bad {
			bad++
		}
	}
	if !d.d.OK || bad > 0 {
		icon, ink = "warning", look.Bad
	}
	more := look.NewButton(fmt.Sprintf("All %d findings", len(d.d.Findings)), "", look.Quiet, func() {
		d.s.w.verdictSheet("When it was filed", d.d.Verdict, d.d.OK, d.d.Findings, nil)
	}).Tight()
	return look.Rows(look.SpacedColumns(8, look.Rows(look.NewIcon(icon, ink, 18), look.Space()), look.Flex(1, look.NewParagraph(d.d.Verdict, false).Object)), look.Columns(look.Fixed(20, 0, look.Space()), more, look.Space()))
}

func (d *archiveDetail) ref() archive.Ref {
	return archive.Ref{Area: archive.Files, Hash: d.d.Hash}
}

func (d *archiveDetail) copyHash() {
	d.s.w.app.Clipboard().SetContent(d.d.Hash)
	d.said.SetText("The hash is on the clipboard.")
}

func (d *archiveDetail) openPDF() { d.s.openFile(d.ref(), d.d.Hash[:16]+".pdf") }

func (d *archiveDetail) askCopy() {
	d.s.askCopyOf(d.ref(), d.d.Hash[:16]+".pdf", func(s string) { d.said.SetText(s) })
}

// askProof saves what proves that the report's lines stand in the log.
func (d *archiveDetail) askProof() {
	of := d.d.Hash
	if d.s.task != nil {
		d.s.w.Fail(errors.New("something is still running in this archive; wait for it or cancel it"))
		return
	}
	d.s.w.askPathFrom("Save a proof", "A new file, .json: that the lines about this report stand in the log, without the other lines", "Save", of[:16]+"-proof.json", false, func(path string) {
		d.s.w.work("Following the log", func(ctx context.Context, _ func(int, int, string)) error {
			p, err := d.s.a.LineProof(ctx, archive.ProofAsk{Reports: []string{of}})
			if err != nil {
				return err
			}
			return writeNew(path, func(w io.Writer) error {
				e := json.NewEncoder(w)
				e.SetIndent("", "  ")
				return e.Encode(p)
			})
		}, func() { d.said.SetText("Saved " + shortPath(path)) })
	})
}

// openFile opens a file of the archive in the desktop's own program; one that is
// not on this machine is copied to a folder for a moment first.
func (s *archiveScreen) openFile(ref archive.Ref, name string) {
	open := func(path string) {
		s.w.try(func() error {
			return s.w.app.OpenURL(&url.URL{Scheme: "file", Path: filepath.ToSlash(path)})
		})
	}
	if err := s.handsOut(ref); err != nil {
		s.w.Fail(err)
		return
	}
	if path := s.a.PathOf(ref); path != "" {
		open(path)
		return
	}
	path := ""
	s.w.work("Fetching the file", func(context.Context, func(int, int, string)) error {
		dir, err := os.MkdirTemp("", "wornwood-")
		if err != nil {
			return err
		}
		path = filepath.Join(dir, name)
		return writeNew(path, func(w io.Writer) error { return s.a.CopyTo(w, ref) })
	}, func() { open(path) })
}

// handsOut writes down that a report is handed out; what was refused is none.
func (s *archiveScreen) handsOut(ref archive.Ref) error {
	if ref.Area != archive.Files {
		return nil
	}
	return people.Reads(s.a, s.dir, archive.ReadFile, ref.Hash)
}

// askCopyOf saves a copy of a file of the archive.
func (s *archiveScreen) askCopyOf(ref archive.Ref, name string, said func(string)) {
	s.w.askPathFrom("Save a copy", "A new file, .pdf", "Save", name, false, func(path string) {
		s.w.work("Saving a copy", func(context.Context, func(int, int, string)) error {
			if err := s.handsOut(ref); err != nil {
				return err
			}
			return writeNew(path, func(w io.Writer) error { return s.a.CopyTo(w, ref) })
		}, func() { said("Saved " + shortPath(path)) })
	})
}

// writeNew writes a file that is not there yet, whole or not at all.
func writeNew(path string, write func(io.Writer) error) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is there already; name a new file", path)
	}
	if err := blob.WriteFile(path, 0o644, write); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}
