package servicetest

import (
	"bufio"
	"errors"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// childEnv tells this test program, started by itself, what to do.
const childEnv = "WORNWOOD_SERVICETEST_CHILD"

// TestChild does its part only when another test of this package starts it.
func TestChild(t *testing.T) {
	switch os.Getenv(childEnv) {
	case "":
		return // on its own it has no part: its checks are the other tests' below
	case "wait to be killed":
		s := PostgresServer(t)
		_, _ = Postgres(t), S3(t) // their folders are read from the shared ones
		for _, line := range []string{s.c.dir, "127.0.0.1:" + s.c.port, shared.c.dir, "127.0.0.1:" + shared.c.port,
			sharedStore.g.dir, "127.0.0.1:" + sharedStore.g.port, "end"} {
			if _, err := os.Stdout.WriteString(line + "\n"); err != nil {
				t.Fatal(err)
			}
		}
		time.Sleep(time.Minute)
		t.Fatal("nobody killed this test")
	case "chromium":
		Browse(t)
	case "nodejs":
		SQL(t, "SELECT 1")
	}
}

func child(t *testing.T, part string) *exec.Cmd {
	t.Helper()
	me, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(me, "-test.run=^TestChild$", "-test.count=1")
	cmd.Env = append(os.Environ(), childEnv+"="+part)
	return cmd
}

// TestKilledTestLeavesNothing kills a test program that has two PostgreSQL
// servers and an object store: soon all are gone, with their folders.
func TestKilledTestLeavesNothing(t *testing.T) {
	cmd := child(t, "wait to be killed")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var said []string
	for in := bufio.NewScanner(out); in.Scan() && in.Text() != "end"; {
		said = append(said, in.Text())
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err == nil || len(said) != 6 {
		t.Fatalf("the killed test ended with %v and had said %q", err, said)
	}
	began := time.Now()
	for _, s := range said {
		for there(s) {
			if time.Since(began) > 15*time.Second {
				t.Fatalf("15 seconds after the test was killed there still is %s", s)
			}
			time.Sleep(20 * time.Millisecond)
		}
	}
	t.Logf("all gone after %v", time.Since(began))
}

// there says whether a folder exists or somebody listens at an address.
func there(what string) bool {
	if filepath.IsAbs(what) {
		_, err := os.Stat(what)
		return !errors.Is(err, fs.ErrNotExist)
	}
	c, err := net.Dial("tcp", what)
	if err != nil {
		return false
	}
	return c.Close() == nil
}

// TestMissingIsSaid: what is not installed fails a test, with the name of the
// Debian package to install.
func TestMissingIsSaid(t *testing.T) {
	for _, pkg := range []string{"chromium", "nodejs"} {
		cmd := child(t, pkg)
		cmd.Env = append(cmd.Env, "PATH="+t.TempDir())
		out, err := cmd.CombinedOutput()
		if err == nil || !strings.Contains(string(out), "is not here: install Debian's package "+pkg) {
			t.Errorf("without %s the test ends with %v and says %s", pkg, err, out)
		}
	}
	if _, err := newestPostgres(t.TempDir()); err == nil || !strings.Contains(err.Error(), "install Debian's package postgresql") {
		t.Errorf("without PostgreSQL: %v", err)
	}
}

// TestNewestPostgres: version 16 is newer than 9.6 and 15, whatever the order
// of their names.
func TestNewestPostgres(t *testing.T) {
	root := t.TempDir()
	for _, v := range []string{"9.6", "15", "16"} {
		bin := filepath.Join(root, v, "bin")
		if err := os.MkdirAll(bin, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(bin, "postgres"), nil, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := newestPostgres(root); err != nil || got != filepath.Join(root, "16", "bin") {
		t.Errorf("the newest is %s, %v", got, err)
	}
}

// TestKept: of several that want the same folder one fills it; one that fails
// leaves nothing behind.
func TestKept(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	trouble := errors.New("no network")
	if _, err := kept("thing", func(string) error { return trouble }); !errors.Is(err, trouble) {
		t.Errorf("a failed fetch gives %v", err)
	}
	filled := make(chan string, 8)
	done := make(chan error, 8)
	for range 8 {
		go func() {
			dir, err := kept("thing", func(dir string) error {
				filled <- dir
				time.Sleep(50 * time.Millisecond)
				return os.WriteFile(filepath.Join(dir, "file"), []byte("x"), 0o600)
			})
			if err == nil {
				_, err = os.Stat(filepath.Join(dir, "file"))
			}
			done <- err
		}()
	}
	for range 8 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	if len(filled) != 1 {
		t.Errorf("the folder was filled %d times", len(filled))
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(cache, "wornwood-test", "*"))
	if err != nil || len(left) != 2 {
		t.Errorf("left in the cache: %v, %v; want the folder and its lock", left, err)
	}
}
