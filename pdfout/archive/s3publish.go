package archive

import (
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"github.com/minio/minio-go/v7"
)

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
