//go:build bench

package main

import (
	"bytes"
	"fmt"
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
	err := c.Run()
	r := ran{wall: time.Since(start).Seconds(), out: out.String()}
	if u, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok {
		r.peak = float64(u.Maxrss) / 1024
	}
	if err != nil {
		return r, fmt.Errorf("%s %s: %w: %s", name, strings.Join(args, " "), err, strings.TrimSpace(errs.String()))
	}
	return r, nil
}

// cpu is the processor time of this process so far, in milliseconds.
func cpu() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
}
