package markview

import (
	"container/list"
	"sync"
)

// Store keeps the photos decoded last, up to a bound in bytes, so that going
// back to a photo does not decode it again. It may be used by several
// goroutines; two that ask for the same photo decode it once.
type Store struct {
	max int64

	mu      sync.Mutex
	used    int64
	byKey   map[string]*list.Element // of *entry
	recent  *list.List               // most recently used first
	loading map[string]*loading
}

type entry struct {
	key string
	p   *Pyramid
}

type loading struct {
	done chan struct{}
	p    *Pyramid
	err  error
}

// NewStore makes a store of at most max bytes. A single photo larger than that
// is kept alone, because it is the one being looked at.
func NewStore(max int64) *Store {
	return &Store{max: max, byKey: map[string]*list.Element{}, recent: list.New(), loading: map[string]*loading{}}
}

// Peek returns a photo when it is there and marks it as used.
func (s *Store) Peek(key string) (*Pyramid, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	e, ok := s.byKey[key]
	if !ok {
		return nil, false
	}
	s.recent.MoveToFront(e)
	return e.Value.(*entry).p, true
}

// Get returns a photo, calling load when it is not there. An error is returned
// to everyone who waited and is not kept.
func (s *Store) Get(key string, load func() (*Pyramid, error)) (*Pyramid, error) {
	if p, ok := s.Peek(key); ok {
		return p, nil
	}
	s.mu.Lock()
	if l, ok := s.loading[key]; ok {
		s.mu.Unlock()
		<-l.done
		return l.p, l.err
	}
	l := &loading{done: make(chan struct{})}
	s.loading[key] = l
	s.mu.Unlock()

	l.p, l.err = load()
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.loading, key)
	if l.err == nil {
		s.put(key, l.p)
	}
	close(l.done)
	return l.p, l.err
}

// put adds a photo and drops the least recently used beyond the bound.
func (s *Store) put(key string, p *Pyramid) {
	if e, ok := s.byKey[key]; ok {
		s.drop(e)
	}
	s.byKey[key] = s.recent.PushFront(&entry{key, p})
	s.used += p.Bytes()
	for s.used > s.max && s.recent.Len() > 1 {
		s.drop(s.recent.Back())
	}
}

func (s *Store) drop(e *list.Element) {
	en := s.recent.Remove(e).(*entry)
	delete(s.byKey, en.key)
	s.used -= en.p.Bytes()
}

// Bytes is the memory that the kept photos hold.
func (s *Store) Bytes() int64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.used
}
