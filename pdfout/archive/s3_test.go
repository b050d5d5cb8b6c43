package archive_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// bucketOf is a place in a test's bucket, whose keys are put into the
// environment as a user does.
func bucketOf(t *testing.T, srv servicetest.S3Server, endpoint, prefix string) archive.S3Place {
	t.Helper()
	t.Setenv("AWS_ACCESS_KEY_ID", srv.Key)
	t.Setenv("AWS_SECRET_ACCESS_KEY", srv.Secret)
	return archive.S3Place{Endpoint: endpoint, Region: servicetest.Region, Bucket: srv.Bucket, Prefix: prefix}
}

// s3Backend is a new archive in a bucket, with an index in a folder.
func s3Backend(t *testing.T) archivetest.Backend {
	srv := servicetest.S3(t)
	at := bucketOf(t, srv, srv.Endpoint, "shop/archive/")
	if err := archive.MakeS3(context.Background(), at, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	s, err := archive.OpenS3(context.Background(), at)
	if err != nil {
		t.Fatal(err)
	}
	x, err := archive.OpenSQLite(filepath.Join(t.TempDir(), "index.db"), false)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := x.Close(); err != nil {
			t.Error(err)
		}
	})
	return archivetest.Backend{Store: s, Index: x, Lock: s.(archive.Locker),
		Damage: func(r archive.Ref) error { return damage(filepath.Join(srv.Dir, "shop/archive"), r) }}
}

func TestS3Conformance(t *testing.T) { archivetest.Run(t, s3Backend) }

func TestS3Place(t *testing.T) {
	t.Setenv("AWS_ENDPOINT_URL", "")
	t.Setenv("AWS_REGION", "")
	for address, want := range map[string]string{
		"s3://reports": "s3://reports/?endpoint=https%3A%2F%2Fs3.amazonaws.com&region=us-east-1",
		"s3://reports/fen/street/?endpoint=http://store:9000/&region=x": "s3://reports/fen/street?endpoint=http%3A%2F%2Fstore%3A9000&region=x",
	} {
		at, err := archive.ParseS3Place(address)
		if err != nil || at.String() != want {
			t.Errorf("%s is %s (%v)", address, at, err)
		}
		if again, err := archive.ParseS3Place(want); err != nil || again != at {
			t.Errorf("%s read again is %v (%v)", want, again, err)
		}
	}
	for address, want := range map[string]string{
		"s3://":                           "bucket",
		"s3://Reports":                    "bucket",
		"s3://key:secret@reports/a":       "AWS_ACCESS_KEY_ID",
		"s3://reports/a//b":               "empty part",
		"s3://reports/../b":               "part of dots",
		"s3://reports/a?key=secret":       `"key"`,
		"s3://reports/a?endpoint=ftp://x": "endpoint",
		"http://reports":                  "cannot be read",
	} {
		_, err := archive.ParseS3Place(address)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") || strings.Contains(err.Error(), "secret") {
			t.Errorf("%s: %v, want %q", address, err, want)
		}
	}
}

// Two that opened the same log: the one that came first cannot write any more,
// nor take away what the other staged, from the moment on at which the other
// began; not only from its first line on.
func TestS3Fence(t *testing.T) {
	srv := servicetest.S3(t)
	at := bucketOf(t, srv, srv.Endpoint, "")
	ctx := context.Background()
	if err := archive.MakeS3(ctx, at, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	open := func() archive.Store {
		s, err := archive.OpenS3(ctx, at)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := s.Tail(archive.MainLog, true); err != nil {
			t.Fatal(err)
		}
		return s
	}
	first := open()
	if err := first.Append(archive.MainLog, 0, [][]byte{[]byte("one")}); err != nil {
		t.Fatal(err)
	}
	stale, _, err := first.Stage(strings.NewReader("staged by the first"), 100, func(string) bool { return true })
	if err != nil {
		t.Fatal(err)
	}
	second := open()
	left, err := second.Leftover()
	if err != nil || len(left) != 1 || left[0] != stale {
		t.Fatalf("the second finds %v (%v)", left, err)
	}
	if err := second.Discard(stale); err != nil {
		t.Fatal(err)
	}
	if err := first.Append(archive.MainLog, 4, [][]byte{[]byte("late")}); err == nil {
		t.Error("the first still writes to the log")
	}
	h, _, err := second.Stage(strings.NewReader("staged by the second"), 100, func(string) bool { return true })
	if err != nil {
		t.Fatal(err)
	}
	if err := first.Discard(h); err == nil {
		t.Error("the first still cleans up")
	}
	if err := second.Append(archive.MainLog, 4, [][]byte{[]byte("two")}); err != nil {
		t.Error(err)
	}
	if err := second.Publish(h, archive.Files); err != nil {
		t.Error(err)
	}
	if err := second.Settle(); err != nil {
		t.Error(err)
	}
	got := ""
	if err := second.Log(archive.MainLog, 0, func(line []byte, _ int64) error { got += string(line) + " "; return nil }); err != nil || got != "one two " {
		t.Errorf("the log is %q (%v)", got, err)
	}
	joinedAre(t, srv.Dir, "one\ntwo\n", 4)
}

// joinedAre: the pieces in the order of their names are the file that a folder has.
func joinedAre(t *testing.T, dir, want string, pieces int) {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, "log", "*"))
	if err != nil {
		t.Fatal(err)
	}
	joined := ""
	for _, p := range list {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		joined += string(b)
	}
	if joined != want || len(list) != pieces {
		t.Errorf("%d pieces: %q", len(list), joined)
	}
}
