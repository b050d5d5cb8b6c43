package archive_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// killsKey names how many reports are filed and how often the filing is killed:
// WORNWOOD_ARCHIVE_KILLS=500x20. Without it the numbers are small.
const killsKey = "WORNWOOD_ARCHIVE_KILLS"

// killedMost is by how much of the way a process may be waited for until it is
// killed: somewhat beyond the end of most.
const killedMost = 1.05

// Filing many reports is killed (SIGKILL) at a random moment, each time in a new
// archive and again while the rest is filed. After each the archive is clean,
// holds what was told as filed, and nothing twice; in the end it holds all.
func TestKilledWhileFilingMany(t *testing.T) {
	reports, kills := 30, 4
	if s := os.Getenv(killsKey); s != "" {
		if n, err := fmt.Sscanf(s, "%dx%d", &reports, &kills); n != 2 || err != nil || reports < 1 || kills < 1 {
			t.Fatalf("%s=%s: say REPORTSxKILLS", killsKey, s)
		}
	}
	in := t.TempDir()
	writeMany(t, in, reports)
	whole := time.Duration(0)
	cut, before, told := 0, 0, 0
	for round := range kills + 1 {
		dir := filepath.Join(t.TempDir(), "archive")
		must(t, archive.Make(dir, "Test", false, archivetest.When))
		if round == 0 { // the first is left alone, to know how long it takes
			begin := time.Now()
			runKilled(t, dir, in, 0)
			whole = time.Since(begin)
			aliveAndWhole(t, dir, nil)
			continue
		}
		all := map[string]bool{}
		for range 2 {
			got, killed := runKilled(t, dir, in, 1+time.Duration(rand.Float64()*killedMost*float64(whole)))
			for _, h := range got {
				if all[h] {
					t.Errorf("%s was told as filed twice", h)
				}
				all[h] = true
			}
			if told += len(got); killed {
				cut++
			}
			if len(got) < reports {
				before++
			}
			aliveAndWhole(t, dir, all)
		}
		a := reopen(t, dir, archive.Options{})
		if tally, _ := file(t, a, in); tally.Filed+tally.There != reports || tally.Refused+tally.Left > 0 {
			t.Errorf("the rest: %+v", tally)
		}
		if r := clean(t, a); r.Reports != reports || r.Refused != 0 {
			t.Errorf("%d reports, %d refused", r.Reports, r.Refused)
		}
		if rows := find(t, a, "halden"); len(rows) != (reports+1)/2 {
			t.Errorf("%d found", len(rows))
		}
		must(t, a.Close())
		must(t, os.RemoveAll(dir))
		if t.Failed() {
			return
		}
	}
	t.Logf("%d reports, filed in %.1f s when left alone; %d rounds, %d processes killed, %d before all was filed, %d reports told as filed by them", reports, whole.Seconds(), kills, cut, before, told)
	if before < kills/2 || cut == 0 {
		t.Error("too few were killed before their end, so little was shown")
	}
}

