package servicetest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/minio/minio-go/v7"
)

func client(t *testing.T, s S3Server) *minio.Client {
	t.Helper()
	c, err := s.client()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func put(t *testing.T, s S3Server, key string, data []byte, o minio.PutObjectOptions) error {
	t.Helper()
	_, err := client(t, s).PutObject(t.Context(), s.Bucket, key, bytes.NewReader(data), int64(len(data)), o)
	return err
}

func get(t *testing.T, s S3Server, key string, o minio.GetObjectOptions) ([]byte, error) {
	t.Helper()
	r, err := client(t, s).GetObject(t.Context(), s.Bucket, key, o)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

func TestS3PutGet(t *testing.T) {
	began := time.Now()
	a := S3(t)
	t.Logf("first bucket after %v", time.Since(began))
	began = time.Now()
	b := S3(t)
	t.Logf("second bucket after %v", time.Since(began))
	data := bytes.Repeat([]byte("0123456789"), 20000)
	if err := put(t, a, "reports/2021/one.pdf", data, minio.PutObjectOptions{}); err != nil {
		t.Fatal(err)
	}
	if got, err := get(t, a, "reports/2021/one.pdf", minio.GetObjectOptions{}); err != nil || !bytes.Equal(got, data) {
		t.Errorf("get: %d bytes, %v; want the %d that were put", len(got), err, len(data))
	}
	if got, err := os.ReadFile(filepath.Join(a.Dir, "reports/2021/one.pdf")); err != nil || !bytes.Equal(got, data) {
		t.Errorf("the file in Dir has %d bytes, %v; want those that were put", len(got), err)
	}
	if _, err := get(t, b, "reports/2021/one.pdf", minio.GetObjectOptions{}); minio.ToErrorResponse(err).StatusCode != http.StatusNotFound {
		t.Errorf("the other bucket's answer is %v, want not found", err)
	}
	wrong := a
	wrong.Secret = "wrong"
	if err := put(t, wrong, "x", data, minio.PutObjectOptions{}); minio.ToErrorResponse(err).StatusCode != http.StatusForbidden {
		t.Errorf("a wrong secret is answered with %v, want forbidden", err)
	}
}

// TestS3PutIfAbsent: the second put of a key with If-None-Match: * is refused
// with 412 (RFC 9110, 13.1.2), also of sixteen at once; the first's bytes stay.
func TestS3PutIfAbsent(t *testing.T) {
	s := S3(t)
	var absent minio.PutObjectOptions
	absent.SetMatchETagExcept("*")
	if err := put(t, s, "log/1", []byte("first"), absent); err != nil {
		t.Fatal(err)
	}
	if err := put(t, s, "log/1", []byte("second"), absent); minio.ToErrorResponse(err).StatusCode != http.StatusPreconditionFailed {
		t.Errorf("second put: %v, want 412", err)
	}
	if got, err := get(t, s, "log/1", minio.GetObjectOptions{}); err != nil || string(got) != "first" {
		t.Errorf("after the refused put the object is %q, %v", got, err)
	}
	for round := range 20 {
		key := fmt.Sprint("log/race", round)
		var won atomic.Int64
		var winner atomic.Value
		var wg sync.WaitGroup
		for i := range 16 {
			wg.Go(func() {
				data := fmt.Sprint("writer ", i)
				err := put(t, s, key, []byte(data), absent)
				switch code := minio.ToErrorResponse(err).StatusCode; {
				case err == nil:
					won.Add(1)
					winner.Store(data)
				case code != http.StatusPreconditionFailed:
					t.Errorf("writer %d: %v", i, err)
				}
			})
		}
		wg.Wait()
		got, err := get(t, s, key, minio.GetObjectOptions{})
		if won.Load() != 1 || err != nil || string(got) != winner.Load() {
			t.Fatalf("%s: %d writers won, the last was %v; the object is %q, %v", key, won.Load(), winner.Load(), got, err)
		}
	}
}

func TestS3Ranges(t *testing.T) {
	s := S3(t)
	if err := put(t, s, "x", []byte("0123456789"), minio.PutObjectOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		from, to int64
		want     string
		code     int
	}{
		{0, 0, "0", 0}, {2, 5, "2345", 0}, {7, 0, "789", 0}, {0, -3, "789", 0}, {8, 100, "89", 0},
		{10, 20, "", http.StatusRequestedRangeNotSatisfiable},
	} {
		var o minio.GetObjectOptions
		if err := o.SetRange(c.from, c.to); err != nil {
			t.Fatal(err)
		}
		got, err := get(t, s, "x", o)
		if string(got) != c.want || (err != nil || c.code != 0) && minio.ToErrorResponse(err).StatusCode != c.code {
			t.Errorf("range %d to %d: %q, %v; want %q, status %d", c.from, c.to, got, err, c.want, c.code)
		}
	}
}

// TestS3Lists: pages of a listing come in the order of the keys' bytes, start
// behind a key, and are as long as asked.
func TestS3Lists(t *testing.T) {
	s := S3(t)
	var want []string
	for i := range 25 {
		key := fmt.Sprintf("log/%08d", i)
		want = append(want, key)
		if err := put(t, s, key, []byte("x"), minio.PutObjectOptions{}); err != nil {
			t.Fatal(err)
		}
	}
	if err := put(t, s, "other/1", []byte("x"), minio.PutObjectOptions{}); err != nil {
		t.Fatal(err)
	}
	core := minio.Core{Client: client(t, s)}
	after, got := "log/00000004", want[:5:5]
	for pages := 1; ; pages++ {
		r, err := core.ListObjectsV2(s.Bucket, "log/", after, "", "", 7)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range r.Contents {
			got = append(got, o.Key)
		}
		if !r.IsTruncated {
			if pages != 3 {
				t.Errorf("20 keys came in %d pages of 7", pages)
			}
			break
		}
		if len(r.Contents) != 7 {
			t.Fatalf("a page of 7 has %d keys", len(r.Contents))
		}
		after = r.Contents[6].Key
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("listed %v, want %v", got, want)
	}
}

func TestS3GoesAndComesBack(t *testing.T) {
	s := PrivateS3(t)
	if err := put(t, s.S3Server, "x", []byte("kept"), minio.PutObjectOptions{}); err != nil {
		t.Fatal(err)
	}
	s.Kill9()
	if r, err := http.Get(s.Endpoint + "/health"); err == nil {
		t.Error("the killed store answers", r.Status, errors.Join(r.Body.Close()))
	}
	began := time.Now()
	s.Start()
	t.Logf("back after %v", time.Since(began))
	if got, err := get(t, s.S3Server, "x", minio.GetObjectOptions{}); err != nil || string(got) != "kept" {
		t.Errorf("after the store came back: %q, %v", got, err)
	}
}
