//go:build window

package windowtest

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// patience bounds every wait. It is long because the machine may be busy; a
// wait ends as soon as its condition holds.
const patience = 90 * time.Second

// tools are the outside programs and the Debian packages that bring them.
var tools = [][2]string{{"Xvfb", "xvfb"}, {"openbox", "openbox"}, {"xdotool", "xdotool"}, {"import", "imagemagick"}, {"xprop", "x11-utils"}}

// screen is a virtual screen with a window manager and a home of its own. It is
// gone when its test ends.
type screen struct {
	t       *testing.T
	display string
	home    string
	program string // path of the built program
}

// newScreen starts a screen on a display that is free.
func newScreen(t *testing.T, width, height int) *screen {
	t.Helper()
	for _, tool := range tools {
		if _, err := exec.LookPath(tool[0]); err != nil {
			t.Fatalf("%s is missing: apt-get install %s", tool[0], tool[1])
		}
	}
	s := &screen{t: t, home: t.TempDir(), program: os.Getenv("WORNWOOD_BIN")}
	if s.program == "" {
		t.Fatal("WORNWOOD_BIN names no program; run make windowtest")
	}
	s.display = s.startX(fmt.Sprintf("%dx%dx24", width, height))
	s.start("openbox", exec.Command("openbox", "--sm-disable"))
	s.until("the window manager runs", func() bool {
		return strings.Contains(s.tool("xprop", "-root", "_NET_SUPPORTING_WM_CHECK"), "window id")
	})
	return s
}

// startX starts Xvfb, which chooses a free display and says which. Keys do not
// repeat: a busy machine would hold them for too long.
func (s *screen) startX(size string) string {
	r, w, err := os.Pipe()
	if err != nil {
		s.t.Fatal(err)
	}
	defer r.Close()
	c := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", size, "-nolisten", "tcp", "-noreset", "-r")
	c.ExtraFiles = []*os.File{w}
	s.start("Xvfb", c)
	w.Close()
	r.SetReadDeadline(time.Now().Add(patience))
	n, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		s.t.Fatalf("Xvfb gave no display: %v", err)
	}
	return ":" + strings.TrimSpace(n)
}

// start runs a program beside the test and ends it with the test. What it wrote
// is shown when the test failed.
func (s *screen) start(name string, c *exec.Cmd) {
	s.t.Helper()
	var said bytes.Buffer
	c.Stdout, c.Stderr, c.Env = &said, &said, s.env()
	if err := c.Start(); err != nil {
		s.t.Fatalf("start %s: %v", name, err)
	}
	s.t.Cleanup(func() {
		c.Process.Kill()
		c.Wait()
		if s.t.Failed() && said.Len() > 0 {
			s.t.Logf("%s said:\n%s", name, said.String())
		}
	})
}

// env is the surroundings of every program on the screen.
func (s *screen) env() []string {
	return []string{
		"PATH=" + os.Getenv("PATH"), "HOME=" + s.home, "XDG_CONFIG_HOME=" + filepath.Join(s.home, "config"),
		"DISPLAY=" + s.display, "LANG=en_US.UTF-8", "FYNE_SCALE=1", "LIBGL_ALWAYS_SOFTWARE=1",
	}
}

// tool runs an outside program to its end and returns what it printed; it may
// fail, as looking for a window that is not there yet does.
func (s *screen) tool(name string, args ...string) string {
	c := exec.Command(name, args...)
	c.Env = s.env()
	out, _ := c.Output()
	return strings.TrimSpace(string(out))
}

// verb runs the program's own verb and returns its exit code and what it said.
func (s *screen) verb(args ...string) (code int, out, errs string) {
	s.t.Helper()
	c := exec.Command(s.program, args...)
	c.Env = s.env()
	var o, e bytes.Buffer
	c.Stdout, c.Stderr = &o, &e
	if err := c.Run(); c.ProcessState == nil {
		s.t.Fatalf("run %s %s: %v", s.program, strings.Join(args, " "), err)
	}
	return c.ProcessState.ExitCode(), o.String(), e.String()
}

// must runs a verb that has to succeed.
func (s *screen) must(args ...string) string {
	s.t.Helper()
	code, out, errs := s.verb(args...)
	if code != 0 {
		s.t.Fatalf("wornwood %s: exit code %d: %s", strings.Join(args, " "), code, errs)
	}
	return out
}

// until asks for a condition again and again, until a deadline.
func (s *screen) until(what string, holds func() bool) {
	s.t.Helper()
	end := time.Now().Add(patience)
	for !holds() {
		if time.Now().After(end) {
			s.t.Fatalf("waited %v in vain until %s", patience, what)
		}
		<-time.After(20 * time.Millisecond)
	}
}
