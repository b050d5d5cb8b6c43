package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"wornwood/capture/blob"
	"wornwood/pdfout"
)

// Schema names the form of an archive, as FORMAT.md describes it.
const Schema = "wornwood.archive/1"

// Settings are what an archive was made with. They never change: the log's
// first line follows from them.
type Settings struct {
	Schema string    `json:"schema"`
	Name   string    `json:"name"`
	Made   time.Time `json:"made"`
	// Strict files only what passes strict checking, see pdfout.VerifyOptions.
	Strict bool `json:"strict"`
}

// Options say how to open an archive.
type Options struct {
	Now      func() time.Time // nil takes the machine's clock
	ReadOnly bool             // takes no lock and changes nothing
	// Stale leaves an index that is behind the log, or none, as it is, for a
	// Rebuild that is to come: it would be made twice.
	Stale bool
	// Store and Index, both or none, take the place of those of the folder;
	// they are closed with the archive where they can be.
	Store Store
	Index Index
	// Lock takes the place of that of the store.
	Lock Locker
}

// Archive is an open archive. Find and the like may be called from several
// goroutines; File, Check and Rebuild one at a time.
type Archive struct {
	Settings Settings

	dir      string
	shared   *Shared // nil for one in a folder
	now      func() time.Time
	readOnly bool
	stale    bool // the index is not brought up to the log on opening
	store    Store
	index    Index
	locker   Locker
	release  func() error // gives the lock back; nil while it is not held
	genesis  string       // what the log's first line names as the line before
	at       Position
	// unindexed: lines were written that the index has not taken in, because
	// something failed between the two.
	unindexed bool
	behind    error // why the index of an archive opened for reading cannot be relied on
	joins     replayed
	begins    sync.Map // refused file to the first bytes it shares with others, see beginnings
}

// newSettings are the bytes of archive.json.
func newSettings(name string, strict bool, now time.Time) ([]byte, error) {
	b, err := pdfout.Canonical(Settings{Schema, name, now.UTC().Truncate(time.Second), strict})
	if err != nil {
		return nil, fmt.Errorf("make archive: %w", err)
	}
	return append(b, '\n'), nil
}

// Make makes an empty archive in a folder that is empty or not there yet.
func Make(dir, name string, strict bool, now time.Time) error {
	b, err := newSettings(name, strict, now)
	if err != nil {
		return err
	}
	return makeFolder(dir, b)
}

// makeFolder makes a folder an empty archive with these settings.
func makeFolder(dir string, settings []byte) error {
	list, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("make archive: %w", err)
	}
	if len(list) > 0 {
		return fmt.Errorf("make archive: the folder %s is not empty; name a new one", dir)
	}
	for _, a := range []string{stageDir, string(Files), string(Refused), string(Verdicts), string(Records)} {
		if err := os.MkdirAll(filepath.Join(dir, a), 0o755); err != nil {
			return fmt.Errorf("make archive: %w", err)
		}
	}
	for _, f := range []struct {
		name string
		perm fs.FileMode
		data []byte
	}{{logName(MainLog), 0o644, nil}, {settingsName, 0o444, settings}} { // the settings last: they make the folder an archive
		if err := blob.WriteFile(filepath.Join(dir, f.name), f.perm, func(w io.Writer) error { _, err := w.Write(f.data); return err }); err != nil {
			return fmt.Errorf("make archive: %w", err)
		}
	}
	return nil
}

// Open opens an archive. Unless it is only for reading, it takes the lock (a
// *HeldError says who has it), ends what a crash cut short, and brings the
// index up to the log.
func Open(ctx context.Context, dir string, opt Options) (*Archive, error) {
	a := &Archive{dir: dir, now: opt.Now, readOnly: opt.ReadOnly, stale: opt.Stale, store: opt.Store, index: opt.Index, locker: opt.Lock}
	if a.now == nil {
		a.now = time.Now
	}
	if err := a.open(ctx); err != nil {
		return nil, errors.Join(err, a.Close())
	}
	return a, nil
}

func (a *Archive) open(ctx context.Context) (err error) {
	if a.store == nil {
		if IsS3(a.dir) {
			return fmt.Errorf("an archive in an object store is opened from a folder of this machine; 'wornwood archive make DIR --files %s' makes one for it", a.dir)
		}
		if a.shared, err = readShared(a.dir); err != nil {
			return err
		}
		if a.store, err = OpenPlace(ctx, a.dir); err != nil {
			return err
		}
	}
	settings, err := a.store.Settings()
	if err != nil {
		return err
	}
	if err := json.Unmarshal(settings, &a.Settings); err != nil || a.Settings.Schema != Schema {
		return fmt.Errorf("%s in %s is not of the form %s; it was altered, or a newer program made it", settingsName, a.dir, Schema)
	}
	a.genesis = sum(settings)
	if err := a.openShared(ctx); err != nil {
		return err
	}
	if l, is := a.store.(Locker); a.locker == nil && is {
		a.locker = l
	}
	if a.locker == nil {
		return errors.New("open archive: neither store nor options give a lock")
	}
	if !a.readOnly {
		if a.release, err = a.locker.Lock(a.now()); err != nil {
			return err
		}
	}
	if err := a.readHead(); err != nil {
		return err
	}
	if !a.readOnly {
		if err := a.recover(); err != nil {
			return err
		}
	}
	return a.openIndex(ctx)
}

