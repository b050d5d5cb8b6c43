// Package task runs long work beside the window: with a count, a way to cancel,
// and its end brought back to the goroutine that owns the screen.
//
// Start with New. A task promises that its end is reported exactly once,
// after its last progress, also when it was cancelled.
package task

import (
	"context"
	"fmt"
	"sync"
)

// Progress is how far a task is.
type Progress struct {
	Done, Total int
	What        string
}

// Work is what a task does. It returns soon after ctx ends, with nothing left
// half done.
type Work func(ctx context.Context, report func(done, total int, what string)) error

// Task is one piece of work.
type Task struct {
	cancel context.CancelFunc
	ended  chan struct{}
	run    func()
}

// New makes a task that Start will run on a goroutine of its own, so that the
// caller can note it before its end can come. OnUI calls a function on the
// goroutine that owns the screen; progress and end are called through it.
// Progress that the screen is too slow for is skipped; the last one is not.
func New(ctx context.Context, work Work, onUI func(func()), progress func(Progress), end func(error)) *Task {
	ctx, cancel := context.WithCancel(ctx)
	t := &Task{cancel: cancel, ended: make(chan struct{})}
	var mu sync.Mutex
	var latest Progress
	queued := false
	report := func(done, total int, what string) {
		mu.Lock()
		latest = Progress{done, total, what}
		waiting := queued
		queued = true
		mu.Unlock() // before onUI, which may run the function at once
		if waiting {
			return
		}
		onUI(func() {
			mu.Lock()
			p := latest
			queued = false
			mu.Unlock()
			progress(p)
		})
	}
	t.run = func() {
		err := guarded(ctx, work, report)
		cancel()
		onUI(func() {
			end(err)
			close(t.ended)
		})
	}
	return t
}

// Start begins the work.
func (t *Task) Start() { go t.run() }

// guarded turns a panic of the work into an error: one damaged file must not
// take the window, and what is typed in it, away.
func guarded(ctx context.Context, work Work, report func(int, int, string)) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the work stopped on a fault of the program: %v", r)
		}
	}()
	return work(ctx, report)
}

// Cancel asks the work to stop. The end is still reported.
func (t *Task) Cancel() { t.cancel() }

// Ended is closed after the end was reported.
func (t *Task) Ended() <-chan struct{} { return t.ended }
