package archive

import (
	"context"
	"crypto/md5"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"

	"wornwood/capture/blob"
)

// s3 is a store in a bucket of an S3-compatible service, laid out under a
// prefix as FORMAT.md describes. Nothing in a bucket can be appended to, so a
// ledger is a row of objects, see s3log.go.
type s3 struct {
	ctx context.Context
	c   *minio.Core
	at  S3Place

	mu     sync.Mutex
	staged map[string]map[Area]staged // by this process and not published yet
	left   map[string][]leftover      // by others, found at the opening
	listed bool                       // left is complete
	known  map[Ledger]ending          // where each ledger was seen to end
	fenced bool                       // the place at the log's end was taken, see s3log.go
	token  string                     // in the names of what is staged, in the order of openings
	lost   error                      // why nothing may be changed any more

	// What Publish began and Settle ends.
	moves   sync.WaitGroup
	slots   chan struct{}
	moved   []string // keys in incoming/ that were copied to their places
	moveErr error
}

// staged is an object in incoming/ that this process wrote.
type staged struct {
	size  int64
	local *os.File // the same bytes on this machine's disk, for reading at random; nil where they were few
}

// s3AtOnce is how many requests of one kind are under way at a time.
const s3AtOnce = 16

// OpenS3 opens the store in a bucket in which a place was made. The keys come
// from AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY or from the usual file of
// credentials. Every request that fails is repeated up to ten times within
// about eight seconds; an error after that says what to look at.
func OpenS3(ctx context.Context, at S3Place) (Store, error) {
	s, err := dialS3(ctx, at)
	if err != nil {
		return nil, err
	}
	if _, err := s.Settings(); err != nil {
		if errors.Is(err, ErrMissing) {
			return nil, fmt.Errorf("%s holds no archive: there is no %s; 'wornwood archive make DIR --files …' makes one", at, settingsName)
		}
		return nil, err
	}
	return s, nil
}

func dialS3(ctx context.Context, at S3Place) (*s3, error) {
	keys := credentials.NewChainCredentials([]credentials.Provider{&credentials.EnvAWS{}, &credentials.FileAWSCredentials{}})
	if v, err := keys.GetWithContext(nil); err != nil || v.AccessKeyID == "" {
		return nil, errors.New("open store: there is no key for it; set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or name a profile of ~/.aws/credentials in AWS_PROFILE")
	}
	host, secure := strings.CutPrefix(at.Endpoint, "https://")
	host = strings.TrimPrefix(host, "http://")
	transport, err := s3Transport(secure)
	if err != nil {
		return nil, err
	}
	c, err := minio.NewCore(host, &minio.Options{Creds: keys, Secure: secure, Region: at.Region, MaxRetries: 10, Transport: transport})
	if err != nil {
		return nil, fmt.Errorf("open store %s: %w", at, err)
	}
	// What is under way is ended within the time of its repetitions, also when
	// somebody cancels: it is known then what was done.
	return &s3{ctx: context.WithoutCancel(ctx), c: c, at: at, staged: map[string]map[Area]staged{}, left: map[string][]leftover{}, known: map[Ledger]ending{}, token: piece{}.mark(), slots: make(chan struct{}, s3AtOnce)}, nil
}

// MakeS3 begins an archive in a bucket where there is none under the prefix.
func MakeS3(ctx context.Context, at S3Place, name string, strict bool, now time.Time) error {
	b, err := newSettings(name, strict, now)
	if err != nil {
		return err
	}
	_, err = makeS3(ctx, at, b)
	return err
}

// makeS3 begins an archive with these settings, and sees that the service does
// not overwrite where it is told not to: without that, two writers would lose
// lines of the log.
func makeS3(ctx context.Context, at S3Place, settings []byte) (*s3, error) {
	s, err := dialS3(ctx, at)
	if err != nil {
		return nil, err
	}
	old, _, err := s.get(s.key(settingsName))
	if err == nil && string(old) == string(settings) {
		return s, nil // made by an earlier attempt that was cut short
	}
	if err == nil {
		return nil, fmt.Errorf("there is an archive in %s already", at.name())
	}
	if !errors.Is(err, ErrMissing) {
		return nil, err
	}
	probe := s.key(stageDir + "/probe")
	for _, want := range []error{nil, errExists} {
		_, err := s.put(probe, []byte("probe"), putNew, nil)
		if want != nil && err == nil {
			return nil, fmt.Errorf("the store %s overwrites an object although it was told not to (If-None-Match), so it cannot keep a log safe; take another", at.name())
		}
		if err != nil && !errors.Is(err, errExists) {
			return nil, err
		}
	}
	if err := s.remove([]string{probe}); err != nil {
		return nil, err
	}
	mine, err := s.claim(s.key(settingsName), rand.Text(), settings)
	if err == nil && !mine {
		err = fmt.Errorf("somebody else made an archive in %s at the same moment", at.name())
	}
	return s, err
}

func (s *s3) key(name string) string { return s.at.Prefix + name }

