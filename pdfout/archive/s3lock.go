package archive

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/sys/unix"
)

// The lock of a bucket is a row of objects as well, each written only where
// there is none of its name: the last one says who has the archive, or that
// nobody has. Whoever has it writes the next one now and then; a row that did
// not grow for a while is one whose process is gone. It only keeps people from
// getting in each other's way: what two writers must not do, the ledger
// prevents, see s3log.go.
const (
	lockDir   = "lock"
	leaseFor  = 90 * time.Second
	leaseEach = 20 * time.Second
)

// s3Lease is one object of the row.
type s3Lease struct {
	HeldError
	Free bool `json:"free,omitempty"` // given back
}

func leaseKey(n int64) string { return fmt.Sprintf("%s/%020d.json", lockDir, n) }

// leases reads the last of the row: its number, 0 where there is none, and
// whether somebody has the archive by it.
func (s *s3) leases() (n int64, held *HeldError, err error) {
	page, err := s.page(s.key(lockDir+"/"), "")
	for err == nil && page.IsTruncated && len(page.Contents) > 0 {
		page, err = s.page(s.key(lockDir+"/"), page.Contents[len(page.Contents)-1].Key)
	}
	if err != nil || len(page.Contents) == 0 {
		return 0, nil, err
	}
	key := page.Contents[len(page.Contents)-1].Key
	if n, err = strconv.ParseInt(strings.TrimSuffix(path.Base(key), ".json"), 10, 64); err != nil {
		return 0, nil, fmt.Errorf("lock archive: %s is none of its locks; take it out", key)
	}
	b, age, err := s.get(key)
	if errors.Is(err, ErrMissing) { // a newer one is there by now
		return n, &HeldError{}, nil
	}
	var l s3Lease
	if err != nil || json.Unmarshal(b, &l) != nil {
		return n, nil, err
	}
	if l.Free || age > leaseFor || l.gone() {
		return n, nil, nil
	}
	return n, &l.HeldError, nil
}

// gone tells that it was held by a process of this machine that has ended.
func (e *HeldError) gone() bool {
	host, err := os.Hostname()
	return err == nil && e.Host == host && e.PID > 0 && errors.Is(unix.Kill(e.PID, 0), unix.ESRCH)
}

// Lock takes the lock where nobody has it, or did not renew it for a minute and
// a half.
func (s *s3) Lock(now time.Time) (func() error, error) {
	n, held, err := s.leases()
	if err != nil {
		return nil, fmt.Errorf("lock archive: %w", err)
	}
	if held != nil {
		return nil, held
	}
	mine := s3Lease{HeldError: holder(now)}
	nonce := rand.Text()
	ok, err := s.lease(n+1, nonce, mine)
	if err == nil && !ok {
		err = &HeldError{}
	}
	if err != nil {
		return nil, fmt.Errorf("lock archive: %w", err)
	}
	h := &holding{s: s, n: n + 1, nonce: nonce, lease: mine, done: make(chan struct{})}
	h.all.Go(h.renew)
	return h.release, nil
}

// lease writes the lease of a number, where there is none, and removes those
// before. The nonce tells a holder's own, also one whose answer was lost.
func (s *s3) lease(n int64, nonce string, l s3Lease) (bool, error) {
	b, err := json.Marshal(l)
	if err != nil {
		return false, err
	}
	mine, err := s.claim(s.key(leaseKey(n)), nonce, append(b, '\n'))
	if err != nil || !mine {
		return false, err
	}
	var old []string
	page, err := s.page(s.key(lockDir+"/"), "")
	for _, o := range page.Contents {
		if o.Key < s.key(leaseKey(n)) {
			old = append(old, o.Key)
		}
	}
	return true, errors.Join(err, s.remove(old))
}

// holding is a lock held by this process.
type holding struct {
	s     *s3
	lease s3Lease
	nonce string
	done  chan struct{}
	all   sync.WaitGroup

	mu   sync.Mutex
	n    int64
	gone bool
}

// renew goes on until it is released, or somebody else took the lock.
func (h *holding) renew() {
	tick := time.NewTicker(leaseEach)
	defer tick.Stop()
	for {
		select {
		case <-h.done:
			return
		case <-tick.C:
		}
		h.mu.Lock()
		// A store that does not answer now may do the next time.
		if mine, err := h.s.lease(h.n+1, h.nonce, h.lease); err == nil && mine {
			h.n++
		} else if err == nil {
			h.gone = true
			_ = h.s.lose(ErrConflict)
		}
		gone := h.gone
		h.mu.Unlock()
		if gone {
			return
		}
	}
}

func (h *holding) release() error {
	close(h.done)
	h.all.Wait()
	if h.gone {
		return nil
	}
	h.lease.Free = true
	for n := h.n + 1; n <= h.n+2; n++ { // the first may be there: renewed, without an answer
		free, err := h.s.lease(n, h.nonce+"-", h.lease)
		if err != nil {
			return fmt.Errorf("give the archive's lock back: %w", err)
		}
		if free {
			break
		}
	}
	return nil
}

func (s *s3) AtWork() bool {
	_, held, err := s.leases()
	return err == nil && held != nil
}
