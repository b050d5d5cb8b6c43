package servicetest

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// noPostgres is what a test says where PostgreSQL is not installed.
const noPostgres = "PostgreSQL is not here (no /usr/lib/postgresql/*/bin/postgres): install Debian's package postgresql"

// cluster is one private PostgreSQL server with its folder.
type cluster struct {
	bin, dir, port, password string
	who                      *account
	proc                     *process
}

var shared struct {
	sync.Mutex
	c   *cluster
	err error
	n   int // databases made
}

// Postgres gives the DSN (a postgres:// URL for pgx, as the database's owner) of
// a fresh, empty database on a server that all tests of this process share. The
// database is dropped when the test ends, the server stopped when the process
// ends. It stores durably (fsync on) and sorts by language, as real servers do:
// what needs the order of bytes has to ask for it (COLLATE "C").
func Postgres(t testing.TB) string {
	t.Helper()
	shared.Lock()
	defer shared.Unlock()
	if shared.c == nil && shared.err == nil {
		shared.c, shared.err = newCluster()
	}
	if shared.err != nil {
		t.Fatal(shared.err)
	}
	c := shared.c
	shared.n++
	name := "test_" + strconv.Itoa(shared.n)
	if err := c.run("CREATE DATABASE " + name); err != nil {
		t.Fatalf("make a database for the test: %v", err)
	}
	t.Cleanup(func() {
		if err := c.run("DROP DATABASE " + name + " WITH (FORCE)"); err != nil {
			t.Errorf("drop the test's database: %v", err)
		}
	})
	return c.dsn(name)
}

// newestPostgres is the folder of programs of the newest PostgreSQL below root,
// which for Debian's packages is /usr/lib/postgresql.
func newestPostgres(root string) (string, error) {
	found, err := filepath.Glob(filepath.Join(root, "*", "bin", "postgres"))
	if err != nil {
		return "", err
	}
	best, dir := -1.0, ""
	for _, f := range found {
		bin := filepath.Dir(f)
		v, err := strconv.ParseFloat(filepath.Base(filepath.Dir(bin)), 64)
		if err == nil && v > best {
			best, dir = v, bin
		}
	}
	if dir == "" {
		return "", errors.New(noPostgres)
	}
	return dir, nil
}

// newCluster makes a cluster in a folder of its own and starts it.
func newCluster() (*cluster, error) {
	bin, err := newestPostgres("/usr/lib/postgresql")
	if err != nil {
		return nil, err
	}
	who, err := unprivileged()
	if err != nil {
		return nil, err
	}
	c := &cluster{bin: bin, who: who, password: rand.Text()}
	if c.dir, err = tempDir("wornwood-postgres-", who); err != nil {
		return nil, err
	}
	if err := c.initdb(); err != nil {
		return nil, err
	}
	// Somebody may take the port between finding and using it.
	for range 5 {
		if c.port, err = freePort(); err != nil {
			return nil, err
		}
		if err = c.start(); err == nil {
			return c, nil
		}
	}
	return nil, err
}

func (c *cluster) log() string  { return filepath.Join(c.dir, "log") }
func (c *cluster) data() string { return filepath.Join(c.dir, "data") }

func (c *cluster) initdb() error {
	pw := filepath.Join(c.dir, "password")
	if err := os.WriteFile(pw, []byte(c.password), 0o600); err != nil {
		return err
	}
	if c.who != nil {
		if err := os.Chown(pw, int(c.who.uid), int(c.who.gid)); err != nil {
			return err
		}
	}
	cmd := exec.Command(filepath.Join(c.bin, "initdb"), "--pgdata="+c.data(), "--username=wornwood",
		"--pwfile="+pw, "--auth=scram-sha-256", "--encoding=UTF8", "--locale=C.UTF-8",
		"--locale-provider=icu", "--icu-locale=en-US", "--no-sync", "--no-instructions")
	cmd.Dir = "/"
	p, err := startProcess(cmd, c.log(), c.who, syscall.SIGKILL)
	if err != nil {
		return fmt.Errorf("start initdb: %w", err)
	}
	<-p.done
	if !cmd.ProcessState.Success() {
		return fmt.Errorf("initdb: %s: %s", cmd.ProcessState, tail(c.log()))
	}
	return os.Remove(pw)
}

// start starts the server and returns once it answers; after a crash that is
// once it has recovered.
func (c *cluster) start() error {
	cmd := exec.Command(filepath.Join(c.bin, "postgres"), "-D", c.data(), "-p", c.port,
		"-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories=",
		"-c", "shared_buffers=64MB", "-c", "fsync=on", "-c", "synchronous_commit=on", "-c", "log_timezone=UTC", "-c", "timezone=UTC")
	cmd.Dir = "/"
	var err error
	// SIGQUIT is PostgreSQL's immediate stop; its backends go with it.
	if c.proc, err = startProcess(cmd, c.log(), c.who, syscall.SIGQUIT); err != nil {
		return fmt.Errorf("start postgres: %w", err)
	}
	for until := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if err = c.run("SELECT 1"); err == nil {
			return nil
		}
		if !c.proc.running() {
			return fmt.Errorf("postgres ended at once: %s", tail(c.log()))
		}
		if time.Now().After(until) {
			return fmt.Errorf("postgres does not answer after a minute: %w; its log ends: %s", err, tail(c.log()))
		}
	}
}

// dsn is the URL of one database of the cluster.
func (c *cluster) dsn(database string) string {
	return (&url.URL{Scheme: "postgres", User: url.UserPassword("wornwood", c.password),
		Host: "127.0.0.1:" + c.port, Path: "/" + database, RawQuery: "sslmode=disable"}).String()
}

// run has the server do one statement in its own database.
func (c *cluster) run(statement string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, c.dsn("postgres"))
	if err != nil {
		return err
	}
	_, err = conn.Exec(ctx, statement)
	if e := conn.Close(ctx); err == nil && e != nil && !strings.Contains(e.Error(), "closed") {
		err = e
	}
	return err
}
