package task

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// queue stands for the goroutine that owns the screen.
type queue chan func()

func (q queue) run(t *Task) {
	for {
		select {
		case f := <-q:
			f()
		case <-t.Ended():
			return
		}
	}
}

func TestEndComesOnceAfterProgress(t *testing.T) {
	q := make(queue, 64)
	var seen []string
	tk := New(t.Context(), func(_ context.Context, report func(int, int, string)) error {
		for i := range 5 {
			report(i+1, 5, "x")
		}
		return nil
	}, func(f func()) { q <- f }, func(p Progress) {
		if p.Done == 5 {
			seen = append(seen, "all")
		}
	}, func(err error) { seen = append(seen, "end") })
	tk.Start()
	q.run(tk)
	if got := strings.Join(seen, " "); got != "all end" {
		t.Fatalf("got %q", got)
	}
}

func TestCancelReachesTheWork(t *testing.T) {
	q := make(queue, 8)
	var got error
	tk := New(t.Context(), func(ctx context.Context, _ func(int, int, string)) error {
		<-ctx.Done()
		return ctx.Err()
	}, func(f func()) { q <- f }, func(Progress) {}, func(err error) { got = err })
	tk.Cancel()
	tk.Start()
	q.run(tk)
	if !errors.Is(got, context.Canceled) {
		t.Fatalf("got %v", got)
	}
}

func TestPanicBecomesAnError(t *testing.T) {
	q := make(queue, 8)
	var got error
	tk := New(t.Context(), func(context.Context, func(int, int, string)) error { panic("broken file") },
		func(f func()) { q <- f }, func(Progress) {}, func(err error) { got = err })
	tk.Start()
	q.run(tk)
	if got == nil || !strings.Contains(got.Error(), "broken file") {
		t.Fatalf("got %v", got)
	}
}

// Some toolkits run the function at once on the caller.
func TestImmediateScreen(t *testing.T) {
	n := 0
	tk := New(t.Context(), func(_ context.Context, report func(int, int, string)) error {
		report(1, 2, "")
		report(2, 2, "")
		return nil
	}, func(f func()) { f() }, func(Progress) { n++ }, func(error) {})
	tk.Start()
	<-tk.Ended()
	if n != 2 {
		t.Fatalf("%d reports", n)
	}
}
