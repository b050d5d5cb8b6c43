package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"wornwood/annotate"
	"wornwood/ui/view"
)

// menu is the window's menu. Its shortcuts come before those of a focused
// entry, so undo and redo are handed on to the entry where one has the focus.
func (w *Window) menu() *fyne.MainMenu {
	always := func(label string, key fyne.KeyName, mod fyne.KeyModifier, f func()) *fyne.MenuItem {
		it := fyne.NewMenuItem(label, f)
		if key != "" {
			it.Shortcut = &desktop.CustomShortcut{KeyName: key, Modifier: mod}
		}
		return it
	}
	item := func(label string, key fyne.KeyName, mod fyne.KeyModifier, f func()) *fyne.MenuItem {
		return always(label, key, mod, func() {
			if len(w.sheets) == 0 {
				f()
			}
		})
	}
	const ctrl, shift = fyne.KeyModifierControl, fyne.KeyModifierShift
	file := fyne.NewMenu("File",
		item("New examination", fyne.KeyN, ctrl, func() { w.try(w.NewExam) }),
		item("Import photos…", fyne.KeyO, ctrl, w.askImport),
		item("Open bench…", fyne.KeyO, ctrl|shift, w.askBench),
		item("Check a report…", fyne.KeyR, ctrl, w.askReport),
		item("Open archive…", fyne.KeyA, ctrl|shift, w.askArchive),
		item("New archive…", "", 0, w.askNewArchive),
		item("Settings of this bench…", fyne.KeyComma, ctrl, w.askSettings),
		item("Keys: yours, and those you know…", fyne.KeyK, ctrl, w.showKey),
		fyne.NewMenuItemSeparator(),
		item("List of instruments", fyne.KeyL, ctrl, w.toBench),
		item("Report", fyne.KeyP, ctrl, func() { w.toScreen(view.ReportScreen) }),
	)
	// The toolkit makes its own shortcut of Ctrl+Z before it asks the menu.
	undo := always("Undo", "", 0, func() { w.step(&fyne.ShortcutUndo{}, (*annotate.Session).Undo, "Undone: ") })
	undo.Shortcut = &fyne.ShortcutUndo{}
	edit := fyne.NewMenu("Edit",
		undo,
		always("Redo", fyne.KeyZ, ctrl|shift, func() { w.step(&fyne.ShortcutRedo{}, (*annotate.Session).Redo, "Made again: ") }),
		item("Delete mark", "", 0, w.deleteMark),
		item("Save close-up…", fyne.KeyC, ctrl|shift, w.askCloseUp),
		fyne.NewMenuItemSeparator(),
		item("Find", fyne.KeyF, ctrl, w.toFind),
	)
	screens := fyne.NewMenu("View")
	for i, s := range view.Screens() {
		screens.Items = append(screens.Items, item(string(s), fyne.KeyName(rune('1'+i)), ctrl, func() { w.toScreen(s) }))
	}
	screens.Items = append(screens.Items, fyne.NewMenuItemSeparator(), item("Light or dark", fyne.KeyD, ctrl, w.toggleDark))
	help := fyne.NewMenu("Help", item("Keys", fyne.KeyF1, 0, w.showKeys), item("About the grade", "", 0, w.showScale))
	return fyne.NewMainMenu(file, edit, screens, help)
}

// typing is a focused entry of any kind: it has an undo of its own.
type typing interface {
	fyne.Shortcutable
	SelectedText() string
}

// step undoes or redoes: in a focused entry its typing, otherwise a change.
func (w *Window) step(sc fyne.Shortcut, do func(*annotate.Session) (string, error), say string) {
	if e, ok := w.win.Canvas().Focused().(typing); ok {
		e.TypedShortcut(sc)
		return
	}
	if w.exam == nil || len(w.sheets) > 0 {
		return
	}
	can := w.exam.s.Scene().Undo
	if _, redo := sc.(*fyne.ShortcutRedo); redo {
		can = w.exam.s.Scene().Redo
	}
	if can == "" {
		return
	}
	name, err := do(w.exam.s)
	if err != nil {
		w.Fail(err)
		return
	}
	w.frame.say(say + name)
}

