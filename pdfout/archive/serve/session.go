package serve

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"net/http"
	"sync"
	"time"

	"wornwood/pdfout/archive/people"
)

// How long somebody stays in without doing anything, and at all: common practice
// for pages of this weight.
const (
	sessionIdle  = 30 * time.Minute
	sessionLong  = 12 * time.Hour
	mostSessions = 10_000
	mostRead     = 5000 // reports that a session remembers to have shown
)

// cookieName has the prefix that binds a cookie to this host, to HTTPS and to
// all of its paths (RFC 6265bis).
const cookieName = "__Host-session"

// session is somebody who came in. It lives in memory: after a restart
// everybody comes in again.
type session struct {
	name  string
	token string // that every form of the session carries
	began time.Time
	used  time.Time
	read  map[string]bool // reports that were shown to it, see again
}

// carries tells whether a form carries the session's token.
func (v *session) carries(token string) bool {
	return v != nil && subtle.ConstantTimeCompare([]byte(v.token), []byte(token)) == 1
}

type sessions struct {
	now  func() time.Time
	mu   sync.Mutex
	open map[[sha256.Size]byte]*session // by the hash of the cookie
}

func newSessions(now func() time.Time) *sessions {
	return &sessions{now: now, open: map[[sha256.Size]byte]*session{}}
}

func cookieOf(value string, maxAge int) *http.Cookie {
	return &http.Cookie{Name: cookieName, Value: value, Path: "/", MaxAge: maxAge, Secure: true, HttpOnly: true, SameSite: http.SameSiteLaxMode}
}

// begin lets a person in and gives the cookie that they come back with.
func (s *sessions) begin(p people.Person) *http.Cookie {
	secret, now := rand.Text(), s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for k, v := range s.open {
		if s.over(v, now) {
			delete(s.open, k)
		}
	}
	for k := range s.open { // any of so many: somebody comes in again
		if len(s.open) < mostSessions {
			break
		}
		delete(s.open, k)
	}
	s.open[sha256.Sum256([]byte(secret))] = &session{name: p.Name, token: rand.Text(), began: now, used: now, read: map[string]bool{}}
	return cookieOf(secret, 0)
}

func (s *sessions) over(v *session, now time.Time) bool {
	return now.Sub(v.used) > sessionIdle || now.Sub(v.began) > sessionLong
}

// find is the session of a request and its person as the list has them now. Who
// was taken off it, or whose role or password was changed since, is out.
func (s *sessions) find(r *http.Request, list *people.List) (*session, people.Person, bool) {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return nil, people.Person{}, false
	}
	key, now := sha256.Sum256([]byte(c.Value)), s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	v := s.open[key]
	if v == nil {
		return nil, people.Person{}, false
	}
	p, is := list.Find(v.name)
	if s.over(v, now) || !is || p.Changed.After(v.began) {
		delete(s.open, key)
		return nil, people.Person{}, false
	}
	v.used = now
	return v, p, true
}

// end forgets the session of a request.
func (s *sessions) end(r *http.Request) {
	if c, err := r.Cookie(cookieName); err == nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.open, sha256.Sum256([]byte(c.Value)))
	}
}

// again tells whether a report was shown to the session before, and remembers
// that it is now.
func (s *sessions) again(v *session, hash string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v.read[hash] {
		return true
	}
	if len(v.read) < mostRead {
		v.read[hash] = true
	}
	return false
}
