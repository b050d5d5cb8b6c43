//go:build bench

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"time"
)

// ran is what one process, or one shell line with its children, cost.
type ran struct {
	wall float64 // seconds
	peak float64 // MiB, largest resident set
	out  string
}

func runProgram(name string, args ...string) (ran, error) {
	c := exec.Command(name, args...)
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	start := time.Now()
	err := c.Start()
	var r ran
	if err == nil {
		peak := watchPeak(c.Process.Pid)
		err = c.Wait()
		r = ran{wall: time.Since(start).Seconds(), peak: <-peak}
	}
	r.out = out.String()
	if err != nil {
		return r, fmt.Errorf("%s %s: %w: %s", name, strings.Join(args, " "), err, strings.TrimSpace(errs.String()))
	}
	return r, nil
}

// watchPeak polls a process's largest resident set in MiB until it ends. The
// kernel's figure for ended children will not do: it counts the parent's memory
// before the new program was loaded.
func watchPeak(pid int) <-chan float64 {
	out := make(chan float64, 1)
	go func() {
		peak := 0.0
		for {
			b, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			_, rest, ok := strings.Cut(string(b), "VmHWM:")
			var kib float64
			if _, e := fmt.Sscan(rest, &kib); err != nil || !ok || e != nil {
				out <- peak
				return
			}
			peak = max(peak, kib/1024)
			time.Sleep(2 * time.Millisecond)
		}
	}()
	return out
}

// cpu is the processor time of this process so far, in milliseconds.
func cpu() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
}
