//go:build ci

package ui

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/ui/demo"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// menuHeight is what the menu takes of the real window; the in-memory driver
// has none.
const menuHeight = 23

var (
	large = fyne.NewSize(1440, 900-menuHeight)
	small = fyne.NewSize(1280, 720-menuHeight)
)

// clock is the clock of all windows here.
func clock() time.Time {
	return time.Date(2026, 11, 14, 15, 4, 5, 0, time.FixedZone("", 3600))
}

var demoOnce struct {
	sync.Once
	dir, exam string
	err       error
}

// TestMain takes the shared demonstration away again.
func TestMain(m *testing.M) {
	code := m.Run()
	if demoOnce.dir != "" {
		os.RemoveAll(demoOnce.dir)
	}
	os.Exit(code)
}

// demoBench is a copy of the demonstration as a draft, which is made once.
func demoBench(t *testing.T) (dir, exam string) {
	t.Helper()
	demoOnce.Do(func() {
		if demoOnce.dir, demoOnce.err = os.MkdirTemp("", "wornwood-ui-"); demoOnce.err != nil {
			return
		}
		var res *demo.Result
		res, demoOnce.err = demo.Run(context.Background(), filepath.Join(demoOnce.dir, "bench"), demo.Options{Now: clock, Draft: true})
		if demoOnce.err == nil {
			demoOnce.exam = res.Exam
		}
	})
	if demoOnce.err != nil {
		t.Fatal(demoOnce.err)
	}
	dir = filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(demoOnce.dir, "bench"))); err != nil {
		t.Fatal(err)
	}
	return dir, demoOnce.exam
}

// newWindow makes a window of a size on nothing yet. HOME is a folder of its
// own, so that the bench opened last is remembered there.
func newWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	w := New(context.Background(), test.NewTempApp(t), Options{Now: clock, Dark: dark})
	t.Cleanup(func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
		w.win.Close()
	})
	w.win.Resize(size)
	return w
}

// demoWindow is a window with the demonstration's examination open. The photos
// are in the store already, in small copies, so that nothing comes in later.
func demoWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	return openDemo(t, size, dark, func(*bench.Exam) error { return nil })
}

// openDemo is demoWindow with the examination changed before it is shown.
func openDemo(t *testing.T, size fyne.Size, dark bool, change func(*bench.Exam) error) *Window {
	t.Helper()
	w := newWindow(t, size, dark)
	dir, exam := demoBench(t)
	if err := w.OpenBench(dir, false); err != nil {
		t.Fatal(err)
	}
	ex, err := w.bench.OpenExam(exam)
	if err != nil {
		t.Fatal(err)
	}
	if err := change(ex); err != nil {
		t.Fatal(err)
	}
	for _, p := range ex.Record().Photos {
		j, err := w.bench.Preview(p.ID, bench.SmallPreview)
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(j))
		if err != nil {
			t.Fatal(err)
		}
		w.store.Put(p.ID, markview.NewPyramid(img))
	}
	if err := w.showExam(ex); err != nil {
		t.Fatal(err)
	}
	return w
}

// capture paints the window and, with WORNWOOD_PICTURES=DIR, keeps the picture.
func capture(t *testing.T, w *Window, name string) image.Image {
	t.Helper()
	settle(w)
	img := w.win.Canvas().Capture()
	dir := os.Getenv("WORNWOOD_PICTURES")
	if dir == "" {
		return img
	}
	f, err := os.Create(filepath.Join(dir, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(f, img); err != nil {
		t.Fatal(err)
	}
	return img
}

// settle lays out everything once more, as the real driver does before each
// frame when a least size has changed; the in-memory one does not.
func settle(w *Window) {
	for range 2 {
		if w.frame == nil && w.listed != nil {
			w.listed.answers.work.Wait() // they are found beside the window
			w.listed.back.work.Wait()
		}
		if w.frame != nil {
			if s, ok := w.frame.now.(*reportScreen); ok {
				s.pane.work.Wait() // its pages are drawn beside the window
			}
		}
		layOut(w.win.Content())
		for _, o := range w.win.Canvas().Overlays().List() {
			layOut(o)
		}
	}
}

func layOut(o fyne.CanvasObject) {
	if !o.Visible() {
		return
	}
	switch o := o.(type) {
	case *fyne.Container:
		if o.Layout != nil {
			o.Layout.Layout(o.Objects, o.Size())
		}
		for _, c := range o.Objects {
			layOut(c)
		}
	case fyne.Widget:
		r := test.WidgetRenderer(o)
		r.Layout(o.Size())
		for _, c := range r.Objects() {
			layOut(c)
		}
	}
}

// marksNow shows the Marks screen, painted, and returns it.
func (w *Window) marksNow(t *testing.T) *marksScreen {
	t.Helper()
	w.ShowScreen(view.MarksScreen)
	settle(w)
	w.win.Canvas().Capture() // gives the canvases their size
	s, ok := w.frame.now.(*marksScreen)
	if !ok {
		t.Fatalf("the Marks screen is a %T", w.frame.now)
	}
	return s
}

// clickAt clicks on a canvas at a point of its sheet.
func clickAt(c *markview.Canvas, p shape.Pt) {
	at := c.Control.View().Apply(p)
	e := &desktop.MouseEvent{Button: desktop.MouseButtonPrimary}
	e.Position = fyne.NewPos(float32(at.X), float32(at.Y))
	c.MouseMoved(e)
	c.MouseDown(e)
	c.MouseUp(e)
}

// typeText types into whatever has the keyboard.
func typeText(t *testing.T, w *Window, text string) {
	t.Helper()
	f := w.win.Canvas().Focused()
	if f == nil {
		t.Fatalf("nothing has the keyboard to type %q into", text)
	}
	for _, r := range text {
		f.TypedRune(r)
	}
}

// press presses a key on whatever has the keyboard, else on the window.
func press(w *Window, keys ...fyne.KeyName) {
	for _, k := range keys {
		e := &fyne.KeyEvent{Name: k}
		if f := w.win.Canvas().Focused(); f != nil {
			f.TypedKey(e)
		} else {
			w.win.Canvas().OnTypedKey()(e)
		}
	}
}

// menuItem finds an item of the menu.
func menuItem(t *testing.T, w *Window, menu, item string) *fyne.MenuItem {
	t.Helper()
	for _, m := range w.win.MainMenu().Items {
		for _, it := range m.Items {
			if m.Label == menu && it.Label == item {
				return it
			}
		}
	}
	t.Fatalf("the menu has no %s, %s", menu, item)
	return nil
}

// finish waits until the work that runs beside the window has ended.
func finish(t *testing.T, w *Window) {
	t.Helper()
	if b := w.busy; b != nil {
		<-b.Ended()
	}
}
