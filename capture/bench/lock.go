package bench

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/user"
	"time"

	"golang.org/x/sys/unix"
)

// HeldError says that another process has the bench open.
type HeldError struct {
	Who   string    `json:"who"` // user's name
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

func (e *HeldError) Error() string {
	if e.PID == 0 {
		return "the bench is open in another program; close it there first"
	}
	return fmt.Sprintf("the bench is open already: %s on %s has had it since %s (process %d); close it there first",
		e.Who, e.Host, e.Since.Format("2006-01-02 15:04"), e.PID)
}

// lockFile is a file locked by the kernel for as long as the process lives.
// What is written in it only tells others who has the lock; after a crash the
// words stay behind and mean nothing.
type lockFile struct{ f *os.File }

// maxHolder bounds the words in the lock file.
const maxHolder = 4096

func takeLock(path string, now time.Time) (*lockFile, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, fmt.Errorf("lock bench: %w", err)
	}
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		held := readHolder(f)
		return nil, errors.Join(held, f.Close())
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock bench: %w", err), f.Close())
	}
	l := &lockFile{f: f}
	if err := l.write(now); err != nil {
		return nil, errors.Join(fmt.Errorf("lock bench: %w", err), l.release())
	}
	return l, nil
}

func (l *lockFile) write(now time.Time) error {
	h := HeldError{PID: os.Getpid(), Since: now.Truncate(time.Second), Who: "somebody", Host: "this computer"}
	if u, err := user.Current(); err == nil {
		h.Who = u.Username
	}
	if n, err := os.Hostname(); err == nil {
		h.Host = n
	}
	b, err := json.Marshal(h)
	if err != nil {
		return err
	}
	if err := l.f.Truncate(0); err != nil {
		return err
	}
	_, err = l.f.WriteAt(append(b, '\n'), 0)
	return err
}

// readHolder says who has the lock, as far as can be read.
func readHolder(f *os.File) *HeldError {
	b := make([]byte, maxHolder)
	n, _ := f.ReadAt(b, 0) // a short read is the usual one
	var h HeldError
	if json.Unmarshal(b[:n], &h) != nil {
		return &HeldError{}
	}
	return &h
}

// release empties the file and gives the lock free. The file stays: removing
// it would let two processes lock two files of the same name.
func (l *lockFile) release() error {
	return errors.Join(l.f.Truncate(0), l.f.Close())
}
