package ui

import (
	"errors"
	"sync"

	"fyne.io/fyne/v2"

	"wornwood/capture/bench"
	"wornwood/ui/view"
)

// rowAnswers finds the answers of the rows in sight, beside the window: the row
// that was asked for last first, since it is the one being looked at. It lives
// on the toolkit's goroutine, but for run.
type rowAnswers struct {
	grader *view.Grader
	done   func(bench.Row) // told on the toolkit's goroutine

	work  sync.WaitGroup // what runs beside the window
	mu    sync.Mutex
	found map[string]view.RowAnswers // by examination
	queue []bench.Row
	runs  bool
}

func newRowAnswers(g *view.Grader, done func(bench.Row)) *rowAnswers {
	return &rowAnswers{grader: g, done: done, found: map[string]view.RowAnswers{}}
}

// maxQueued bounds what waits: who scrolls past a row does not wait for it.
const maxQueued = 40

// of are the answers of a row as far as they are known. Those that are not are
// looked for.
func (a *rowAnswers) of(r bench.Row) view.RowAnswers {
	if k, ok := a.grader.Known(r); ok {
		return k
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if k, ok := a.found[r.Exam]; ok {
		return k
	}
	for _, q := range a.queue {
		if q.Exam == r.Exam {
			return view.RowAnswers{}
		}
	}
	if a.queue = append(a.queue, r); len(a.queue) > maxQueued {
		a.queue = a.queue[1:]
	}
	if !a.runs {
		a.runs = true
		a.work.Add(1)
		go a.run()
	}
	return view.RowAnswers{}
}

// run works the queue off. An examination that cannot be opened has no answers;
// the check of the bench names it.
func (a *rowAnswers) run() {
	defer a.work.Done()
	for {
		a.mu.Lock()
		if len(a.queue) == 0 {
			a.runs = false
			a.mu.Unlock()
			return
		}
		r := a.queue[len(a.queue)-1]
		a.queue = a.queue[:len(a.queue)-1]
		a.mu.Unlock()
		k, err := a.grader.Find(r)
		a.mu.Lock()
		if errors.Is(err, bench.ErrClosed) {
			a.queue = nil
		}
		a.found[r.Exam] = k
		a.mu.Unlock()
		if err == nil {
			fyne.Do(func() { a.done(r) })
		}
	}
}
