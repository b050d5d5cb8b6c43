package archive_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// The test binary files a folder as another process when this is set.
const childKey = "WORNWOOD_ARCHIVE_CHILD"

func TestMain(m *testing.M) {
	if in := os.Getenv(childKey); in != "" {
		if err := child(os.Args[1], in); err != nil {
			fmt.Println("failed:", err)
			os.Exit(3)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// child files and prints the hash of everything that it was told is filed.
func child(dir, in string) error {
	if os.Getenv(lookKey) != "" {
		return look(dir)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{})
	if err != nil {
		return err
	}
	fmt.Println("open")
	if err := limitFiles(); err != nil {
		return err
	}
	_, err = a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) { fmt.Println(o.Result, o.Hash) }})
	if err = errors.Join(err, a.Close()); err == nil {
		err = printPeak()
	}
	return err
}

// lookKey has the child only look.
const lookKey = "WORNWOOD_ARCHIVE_CHILD_LOOKS"

// look finds everything and checks, without a right to write.
func look(dir string) error {
	a, err := archive.Open(context.Background(), dir, archive.Options{ReadOnly: true})
	if err != nil {
		return err
	}
	q, err := archive.ParseQuery("")
	if err != nil {
		return err
	}
	f, err := a.Find(q, 0, 10)
	if err != nil {
		return err
	}
	r, err := a.Check(context.Background(), archive.CheckOptions{})
	if err != nil {
		return err
	}
	fmt.Printf("found %d, %d findings\n", len(f.Rows), len(r.Findings))
	return a.Close()
}

func start(t *testing.T, dir, in string, env ...string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, dir)
	cmd.Env = append(append(os.Environ(), childKey+"="+in), env...)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	return cmd, bufio.NewScanner(out)
}

// Killed at any moment, the archive is clean when it is opened again, holds all
// that was told as filed, and nothing twice. The folder holds the same reports
// under several names and refused ones too, so that every path is met.
func TestKilledAtAnyMoment(t *testing.T) {
	in := folderOf(t, 8)
	for i := range 6 {
		write(t, filepath.Join(in, fmt.Sprintf("bad-%d.pdf", i)), append(made()[i][:len(made()[i]):len(made()[i])], "more"...))
	}
	kills, cut := 0, 0
	for begin := time.Now(); time.Since(begin) < 12*time.Second && kills < 60; {
		dir := filepath.Join(t.TempDir(), "archive")
		if err := archive.Make(dir, "Test", false, time.Now()); err != nil {
			t.Fatal(err)
		}
		told := map[string]bool{}
		for round := range 3 {
			cmd, out := start(t, dir, in)
			wait := time.Duration(rand.IntN(200+200*round)) * time.Millisecond
			timer := time.AfterFunc(wait, func() { _ = cmd.Process.Kill() }) // it may have ended by itself
			for out.Scan() {
				if what, h, ok := strings.Cut(out.Text(), " "); ok && what == "filed" {
					told[h] = true
				} else if what == "failed:" {
					t.Fatal(out.Text())
				}
			}
			timer.Stop()
			if err := cmd.Wait(); err != nil {
				cut++
			}
			kills++
			aliveAndWhole(t, dir, told)
		}
		a := reopen(t, dir, archive.Options{})
		if tally, _ := file(t, a, in); tally.Filed+tally.There != 8 {
			t.Errorf("the rest: %+v", tally)
		}
		if r := clean(t, a); r.Reports != 8 || r.Refused != 6 {
			t.Errorf("%d reports, %d refused", r.Reports, r.Refused)
		}
		if err := a.Close(); err != nil {
			t.Fatal(err)
		}
		if t.Failed() {
			return
		}
	}
	t.Logf("%d processes, %d of them killed before their end", kills, cut)
	if cut == 0 {
		t.Error("no process was killed before its end, so nothing was shown")
	}
}

func aliveAndWhole(t *testing.T, dir string, told map[string]bool) {
	t.Helper()
	a := reopen(t, dir, archive.Options{})
	defer a.Close()
	clean(t, a)
	twice := map[string]bool{}
	err := a.Log(func(e archive.Entry) error {
		if e.File != "" && twice[e.File] {
			t.Errorf("%s has two lines", e.File)
		}
		twice[e.File] = true
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	filed := map[string]bool{}
	for _, r := range find(t, a, "") {
		filed[r.Hash] = true
	}
	for h := range told {
		if !filed[h] {
			t.Errorf("%s was told as filed and is not found", h)
		}
	}
}

// The second of two filers gets a sentence; who only looks is not kept out.
func TestTwoAtOnce(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 1))
	cmd, out := start(t, dir, folderOf(t, 2))
	said := ""
	for out.Scan() {
		said += out.Text()
	}
	if err := cmd.Wait(); err == nil || !strings.Contains(said, "somebody is at work in the archive: ") || !strings.Contains(said, fmt.Sprintf("process %d", os.Getpid())) {
		t.Errorf("the second says %q (%v)", said, err)
	}
	if rows := find(t, reopen(t, dir, archive.Options{ReadOnly: true}), "halden"); len(rows) != 1 {
		t.Errorf("looking meanwhile: %d", len(rows))
	}
}

// The index is a moment behind the log while somebody files, and whoever looks
// meanwhile is answered; behind with nobody at work, it is to be made good.
func TestFindWhileFiling(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	s, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	line := fmt.Sprintf(`{"kind":"checked","previous":"%s","seq":%d,"time":"2026-11-14T15:05:00Z"}`, a.Head().Hash, a.Head().Seq+1)
	_, end, err := s.Tail(archive.MainLog, false)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(archive.MainLog, end, [][]byte{[]byte(line)}); err != nil {
		t.Fatal(err)
	}
	if rows := find(t, reopen(t, dir, archive.Options{ReadOnly: true}), ""); len(rows) != 2 {
		t.Errorf("meanwhile: %d", len(rows))
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	q, err := archive.ParseQuery("")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := reopen(t, dir, archive.Options{ReadOnly: true}).Find(q, 0, 1); !errors.Is(err, archive.ErrIndex) {
		t.Errorf("afterwards: %v", err)
	}
	clean(t, reopen(t, dir, archive.Options{}))
}
