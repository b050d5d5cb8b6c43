package servicetest

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/minio/minio-go/v7"
)

// TestDropping: of 100 puts to a server that counts, one in five fails, half of
// these after the server had done them.
func TestDropping(t *testing.T) {
	var done atomic.Int64
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		if _, err := io.Copy(io.Discard, r.Body); err != nil {
			t.Error(err)
		}
		done.Add(1)
	}))
	defer server.Close()
	p := Dropping(t, server.URL, 5)
	fates := ""
	for range 100 {
		before := done.Load()
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPut, p.Endpoint+"/x", strings.NewReader("body"))
		if err != nil {
			t.Fatal(err)
		}
		r.GetBody = nil // or the client quietly asks again
		answer, err := http.DefaultClient.Do(r)
		switch was := done.Load() - before; {
		case err == nil && was == 1:
			fates += "."
			if err := answer.Body.Close(); err != nil {
				t.Error(err)
			}
		case err != nil && was == 0:
			fates += "b"
		case err != nil && was == 1:
			fates += "a"
		default:
			t.Fatalf("a request was answered with %v and done %d times", err, was)
		}
	}
	t.Log(fates)
	n, b, a := p.Counts()
	if n != 100 || b != 10 || a != 10 || strings.Count(fates, "b") != b || strings.Count(fates, "a") != a {
		t.Errorf("counted %d requests, %d dropped before, %d after; seen: %s", n, b, a, fates)
	}
	for i := 0; i < 100; i += 5 {
		if strings.Count(fates[i:i+5], ".") != 4 {
			t.Errorf("requests %d to %d: %s; one of five is dropped", i, i+4, fates[i:i+5])
		}
	}
}

// TestDroppingS3: signed requests pass; a put whose answer was dropped is there.
func TestDroppingS3(t *testing.T) {
	s := S3(t)
	p := Dropping(t, s.Endpoint, 3)
	through := s
	through.Endpoint = p.Endpoint
	c := client(t, through)
	var absent minio.PutObjectOptions
	absent.SetMatchETagExcept("*")
	failed := 0
	for i := range 30 {
		key := fmt.Sprint("log/", i)
		data := fmt.Sprint("line ", i)
		_, err := c.PutObject(t.Context(), s.Bucket, key, strings.NewReader(data), int64(len(data)), absent)
		if err != nil {
			failed++ // the client asks again by itself, and is refused what it did itself
			if code := minio.ToErrorResponse(err).StatusCode; code != http.StatusPreconditionFailed {
				t.Errorf("%s: %v", key, err)
			}
		}
		if got, err := get(t, s, key, minio.GetObjectOptions{}); err != nil || string(got) != data {
			t.Errorf("%s: %q, %v", key, got, err)
		}
	}
	n, b, a := p.Counts()
	if b < 5 || a < 5 || failed != a {
		t.Errorf("%d requests, %d dropped before, %d after; %d puts were refused, want those dropped after", n, b, a, failed)
	}
}

// TestDroppingPostgres: a statement whose answer was dropped is done, one that
// was dropped before is not.
func TestDroppingPostgres(t *testing.T) {
	dsn := Postgres(t)
	direct := connect(t, dsn)
	run(t, direct, "CREATE TABLE report (n int)")
	p := DroppingPostgres(t, dsn, 9)
	lost, done, unknown := 0, 0, 0
	for i := range 60 {
		c, err := pgx.Connect(t.Context(), p.Endpoint)
		if err != nil {
			continue
		}
		_, before, after := p.Counts()
		_, err = c.Exec(t.Context(), fmt.Sprintf("INSERT INTO report VALUES (%d)", i))
		_, before2, after2 := p.Counts()
		there := value[int](t, direct, fmt.Sprintf("SELECT count(*) FROM report WHERE n = %d", i))
		switch {
		case err == nil && there == 1:
			done++
		case err != nil && before2 > before && there == 0:
			lost++
		case err != nil && after2 > after && there == 1:
			unknown++
		default:
			t.Errorf("insert %d: %v; it is there %d times; dropped %d before, %d after", i, err, there, before2-before, after2-after)
		}
		_ = c.Close(t.Context()) // it may be dropped
	}
	t.Logf("%d done, %d lost, %d done without an answer", done, lost, unknown)
	if done < 10 || lost == 0 || unknown == 0 {
		t.Error("not every case came up")
	}
}
