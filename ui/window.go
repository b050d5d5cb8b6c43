// Package ui is the window: screens composed of the models in ui/view and the
// widgets in ui/look and ui/markview. It holds no rules.
//
// Start with Run, or with New, which makes a window that a test can drive. All
// of a Window belongs to the goroutine of the toolkit; long work runs in
// ui/task and comes back to it.
package ui

import (
	"context"
	"fmt"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/task"
	"wornwood/ui/view"
)

// Window is the program's one window: a bench or none, an examination or none.
type Window struct {
	ctx   context.Context
	app   fyne.App
	win   fyne.Window
	now   func() time.Time
	store *markview.Store // decoded photos, shared by all canvases

	bench  *bench.Bench
	exam   *openExam
	listed *benchScreen // the list of the bench that was shown last
	frame  *frame       // the bench's or examination's surroundings
	busy   *task.Task
	sheets []*sheet // open over the window, the topmost last

	receiving *receiveScreen // shown; nil when it is not
	archive   *archiveScreen // open and shown; nil when it is not
	find      func()         // what Ctrl+F does; nil where there is nothing to find
	dark      bool
	ring      keyRing
}

// openExam is the examination that is open, with the models of its screens.
type openExam struct {
	ex    *bench.Exam
	s     *annotate.Session
	shell *view.Shell
	marks *view.Marks
	sound *view.Sound // nil before its panel was opened
	now   view.Screen

	identityPage int // which page of the Identity screen was shown last
	gradePage    int // which page of the Grade screen was shown last

	pictures *pdfout.Pictures // of the report's preview
}

// Options of a window; zero fields take their defaults.
type Options struct {
	Now  func() time.Time
	Dark bool
}

// Run opens the window on a bench, or on the last one, and returns when it is
// closed.
func Run(ctx context.Context, app fyne.App, dir string) error {
	w, err := newOn(ctx, app)
	if err != nil {
		return err
	}
	if dir == "" {
		dir = lastBench()
	}
	if dir != "" {
		err = w.OpenBench(dir, false)
	}
	if dir == "" || err != nil {
		w.ShowStart()
	}
	w.win.Show()
	if err != nil {
		w.Fail(err)
	}
	go func() {
		<-ctx.Done()
		fyne.Do(func() {
			w.takeTyped()
			app.Quit()
		})
	}()
	app.Run()
	return w.Close()
}

// newOn makes the window; the toolkit panics where the display does not answer.
func newOn(ctx context.Context, app fyne.App) (w *Window, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("open the window: the display does not answer, or draws no OpenGL (%v); the verbs work without one, 'wornwood help' lists them", p)
		}
	}()
	return New(ctx, app, Options{}), nil
}

// New makes the window without showing it.
func New(ctx context.Context, app fyne.App, o Options) *Window {
	if o.Now == nil {
		o.Now = time.Now
	}
	w := &Window{ctx: ctx, app: app, now: o.Now, dark: o.Dark, ring: desktopRing, store: markview.NewStore(markview.DefaultStore)}
	app.Settings().SetTheme(look.New(o.Dark))
	w.win = app.NewWindow("Wornwood")
	w.win.SetPadded(false)
	w.win.SetMaster()
	w.win.Resize(fyne.NewSize(1440, 900))
	w.win.SetMainMenu(w.menu())
	w.win.SetOnDropped(w.dropped)
	w.win.SetCloseIntercept(func() {
		w.takeTyped()
		w.win.Close()
	})
	w.win.Canvas().SetOnTypedKey(w.typedKey)
	return w
}

// OpenBench opens a bench, or makes it, and lists it.
func (w *Window) OpenBench(dir string, create bool) error {
	w.takeTyped()
	b, err := bench.Open(dir, bench.Options{Now: w.now, Create: create})
	if err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		b.Close()
		return err
	}
	w.bench = b
	rememberBench(dir)
	w.ShowBench()
	w.tellDamaged()
	return nil
}

// tellDamaged names the examinations that no list shows because their journals
// cannot be replayed; passing them over in silence would look like a loss.
func (w *Window) tellDamaged() {
	var lines []string
	for _, f := range w.bench.Damaged() {
		lines = append(lines, f.File+": "+f.Text)
	}
	if len(lines) > 0 {
		w.Tell("Examinations that cannot be opened", lines...)
	}
}

// takeTyped has the field that is being typed in report its text, before the
// screen it stands on goes: nothing typed is lost by leaving.
func (w *Window) takeTyped() {
	if _, ok := w.win.Canvas().Focused().(typing); ok {
		w.win.Canvas().Unfocus()
	}
}

// Close lets go of the examination and the bench.
func (w *Window) Close() error {
	w.leaveArchive()
	err := w.closeExam()
	if w.bench != nil {
		if e := w.bench.Close(); err == nil {
			err = e
		}
		w.bench = nil
	}
	return err
}

func (w *Window) closeExam() error {
	if w.exam == nil {
		return nil
	}
	w.takeTyped()
	err := w.exam.ex.Close()
	w.exam = nil
	return err
}

// OpenExam opens an examination on its first screen that still lacks something.
func (w *Window) OpenExam(id string) error {
	ex, err := w.bench.OpenExam(id)
	if err != nil {
		return err
	}
	return w.showExam(ex)
}

func (w *Window) showExam(ex *bench.Exam) error {
	s, err := annotate.OpenFor(ex, w.bench)
	if err != nil {
		ex.Close()
		return err
	}
	if err := w.closeExam(); err != nil {
		ex.Close()
		return err
	}
	w.exam = &openExam{ex: ex, s: s, shell: view.NewShell(s), marks: view.NewMarks(s), pictures: pdfout.NewPictures(0)}
	// Changes are made on the toolkit's goroutine, so the screens follow at once:
	// a refresh put off would wipe what is said at the foot after the change.
	s.OnChange(func(*annotate.Scene) { w.refresh() })
	first := view.IdentityScreen
	if r := ex.Record(); len(r.Marks) > 0 || len(r.Photos) > 0 {
		first = view.MarksScreen
	}
	w.ShowScreen(first)
	for _, n := range ex.Notes() {
		w.Tell("While opening", n)
	}
	return nil
}

// title names the bench; the measurement of starting up waits for it.
func (w *Window) title() string {
	if w.bench == nil {
		return "Wornwood"
	}
	return "Wornwood: " + filepath.Base(w.bench.Dir())
}