// readHead finds the log's end.
func (a *Archive) readHead() error {
	line, end, err := a.store.Tail(MainLog, !a.readOnly)
	if err != nil {
		return err
	}
	a.at = Position{Head{0, a.genesis}, end}
	if end > 0 {
		var e Entry
		if err := json.Unmarshal(line, &e); err != nil || e.Seq < 1 {
			return fmt.Errorf("read log: its last line cannot be read; bring %s back from a copy", logName(MainLog))
		}
		a.at.Head = Head{e.Seq, sum(line)}
	}
	return nil
}

// recover ends what a crash cut short: what is staged and in the log is
// published, what is staged and not in the log was confirmed to nobody and
// goes; whoever filed it still has it.
func (a *Archive) recover() error {
	left, err := a.store.Leftover()
	if err != nil || len(left) == 0 {
		return err
	}
	area, gone := map[string]Area{}, map[string]bool{}
	for _, h := range left {
		area[h] = ""
	}
	// Without looking at the chain: a log that was altered must not make a
	// report disappear.
	err = a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		var e Entry
		if json.Unmarshal(line, &e) == nil {
			switch _, is := area[e.File]; {
			case is && e.Kind == Filed:
				area[e.File], gone[e.File] = Files, false
			case is && e.Kind == Removed:
				gone[e.File] = true
			case is && e.Kind == Rejected && area[e.File] == "":
				area[e.File] = Refused
			}
		}
		return nil
	})
	for _, h := range left {
		switch {
		case err != nil:
		case gone[h]:
			err = a.store.Remove(h)
		case area[h] != "":
			if err = a.store.Publish(h, area[h]); err == nil {
				err = a.store.Discard(h) // a removal that was not logged
			}
		default:
			err = a.store.Discard(h)
		}
	}
	if err != nil {
		return err
	}
	return a.store.Settle()
}

func (a *Archive) openIndex(ctx context.Context) (err error) {
	path := filepath.Join(a.dir, indexName)
	if a.index == nil {
		if a.readOnly && a.shared != nil {
			if err := a.catchUp(ctx); err != nil {
				return err
			}
		}
		if a.index, err = OpenSQLite(path, a.readOnly); err != nil && !a.readOnly {
			// Whatever lies there is no index; it holds nothing of its own.
			if err = removeIndex(path); err == nil {
				a.index, err = OpenSQLite(path, false)
			}
		}
		if err != nil && a.readOnly {
			a.index, err = noIndex{err}, nil // log and check do without
		}
		if err != nil {
			return err
		}
	}
	at, err := a.index.At()
	if a.readOnly {
		// While somebody is filing, it is a moment behind, and good all the same;
		// or ahead of what was read of the log a moment ago.
		if err == nil && at.Seq > a.at.Seq {
			err = a.readHead()
		}
		if err == nil && at.Seq != a.at.Seq && a.at.Seq > 0 && !a.locker.AtWork() {
			a.behind = fmt.Errorf("the index is not up to the log: %w", ErrIndex)
		}
		return nil
	}
	if err != nil && !errors.Is(err, ErrIndex) {
		return err // a database that does not answer is no reason to make the index anew
	}
	if err != nil {
		if a.index, err = a.freshIndex(path); err != nil {
			return err
		}
		at = Position{}
	}
	if at == a.at || (at.Seq == 0 && a.at.Seq == 0) {
		return nil
	}
	if a.stale {
		a.unindexed = true
		return nil
	}
	var chain *ChainError
	if at.Seq < a.at.Seq {
		if _, err = a.follow(ctx, at); err == nil || !errors.As(err, &chain) || at.Seq == 0 {
			return err
		}
	}
	// It is ahead of the log, or beside it: another log was put here.
	_, err = a.Rebuild(ctx)
	return err
}

// freshIndex replaces an index that cannot be read.
func (a *Archive) freshIndex(path string) (Index, error) {
	if _, ours := a.index.(*sqlite); !ours {
		return a.index, a.index.Reset()
	}
	if err := a.index.Close(); err != nil {
		return a.index, err
	}
	if err := removeIndex(path); err != nil {
		return a.index, err
	}
	return OpenSQLite(path, false)
}

func removeIndex(path string) error {
	for _, p := range []string{path + "-journal", path + "-wal", path + "-shm", path} {
		if err := os.Remove(p); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("remove index: %w", err)
		}
	}
	return nil
}

// Close gives the lock back.
func (a *Archive) Close() error {
	var err error
	if a.index != nil {
		err = a.index.Close()
	}
	if a.release != nil {
		err = errors.Join(err, a.release())
		a.release = nil
	}
	if c, is := a.store.(io.Closer); is {
		err = errors.Join(err, c.Close())
	}
	return err
}

// Head is the log's head: number and hash of its last line; 0 and the hash of
// archive.json before the first.
func (a *Archive) Head() Head { return a.at.Head }

// Find lists what answers the query, from a place in the list on.
func (a *Archive) Find(q *Query, from, most int) (*Found, error) {
	if a.behind != nil {
		return nil, a.behind
	}
	return a.index.Find(q, from, most)
}

// Counts groups what answers the query by a field.
func (a *Archive) Counts(q *Query, field string) ([]Count, error) {
	if a.behind != nil {
		return nil, a.behind
	}
	return a.index.Counts(q, field)
}
