// Package keyring keeps the passphrase of a bench's key in the key ring of the
// desktop: the Secret Service of Linux desktops, the keychain or credential
// store elsewhere. A key ring is opened by logging in, so whoever uses the
// account can sign; that is the user's choice to make.
//
// Start with Keep, Fetch and Forget. Which benches were remembered stands in a
// small file of the user's own, without any secret, so that no key ring is
// bothered, and no desktop asked to unlock one, for benches that never used it.
package keyring

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	zalando "github.com/zalando/go-keyring"

	"wornwood/capture/blob"
)

// Errors that are wrapped. None of this package's errors repeats a passphrase.
var (
	// ErrAbsent: no key ring answers here.
	ErrAbsent = errors.New("this desktop has no key ring that answers, or nobody is logged in to a desktop; the passphrase has to be typed")
	// ErrNone: the key ring has nothing for the bench.
	ErrNone = errors.New("the key ring has no passphrase for this bench; the passphrase has to be typed")
)

// service is the name under which the key ring lists the entries; the user's
// part is the bench's ID.
const service = "Wornwood signing key"

// patience is how long is waited for a key ring. It may be asking the user to
// unlock it.
const patience = 2 * time.Minute

// maxPassphrase bounds what is kept, in bytes; the smallest store takes 2560.
const maxPassphrase = 2048

// Remembered tells whether the passphrase of a bench was given to the key ring
// by this user. It asks no key ring.
func Remembered(bench string) bool {
	list, err := memo()
	return err == nil && slices.Contains(list, bench)
}

// Here tells whether there may be a key ring, without asking one: on Linux and
// its like whether there is a session bus.
func Here() bool {
	switch runtime.GOOS {
	case "darwin", "windows":
		return true
	}
	// With this variable empty the bus's library would start a bus of its own,
	// on which nobody answers.
	if a := os.Getenv("DBUS_SESSION_BUS_ADDRESS"); a != "" {
		return a != "autolaunch:" && !strings.HasPrefix(a, "disabled:")
	}
	_, err := os.Stat(fmt.Sprintf("/run/user/%d/bus", os.Getuid()))
	return err == nil
}

// Keep gives the key ring the passphrase of a bench's key, named by the bench's
// ID, and replaces one it had.
func Keep(ctx context.Context, bench, passphrase string) error {
	if passphrase == "" || len(passphrase) > maxPassphrase {
		return fmt.Errorf("remember the passphrase: a key ring takes 1 to %d bytes", maxPassphrase)
	}
	err := ask(ctx, func() error { return zalando.Set(service, bench, passphrase) })
	if err != nil {
		return fmt.Errorf("remember the passphrase: %w", err)
	}
	return note(bench, true)
}

// Fetch asks the key ring for the passphrase of a bench's key.
func Fetch(ctx context.Context, bench string) (string, error) {
	got := make(chan string, 1) // a late answer goes nowhere
	err := ask(ctx, func() error {
		p, err := zalando.Get(service, bench)
		got <- p
		return err
	})
	if err != nil {
		return "", fmt.Errorf("ask the key ring: %w", err)
	}
	return <-got, nil
}

// Forget takes the passphrase of a bench's key out of the key ring. It is an
// error that wraps ErrNone where there was none.
func Forget(ctx context.Context, bench string) error {
	err := ask(ctx, func() error { return zalando.Delete(service, bench) })
	if err == nil || errors.Is(err, ErrNone) {
		if e := note(bench, false); e != nil {
			return e
		}
	}
	if err != nil {
		return fmt.Errorf("forget the passphrase: %w", err)
	}
	return nil
}

// ask does something with the key ring and gives up when it takes too long. The
// library cannot be interrupted, so what was begun ends by itself.
func ask(ctx context.Context, f func() error) error {
	if !Here() {
		return ErrAbsent
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	done := make(chan error, 1)
	go func() {
		defer func() {
			// The library trusts a key ring's answers to have the right form.
			if recover() != nil {
				done <- ErrAbsent
			}
		}()
		done <- f()
	}()
	select {
	case err := <-done:
		return plain(err)
	case <-ctx.Done():
		if errors.Is(ctx.Err(), context.DeadlineExceeded) {
			return fmt.Errorf("it did not answer within %v: %w", patience, ErrAbsent)
		}
		return ctx.Err()
	}
}

// plain turns the library's errors, which are those of a bus, into ours. Their
// own words are left out: they tell a dealer nothing.
func plain(err error) error {
	switch {
	case err == nil, errors.Is(err, ErrAbsent):
		return err
	case errors.Is(err, zalando.ErrNotFound):
		return ErrNone
	case strings.Contains(err.Error(), "unlock"):
		return fmt.Errorf("it stays locked: %w", ErrAbsent)
	}
	return ErrAbsent
}

// maxMemo bounds the file of remembered benches.
const maxMemo = 1 << 20

func memoPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("find the list of remembered benches: %w", err)
	}
	return filepath.Join(dir, "wornwood", "key-ring"), nil
}

// memo lists the IDs of the benches that were remembered, one a line.
func memo() ([]string, error) {
	p, err := memoPath()
	if err != nil {
		return nil, err
	}
	f, err := os.Open(p)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read the list of remembered benches: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxMemo))
	if err != nil {
		return nil, fmt.Errorf("read the list of remembered benches: %w", err)
	}
	return strings.Fields(string(b)), nil
}

func note(bench string, on bool) error {
	list, err := memo()
	if err != nil {
		return err
	}
	if slices.Contains(list, bench) == on {
		return nil
	}
	list = slices.DeleteFunc(list, func(s string) bool { return s == bench })
	if on {
		list = append(list, bench)
	}
	p, err := memoPath()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(p), 0o700); err != nil {
		return fmt.Errorf("keep the list of remembered benches: %w", err)
	}
	err = blob.WriteFile(p, 0o600, func(w io.Writer) error {
		_, err := io.WriteString(w, strings.Join(list, "\n")+"\n")
		return err
	})
	if err != nil {
		return fmt.Errorf("keep the list of remembered benches: %w", err)
	}
	return nil
}
