package bench

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"wornwood/capture/journal"
	"wornwood/capture/record"
)

// The test binary runs itself again as another process when this is set.
const childKey = "WORNWOOD_BENCH_CHILD"

func TestMain(m *testing.M) {
	if role := os.Getenv(childKey); role != "" {
		if err := child(role, os.Args[1], os.Args[2:]); err != nil {
			fmt.Println("failed:", err)
			os.Exit(3)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// child does its role until it is done or killed, and prints a line for
// everything that it was told is saved.
func child(role, dir string, args []string) error {
	b, err := Open(dir, Options{})
	if err != nil {
		return err
	}
	switch role {
	case "hold":
		fmt.Println("open")
		_, err := io.Copy(io.Discard, os.Stdin)
		return err
	case "import":
		ex, err := b.OpenExam(args[0])
		if err != nil {
			return err
		}
		_, err = b.Import(context.Background(), ex, args[1:], func(_, _ int, file string) { fmt.Println("saved", file) })
		return err
	case "edit":
		ex, err := b.OpenExam(args[0])
		if err != nil {
			return err
		}
		return childEdits(ex)
	}
	return fmt.Errorf("no role %q", role)
}

func childEdits(ex *Exam) error {
	for i := 1; ; i++ {
		var err error
		switch {
		case i%5 == 0:
			_, err = ex.Undo()
		case i%7 == 0:
			if _, can := ex.CanRedo(); !can {
				continue
			}
			_, err = ex.Redo()
		default:
			n := 1 + i%20
			var c record.Change
			if c, err = record.Set(record.MarkTarget(n), record.Mark{Number: n, Kind: "ding", Note: strings.Repeat("note ", i%200)}); err == nil {
				err = ex.Do("mark", c)
			}
		}
		if err != nil {
			return err
		}
		fmt.Println("saved", ex.state.Seq, hashOf(ex.Record()))
	}
}

func hashOf(r *record.Record) string {
	b, err := json.Marshal(r)
	if err != nil {
		return err.Error()
	}
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// process is a running child.
type process struct {
	t   *testing.T
	cmd *exec.Cmd
	in  io.Closer
	out *bufio.Scanner
}

func run(t *testing.T, role string, args ...string) *process {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, args...)
	cmd.Env = append(os.Environ(), childKey+"="+role)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return &process{t, cmd, in, bufio.NewScanner(out)}
}

// kill ends the child as a loss of power would, as far as a test can, and
// returns what it had printed beyond the lines read so far.
func (p *process) kill() (rest []string) {
	p.t.Helper()
	if err := p.cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		p.t.Fatal(err)
	}
	for p.out.Scan() {
		rest = append(rest, p.out.Text())
	}
	_ = p.cmd.Wait() // its error is that it was killed
	return rest
}

// killAfter reads n lines, lets a moment pass that depends on spin, and kills.
func (p *process) killAfter(n, spin int) (lines []string) {
	for len(lines) < n && p.out.Scan() {
		lines = append(lines, p.out.Text())
	}
	for range spin {
		runtime.Gosched()
	}
	lines = append(lines, p.kill()...)
	for _, l := range lines {
		if !strings.HasPrefix(l, "saved ") {
			p.t.Fatalf("the child says: %s", l)
		}
	}
	return lines
}

func TestSecondProcessIsTold(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	p := run(t, "hold", dir)
	if !p.out.Scan() || p.out.Text() != "open" {
		t.Fatalf("the child says %q", p.out.Text())
	}
	_, err := Open(dir, Options{})
	var held *HeldError
	if !errors.As(err, &held) || held.PID != p.cmd.Process.Pid || held.Who == "" || held.Host == "" || held.Since.IsZero() {
		t.Errorf("%v, %+v", err, held)
	}
	p.kill()
	b, err = Open(dir, Options{})
	if err != nil {
		t.Fatalf("after the other was killed: %v", err)
	}
	if _, err = Open(dir, Options{}); !errors.As(err, &held) || held.PID != os.Getpid() {
		t.Errorf("the same process again: %v", err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
}

const rounds = 20

func TestKilledWhileImporting(t *testing.T) {
	dir, rng := filepath.Join(t.TempDir(), "bench"), rand.New(rand.NewPCG(1, 2))
	b := open(t, dir)
	total := 0
	for round := range rounds {
		ex := begin(t, b)
		id := ex.ID()
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		src := t.TempDir()
		for i := range 12 {
			write(t, filepath.Join(src, fmt.Sprintf("p%02d.jpg", i)), jpegOf(t, round*100+i))
		}
		p := run(t, "import", dir, id, src)
		lines := p.killAfter(rng.IntN(12), rng.IntN(3000))
		total += len(lines)
		var err error
		if b, err = Open(dir, Options{}); err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		if ex, err = b.OpenExam(id); err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		for _, l := range lines {
			want, err := os.ReadFile(strings.TrimPrefix(l, "saved "))
			if err != nil {
				t.Fatal(err)
			}
			sum := sha256.Sum256(want)
			got, err := b.OriginalBytes(hex.EncodeToString(sum[:]))
			if err != nil || !bytes.Equal(got, want) || ex.Record().PhotoByID(hex.EncodeToString(sum[:])) == nil {
				t.Fatalf("round %d: %q is lost: %v", round, l, err)
			}
		}
		intact(t, b, ex)
		// The rest comes in as if nothing had been, and what was saved is known.
		had := len(ex.Record().Photos)
		res, err := b.Import(context.Background(), ex, []string{src}, nil)
		if err != nil || len(res.Known) != had || len(res.Added) != 12-had {
			t.Fatalf("round %d: %d were there; %+v, %v", round, had, res, err)
		}
	}
	defer b.Close()
	clean(t, b)
	if total < rounds || total == 12*rounds {
		t.Errorf("%d photos saved before the kills: they did not fall into the imports", total)
	}
}

func TestKilledWhileEditing(t *testing.T) {
	dir, rng := filepath.Join(t.TempDir(), "bench"), rand.New(rand.NewPCG(3, 4))
	b := open(t, dir)
	id := begin(t, b).ID()
	for round := range rounds {
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		lines := run(t, "edit", dir, id).killAfter(1+rng.IntN(25), rng.IntN(3000))
		var err error
		if b, err = Open(dir, Options{}); err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		ex, err := b.OpenExam(id)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		last := strings.Fields(lines[len(lines)-1])
		seq, err := strconv.Atoi(last[1])
		if err != nil {
			t.Fatal(err)
		}
		if ex.state.Seq != seq && ex.state.Seq != seq+1 {
			t.Fatalf("round %d: %d lines are there, %d were reported", round, ex.state.Seq, seq)
		}
		if got := stateAt(t, b, id, seq); got != last[2] {
			t.Fatalf("round %d: the edit reported last is not what is on the disk", round)
		}
		intact(t, b, ex)
	}
	defer b.Close()
}

// stateAt is the hash of the record that the first n lines of a journal give.
func stateAt(t *testing.T, b *Bench, id string, n int) string {
	t.Helper()
	data, err := os.ReadFile(b.examPath(id))
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(data, []byte("\n"))
	s, _, err := journal.Replay(bytes.NewReader(bytes.Join(lines[:n], nil)), id, "j")
	if err != nil {
		t.Fatal(err)
	}
	return hashOf(&s.Record)
}

// intact checks the bench and that the index says what the journal says.
func intact(t *testing.T, b *Bench, ex *Exam) {
	t.Helper()
	clean(t, b)
	r := ex.Record()
	rows, err := b.Examinations(r.Examination.Instrument)
	if err != nil || len(rows) != 1 || rows[0].Photos != len(r.Photos) || rows[0].Marks != len(r.Marks) {
		t.Fatalf("the index says %+v (%v), the journal has %d photos and %d marks", rows, err, len(r.Photos), len(r.Marks))
	}
	for _, d := range []string{"", originalsDir, examsDir, reportsDir} {
		left, err := filepath.Glob(filepath.Join(b.dir, d, "incoming-*"))
		if err != nil || len(left) > 0 {
			t.Fatalf("left behind: %v %v", left, err)
		}
	}
}
