//go:build window

package windowtest

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// soundServer is a PulseAudio of its own with one output that nobody hears; what
// is played into it is what its microphone, the output's monitor, gives.
type soundServer struct {
	t   *testing.T
	env []string
}

const soundServerConfig = `load-module module-native-protocol-unix
load-module module-null-sink sink_name=tone rate=48000
set-default-sink tone
set-default-source tone.monitor
`

func newSoundServer(t *testing.T) *soundServer {
	t.Helper()
	dir, err := os.MkdirTemp("", "ww") // short: a socket's path may have 108 letters
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	s := &soundServer{t: t, env: []string{"PATH=" + os.Getenv("PATH"), "HOME=" + dir, "XDG_RUNTIME_DIR=" + dir, "LANG=en_US.UTF-8"}}
	conf := filepath.Join(dir, "server.pa")
	if err := os.WriteFile(conf, []byte(soundServerConfig), 0o600); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "-F", conf)
	var errs bytes.Buffer
	c.Env, c.Stderr = s.env, &errs
	if err := c.Start(); err != nil {
		t.Fatalf("start pulseaudio: %v", err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = c.Wait()
	})
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		if out, err := s.command("pactl", "info").Output(); err == nil && strings.Contains(string(out), "Default Source: tone.monitor") {
			return s
		}
		if time.Now().After(deadline) {
			t.Fatalf("pulseaudio does not answer: %s", errs.String())
		}
	}
}

func (s *soundServer) command(name string, args ...string) *exec.Cmd {
	c := exec.Command(name, args...)
	c.Env = s.env
	return c
}

// playing waits until something is played.
func (s *soundServer) playing() {
	s.t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		if out, err := s.command("pactl", "list", "short", "sink-inputs").Output(); err == nil && len(out) > 0 {
			return
		}
		if time.Now().After(deadline) {
			s.t.Fatal("nothing is played")
		}
	}
}

// TestRecording plays a tone of known pitch into the system's sound, has the
// program record it from there, and compares what it hears: within 1 cent.
func TestRecording(t *testing.T) {
	program := os.Getenv("WORNWOOD_BIN")
	if program == "" {
		t.Fatal("WORNWOOD_BIN names no program; run make windowtest")
	}
	s := newSoundServer(t)
	dir := t.TempDir()
	const hz = 196.3
	tone := filepath.Join(dir, "tone.wav")
	if out, err := exec.Command("sox", "-R", "-n", "-r", "48000", "-b", "16", tone, "synth", "60", "sine", "196.3", "gain", "-6").CombinedOutput(); err != nil {
		t.Fatalf("make a tone with sox: %v: %s", err, out)
	}
	play := s.command("paplay", tone)
	if err := play.Start(); err != nil {
		t.Fatalf("play with paplay: %v", err)
	}
	defer func() {
		_ = play.Process.Kill()
		_ = play.Wait()
	}()
	s.playing()
	list, err := s.command(program, "listen", "--microphones").CombinedOutput()
	if err != nil || !strings.Contains(string(list), "(the system's own)") {
		t.Errorf("the microphones are %q, %v", list, err)
	}
	kept := filepath.Join(dir, "heard.wav")
	c := s.command(program, "listen", kept, "--record", "3", "--json")
	var errs bytes.Buffer
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("listen --record: %v: %s", err, errs.String())
	}
	var heard struct {
		Rate    int
		Seconds float64
		Notes   []struct{ Hz float64 }
	}
	if err := json.Unmarshal(out, &heard); err != nil {
		t.Fatal(err)
	}
	// A busy machine loses a piece of the sound now and then, which parts the tone.
	if heard.Rate != 48000 || heard.Seconds != 3 || len(heard.Notes) == 0 {
		t.Fatalf("it heard %+v", heard)
	}
	for _, n := range heard.Notes {
		cents := 1200 * math.Log2(n.Hz/hz)
		t.Logf("%.3f cents off", cents)
		if math.Abs(cents) > 1 {
			t.Errorf("a tone of %g Hz was heard as %.3f Hz, %.2f cents off", hz, n.Hz, cents)
		}
	}
	again := s.command(program, "listen", kept, "--record", "1")
	if out, err := again.CombinedOutput(); err == nil || again.ProcessState.ExitCode() != 3 || !strings.Contains(string(out), "exists") {
		t.Errorf("recording over a file: %v, %s", err, out)
	}
}
