package servicetest

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// Server is a PostgreSQL server of one test, which may stop it, kill it and
// start it again in the middle of the work. The methods may be called from any
// goroutine; what goes wrong fails the test.
type Server struct {
	t  testing.TB
	mu sync.Mutex
	c  *cluster
}

// PostgresServer starts a server for this test alone; it ends with the test.
func PostgresServer(t testing.TB) *Server {
	t.Helper()
	c, err := newCluster()
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{t: t, c: c}
	if err := c.run("CREATE DATABASE test"); err != nil {
		t.Fatalf("make a database for the test: %v", err)
	}
	t.Cleanup(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if c.proc.running() {
			if err := c.proc.end(syscall.SIGQUIT); err != nil {
				t.Error(err)
			}
		}
		if err := os.RemoveAll(c.dir); err != nil {
			t.Error(err)
		}
	})
	return s
}

// DSN is the URL of the server's database; it stays the same over restarts.
func (s *Server) DSN() string { return s.c.dsn("test") }

// Restart stops the server at once, dropping every connection and what was not
// committed, and returns when it answers again.
func (s *Server) Restart() {
	s.t.Helper()
	s.stop(syscall.SIGQUIT)
	s.Start()
}

// Stop stops the server in order: running transactions are undone, the rest is
// written out.
func (s *Server) Stop() { s.t.Helper(); s.stop(syscall.SIGINT) }

// Kill9 kills the server and all its backends without any warning and returns
// when all are gone. Start then has to recover.
func (s *Server) Kill9() {
	s.t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.c.proc.running() {
		s.t.Error("the PostgreSQL server is killed while it does not run")
		return
	}
	pid := s.c.proc.cmd.Process.Pid
	// Stopped first, so that it starts no further backend meanwhile.
	if err := syscall.Kill(pid, syscall.SIGSTOP); err != nil {
		s.t.Errorf("stop the PostgreSQL server: %v", err)
		return
	}
	backends := children(pid)
	for _, b := range backends {
		_ = syscall.Kill(b, syscall.SIGKILL) // one that has just ended is as good
	}
	if err := s.c.proc.end(syscall.SIGKILL); err != nil {
		s.t.Error(err)
	}
	// A killed one is gone when the system has taken it over and reaped it, or
	// is left as a dead entry that holds nothing.
	for until := time.Now().Add(10 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		left := 0
		for _, b := range backends {
			if _, state := parentOf(b); state != "" && state != "Z" {
				left++
			}
		}
		if left == 0 {
			return
		}
		if time.Now().After(until) {
			s.t.Errorf("%d backends of the killed PostgreSQL server are still there after ten seconds", left)
			return
		}
	}
}

// Start starts the stopped or killed server again and returns when it answers.
func (s *Server) Start() {
	s.t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.c.proc.running() {
		s.t.Error("the PostgreSQL server is started while it runs")
		return
	}
	if err := s.c.start(); err != nil {
		s.t.Error(err)
	}
}

func (s *Server) stop(sig syscall.Signal) {
	s.t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.c.proc.running() {
		s.t.Error("the PostgreSQL server is stopped while it does not run")
		return
	}
	if err := s.c.proc.end(sig); err != nil {
		s.t.Error(err)
	}
}

// children are the processes that pid started.
func children(pid int) []int {
	entries, err := os.ReadDir("/proc")
	if err != nil {
		return nil
	}
	var out []int
	for _, e := range entries {
		n, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		if parent, _ := parentOf(n); parent == pid {
			out = append(out, n)
		}
	}
	return out
}

// parentOf reads a process's parent and state from /proc (proc(5)); the state
// is empty when there is no such process.
func parentOf(pid int) (parent int, state string) {
	b, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "stat"))
	if err != nil {
		return 0, ""
	}
	// The name, in brackets, may hold anything, so look behind the last bracket.
	f := strings.Fields(string(b[strings.LastIndexByte(string(b), ')')+1:]))
	if len(f) < 2 {
		return 0, ""
	}
	parent, err = strconv.Atoi(f[1])
	if err != nil {
		return 0, ""
	}
	return parent, f[0]
}
