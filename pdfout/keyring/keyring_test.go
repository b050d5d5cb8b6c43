package keyring

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	zalando "github.com/zalando/go-keyring"
)

const (
	secret = "moss and walnut, twice"
	benchA = "aaaaaaaaaaaaaaaaaaaaaaaaaa"
	benchB = "bbbbbbbbbbbbbbbbbbbbbbbbbb"
)

// home gives a test a folder of its own for what is remembered.
func home(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	return dir
}

// TestOnADesktop runs TestInside in a session of its own with GNOME's key ring
// (Debian: gnome-keyring, dbus-daemon), unlocked by an invented password.
func TestOnADesktop(t *testing.T) {
	dir := home(t)
	out := session(t, dir, "-test.run=^TestInside$", "-test.v")
	if !strings.Contains(out, "--- PASS: TestInside") || strings.Contains(out, "SKIP") {
		t.Fatalf("inside the session:\n%s", out)
	}
	// Nothing of the secret is readable in any file of the user.
	files := 0
	err := filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		files++
		b, err := os.ReadFile(p)
		if bytes.Contains(b, []byte(secret)) {
			t.Errorf("%s holds the passphrase", p)
		}
		return err
	})
	if err != nil || files == 0 {
		t.Errorf("%d files, %v", files, err)
	}
}

func session(t *testing.T, dir string, args ...string) string {
	t.Helper()
	for _, tool := range []string{"dbus-run-session", "gnome-keyring-daemon"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Fatalf("%s is needed for this test: %v", tool, err)
		}
	}
	const script = `printf %s invented | gnome-keyring-daemon --unlock --components=secrets >/dev/null 2>&1 && exec "$@"`
	cmd := exec.Command("dbus-run-session", append([]string{"--", "sh", "-c", script, "sh", os.Args[0]}, args...)...)
	cmd.Env = append(os.Environ(), "WORNWOOD_SESSION=1", "XDG_DATA_HOME="+dir, "XDG_CACHE_HOME="+dir, "XDG_RUNTIME_DIR="+dir)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if bytes.Contains(out, []byte(secret)) {
		t.Errorf("the passphrase was printed:\n%s", out)
	}
	return string(out)
}

// TestInside needs a key ring and is run by TestOnADesktop in a session with
// one; elsewhere it sees only that there is none.
func TestInside(t *testing.T) {
	ctx := t.Context()
	if os.Getenv("WORNWOOD_SESSION") == "" {
		t.Setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/bus")
		home(t)
		if _, err := Fetch(ctx, benchA); !errors.Is(err, ErrAbsent) {
			t.Errorf("a bus that is not there: %v", err)
		}
		return
	}
	if !Here() {
		t.Fatal("the session's bus is not seen")
	}
	if _, err := Fetch(ctx, benchA); !errors.Is(err, ErrNone) {
		t.Errorf("an empty key ring: %v", err)
	}
	for _, p := range []string{"the first one", secret} { // the second takes the first's place
		if err := Keep(ctx, benchA, p); err != nil {
			t.Fatal(err)
		}
	}
	if err := Keep(ctx, benchB, "of another bench"); err != nil {
		t.Fatal(err)
	}
	if p, err := Fetch(ctx, benchA); err != nil || p != secret {
		t.Errorf("%q, %v", p, err)
	}
	// Another program sees the entry by the standard's own names: attributes of
	// the Secret Service (freedesktop.org, Secret Service API, draft 0.2).
	out, err := exec.Command("dbus-send", "--session", "--print-reply", "--dest=org.freedesktop.secrets", "/org/freedesktop/secrets",
		"org.freedesktop.Secret.Service.SearchItems", "dict:string:string:service,"+service).CombinedOutput()
	if err != nil || strings.Count(string(out), "object path") != 2 {
		t.Errorf("dbus-send: %v\n%s", err, out)
	}
	if !Remembered(benchA) || !Remembered(benchB) {
		t.Error("the benches are not noted")
	}
	if err := Forget(ctx, benchA); err != nil || Remembered(benchA) || !Remembered(benchB) {
		t.Errorf("forget: %v", err)
	}
	if err := Forget(ctx, benchA); !errors.Is(err, ErrNone) {
		t.Errorf("forget twice: %v", err)
	}
	if _, err := Fetch(ctx, benchA); !errors.Is(err, ErrNone) {
		t.Errorf("forgotten: %v", err)
	}
	if err := Forget(ctx, benchB); err != nil {
		t.Error(err)
	}
}

func TestWithoutADesktop(t *testing.T) {
	home(t)
	for _, a := range []string{"autolaunch:", "disabled:", "unix:path=/nowhere/bus"} {
		t.Setenv("DBUS_SESSION_BUS_ADDRESS", a)
		start := time.Now()
		err := Keep(t.Context(), benchA, secret)
		if !errors.Is(err, ErrAbsent) || strings.Contains(err.Error(), secret) || time.Since(start) > 10*time.Second {
			t.Errorf("%s: %v after %v", a, err, time.Since(start))
		}
		if Remembered(benchA) {
			t.Errorf("%s: noted as remembered", a)
		}
	}
	for _, p := range []string{"", strings.Repeat(secret, 200)} {
		if err := Keep(t.Context(), benchA, p); err == nil || strings.Contains(err.Error(), secret) {
			t.Errorf("%d bytes: %v", len(p), err)
		}
	}
}

// A key ring that does not answer is not waited for beyond the caller's
// patience, one that answers in a wrong form does no harm.
func TestOddKeyRings(t *testing.T) {
	home(t)
	t.Setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/bus")
	ctx, cancel := context.WithCancel(t.Context())
	never := make(chan struct{})
	defer close(never)
	cancel()
	if err := ask(ctx, func() error { <-never; return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("silent: %v", err)
	}
	if err := ask(t.Context(), func() error { panic("interface conversion") }); !errors.Is(err, ErrAbsent) {
		t.Errorf("odd: %v", err)
	}
	for in, want := range map[error]error{zalando.ErrNotFound: ErrNone, errors.New("failed to unlock correct collection"): ErrAbsent, errors.New("org.x: " + secret): ErrAbsent} {
		if err := plain(in); !errors.Is(err, want) || strings.Contains(err.Error(), secret) {
			t.Errorf("%v becomes %v", in, err)
		}
	}
}

func TestMemo(t *testing.T) {
	dir := home(t)
	if Remembered(benchA) {
		t.Error("remembered from nothing")
	}
	for _, b := range []string{benchA, benchB, benchA} {
		if err := note(b, true); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(filepath.Join(dir, "wornwood", "key-ring"))
	if err != nil || string(b) != benchA+"\n"+benchB+"\n" {
		t.Errorf("%q, %v", b, err)
	}
	if err := note(benchA, false); err != nil || Remembered(benchA) || !Remembered(benchB) {
		t.Error(err)
	}
}
