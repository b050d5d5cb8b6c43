//go:build bench

package main

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// opening measures from the start of the program to a window that is shown and
// answers, on a bench of 200 instruments; the peer is the same on an empty
// bench. A virtual screen is started for it.
func opening(program, dir string) ([]measurement, error) {
	full, empty := filepath.Join(dir, "bench-200"), filepath.Join(dir, "bench-0")
	if err := fillBench(program, full, 200); err != nil {
		return nil, err
	}
	if err := fillBench(program, empty, 1); err != nil {
		return nil, err
	}
	open := func(b string) func() (float64, error) {
		return func() (float64, error) { return windowUp(program, b) }
	}
	return []measurement{{name: "window-up-200-instruments", unit: "s", rounds: 5, limit: 1.5, absolute: true, ours: open(full), peer: open(empty)}}, nil
}

func fillBench(program, bench string, n int) error {
	for i := range n {
		if _, err := runProgram(program, "new", bench, "--maker", "Halden & Rowe", "--model", fmt.Sprintf("Larkfoot %d", i), "--serial", fmt.Sprint(40000+i)); err != nil {
			return err
		}
	}
	return nil
}

// virtualScreen starts a screen on a free display and returns its name and what
// ends it.
func virtualScreen() (display string, end func(), err error) {
	r, w, err := os.Pipe()
	if err != nil {
		return "", nil, err
	}
	defer r.Close()
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1440x900x24", "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{w}
	if err := x.Start(); err != nil {
		w.Close()
		return "", nil, err
	}
	w.Close()
	end = func() { x.Process.Signal(syscall.SIGTERM); x.Wait() }
	line, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		end()
		return "", nil, fmt.Errorf("virtual screen: %w", err)
	}
	return ":" + strings.TrimSpace(line), end, nil
}

// windowUp starts the program on a virtual screen of its own and polls until
// its window is shown and says, by its title, that the bench is listed.
func windowUp(program, bench string) (float64, error) {
	ctx, stop := context.WithTimeout(context.Background(), 60*time.Second)
	defer stop()
	display, end, err := virtualScreen()
	if err != nil {
		return 0, err
	}
	defer end()
	env := append(os.Environ(), "DISPLAY="+display, "LANG=en_US.UTF-8")
	if err := poll(ctx, func() bool {
		_, err := os.Stat("/tmp/.X11-unix/X" + display[1:])
		return err == nil
	}); err != nil {
		return 0, fmt.Errorf("virtual screen: %w", err)
	}
	p := exec.CommandContext(ctx, program, "window", bench)
	p.Env = env
	p.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	start := time.Now()
	if err := p.Start(); err != nil {
		return 0, err
	}
	defer func() { p.Process.Kill(); p.Wait() }()
	err = poll(ctx, func() bool {
		c := exec.CommandContext(ctx, "xdotool", "search", "--onlyvisible", "--name", "Wornwood: "+filepath.Base(bench))
		c.Env = env
		out, _ := c.Output()
		return strings.TrimSpace(string(out)) != ""
	})
	return time.Since(start).Seconds(), err
}

func poll(ctx context.Context, done func() bool) error {
	for !done() {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(10 * time.Millisecond):
		}
	}
	return nil
}
