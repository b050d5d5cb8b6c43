package ui

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
)

// OpenArchive opens an archive and shows it in place of bench or examination;
// lookOnly changes nothing in it. Where somebody else is at work in it, or the
// folder cannot be written to, looking only is offered.
func (w *Window) OpenArchive(dir string, lookOnly bool) {
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs
	}
	if s := w.archive; s != nil && s.dir == dir && s.lookOnly == lookOnly {
		return
	}
	if w.archive != nil && w.archive.task != nil {
		w.Fail(errors.New("something is still running in the archive that is open; wait for it or cancel it"))
		return
	}
	w.takeTyped()
	if s := w.archive; s != nil && s.dir == dir {
		w.leaveArchive() // its lock would be in the way
		defer w.showUnder()
	}
	var a *archive.Archive
	var failed error
	w.work("Opening the archive", func(ctx context.Context, _ func(int, int, string)) error {
		a, failed = archive.Open(ctx, dir, archive.Options{Now: w.now, ReadOnly: lookOnly})
		return nil
	}, func() {
		if failed != nil {
			w.archiveFailed(dir, lookOnly, failed)
			return
		}
		if err := w.closeExam(); err != nil {
			w.Fail(errors.Join(err, a.Close()))
			return
		}
		w.leaveArchive()
		rememberArchive(dir)
		newArchiveScreen(w, a, dir, lookOnly).show()
	})
}

// showUnder shows what lies under a closed archive.
func (w *Window) showUnder() {
	if w.archive != nil {
		return
	}
	if w.bench != nil {
		w.ShowBench()
		return
	}
	w.ShowStart()
}

// archiveFailed says why an archive was not opened, and offers to look only
// where that can be.
func (w *Window) archiveFailed(dir string, lookOnly bool, err error) {
	var held *archive.HeldError
	text := ""
	switch {
	case lookOnly:
	case errors.As(err, &held):
		text = "Somebody is at work in this archive"
		if held.PID != 0 {
			text += ": " + held.Who + " on " + held.Host + ", since " + held.Since.Format("2006-01-02 15:04")
		}
		text += ". Until they are done you can look and search, and nothing can be filed or changed."
	case errors.Is(err, fs.ErrPermission), strings.Contains(err.Error(), "read-only file system"):
		text = "This archive cannot be written to. You can look and search, and nothing can be filed or changed."
	}
	if text == "" {
		w.Fail(err)
		return
	}
	var s *sheet
	s = w.showSheet("Open the archive to look only?", 460, paragraphs(text), "Cancel",
		look.NewButton("Look only", "eye", look.Main, func() { s.hide(); w.OpenArchive(dir, true) }))
}

// leaveArchive closes the archive that is shown. What runs in it is cancelled,
// and closes it at its end.
func (w *Window) leaveArchive() {
	s := w.archive
	if s == nil {
		return
	}
	w.archive, s.left = nil, true
	s.stop()
	if s.task != nil {
		s.task.Cancel()
		return
	}
	s.shut()
}

// askArchive asks which archive to open; those opened lately are offered.
func (w *Window) askArchive() {
	recent := recentArchives()
	if len(recent) == 0 {
		w.askPath("Open an archive", "Folder of an archive", "Open", true, func(p string) { w.OpenArchive(p, false) })
		return
	}
	var s *sheet
	field := look.NewField("Folder of an archive", "", nil)
	open := func(p string) {
		if p != "" {
			s.hide()
			w.OpenArchive(p, false)
		}
	}
	field.Entry().OnSubmitted = func(string) { open(expand(field.Text())) }
	field.OnCancel = func() { s.hide() }
	rows := []fyne.CanvasObject{field, look.Columns(w.browse(true, func(p string) { field.Set(p); field.Focus(w.win.Canvas()) }), look.Space()),
		look.NewText("Opened lately", look.Caption, look.Dim)}
	for _, dir := range recent {
		rows = append(rows, look.Columns(look.NewButton(shortPath(dir), "folder", look.Quiet, func() { open(dir) }), look.Flex(1, look.NewText(dir, look.Small, look.Dim))))
	}
	s = w.showSheet("Open an archive", 560, look.Spaced(8, rows...), "Cancel", look.NewButton("Open", "", look.Main, func() { open(expand(field.Text())) }))
	field.Focus(w.win.Canvas())
}

// askNewArchive asks where an archive is to be made, and makes and opens it.
func (w *Window) askNewArchive() {
	var s *sheet
	dir, name := look.NewField("A new or empty folder", "", nil), look.NewField("Name of the archive", "", nil)
	strict := widget.NewCheck("File only what passes strict checking", nil)
	make := func() {
		p, n := expand(dir.Text()), strings.TrimSpace(name.Text())
		if p == "" || n == "" {
			return
		}
		if err := archive.Make(p, n, strict.Checked, w.now()); err != nil {
			w.Fail(err) // the sheet stays, so nothing typed is lost
			return
		}
		s.hide()
		w.OpenArchive(p, false)
	}
	for _, f := range []*look.Field{dir, name} {
		f.Entry().OnSubmitted = func(string) { make() }
		f.OnCancel = func() { s.hide() }
	}
	s = w.showSheet("Make an archive", 520, look.Spaced(10,
		paragraphs("An archive keeps signed reports of many dealers: each is checked, filed once under its hash, found in a moment, and shown years later to be unaltered. It is a folder of ordinary files."),
		dir, look.Columns(w.browse(true, func(p string) { dir.Set(p); dir.Focus(w.win.Canvas()) }), look.Space()), name, strict), "Cancel",
		look.NewButton("Make", "", look.Main, make))
	dir.Focus(w.win.Canvas())
}

// recentMost is how many archives are remembered.
const recentMost = 5

func recentPath() string {
	if p := memoPath(); p != "" {
		return filepath.Join(filepath.Dir(p), "recent-archives")
	}
	return ""
}

// recentArchives are the archives opened lately that are still there, the latest
// first. Like the bench opened last they are a convenience.
func recentArchives() []string {
	b, err := os.ReadFile(recentPath())
	if err != nil || len(b) > 1<<16 {
		return nil
	}
	var out []string
	for _, dir := range strings.Split(string(b), "\n") {
		if st, err := os.Stat(dir); dir != "" && err == nil && st.IsDir() && len(out) < recentMost {
			out = append(out, dir)
		}
	}
	return out
}

func rememberArchive(dir string) {
	p := recentPath()
	if p == "" || strings.Contains(dir, "\n") || os.MkdirAll(filepath.Dir(p), 0o700) != nil {
		return
	}
	list := append([]string{dir}, slices.DeleteFunc(recentArchives(), func(d string) bool { return d == dir })...)
	// An error here only means that the next start does not offer it.
	_ = os.WriteFile(p, []byte(strings.Join(list[:min(len(list), recentMost)], "\n")+"\n"), 0o600)
}

// homely is a path as people say it, with ~ for their own folder.
func homely(path string) string {
	home, err := os.UserHomeDir()
	if err != nil || home == "" {
		return path
	}
	if rest, ok := strings.CutPrefix(path, home+string(filepath.Separator)); ok {
		return filepath.Join("~", rest)
	}
	return path
}