// s3Path is where a file lies below the prefix; "" when the name is none.
func s3Path(ref Ref) string {
	if !blob.ValidID(ref.Hash) || suffix[ref.Area] == "" {
		return ""
	}
	name := ref.Hash + suffix[ref.Area]
	switch ref.Area {
	case Refused, Reasons:
		return string(Refused) + "/" + name
	}
	return string(ref.Area) + "/" + ref.Hash[:2] + "/" + name
}

// stage is where a file waits until its line is in the log.
func (s *s3) stage(hash string, area Area) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.key(stageDir + "/" + hash + "." + s.token + "." + string(area))
}

// errExists says that an object is there, or is another, against what a
// conditional request said.
var errExists = errors.New("the object is there already")

// condition is what must hold for an object to be written.
type condition string

const (
	putAny condition = ""
	putNew condition = "new" // there is none
)

// put writes an object of few bytes.
func (s *s3) put(key string, data []byte, if_ condition, meta map[string]string) (etag string, err error) {
	md, sh := md5.Sum(data), sha256.Sum256(data)
	return s.upload(key, strings.NewReader(string(data)), int64(len(data)), md[:], sh[:], if_, meta)
}

// upload writes an object. MD5 and SHA-256 go with it, and the service refuses
// bytes that have others. An answer that was lost and a request that was then
// repeated can give errExists for what this call itself wrote.
func (s *s3) upload(key string, r io.ReadSeeker, size int64, md, sh []byte, if_ condition, meta map[string]string) (string, error) {
	opt := minio.PutObjectOptions{ContentType: contentType(key), DisableContentSha256: true, UserMetadata: meta} // the whole is signed by its hash instead of in chunks
	if if_ == putNew {
		opt.SetMatchETagExcept("*")
	}
	for try := 0; ; try++ {
		info, err := s.c.PutObject(s.ctx, s.at.Bucket, key, r, size, base64.StdEncoding.EncodeToString(md), hex.EncodeToString(sh), opt)
		if code := minio.ToErrorResponse(err); err != nil && code.StatusCode == http.StatusConflict && try < 5 {
			continue // another conditional request on the same object was under way
		}
		if err != nil {
			return "", s.fail(key, err)
		}
		return info.ETag, nil
	}
}

func contentType(key string) string {
	switch {
	case strings.HasSuffix(key, ".pdf"), strings.HasSuffix(key, "."+string(content)):
		return "application/pdf"
	case strings.HasSuffix(key, ".json"), strings.HasSuffix(key, ".jsonl"):
		return "application/json"
	}
	return "application/octet-stream"
}

// fail makes a sentence of an error of the service.
func (s *s3) fail(key string, err error) error {
	if err == nil {
		return nil
	}
	name := strings.TrimPrefix(key, s.at.Prefix)
	r := minio.ToErrorResponse(err)
	switch {
	case s.ctx.Err() != nil:
		return s.ctx.Err()
	case r.StatusCode == http.StatusPreconditionFailed || r.Code == minio.PreconditionFailed:
		return fmt.Errorf("%s: %w", name, errExists)
	case r.Code == minio.NoSuchBucket:
		return fmt.Errorf("there is no bucket %q at %s", s.at.Bucket, s.at.Endpoint)
	case r.StatusCode == http.StatusNotFound || r.Code == minio.NoSuchKey:
		return fmt.Errorf("%s in %s: %w", name, s.at.name(), ErrMissing)
	case r.StatusCode == http.StatusForbidden:
		return deniedError(fmt.Sprintf("the store %s does not allow it (%s): see that the key is the right one, may do this in the bucket, and that no retention holds %s", s.at.name(), r.Code, name))
	case r.StatusCode == 0:
		if u := (*url.Error)(nil); errors.As(err, &u) {
			err = u.Err // without the long address
		}
		return fmt.Errorf("the store %s did not answer, also when asked again for several seconds: %w", s.at.name(), err)
	}
	return fmt.Errorf("the store %s answers about %s: %s (%s)", s.at, name, r.Message, r.Code)
}

// deniedError is what a folder answers with fs.ErrPermission.
type deniedError string

func (e deniedError) Error() string        { return string(e) }
func (e deniedError) Is(target error) bool { return target == fs.ErrPermission }

// Close ends what Publish began and lets go of the files on this disk.
func (s *s3) Close() error {
	err := s.flush()
	s.mu.Lock()
	defer s.mu.Unlock()
	for h := range s.staged {
		err = errors.Join(err, s.forget(h))
	}
	return err
}

// forget lets go of what is known of a staged report; s.mu is held.
func (s *s3) forget(hash string) (err error) {
	for _, o := range s.staged[hash] {
		if o.local != nil {
			err = errors.Join(err, o.local.Close())
		}
	}
	delete(s.staged, hash)
	return err
}

func (s *s3) Settings() ([]byte, error) {
	b, _, err := s.get(s.key(settingsName))
	if err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	return b, nil
}
