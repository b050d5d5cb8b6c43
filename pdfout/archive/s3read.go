package archive

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/minio/minio-go/v7"
)

// s3Begin is how much of an object comes with the request that opens it, in
// bytes: verdicts, records and reasons nearly always whole.
const s3Begin = 64 << 10

// maxWhole bounds an object that is read into memory, in bytes.
const maxWhole = 64 << 20

// s3Tries is how often reading an object is taken up again where it broke off.
const s3Tries = 10

// get reads a whole object of few bytes, and how long ago it was written, both
// times by the store's clock.
func (s *s3) get(key string) ([]byte, time.Duration, error) {
	for try := 1; ; try++ {
		body, info, head, err := s.c.GetObject(s.ctx, s.at.Bucket, key, minio.GetObjectOptions{})
		if err != nil {
			return nil, 0, s.fail(key, err)
		}
		if info.Size > maxWhole {
			return nil, 0, errors.Join(fmt.Errorf("%s in %s has %d MiB, more than such a file has", key, s.at.name(), info.Size>>20), body.Close())
		}
		b, err := io.ReadAll(io.LimitReader(body, maxWhole))
		err = errors.Join(err, body.Close())
		if err == nil && int64(len(b)) == info.Size {
			now, err := http.ParseTime(head.Get("Date"))
			if err != nil {
				now = time.Now()
			}
			return b, now.Sub(info.LastModified), nil
		}
		if try == s3Tries {
			return nil, 0, fmt.Errorf("read %s: the store %s broke off %d times (%v)", key, s.at.name(), try, err)
		}
	}
}

// page lists at most a thousand objects whose key begins so, in order, from
// behind a key on.
func (s *s3) page(prefix, behind string) (minio.ListBucketV2Result, error) {
	page, err := s.c.ListObjectsV2(s.at.Bucket, prefix, behind, "", "", 1000)
	return page, s.fail(prefix, err)
}

// list calls visit for every object whose key begins so, in order.
func (s *s3) list(prefix string, visit func(minio.ObjectInfo) error) error {
	for behind := ""; ; {
		page, err := s.page(prefix, behind)
		if err != nil {
			return err
		}
		for _, o := range page.Contents {
			if err := visit(o); err != nil {
				return err
			}
			behind = o.Key
		}
		if !page.IsTruncated || len(page.Contents) == 0 {
			return nil
		}
	}
}

func (s *s3) stat(key string) (minio.ObjectInfo, error) {
	info, err := s.c.StatObject(s.ctx, s.at.Bucket, key, minio.StatObjectOptions{})
	return info, s.fail(key, err)
}

func (s *s3) List(area Area, visit func(hash string, size int64, stranger string) error) error {
	root := string(area)
	if area == Reasons {
		root = string(Refused)
	}
	err := s.list(s.key(root+"/"), func(o minio.ObjectInfo) error {
		name := strings.TrimPrefix(o.Key, s.at.Prefix)
		ext := path.Ext(name)
		if root == string(Refused) && ext != suffix[area] && (ext == ".txt" || ext == ".pdf") {
			return nil // the other half of the pile
		}
		hash := strings.TrimSuffix(path.Base(name), ext)
		if s3Path(Ref{area, hash}) != name {
			return visit("", o.Size, s.at.name()+"/"+strings.TrimPrefix(name, "/"))
		}
		return visit(hash, o.Size, "")
	})
	if err != nil {
		return fmt.Errorf("list %s: %w", area, err)
	}
	return nil
}

func (s *s3) Open(ref Ref) (Content, error) {
	p := s3Path(ref)
	if p == "" {
		return nil, fmt.Errorf("open %s %.70q: %w", ref.Area, ref.Hash, ErrMissing)
	}
	return s.open(s.key(p))
}

// object is an open object: its beginning is here, the rest comes as a stream
// while it is read on, or whole into a file without a name once it is read at
// random.
type object struct {
	s     *s3
	key   string
	etag  string
	size  int64
	begin []byte

	at     int64         // where Read goes on
	stream io.ReadCloser // of the rest, from at on; nil when none is under way
	whole  *spooled
}

