package markview

import (
	"context"
	"image"
	"sync"
)

// Loader brings a photo. It is called on a goroutine of its own and calls show
// as often as it likes, first with what is quickly had (a thumbnail), at last
// with the whole photo, upright, final set. It returns when the context ends.
type Loader func(ctx context.Context, photo string, show func(img image.Image, final bool)) error

// loads runs one load at a time and forgets the results of those overtaken.
type loads struct {
	store  *Store
	load   Loader
	run    func(func())                 // starts work in the background
	post   func(func())                 // brings work back to the UI goroutine
	arrive func(p *Pyramid, final bool) // on the UI goroutine
	fail   func(photo string, err error)

	mu     sync.Mutex
	cancel context.CancelFunc
	turn   int
}

// want shows a photo: at once when it is in the store, else as it comes. An
// empty name only stops what goes on.
func (l *loads) want(photo string) {
	l.mu.Lock()
	if l.cancel != nil {
		l.cancel()
	}
	ctx, cancel := context.WithCancel(context.Background())
	l.cancel = cancel
	l.turn++
	turn := l.turn
	l.mu.Unlock()
	if photo == "" {
		return
	}
	if p, ok := l.store.Get(photo); ok {
		l.arrive(p, true)
		return
	}
	if l.load == nil {
		return
	}
	l.run(func() { l.bring(ctx, turn, photo) })
}

// bring runs the loader. The copies for zooming are made here too, away from
// the UI.
func (l *loads) bring(ctx context.Context, turn int, photo string) {
	err := l.load(ctx, photo, func(img image.Image, final bool) {
		if ctx.Err() != nil {
			return
		}
		p := NewPyramid(img)
		if final {
			l.store.Put(photo, p)
		}
		l.post(func() {
			if l.current(turn) {
				l.arrive(p, final)
			}
		})
	})
	if err != nil && ctx.Err() == nil {
		l.post(func() {
			if l.current(turn) {
				l.fail(photo, err)
			}
		})
	}
}

func (l *loads) current(turn int) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return turn == l.turn
}
