package servicetest

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"
)

// The object store is a program of its own, kept out of this module: an S3
// front on a plain folder (Apache-2.0), built once from the Go module proxy.
const (
	storeModule = "github.com/versity/versitygw/cmd/versitygw@v1.8.0"
	storeName   = "versitygw-v1.8.0"
)

// Region is what the object store calls the place that it is in.
const Region = "us-east-1"

// S3Server is an empty bucket on an object store of this machine.
type S3Server struct {
	Endpoint    string // a URL such as http://127.0.0.1:20123, without a path
	Key, Secret string
	Bucket      string
	Dir         string // where the bucket's objects lie as plain files, each under its key
}

// gateway is one running object store.
type gateway struct {
	bin, dir, port, key, secret string
	proc                        *process
	mu                          sync.Mutex
	n                           int // buckets made
}

var sharedStore struct {
	sync.Mutex
	g   *gateway
	err error
}

// S3 gives a fresh, empty bucket on an object store that all tests of this
// process share. The bucket goes when the test ends, the store when the process
// ends. The store does not sync what it writes to the disk, and spoils the
// connection on which it gets an empty object signed by chunks.
func S3(t testing.TB) S3Server {
	t.Helper()
	sharedStore.Lock()
	if sharedStore.g == nil && sharedStore.err == nil {
		sharedStore.g, sharedStore.err = newGateway()
	}
	g, err := sharedStore.g, sharedStore.err
	sharedStore.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	return g.bucket(t)
}

// S3Private is an object store of one test, which may kill it and start it
// again in the middle of the work.
type S3Private struct {
	S3Server
	t testing.TB
	g *gateway
}

// PrivateS3 starts an object store for this test alone; it ends with the test.
func PrivateS3(t testing.TB) *S3Private {
	t.Helper()
	g, err := newGateway()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		err := g.proc.end(syscall.SIGKILL)
		if err = errors.Join(err, os.RemoveAll(g.dir)); err != nil {
			t.Error(err)
		}
	})
	return &S3Private{S3Server: g.bucket(t), t: t, g: g}
}

// Kill9 kills the store without any warning; requests under way get no answer.
func (s *S3Private) Kill9() {
	s.t.Helper()
	s.g.mu.Lock()
	defer s.g.mu.Unlock()
	if err := s.g.proc.end(syscall.SIGKILL); err != nil {
		s.t.Error(err)
	}
}

// Start starts the killed store again at the same endpoint and returns when it
// answers.
func (s *S3Private) Start() {
	s.t.Helper()
	s.g.mu.Lock()
	defer s.g.mu.Unlock()
	if s.g.proc.running() {
		s.t.Error("the object store is started while it runs")
		return
	}
	if err := s.g.start(); err != nil {
		s.t.Error(err)
	}
}

// storeProgram builds the object store once into the cache for tests.
func storeProgram() (string, error) {
	dir, err := kept(storeName, func(dir string) error {
		cmd := exec.Command("go", "install", storeModule)
		cmd.Dir = dir // outside any module
		cmd.Env = append(os.Environ(), "GOBIN="+dir, "CGO_ENABLED=0", "GOFLAGS=", "GOOS=", "GOARCH=")
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("the object store for tests is not here and does not build (it needs Debian's package golang-go, or another Go, and the Go module proxy): go install %s: %w: %s",
				storeModule, err, out[max(0, len(out)-2000):])
		}
		return nil
	})
	return filepath.Join(dir, "versitygw"), err
}

func newGateway() (*gateway, error) {
	bin, err := storeProgram()
	if err != nil {
		return nil, err
	}
	g := &gateway{bin: bin, key: "test" + rand.Text()[:12], secret: rand.Text()}
	if g.dir, err = tempDir("wornwood-s3-", nil); err != nil {
		return nil, err
	}
	if err := os.Mkdir(g.objects(), 0o755); err != nil {
		return nil, err
	}
	// Somebody may take the port between finding and using it.
	for range 5 {
		if g.port, err = freePort(); err != nil {
			return nil, err
		}
		if err = g.start(); err == nil {
			return g, nil
		}
	}
	return nil, err
}

func (g *gateway) objects() string  { return filepath.Join(g.dir, "objects") }
func (g *gateway) endpoint() string { return "http://127.0.0.1:" + g.port }

// start starts the store and returns once it answers.
func (g *gateway) start() error {
	args := []string{"--port", "127.0.0.1:" + g.port, "--region", Region, "--health", "/health", "--quiet", "--keep-alive", "posix"}
	// It keeps what S3 wants to know of an object in extended attributes. Where
	// the temporary folder has none it keeps them in files beside.
	if err := syscall.Setxattr(g.objects(), "user.wornwood", []byte("1"), 0); err != nil {
		side := filepath.Join(g.dir, "attributes")
		if err := os.MkdirAll(side, 0o755); err != nil {
			return err
		}
		args = append(args, "--sidecar", side)
	}
	cmd := exec.Command(g.bin, append(args, g.objects())...)
	cmd.Dir = g.dir
	cmd.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + g.dir, "ROOT_ACCESS_KEY_ID=" + g.key, "ROOT_SECRET_ACCESS_KEY=" + g.secret}
	log := filepath.Join(g.dir, "log")
	var err error
	if g.proc, err = startProcess(cmd, log, nil, syscall.SIGKILL); err != nil {
		return fmt.Errorf("start the object store: %w", err)
	}
	for until := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		r, err := http.Get(g.endpoint() + "/health")
		if err == nil {
			err = r.Body.Close()
			if r.StatusCode == http.StatusOK && g.proc.running() {
				return err
			}
		}
		if !g.proc.running() {
			return fmt.Errorf("the object store ended at once: %s", tail(log))
		}
		if time.Now().After(until) {
			return fmt.Errorf("the object store does not answer after 30 seconds; its log ends: %s", tail(log))
		}
	}
}

// bucket makes a fresh bucket that goes when the test ends.
func (g *gateway) bucket(t testing.TB) S3Server {
	t.Helper()
	g.mu.Lock()
	g.n++
	name := "test-" + strconv.Itoa(g.n)
	g.mu.Unlock()
	s := S3Server{Endpoint: g.endpoint(), Key: g.key, Secret: g.secret, Bucket: name, Dir: filepath.Join(g.objects(), name)}
	c, err := s.client()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.MakeBucket(context.Background(), name, minio.MakeBucketOptions{Region: Region}); err != nil {
		t.Fatalf("make a bucket for the test: %v", err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(s.Dir); err != nil {
			t.Error(err)
		}
	})
	return s
}

func (s S3Server) client() (*minio.Client, error) {
	return minio.New(strings.TrimPrefix(s.Endpoint, "http://"), &minio.Options{
		Creds: credentials.NewStaticV4(s.Key, s.Secret, ""), Region: Region})
}
