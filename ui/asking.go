package ui

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// askPath asks for a file or folder: by typing its path, or by looking for it.
func (w *Window) askPath(title, caption, main string, folder bool, do func(path string)) {
	w.askPathFrom(title, caption, main, "", folder, do)
}

// askPathFrom is askPath with a path proposed.
func (w *Window) askPathFrom(title, caption, main, proposed string, folder bool, do func(path string)) {
	var s *sheet
	field := look.NewField(caption, "", nil)
	field.Set(proposed)
	finish := func() {
		if p := expand(field.Text()); p != "" {
			s.hide()
			do(p)
		}
	}
	field.Entry().OnSubmitted = func(string) { finish() }
	field.OnCancel = func() { s.hide() }
	browse := w.browse(folder, func(p string) { field.Set(p); field.Focus(w.win.Canvas()) })
	s = w.showSheet(title, 520, look.Spaced(10, field, look.Columns(browse, look.Space())), "Cancel",
		look.NewButton(main, "", look.Main, finish))
	field.Focus(w.win.Canvas())
}

// browse is the button that looks for a file or folder.
func (w *Window) browse(folder bool, set func(path string)) *look.Button {
	return look.NewButton("Look for it…", "folder", look.Plain, func() {
		if folder {
			dialog.ShowFolderOpen(func(u fyne.ListableURI, err error) {
				if err == nil && u != nil {
					set(u.Path())
				}
			}, w.win)
			return
		}
		dialog.ShowFileOpen(func(u fyne.URIReadCloser, err error) {
			if err == nil && u != nil {
				u.Close()
				set(u.URI().Path())
			}
		}, w.win)
	})
}

func (w *Window) askImport() {
	if w.bench == nil {
		w.ShowStart()
		w.askBench()
		return
	}
	w.askPath("Import photos", "File or folder; dropping files on the window does the same", "Import", true, func(p string) { w.Import([]string{p}) })
}

// askCloseUp saves the close-up of the selected mark as it is on the photo shown,
// or on the one that shows it largest.
func (w *Window) askCloseUp() {
	if w.exam == nil || w.exam.now != view.MarksScreen {
		return
	}
	x := w.exam
	n := x.s.Scene().Selected
	m := x.s.Scene().Record.MarkByNumber(n)
	if m == nil || len(m.Photos) == 0 {
		w.Fail(errors.New("save close-up: select a mark that is on a photo first"))
		return
	}
	photo := ""
	if m.OnPhoto(x.marks.Photo()) {
		photo = x.marks.Photo()
	}
	w.askPath("Save the close-up", "A new file, .jpg or .png", "Save", false, func(path string) {
		w.work("Cutting the close-up", func(ctx context.Context, _ func(int, int, string)) error {
			img, err := view.CloseUp(w.bench, x.s, n, photo)
			if err != nil {
				return err
			}
			return view.SavePicture(path, img)
		}, func() { w.frame.say("Saved " + shortPath(path)) })
	})
}

func (w *Window) askBench() {
	w.askPath("Open a bench", "Folder of a bench, or a new or empty folder to make one in", "Open", true, func(p string) {
		w.try(func() error { return w.OpenBench(p, isFresh(p)) })
	})
}

func (w *Window) askReport() {
	w.askPath("Check a report", "The PDF that somebody sent", "Check", false, w.CheckReport)
}

// isFresh tells whether a folder is new or empty, so that a bench may be made
// in it.
func isFresh(dir string) bool {
	es, err := os.ReadDir(dir)
	return os.IsNotExist(err) || (err == nil && len(es) == 0)
}

// expand reads ~ and a file URI as people paste them.
func expand(p string) string {
	p = strings.TrimPrefix(strings.TrimSpace(p), "file://")
	if rest, ok := strings.CutPrefix(p, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			p = filepath.Join(home, rest)
		}
	}
	return p
}

func shortPath(p string) string { return filepath.Base(p) }

func countOf(done, total int) string { return fmt.Sprintf("%d of %d", done, total) }

// showKeys lists the keys, in two columns because there are many.
func (w *Window) showKeys() {
	column := func(keys [][2]string) fyne.CanvasObject {
		var rows []fyne.CanvasObject
		for _, k := range keys {
			rows = append(rows, look.SpacedColumns(12, look.Fixed(140, 0, look.Rows(look.NewText(k[0], look.Small, look.Ink).Bold(), look.Space())), look.Flex(1, look.NewParagraph(k[1], false).Object)))
		}
		return look.Spaced(6, rows...)
	}
	half := (len(keyHelp) + 1) / 2
	w.showSheet("Keys", 1060, look.SpacedColumns(28, look.Flex(1, column(keyHelp[:half])), look.Flex(1, column(keyHelp[half:]))), "Close")
}

// showScale says what the figures mean.
func (w *Window) showScale() {
	w.Tell("About the grade",
		"Condition runs from 100 down to 0. Each mark has an importance, an intensity and the area it covers; the worst mark over a spot counts, each part counts by its share, and the first flaw costs the most.",
		"A structural flaw holds the instrument down to one class above its own. Parts that were not inspected widen the range; below 80 % of the shares the index is provisional.",
		"Originality and playing are counted beside it and never mixed in. The whole table is printed by name and hash in every report.",
		"A condition report is neither a valuation nor legal advice.")
}
