package servicetest

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// kept gives the folder name of the cache for tests, which fetch fills when it
// is not there yet. fetch fills a folder beside it that is renamed at its end,
// under a lock, so that of two test processes one waits for the other and a
// half-filled folder never bears the name.
func kept(name string, fetch func(dir string) error) (dir string, err error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("find a folder to keep %s in: %w", name, err)
	}
	cache = filepath.Join(cache, "wornwood-test")
	dir = filepath.Join(cache, name)
	if _, err := os.Stat(dir); err == nil {
		return dir, nil
	}
	if err := os.MkdirAll(cache, 0o755); err != nil {
		return "", err
	}
	lock, err := os.OpenFile(filepath.Join(cache, name+".lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return "", err
	}
	defer lock.Close() // which lets go of the lock
	if err := syscall.Flock(int(lock.Fd()), syscall.LOCK_EX); err != nil {
		return "", fmt.Errorf("wait for another test that fetches %s: %w", name, err)
	}
	if _, err := os.Stat(dir); err == nil {
		return dir, nil
	}
	tmp, err := os.MkdirTemp(cache, name+"-new-")
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(tmp)) }()
	whole := filepath.Join(tmp, "whole")
	if err := os.Mkdir(whole, 0o755); err != nil {
		return "", err
	}
	if err := fetch(whole); err != nil {
		return "", err
	}
	return dir, os.Rename(whole, dir)
}
