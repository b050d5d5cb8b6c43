// Package serve gives those who may read an archive plain web pages over HTTPS:
// finding, the report with its verdict, the instrument's history, and for those
// who may, filing and the list of readings. The pages need no script and fetch
// nothing from elsewhere. Every report that is shown or handed out is written to
// the archive's readings first.
package serve

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// Options say what is served, and how.
type Options struct {
	Dir    string               // of the archive
	Now    func() time.Time     // nil takes the machine's clock
	Verify pdfout.VerifyOptions // known keys and trusted authorities, for what is filed
	Log    io.Writer            // a line for each request; nil for none
	// Proxied takes the address of whoever asks from the last entry of
	// X-Forwarded-For: right only where everything comes through one own proxy.
	Proxied bool
}

// Server answers the requests for one archive.
type Server struct {
	opt      Options
	name     string // of the archive
	shelf    *shelf
	sessions *sessions
	gate     *gate
	handler  http.Handler
	drawing  chan struct{} // photos that are taken out at the same time
	filing   sync.Mutex
	logging  sync.Mutex
}

// New opens the archive once, so that what is wrong with it shows at once. The
// context lives as long as the server.
func New(ctx context.Context, opt Options) (*Server, error) {
	if opt.Now == nil {
		opt.Now = time.Now
	}
	s := &Server{opt: opt, sessions: newSessions(opt.Now), gate: newGate(opt.Now), drawing: make(chan struct{}, 2)}
	s.shelf = &shelf{ctx: ctx, dir: opt.Dir, now: opt.Now}
	if err := s.shelf.use(func(a *archive.Archive) error { s.name = a.Settings.Name; return nil }); err != nil {
		return nil, err
	}
	list, err := people.Load(opt.Dir)
	if err == nil && len(list.People()) == 0 {
		err = errors.New("nobody may come in yet: let somebody in with 'wornwood archive people DIR add NAME --role keeper'")
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	s.handler = s.outer(s.mux())
	return s, nil
}

// Handler answers every request.
func (s *Server) Handler() http.Handler { return s.handler }

// Close lets go of the archive.
func (s *Server) Close() error { return s.shelf.close() }

// HTTPServer is a server with the bounds on time and size that strangers call
// for; TLS is set where it is started.
func (s *Server) HTTPServer(addr string) *http.Server {
	return &http.Server{
		Addr: addr, Handler: s.handler,
		ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute,
		ReadTimeout: 15 * time.Minute, WriteTimeout: 15 * time.Minute, // a large report over a thin line
		MaxHeaderBytes: 32 << 10, TLSConfig: tlsConfig(),
	}
}

// shelf keeps the archive open for reading, and opens it anew after a while, so
// that what others file in the meantime is there.
type shelf struct {
	ctx context.Context
	dir string
	now func() time.Time

	mu  sync.Mutex
	cur *opened
}

type opened struct {
	a     *archive.Archive
	since time.Time
	users int
	old   bool // closed when the last user is done
}

// fresh is how long one opening is used: what was filed elsewhere shows after it.
const fresh = 2 * time.Second

// use gives f the archive. Where the index is missing or behind, it is made good
// first; while somebody else is about to do that, it is waited for.
func (s *shelf) use(f func(*archive.Archive) error) error {
	var err error
	for try := range 20 {
		if err = s.once(f); !errors.Is(err, archive.ErrIndex) {
			return err
		}
		s.expire()
		w, err2 := archive.Open(s.ctx, s.dir, archive.Options{Now: s.now})
		if err2 == nil {
			err2 = w.Close()
		}
		var held *archive.HeldError
		if err2 != nil && !errors.As(err2, &held) {
			return errors.Join(err, err2)
		}
		if err2 != nil {
			time.Sleep(time.Duration(10*(try+1)) * time.Millisecond)
		}
	}
	return err
}

func (s *shelf) once(f func(*archive.Archive) error) error {
	o, err := s.take()
	if err != nil {
		return err
	}
	return errors.Join(f(o.a), s.give(o))
}

func (s *shelf) take() (*opened, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.cur != nil && s.now().Sub(s.cur.since).Abs() < fresh {
		s.cur.users++
		return s.cur, nil
	}
	a, err := archive.Open(s.ctx, s.dir, archive.Options{Now: s.now, ReadOnly: true})
	if err != nil {
		return nil, err
	}
	if err := s.retire(); err != nil {
		return nil, errors.Join(err, a.Close())
	}
	s.cur = &opened{a: a, since: s.now(), users: 1}
	return s.cur, nil
}

// retire closes the current one, now or when its last user is done; s.mu is held.
func (s *shelf) retire() error {
	o := s.cur
	if o == nil {
		return nil
	}
	s.cur, o.old = nil, true
	if o.users == 0 {
		return o.a.Close()
	}
	return nil
}

func (s *shelf) give(o *opened) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if o.users--; o.old && o.users == 0 {
		return o.a.Close()
	}
	return nil
}

// expire has the next request open the archive anew.
func (s *shelf) expire() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.cur != nil {
		s.cur.since = time.Time{}
	}
}

func (s *shelf) close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.retire(); err != nil {
		return fmt.Errorf("close archive: %w", err)
	}
	return nil
}
