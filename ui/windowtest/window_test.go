//go:build window

package windowtest

import (
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// window is the program's window on a bench.
type window struct {
	*screen
	bench  string
	id     string
	ground int // colour of the ground while no sheet shades it
	cmd    *exec.Cmd
	at     image.Point // of the pointer
	kept   []kept      // one picture a step, written when the test fails
}

type kept struct {
	name string
	pic  *picture
}

// newBench makes a bench with one examination by the verb new.
func newBench(s *screen) string {
	s.t.Helper()
	dir := filepath.Join(s.t.TempDir(), "shop")
	s.must("new", dir, "--maker", "Halden & Rowe", "--model", "Larkfoot Standard", "--year", "1974", "--serial", "41873", "--examiner", "R. Calloway")
	return dir
}

// open starts the program on a bench and waits for its window.
func (s *screen) open(bench string) *window {
	s.t.Helper()
	w := &window{screen: s, bench: bench, cmd: exec.Command(s.program, "window", bench)}
	s.start("the program", w.cmd)
	s.until("the window is shown and names its bench", func() bool {
		w.id, _, _ = strings.Cut(s.tool("xdotool", "search", "--onlyvisible", "--name", "^Wornwood: "+filepath.Base(bench)+"$"), "\n")
		return w.id != ""
	})
	s.tool("xdotool", "windowactivate", "--sync", w.id)
	s.until("the list of instruments is drawn", func() bool { return w.shot().colours(image.Rect(0, 90, 1200, 170)) > 20 })
	s.t.Cleanup(w.keep)
	return w
}

// openExam opens the first examination of the list.
func (w *window) openExam() {
	w.t.Helper()
	w.click(firstRow)
	w.until("an examination is open", func() bool {
		p := w.shot()
		return p.here(0) || p.here(2)
	})
	w.ground = w.shot().at(ground.X, ground.Y)
	w.step("examination")
}

// here says that the rail shows the screen of an item, from 0, as the one where
// one is: only that item has a ground of its own.
func (p *picture) here(item int) bool {
	at := railTop(item)
	return p.at(at.X, at.Y) != p.at(ground.X, ground.Y)
}

// toScreen goes to a screen of the rail, from 0, by its key.
func (w *window) toScreen(item int) {
	w.t.Helper()
	w.key(fmt.Sprintf("ctrl+%d", item+1))
	w.until(fmt.Sprintf("screen %d is shown", item+1), func() bool { return w.shot().here(item) })
}

// move puts the pointer on a place of the window. Where it is already, xdotool
// would wait in vain for it to move.
func (w *window) move(at image.Point) {
	if w.at == at {
		return
	}
	w.at = at
	w.tool("xdotool", "mousemove", "--window", w.id, "--sync", fmt.Sprint(at.X), fmt.Sprint(at.Y))
}

func (w *window) click(at image.Point) {
	w.move(at)
	w.tool("xdotool", "click", "1")
}

// drag takes what is under one place to another, in steps as a hand does.
func (w *window) drag(from, to image.Point) {
	w.move(from)
	w.tool("xdotool", "mousedown", "1")
	for i := 1; i <= 8; i++ {
		w.move(from.Add(to.Sub(from).Mul(i).Div(8)))
	}
	w.tool("xdotool", "mouseup", "1")
}

// wheel turns the wheel up at a place.
func (w *window) wheel(at image.Point, notches int) {
	w.move(at)
	w.tool("xdotool", "click", "--repeat", fmt.Sprint(notches), "--delay", "30", "4")
}

// key presses keys one after another.
func (w *window) key(keys ...string) {
	w.tool("xdotool", append([]string{"key", "--delay", "20"}, keys...)...)
}

// write types a text.
func (w *window) write(text string) { w.tool("xdotool", "type", "--delay", "12", text) }

// close asks the window to close, by the window manager's key.
func (w *window) close() { w.key("alt+F4") }

// shot takes a screenshot of the window.
func (w *window) shot() *picture {
	w.t.Helper()
	c := exec.Command("import", "-silent", "-window", w.id, "-depth", "8", "ppm:-")
	c.Env = w.env()
	out, err := c.Output()
	if err != nil {
		w.t.Fatalf("take a screenshot with import: %v", err)
	}
	p, err := readPPM(out)
	if err != nil {
		w.t.Fatal(err)
	}
	return p
}

// settled waits until two screenshots in a row agree in a rectangle.
func (w *window) settled(r image.Rectangle) *picture {
	w.t.Helper()
	last := w.shot()
	w.until(fmt.Sprintf("%v of the screen settles", r), func() bool {
		now := w.shot()
		still := now.same(last, r)
		last = now
		return still
	})
	return last
}

// differs waits until a rectangle differs from a picture taken before, and has
// settled.
func (w *window) differs(what string, from *picture, r image.Rectangle) *picture {
	w.t.Helper()
	w.until(what, func() bool { return !w.shot().same(from, r) })
	return w.settled(r)
}

// agrees waits until a rectangle is as in a picture taken before.
func (w *window) agrees(what string, with *picture, r image.Rectangle) {
	w.t.Helper()
	now := with
	defer func() {
		if w.t.Failed() {
			w.kept = append(w.kept, kept{"expected", with}, kept{"instead", now})
		}
	}()
	w.until(what, func() bool { now = w.shot(); return now.same(with, r) })
}

// sheet waits until a sheet lies over the window, or none does.
func (w *window) sheet(shown bool) {
	w.t.Helper()
	w.until(fmt.Sprintf("a sheet over the window is shown: %v", shown), func() bool { return (w.shot().at(ground.X, ground.Y) != w.ground) == shown })
}

// step notes what the window looks like, for somebody who has to find out why
// the test failed. With WORNWOOD_PICTURES=DIR every step is kept there.
func (w *window) step(name string) {
	p := w.shot()
	w.kept = append(w.kept, kept{name, p})
	if dir := os.Getenv("WORNWOOD_PICTURES"); dir != "" {
		if err := p.save(filepath.Join(dir, fmt.Sprintf("window-%s-%02d-%s.png", w.t.Name(), len(w.kept), name))); err != nil {
			w.t.Errorf("keep screenshot: %v", err)
		}
	}
}

// keep writes the steps of a failed test, how the window looks now, and the
// bench.
func (w *window) keep() {
	if !w.t.Failed() {
		return
	}
	dir, err := os.MkdirTemp("", "wornwood-windowtest-")
	if err != nil {
		w.t.Logf("keep screenshots: %v", err)
		return
	}
	c := exec.Command("import", "-silent", "-window", "root", filepath.Join(dir, "99-at-the-end.png"))
	c.Env = w.env()
	if err := c.Run(); err != nil {
		w.t.Logf("screenshot at the end: %v", err)
	}
	if err := os.CopyFS(filepath.Join(dir, "bench"), os.DirFS(w.bench)); err != nil {
		w.t.Logf("keep the bench: %v", err)
	}
	for i, k := range w.kept {
		if err := k.pic.save(filepath.Join(dir, fmt.Sprintf("%02d-%s.png", i+1, k.name))); err != nil {
			w.t.Logf("keep screenshot: %v", err)
		}
	}
	w.t.Logf("screenshots of the steps and the bench are in %s", dir)
}
