package archive

import (
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"github.com/minio/minio-go/v7"

	"wornwood/capture/blob"
)

// spooled is a stream kept in a file that has no name any more, so that it goes
// with the process whatever becomes of that.
type spooled struct {
	f      *os.File
	size   int64
	md, sh []byte
}

// spoolTo keeps at most limit bytes, else ErrTooLarge.
func (s *s3) spoolTo(r io.Reader, limit int64) (*spooled, error) {
	f, err := os.CreateTemp("", "wornwood-*")
	if err != nil {
		return nil, err
	}
	if err := os.Remove(f.Name()); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	md, sh := md5.New(), sha256.New()
	n, err := io.Copy(io.MultiWriter(f, md, sh), io.LimitReader(r, limit+1))
	if err == nil && n > limit {
		err = fmt.Errorf("more than %d MiB: %w", limit>>20, ErrTooLarge)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &spooled{f, n, md.Sum(nil), sh.Sum(nil)}, nil
}

func (p *spooled) reader() *io.SectionReader { return io.NewSectionReader(p.f, 0, p.size) }

func (s *s3) Stage(r io.Reader, limit int64, keep func(string) bool) (string, int64, error) {
	p, err := s.spoolTo(r, limit)
	if err != nil {
		if errors.Is(err, ErrTooLarge) {
			return "", 0, err
		}
		return "", 0, fmt.Errorf("take in file: %w", err)
	}
	hash := hex.EncodeToString(p.sh)
	if !keep(hash) {
		return hash, p.size, p.f.Close()
	}
	if _, err = s.upload(s.stage(hash, content), p.reader(), p.size, p.md, p.sh, putAny, nil); err != nil {
		return "", 0, errors.Join(fmt.Errorf("take in file: %w", err), p.f.Close())
	}
	s.note(hash, content, staged{p.size, p.f})
	return hash, p.size, nil
}

func (s *s3) note(hash string, area Area, o staged) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.staged[hash] == nil {
		s.staged[hash] = map[Area]staged{}
	}
	if old := s.staged[hash][area].local; old != nil {
		_ = old.Close() // was only read
	}
	s.staged[hash][area] = o
}

func (s *s3) Put(ref Ref, data []byte) error {
	if s3Path(ref) == "" {
		return fmt.Errorf("take in %s %.70q: not the name of a file of an archive", ref.Area, ref.Hash)
	}
	if _, err := s.put(s.stage(ref.Hash, ref.Area), data, putAny, nil); err != nil {
		return fmt.Errorf("take in %s: %w", ref.Area, err)
	}
	s.note(ref.Hash, ref.Area, staged{size: int64(len(data))})
	return nil
}

// nearby is content that is on this machine's disk; it is closed when it is
// published or discarded.
type nearby struct{ *io.SectionReader }

func (nearby) Close() error { return nil }

func (s *s3) Staged(hash string) (Content, error) {
	s.mu.Lock()
	o := s.staged[hash][content]
	s.mu.Unlock()
	if o.local != nil {
		return nearby{io.NewSectionReader(o.local, 0, o.size)}, nil
	}
	if !blob.ValidID(hash) {
		return nil, fmt.Errorf("open staged %.70q: %w", hash, ErrMissing)
	}
	return s.open(s.stage(hash, content))
}

// leftover is an object in incoming/ that another process wrote.
type leftover struct {
	key         string
	token, area string
	size        int64
}

