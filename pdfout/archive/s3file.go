package archive

import (
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
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
