//go:build window

package windowtest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestBenchIsHeld asks a second process for the bench while the window has it.
func TestBenchIsHeld(t *testing.T) {
	s := newScreen(t, 1600, 1000)
	w := s.open(newBench(s))
	for _, args := range [][]string{{"show", w.bench}, {"import", w.bench, photoFolder(t)}, {"undo", w.bench}} {
		code, out, errs := s.verb(args...)
		if code != 4 || out != "" {
			t.Errorf("%s: exit code %d, expected 4; it printed %q", args[0], code, out)
		}
		if !strings.Contains(errs, fmt.Sprintf("process %d", w.cmd.Process.Pid)) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%s says %q, expected one line that names process %d", args[0], errs, w.cmd.Process.Pid)
		}
	}
	w.close()
	s.until("the bench is free after the window was closed", func() bool {
		code, _, _ := s.verb("show", w.bench)
		return code == 0
	})
}

// TestKilledWhileTyping kills the program in the middle of a note. What it had
// shown as saved is there when it is opened again, and on the screen again.
func TestKilledWhileTyping(t *testing.T) {
	w := onMarks(t)
	_, n := pinChip(w)
	w.move(backdrop)
	shown := w.settled(wholePic)
	w.step("saved")
	w.click(noteField(t, shown))
	w.write("half a sent")
	w.differs("the note is being typed", shown, panel)
	w.step("typing")
	if err := w.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	w.until("the bench is free of the dead program", func() bool {
		code, _, _ := w.verb("show", w.bench)
		return code == 0
	})
	if got := len(w.journal()); got != n {
		t.Errorf("the journal has %d entries, %d were saved", got, n)
	}

	again := w.open(w.bench)
	again.click(firstRow)
	again.until("the marks are shown", func() bool { return again.shot().here(2) })
	again.agrees("the answers are those shown before", shown, answers)
	again.agrees("the foot says when the same change was saved", shown, foot)
	again.click(lowerBout) // selects the mark, as it was
	again.move(backdrop)
	again.step("again")
	again.agrees("the outline shows the same mark", shown, outline)
	again.agrees("the panel shows the same mark", shown, panel)
}

// noteField finds the note, the highest field of the panel.
func noteField(t *testing.T, p *picture) image.Point {
	t.Helper()
	tall := p.runs(panel.Min.X+40, fieldColour, 40)
	if len(tall) != 1 {
		t.Fatalf("the panel has the high fields %v, expected the note", tall)
	}
	return tall[0]
}

// TestNoDisplay opens the window where there is none: without a display, and
// with one that does not answer.
func TestNoDisplay(t *testing.T) {
	program := os.Getenv("WORNWOOD_BIN")
	if program == "" {
		t.Fatal("WORNWOOD_BIN names no program; run make windowtest")
	}
	home := t.TempDir()
	for name, display := range map[string]string{"none": "", "dead": "DISPLAY=" + filepath.Join(home, "no-such-socket:7")} {
		c := exec.Command(program, "window", filepath.Join(home, "bench"))
		c.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + home, "LANG=en_US.UTF-8"}
		if display != "" {
			c.Env = append(c.Env, display)
		}
		var out, errs bytes.Buffer
		c.Stdout, c.Stderr = &out, &errs
		if err := c.Run(); c.ProcessState == nil {
			t.Fatal(err)
		}
		if got := c.ProcessState.ExitCode(); got != 3 {
			t.Errorf("%s: exit code %d, expected 3", name, got)
		}
		said := strings.Split(strings.TrimSpace(errs.String()), "\n")
		last := said[len(said)-1]
		if !strings.HasPrefix(last, "wornwood window: ") || !strings.Contains(last, "display") || strings.Contains(errs.String(), "goroutine") {
			t.Errorf("%s: the program says:\n%s", name, errs.String())
		}
		if name == "none" && (len(said) != 1 || out.Len() > 0) {
			t.Errorf("%s: more than a sentence:\n%s%s", name, errs.String(), out.String())
		}
	}
}

// minimum is how the toolkit tells the window manager the least size of a
// window: that of its content. (ICCCM 4.1.2.3, WM_NORMAL_HINTS)
var minimum = regexp.MustCompile(`minimum size: (\d+) by (\d+)`)

// TestSmallScreen shows every screen on a screen of 1280x720: the window fits,
// and no screen asks for more room than there is.
func TestSmallScreen(t *testing.T) {
	s := newScreen(t, 1280, 720)
	w := s.open(newBench(s))
	w.tool("xdotool", "windowsize", "--sync", w.id, "1280", "720")
	w.tool("xdotool", "windowmove", w.id, "0", "0")
	w.until("the window has the size of the screen", func() bool { p := w.shot(); return p.w == 1280 && p.h == 720 })
	ground.Y = 660
	defer func() { ground.Y = 700 }()
	w.openExam()
	names := []string{"identity", "photos", "marks", "parts", "electronics", "setup", "dating", "grade", "report"}
	for i, name := range names {
		w.toScreen(i)
		w.step(name)
		m := minimum.FindStringSubmatch(w.tool("xprop", "-id", w.id, "WM_NORMAL_HINTS"))
		if m == nil {
			t.Fatal("xprop tells no least size of the window")
		}
		width, _ := strconv.Atoi(m[1])
		height, _ := strconv.Atoi(m[2])
		if width > 1280 || height > 720 {
			t.Errorf("%s needs %dx%d, more than 1280x720", name, width, height)
		}
		if p := w.shot(); p.w != 1280 || p.h != 720 {
			t.Errorf("%s made the window %dx%d", name, p.w, p.h)
		}
	}
	var rec struct {
		Marks []json.RawMessage `json:"marks"`
	}
	n := len(w.journal())
	w.toScreen(2)
	w.until("the outline is drawn", func() bool { return w.shot().colours(image.Rect(90, 120, 400, 690)) > 10 })
	w.click(smallBout)
	w.savedMark("mark 1, pinned on the small screen", n, 1, func(m mark) bool { return len(m.On) == 1 })
	w.close()
	s.until("the bench is free", func() bool {
		code, out, _ := s.verb("show", w.bench)
		return code == 0 && json.Unmarshal([]byte(out), &rec) == nil
	})
	if len(rec.Marks) != 1 {
		t.Errorf("the verb show lists %d marks, expected one", len(rec.Marks))
	}
}