// Leftover looks into incoming/ once after the opening. What comes there later
// is this process's own, or that of one that lost the log to this one, and then
// not to be touched: its line may be in the log from before.
func (s *s3) Leftover() ([]string, error) {
	if err := s.flush(); err != nil {
		return nil, err
	}
	s.mu.Lock()
	known := s.listed && s.fenced
	s.mu.Unlock()
	if !known {
		left := map[string][]leftover{}
		err := s.list(s.key(stageDir+"/"), func(o minio.ObjectInfo) error {
			hash, rest, _ := strings.Cut(path.Base(o.Key), ".")
			token, area, _ := strings.Cut(rest, ".")
			left[hash] = append(left[hash], leftover{o.Key, token, area, o.Size})
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("list what is staged: %w", err)
		}
		s.mu.Lock()
		s.left, s.listed = left, true
		s.mu.Unlock()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	all := map[string]bool{}
	for h := range s.left {
		all[h] = true
	}
	for h := range s.staged {
		all[h] = true
	}
	return slices.Sorted(maps.Keys(all)), nil
}

// Publish begins to copy; Settle ends it.
func (s *s3) Publish(hash string, area Area) error {
	if belongs[area] == nil || s3Path(Ref{area, hash}) == "" {
		return fmt.Errorf("file %.70q in %q: not a name of an archive", hash, area)
	}
	s.mu.Lock()
	own := s.staged[hash]
	err := s.forget(hash)
	s.mu.Unlock()
	if err != nil {
		return fmt.Errorf("file report: %w", err)
	}
	if len(own) == 0 {
		return s.publishLeft(hash, area)
	}
	for _, a := range append([]Area{content}, belongs[area]...) {
		if o, is := own[a]; is {
			s.move(hash, leftover{s.stage(hash, a), s.token, string(a), o.size}, s.key(s3Path(s3Home(hash, a, area))))
		}
	}
	return nil
}

// s3Home is where something staged of a report belongs.
func s3Home(hash string, a, area Area) Ref {
	if a == content {
		a = area
	}
	return Ref{a, hash}
}

// publishLeft ends what a process that is gone began. Where several staged the
// same report, the last that opened the archive is the one that could write its
// line; what is in its place already is.
func (s *s3) publishLeft(hash string, area Area) error {
	if err := s.flush(); err != nil {
		return err
	}
	s.mu.Lock()
	best := map[Area]leftover{}
	for _, o := range s.left[hash] {
		if a := Area(o.area); o.token >= best[a].token {
			best[a] = o
		}
	}
	s.mu.Unlock()
	for _, a := range append([]Area{content}, belongs[area]...) {
		o, is := best[a]
		if !is {
			continue
		}
		to := s.key(s3Path(s3Home(hash, a, area)))
		_, err := s.stat(to)
		if errors.Is(err, ErrMissing) {
			err = s.copy(o.key, to, o.size)
		}
		if err != nil {
			return fmt.Errorf("file report: %w", err)
		}
	}
	return s.discardLeft(hash)
}

// discardLeft removes what others staged of a report.
func (s *s3) discardLeft(hash string) error {
	s.mu.Lock()
	var keys []string
	for _, o := range s.left[hash] {
		if o.area != string(retired) {
			keys = append(keys, o.key)
		}
	}
	s.mu.Unlock()
	if err := s.remove(keys); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.left[hash] = slices.DeleteFunc(s.left[hash], func(o leftover) bool { return o.area != string(retired) })
	if len(s.left[hash]) == 0 {
		delete(s.left, hash)
	}
	return nil
}

// move copies within the bucket, in the background, and sees that the copy has
// the size. What was copied is removed by flush; what was not is left over, to
// be published again. Only who holds the lock moves and flushes.
func (s *s3) move(hash string, o leftover, to string) {
	s.moves.Add(1)
	s.slots <- struct{}{}
	go func() {
		defer func() { <-s.slots; s.moves.Done() }()
		err := s.copy(o.key, to, o.size)
		s.mu.Lock()
		defer s.mu.Unlock()
		if err != nil {
			s.moveErr = errors.Join(s.moveErr, fmt.Errorf("file report: %w", err))
			s.left[hash] = append(s.left[hash], o)
			return
		}
		s.moved = append(s.moved, o.key)
	}()
}

func (s *s3) copy(from, to string, size int64) error {
	info, err := s.c.CopyObject(s.ctx, s.at.Bucket, from, s.at.Bucket, to, nil, minio.CopySrcOptions{}, minio.PutObjectOptions{})
	if err != nil {
		return s.fail(from, err)
	}
	st, err := s.stat(to)
	if err != nil {
		return err
	}
	if st.Size != size || info.ETag == "" {
		return fmt.Errorf("the copy %s has %d bytes and not %d; what is in %s stays there", to, st.Size, size, from)
	}
	return nil
}

// flush waits for what Publish began and removes what it left in incoming/.
func (s *s3) flush() error {
	s.moves.Wait()
	s.mu.Lock()
	done, err := s.moved, s.moveErr
	s.moved, s.moveErr = nil, nil
	s.mu.Unlock()
	return errors.Join(err, s.remove(done))
}

func (s *s3) Settle() error { return s.flush() }

// remove removes objects, a thousand with each request.
func (s *s3) remove(keys []string) error {
	if len(keys) == 0 {
		return nil
	}
	// The stock call goes through a channel and keeps quiet on what it skips.
	return s.removeObjects(func(yield func(minio.ObjectInfo) bool) {
		for _, k := range keys {
			if !yield(minio.ObjectInfo{Key: k}) {
				return
			}
		}
	})
}

func (s *s3) removeObjects(all func(func(minio.ObjectInfo) bool)) error {
	results, err := s.c.RemoveObjectsWithIter(s.ctx, s.at.Bucket, all, minio.RemoveObjectsOptions{})
	if err != nil {
		return s.fail("", err)
	}
	for r := range results {
		if r.Err != nil && minio.ToErrorResponse(r.Err).Code != minio.NoSuchKey {
			err = errors.Join(err, fmt.Errorf("clean up: %w", s.fail(r.ObjectName, r.Err)))
		}
	}
	return err
}

func (s *s3) Discard(hash string) error {
	if err := s.flush(); err != nil {
		return err
	}
	s.mu.Lock()
	keys, err := []string(nil), s.lost
	for a := range s.staged[hash] {
		keys = append(keys, s.key(stageDir+"/"+hash+"."+s.token+"."+string(a)))
	}
	for _, o := range s.left[hash] {
		keys = append(keys, o.key)
	}
	s.mu.Unlock()
	if err == nil {
		err = s.remove(keys)
	}
	if err != nil {
		return fmt.Errorf("clean up: %w", err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.left, hash)
	return s.forget(hash)
}

func (s *s3) Retire(hash string) error {
	if s3Path(Ref{Files, hash}) == "" {
		return fmt.Errorf("remove report %.70q: %w", hash, ErrMissing)
	}
	if _, err := s.put(s.stage(hash, retired), nil, putAny, nil); err != nil {
		return fmt.Errorf("remove report: %w", err)
	}
	s.note(hash, retired, staged{})
	return nil
}

// Remove takes away every version of a report that the bucket keeps, also of
// what lay in incoming/: what has to be forgotten by law is not to live on as
// an earlier version.
func (s *s3) Remove(hash string) error {
	if err := s.flush(); err != nil {
		return err
	}
	begins := []string{stageDir + "/" + hash + "."}
	for _, area := range Areas() {
		p := s3Path(Ref{area, hash})
		if p == "" {
			return fmt.Errorf("remove report %.70q: %w", hash, ErrMissing)
		}
		begins = append([]string{p}, begins...) // the mark in incoming/ goes last
	}
	s.mu.Lock()
	lost := s.lost
	s.mu.Unlock()
	if lost != nil {
		return fmt.Errorf("remove report: %w", lost)
	}
	for _, p := range begins {
		if err := s.removeVersions(s.key(p)); err != nil {
			return fmt.Errorf("remove report: %w", err)
		}
	}
	return s.Discard(hash)
}

func (s *s3) removeVersions(prefix string) error {
	var all []minio.ObjectInfo
	for o := range s.c.ListObjectsIter(s.ctx, s.at.Bucket, minio.ListObjectsOptions{Prefix: prefix, WithVersions: true, Recursive: true}) {
		if code := minio.ToErrorResponse(o.Err).Code; code == minio.NotImplemented {
			return s.remove([]string{prefix}) // a service without versions
		}
		if o.Err != nil {
			return s.fail(prefix, o.Err)
		}
		all = append(all, minio.ObjectInfo{Key: o.Key, VersionID: o.VersionID})
	}
	if len(all) == 0 {
		return nil
	}
	return s.removeObjects(func(yield func(minio.ObjectInfo) bool) {
		for _, o := range all {
			if !yield(o) {
				return
			}
		}
	})
}

func (s *s3) Restore(ref Ref, r io.Reader) error {
	to := s3Path(ref)
	if to == "" {
		return fmt.Errorf("restore %s %.70q: %w", ref.Area, ref.Hash, ErrMissing)
	}
	p, err := s.spoolTo(r, MaxReport)
	if err != nil {
		return fmt.Errorf("restore %s: %w", ref.Area, err)
	}
	st, err := s.stat(s.key(to))
	if err == nil {
		err = s.copy(s.key(to), s.key(fmt.Sprintf("%s/%s-%d-%s", damagedDir, ref.Area, time.Now().UnixNano(), path.Base(to))), st.Size)
	}
	if err == nil || errors.Is(err, ErrMissing) {
		_, err = s.upload(s.key(to), p.reader(), p.size, p.md, p.sh, putAny, nil)
	}
	if err = errors.Join(err, p.f.Close()); err != nil {
		return fmt.Errorf("restore %s: %w", ref.Area, err)
	}
	return nil
}