func (s *s3) open(key string) (Content, error) {
	var opt minio.GetObjectOptions
	if err := opt.SetRange(0, s3Begin-1); err != nil {
		return nil, err
	}
	for try := 1; ; try++ {
		body, info, head, err := s.c.GetObject(s.ctx, s.at.Bucket, key, opt)
		if r := minio.ToErrorResponse(err); err != nil && r.StatusCode == 416 { // of no bytes there is no range
			return &object{s: s, key: key}, nil
		}
		if err != nil {
			return nil, s.fail(key, err)
		}
		o := &object{s: s, key: key, etag: info.ETag, size: info.Size}
		if _, total, is := strings.Cut(head.Get("Content-Range"), "/"); is {
			if _, err := fmt.Sscan(total, &o.size); err != nil {
				return nil, errors.Join(fmt.Errorf("open %s: the store %s does not say its size", key, s.at), body.Close())
			}
		}
		o.begin, err = io.ReadAll(io.LimitReader(body, s3Begin))
		err = errors.Join(err, body.Close())
		if err == nil && int64(len(o.begin)) == min(o.size, s3Begin) {
			return o, nil
		}
		if try == s3Tries {
			return nil, fmt.Errorf("open %s: the store %s broke off %d times (%v)", key, s.at.name(), try, err)
		}
	}
}

func (o *object) Size() int64 { return o.size }

// Read goes on from the beginning into the stream, which is taken up again
// where it breaks off.
func (o *object) Read(p []byte) (int, error) {
	switch {
	case len(p) == 0:
		return 0, nil
	case o.at >= o.size:
		return 0, io.EOF
	case o.at < int64(len(o.begin)):
		n := copy(p, o.begin[o.at:])
		o.at += int64(n)
		return n, nil
	case o.whole != nil:
		n, err := o.whole.f.ReadAt(p[:min(int64(len(p)), o.size-o.at)], o.at)
		o.at += int64(n)
		return n, err
	}
	var last error
	for range s3Tries {
		if o.stream == nil {
			if err := o.resume(); err != nil {
				return 0, err
			}
		}
		n, err := o.stream.Read(p[:min(int64(len(p)), o.size-o.at)])
		o.at += int64(n)
		if n > 0 {
			return n, nil
		}
		if err != nil {
			_ = o.stream.Close() // it is broken, and asked for anew
			o.stream, last = nil, err
		}
	}
	return 0, fmt.Errorf("read %s: the store %s broke off %d times (%v)", o.key, o.s.at.name(), s3Tries, last)
}

// resume asks for the rest of the same bytes.
func (o *object) resume() error {
	var opt minio.GetObjectOptions
	err := opt.SetRange(o.at, o.size-1)
	if err == nil {
		err = opt.SetMatchETag(o.etag)
	}
	if err != nil {
		return err
	}
	body, _, _, err := o.s.c.GetObject(o.s.ctx, o.s.at.Bucket, o.key, opt)
	if err = o.s.fail(o.key, err); errors.Is(err, errExists) {
		return fmt.Errorf("%s was changed while it was read", o.key)
	}
	o.stream = body
	return err
}

// ReadAt may be called from several goroutines only for what came with Open, or
// after a first call for what lies behind.
func (o *object) ReadAt(p []byte, at int64) (int, error) {
	if at < 0 {
		return 0, errors.New("read before the beginning of a file")
	}
	if at >= o.size {
		return 0, io.EOF
	}
	if o.size == int64(len(o.begin)) || at+int64(len(p)) <= int64(len(o.begin)) {
		return bytes.NewReader(o.begin).ReadAt(p, at)
	}
	if o.whole == nil {
		rest := &object{s: o.s, key: o.key, etag: o.etag, size: o.size, begin: o.begin}
		w, err := o.s.spoolTo(rest, o.size)
		if err = errors.Join(err, rest.Close()); err != nil {
			return 0, err
		}
		o.whole = w
	}
	return io.NewSectionReader(o.whole.f, 0, o.size).ReadAt(p, at)
}

func (o *object) Close() (err error) {
	if o.stream != nil {
		err = o.stream.Close()
	}
	if o.whole != nil {
		err = errors.Join(err, o.whole.f.Close())
	}
	return err
}
