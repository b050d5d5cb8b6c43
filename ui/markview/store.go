package markview

import (
	"container/list"
	"sync"
)

// Store keeps the photos decoded last, up to a bound in bytes, so that going
// back to a photo does not decode it again. It may be used by several
// goroutines and shared by several canvases.
type Store struct {
	max int64

	mu     sync.Mutex
	used   int64
	byKey  map[string]*list.Element // of *entry
	recent *list.List               // most recently used first
}

type entry struct {
	key string
	p   *Pyramid
}

// NewStore makes a store of at most max bytes. A single photo larger than that
// is kept alone, because it is the one being looked at.
func NewStore(max int64) *Store {
	return &Store{max: max, byKey: map[string]*list.Element{}, recent: list.New()}
}

// Get returns a photo when it is there and counts that as a use.
func (s *Store) Get(key string) (*Pyramid, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	e, ok := s.byKey[key]
	if !ok {
		return nil, false
	}
	s.recent.MoveToFront(e)
	return e.Value.(*entry).p, true
}

// Put adds a photo, or replaces it, and drops the least recently used ones
// beyond the bound.
func (s *Store) Put(key string, p *Pyramid) {
	s.mu.Lock()
	defer s.mu.Unlock()
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
