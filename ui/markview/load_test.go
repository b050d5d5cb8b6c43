package markview

import (
	"context"
	"errors"
	"fmt"
	"image"
	"testing"
)

// queued runs loads by hand: background work and posted work wait in queues.
type queued struct {
	work, posted []func()
	got          []string
}

func (q *queued) loads(load Loader) *loads {
	return &loads{
		store: NewStore(1 << 20), load: load,
		run:  func(f func()) { q.work = append(q.work, f) },
		post: func(f func()) { q.posted = append(q.posted, f) },
		arrive: func(p *Pyramid, final bool) {
			w, _ := p.Size()
			q.got = append(q.got, fmt.Sprintf("%d %v", w, final))
		},
		fail: func(photo string, err error) { q.got = append(q.got, photo+": "+err.Error()) },
	}
}

func (q *queued) drain() {
	for len(q.work)+len(q.posted) > 0 {
		w, p := q.work, q.posted
		q.work, q.posted = nil, nil
		for _, f := range append(w, p...) {
			f()
		}
	}
}

func (q *queued) take() string {
	s := fmt.Sprint(q.got)
	q.got = nil
	return s
}

func inSteps(_ context.Context, photo string, show func(image.Image, bool)) error {
	if photo == "broken" {
		return errors.New("not a picture")
	}
	show(ramp(8, 6), false)
	show(ramp(80, 60), true)
	return nil
}

func TestLoads(t *testing.T) {
	var q queued
	l := q.loads(inSteps)
	l.want("one")
	q.drain()
	if got := q.take(); got != "[8 false 80 true]" {
		t.Errorf("first time: %s", got)
	}
	l.want("one")
	if got := q.take(); got != "[80 true]" || len(q.work) > 0 {
		t.Errorf("second time: %s, %d loads", got, len(q.work))
	}
	l.want("broken")
	q.drain()
	if got := q.take(); got != "[broken: not a picture]" {
		t.Errorf("a broken photo: %s", got)
	}
	l.want("two")
	l.want("three")
	q.drain()
	if got := q.take(); got != "[8 false 80 true]" {
		t.Errorf("overtaken: %s", got)
	}
	if _, ok := l.store.Get("two"); ok {
		t.Error("the photo overtaken before it started was decoded")
	}
	l.want("four")
	l.want("")
	q.drain()
	if got := q.take(); got != "[]" {
		t.Errorf("stopped: %s", got)
	}
}
