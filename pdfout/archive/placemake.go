package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// SharedOptions say where a shared archive is to be.
type SharedOptions struct {
	Name   string // of a new one
	Strict bool   // of a new one, see Settings
	Files  string // s3:// address or a folder
	Index  string // postgres:// address without a password; "" is allowed with an s3:// address
}

// MakeShared makes a folder from which a shared archive is opened. Where there
// is an archive at the place for files already, it is that one, and joined
// tells so; otherwise it is made.
func MakeShared(ctx context.Context, dir string, opt SharedOptions, now time.Time) (joined *Settings, err error) {
	list, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("make archive: %w", err)
	}
	if len(list) > 0 {
		return nil, fmt.Errorf("make archive: the folder %s is not empty; name a new one", dir)
	}
	if err := checkIndex(opt.Index); err != nil {
		return nil, fmt.Errorf("make archive: %w", err)
	}
	if IsS3(opt.Files) {
		at, err := ParseS3Place(opt.Files)
		if err != nil {
			return nil, fmt.Errorf("make archive: %w", err)
		}
		opt.Files = at.String() // what came from this machine's environment is the same on all
	} else {
		if opt.Index == "" {
			return nil, errors.New("make archive: a folder that several machines share needs an index that they share: name one, postgres://USER@HOST/DATABASE; for one machine make the archive in the folder itself")
		}
		if opt.Files, err = filepath.Abs(opt.Files); err != nil {
			return nil, fmt.Errorf("make archive: %w", err)
		}
	}
	settings, err := newSettings(opt.Name, opt.Strict, now)
	if err != nil {
		return nil, err
	}
	store, was, err := makePlace(ctx, opt.Files, settings)
	if err != nil {
		return nil, fmt.Errorf("make archive: %w", err)
	}
	defer func() { err = errors.Join(err, closeStore(store)) }()
	if was {
		if settings, err = store.Settings(); err != nil {
			return nil, err
		}
		joined = &Settings{}
		if err := json.Unmarshal(settings, joined); err != nil || joined.Schema != Schema {
			return nil, fmt.Errorf("make archive: %s in %s is not of the form %s", settingsName, opt.Files, Schema)
		}
	}
	s := &Shared{Schema: SharedSchema, Archive: sum(settings), Files: opt.Files, Index: opt.Index}
	if s.Index != "" {
		x, _, err := s.openIndex(ctx, false)
		if err != nil {
			return nil, fmt.Errorf("make archive: %w", err)
		}
		if err := x.Close(); err != nil {
			return nil, fmt.Errorf("make archive: %w", err)
		}
	}
	return joined, s.write(dir)
}

// openIndex opens the index that all share, and the lock that is with it.
func (s *Shared) openIndex(ctx context.Context, readOnly bool) (Index, Locker, error) {
	p, err := OpenPostgres(ctx, s.Index, s.Archive, readOnly)
	if err != nil {
		return nil, nil, err
	}
	return p, p, nil
}

// openShared puts the index and the lock of a shared archive in place.
func (a *Archive) openShared(ctx context.Context) error {
	if a.shared == nil || a.index != nil {
		return nil
	}
	if a.shared.Index == "" { // the index of this folder has one writer, too
		if l, is := a.store.(Locker); is && a.locker == nil {
			a.locker = bothLocks{l, &folder{dir: a.dir}}
		}
		return nil
	}
	x, l, err := a.shared.openIndex(ctx, a.readOnly)
	if err != nil && a.readOnly {
		a.index = noIndex{err} // log and check do without
		return nil
	}
	if err != nil {
		return err
	}
	a.index = x
	if a.locker == nil {
		a.locker = l
	}
	// Whoever opens the folder of the files itself finds it locked, too.
	if f, is := a.store.(*folder); is {
		a.locker = bothLocks{a.locker, f}
	}
	return nil
}

// catchUp brings this folder's own index of a shared archive up to the log,
// also where the archive is opened for reading only: other machines file into
// it. Where that cannot be done now, the index answers as it is, or says so.
func (a *Archive) catchUp(ctx context.Context) error {
	release, err := (&folder{dir: a.dir}).Lock(a.now())
	if err != nil {
		return nil // another process is doing it, or nobody can write here
	}
	w := &Archive{dir: a.dir, now: a.now, store: a.store, locker: a.locker, genesis: a.genesis, at: a.at}
	err = w.openIndex(ctx)
	if w.index != nil {
		err = errors.Join(err, w.index.Close())
	}
	if err = errors.Join(err, release()); ctx.Err() != nil {
		return err
	}
	return nil
}

// bothLocks is held when both are.
type bothLocks struct{ first, second Locker }

func (b bothLocks) Lock(now time.Time) (func() error, error) {
	one, err := b.first.Lock(now)
	if err != nil {
		return nil, err
	}
	two, err := b.second.Lock(now)
	if err != nil {
		return nil, errors.Join(err, one())
	}
	return func() error { return errors.Join(two(), one()) }, nil
}

func (b bothLocks) AtWork() bool { return b.first.AtWork() || b.second.AtWork() }

// Shared says where a shared archive is; nil for one in a folder.
func (a *Archive) Shared() *Shared { return a.shared }