// writeMany writes so many different reports, on all processors.
func writeMany(t *testing.T, dir string, n int) {
	t.Helper()
	dealer()
	next := make(chan int)
	errs := make(chan error, 8)
	var work sync.WaitGroup
	for range 2 {
		work.Go(func() {
			for i := range next {
				b, err := archivetest.Report(dealer(), i)
				if err == nil {
					err = os.WriteFile(filepath.Join(dir, fmt.Sprintf("report-%04d.pdf", i)), b, 0o644)
				}
				if err != nil {
					select {
					case errs <- err:
					default:
					}
				}
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	work.Wait()
	select {
	case err := <-errs:
		t.Fatal(err)
	default:
	}
}

// runKilled files in another process and kills it after a time, 0 for never. It
// gives what was told as filed, and whether the process was cut off.
func runKilled(t *testing.T, dir, in string, after time.Duration) (told []string, killed bool) {
	t.Helper()
	cmd, out := start(t, dir, in)
	if after > 0 {
		timer := time.AfterFunc(after, func() { _ = cmd.Process.Kill() }) // it may have ended by itself
		defer timer.Stop()
	}
	for out.Scan() {
		if what, h, ok := strings.Cut(out.Text(), " "); ok && what == "filed" {
			told = append(told, h)
		} else if what == "failed:" {
			t.Fatal(out.Text())
		}
	}
	return told, cmd.Wait() != nil
}

// Two processes file overlapping folders into one archive at the same moment:
// one works, the other is told who is at work and files afterwards. Everything
// is there once.
func TestTwoFilersAtTheSameMoment(t *testing.T) {
	ins := []string{folderOf(t, 6), t.TempDir()}
	for i, b := range made()[3:8] {
		write(t, filepath.Join(ins[1], fmt.Sprintf("other-%d.pdf", i)), b)
	}
	dir := filepath.Join(t.TempDir(), "archive")
	must(t, archive.Make(dir, "Test", false, archivetest.When))
	var mu sync.Mutex
	told := map[string]int{}
	waited := 0
	var both sync.WaitGroup
	for _, in := range ins {
		both.Go(func() {
			for range 200 {
				cmd, out := start(t, dir, in)
				held := false
				for out.Scan() {
					what, h, _ := strings.Cut(out.Text(), " ")
					mu.Lock()
					switch {
					case what == "filed":
						told[h]++
					case what == "failed:" && strings.Contains(h, "somebody is at work in the archive"):
						held = true
						waited++
					case what == "failed:":
						t.Error(out.Text())
					}
					mu.Unlock()
				}
				if err := cmd.Wait(); err == nil || !held {
					return
				}
				time.Sleep(20 * time.Millisecond)
			}
			t.Error("one of them never got in")
		})
	}
	both.Wait()
	t.Logf("somebody was told %d times that the other is at work", waited)
	for h, n := range told {
		if n != 1 {
			t.Errorf("%s was told as filed %d times", h, n)
		}
	}
	a := reopen(t, dir, archive.Options{})
	if r := clean(t, a); r.Reports != 8 || len(told) != 8 {
		t.Errorf("%d reports, %d told", r.Reports, len(told))
	}
}

// nobody is a user without rights of its own.
const nobody = 65534

// A folder that this user cannot write to is found in, checked and proven, and
// filing into it says so and changes nothing. As root, who may write anywhere,
// the test has another user do it.
func TestFolderThatCannotBeWritten(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	must(t, a.Close())
	in := folderOf(t, 3)
	for _, p := range []string{dir, in} { // whoever reads must get there
		for q := p; strings.HasPrefix(q, os.TempDir()+"/"); q = filepath.Dir(q) {
			must(t, os.Chmod(q, 0o755))
		}
	}
	must(t, filepath.Walk(dir, func(p string, st os.FileInfo, err error) error {
		if err == nil {
			err = os.Chmod(p, st.Mode()&^0o222|0o444)
		}
		return err
	}))
	t.Cleanup(func() {
		_ = filepath.Walk(dir, func(p string, st os.FileInfo, err error) error { // so that it can be removed
			if err == nil && st.IsDir() {
				err = os.Chmod(p, 0o755)
			}
			return err
		})
	})
	before := listing(t, dir)
	self, err := os.Executable()
	must(t, err)
	b, err := os.ReadFile(self)
	must(t, err)
	program := filepath.Join(t.TempDir(), "filer")
	must(t, os.WriteFile(program, b, 0o755))
	for q := filepath.Dir(program); strings.HasPrefix(q, os.TempDir()+"/"); q = filepath.Dir(q) {
		must(t, os.Chmod(q, 0o755))
	}
	for _, look := range []bool{false, true} {
		cmd := exec.Command(program, dir)
		cmd.Dir = "/"
		cmd.Env = append(os.Environ(), childKey+"="+in, "HOME=/nonexistent")
		if look {
			cmd.Env = append(cmd.Env, lookKey+"=1")
		}
		if os.Getuid() == 0 {
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
		}
		out, err := cmd.CombinedOutput()
		said := strings.Split(strings.TrimSpace(string(out)), "\n")
		if look {
			if err != nil || !slices.Contains(said, "found 2, 0 findings") {
				t.Errorf("looking: %q (%v)", said, err)
			}
		} else if err == nil || !strings.Contains(string(out), "permission denied") {
			t.Errorf("filing: %q (%v)", said, err)
		}
	}
	if after := listing(t, dir); after != before {
		t.Errorf("the folder changed:\n%s\n%s", before, after)
	}
}