// typedKey handles keys that no widget took.
func (w *Window) typedKey(e *fyne.KeyEvent) {
	if n := len(w.sheets); n > 0 {
		if s := w.sheets[n-1]; s.closes && e.Name == fyne.KeyEscape {
			s.hide()
		}
		return
	}
	switch e.Name {
	case fyne.KeyF1: // the toolkit asks the menu only for keys with a modifier
		if w.archive != nil && w.archive.page == pageFind {
			w.showQueryHelp()
			return
		}
		w.showKeys()
	case fyne.KeyDelete:
		w.deleteMark()
	case fyne.KeyEscape:
		w.escape()
	}
}

func (w *Window) deleteMark() {
	if w.exam == nil || w.exam.now != view.MarksScreen || w.exam.s.Scene().Selected == 0 {
		return
	}
	w.try(w.exam.marks.Delete)
}

func (w *Window) escape() {
	if w.exam == nil || w.exam.now != view.MarksScreen {
		return
	}
	w.exam.marks.StopWaiting()
	w.refresh()
}

func (w *Window) toScreen(s view.Screen) {
	if i := slices.Index(view.Screens(), s); w.archive != nil && i < len(archivePages) {
		w.archive.to(i)
	}
	if w.exam != nil {
		w.ShowScreen(s)
	}
}

func (w *Window) toBench() {
	if w.archive != nil {
		w.archive.close()
		return
	}
	if w.bench == nil {
		return
	}
	w.takeTyped()
	if err := w.closeExam(); err != nil {
		w.Fail(err)
	}
	w.ShowBench()
}

// try runs a command and shows its error.
func (w *Window) try(f func() error) {
	if err := f(); err != nil {
		w.Fail(err)
	}
}

// keyHelp is the list of keys, shown by F1 and checked against the menu by a
// test.
var keyHelp = [][2]string{
	{"Ctrl+N", "begin an examination of a new instrument"},
	{"Ctrl+O", "import photos"},
	{"Ctrl+Shift+O", "open another bench"},
	{"Ctrl+R", "check a report that somebody sent"},
	{"Ctrl+Shift+A", "open an archive of reports"},
	{"Ctrl+,", "settings of this bench"},
	{"Ctrl+K", "your key, and the keys you know"},
	{"Ctrl+L", "list of instruments"},
	{"Ctrl+P", "report"},
	{"Ctrl+Z, Ctrl+Shift+Z", "undo, redo"},
	{"Ctrl+F", "find in the list of instruments, or in the archive"},
	{"Ctrl+1 … Ctrl+9", "the screens of an examination; Ctrl+1 … Ctrl+6 those of an archive"},
	{"Ctrl+D", "light or dark"},
	{"wheel, space, 1", "on outline or photo: zoom about the cursor, fit, one to one"},
	{"C, arrows, Enter", "on outline or photo: a cursor, move it, click there"},
	{". and ,", "next and previous corner, scale point or node; arrows then nudge it, Shift ten times"},
	{"Insert, Delete", "add a point behind it, take it out"},
	{"N, Enter, X", "next suggestion, accept, dismiss"},
	{"L", "the loupe: by itself, always, never"},
	{"Shift", "while dragging: do not snap"},
	{"[ and ]", "smaller and larger brush"},
	{"Enter, Backspace, Esc", "end a line or an area, take a point back, drop it"},
	{"C, B, H, D, N", "in the grid of positions: clean, buzz, choke, dead, not tried; Shift and arrows select"},
	{"O P L R A M N X, I", "in the list of parts: what it is, inspected or not"},
	{"1 2 3, 0", "in the list of signs: answer and walk down, take it back"},
	{"1 2 3, N", "while receiving: as described, differs, not checked; add what is new"},
	{"two letters, Enter", "after a click: choose the kind; 1, 2 or 3 behind them says how deep"},
	{"Tab", "walk the fields of the mark"},
	{"Delete", "delete the selected mark"},
	{"Ctrl+Shift+C", "save the close-up of the selected mark"},
}

// toFind goes to the list of instruments and its search box.
func (w *Window) toFind() {
	if w.archive != nil {
		w.archive.to(pageFind)
		return
	}
	w.toBench()
	if w.find != nil && w.bench != nil {
		w.find()
	}
}
