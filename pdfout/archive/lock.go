package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"time"

	"golang.org/x/sys/unix"
)

// HeldError says that another process is filing into the archive.
type HeldError struct {
	Who   string    `json:"who"`
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

func (e *HeldError) Error() string {
	if e.PID == 0 {
		return "somebody is at work in the archive; try again when they are done"
	}
	return fmt.Sprintf("somebody is at work in the archive: %s on %s since %s (process %d); try again when they are done",
		e.Who, e.Host, e.Since.Format("2006-01-02 15:04"), e.PID)
}

// holder is who holds a lock that this process takes.
func holder(now time.Time) HeldError {
	h := HeldError{PID: os.Getpid(), Since: now.Truncate(time.Second), Who: "somebody", Host: "this computer"}
	if u, err := user.Current(); err == nil {
		h.Who = u.Username
	}
	if n, err := os.Hostname(); err == nil {
		h.Host = n
	}
	return h
}

// Lock takes the kernel's lock on a file, which lasts as long as the process
// lives. What is written in the file only tells others who has it.
func (s *folder) Lock(now time.Time) (func() error, error) {
	f, err := os.OpenFile(filepath.Join(s.dir, lockName), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, fmt.Errorf("lock archive: %w", err)
	}
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		b := make([]byte, 4096)
		n, _ := f.ReadAt(b, 0) // a short read is the usual one
		var held HeldError
		if json.Unmarshal(b[:n], &held) != nil {
			held = HeldError{}
		}
		return nil, errors.Join(&held, f.Close())
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock archive: %w", err), f.Close())
	}
	h := holder(now)
	// Who has it is a courtesy: a full disk must not keep anybody from checking.
	if b, err := json.Marshal(h); err == nil && f.Truncate(0) == nil {
		_, _ = f.WriteAt(append(b, '\n'), 0)
	}
	return func() error {
		_ = f.Truncate(0) // words only
		return f.Close()
	}, nil
}

func (s *folder) AtWork() bool {
	f, err := os.Open(filepath.Join(s.dir, lockName))
	if err != nil {
		return false
	}
	defer f.Close() // gives back what was taken
	return errors.Is(unix.Flock(int(f.Fd()), unix.LOCK_SH|unix.LOCK_NB), unix.EWOULDBLOCK)
}
