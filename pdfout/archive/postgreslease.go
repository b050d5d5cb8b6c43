package archive

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
)

// pgLease is how long a lease lasts that is not renewed: so long does a process
// that was killed keep others out.
const pgLease = 15 * time.Second

// lease is the lock of a shared archive: a row that names who has it and until
// when, by the server's clock. Its number rises with every holder; a holder that
// slept past its time finds another number there and can change nothing more.
type lease struct {
	x *Postgres

	mu    sync.Mutex
	token string // "" while this process has it not
	fence int64
	end   func() // ends the renewing
}

// holds is the number and token under which this process holds the lease; -1
// without.
func (l *lease) holds() (fence int64, token string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.token == "" {
		return -1, ""
	}
	return l.fence, l.token
}

// Lock takes the lease and renews it in the background until release.
func (x *Postgres) Lock(now time.Time) (func() error, error) {
	h := holder(now)
	words, err := json.Marshal(h)
	if err != nil {
		return nil, fmt.Errorf("lock archive: %w", err)
	}
	token, fence := rand.Text(), int64(0)
	err = x.try(func(ctx context.Context) error {
		err := x.pool.QueryRow(ctx, x.sql("take lease"), token, string(words), pgLease.Milliseconds()).Scan(&fence)
		if !errors.Is(err, pgx.ErrNoRows) {
			return err
		}
		has, number, who, held, err := x.seeLease(ctx)
		switch {
		case err != nil:
			return err
		case has == token: // the answer to the first try was lost
			fence = number
			return nil
		case !held:
			return errLost // it was given back in between
		}
		return who
	})
	var held *HeldError
	if errors.As(err, &held) {
		return nil, held
	}
	if err != nil {
		return nil, x.words("lock archive", err)
	}
	x.lease.keep(token, fence)
	return func() error { return x.lease.release(token) }, nil
}

// seeLease reads the row.
func (x *Postgres) seeLease(ctx context.Context) (token string, fence int64, who *HeldError, held bool, err error) {
	var words string
	if err = x.pool.QueryRow(ctx, x.sql("see lease")).Scan(&fence, &token, &words, &held); err != nil {
		return "", 0, nil, false, err
	}
	who = &HeldError{}
	if json.Unmarshal([]byte(words), who) != nil {
		who = &HeldError{}
	}
	return token, fence, who, held, nil
}

// AtWork tells whether somebody holds the lease now.
func (x *Postgres) AtWork() bool {
	held := false
	err := x.try(func(ctx context.Context) (err error) {
		_, _, _, held, err = x.seeLease(ctx)
		return err
	})
	return err == nil && held
}

// keep renews the lease until stop. A server that is away for a while takes
// nothing: the lease is still ours when it is back and nobody took it.
func (l *lease) keep(token string, fence int64) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	l.mu.Lock()
	l.token, l.fence = token, fence
	l.end = func() { cancel(); <-done }
	l.mu.Unlock()
	go func() {
		defer close(done)
		tick := time.NewTicker(pgLease / 3)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				one, stop := context.WithTimeout(ctx, pgLease/3)
				// What came of it shows when something is changed next.
				_, _ = l.x.pool.Exec(one, l.x.sql("keep lease"), token, fence, pgLease.Milliseconds())
				stop()
			}
		}
	}()
}

// stop ends the renewing; the row runs out by itself.
func (l *lease) stop() {
	l.mu.Lock()
	end := l.end
	l.end, l.token = nil, ""
	l.mu.Unlock()
	if end != nil {
		end()
	}
}

// release gives the lease back; again, or after Close, it does nothing.
func (l *lease) release(token string) error {
	if _, now := l.holds(); now != token {
		return nil
	}
	l.stop()
	err := l.x.try(func(ctx context.Context) error {
		_, err := l.x.pool.Exec(ctx, l.x.sql("give lease"), token)
		return err
	})
	return l.x.words("give the archive's lock back", err)
}
