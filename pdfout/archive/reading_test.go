package archive_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// hashN is an invented SHA-256.
func hashN(n int) string { return fmt.Sprintf("%064x", n) }

// Eight readers at once, each with the archive opened on its own and for reading
// only, write 160 readings: none is lost, the chain holds and the check is clean.
func TestReadingsOfManyAtOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, time.Now()); err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	for i := range 8 {
		wait.Go(func() {
			a, err := archive.Open(context.Background(), dir, archive.Options{ReadOnly: true})
			if err != nil {
				t.Error(err)
				return
			}
			for n := range 20 {
				if err := a.Reading(fmt.Sprintf("reader %d", i), archive.ReadReport, "192.0.2.7", hashN(i), hashN(100+n)); err != nil {
					t.Error(err)
				}
			}
			if err := a.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	a, err := archive.Open(context.Background(), dir, archive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	count := func(q archive.ReadingQuery) (n int) {
		if err := a.Readings(q, func(archive.ReadingLine) error { n++; return nil }); err != nil {
			t.Fatal(err)
		}
		return n
	}
	if n := count(archive.ReadingQuery{}); n != 160 {
		t.Errorf("%d readings of 160 are there", n)
	}
	if n := count(archive.ReadingQuery{Who: "READER 3"}); n != 20 {
		t.Errorf("%d readings of one reader, 20 were made", n)
	}
	if n := count(archive.ReadingQuery{Report: hashN(107)}); n != 8 {
		t.Errorf("%d readings of one report, 8 were made", n)
	}
	if n := count(archive.ReadingQuery{Since: time.Now().Add(time.Hour)}); n != 0 {
		t.Errorf("%d readings in the future", n)
	}
	clean(t, a)
}

// A reading names many reports in as many lines as it takes; nobody's reading and
// one of nothing are none.
func TestReadingOfMany(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, time.Now()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	var all []string
	for n := range 1203 {
		all = append(all, hashN(n))
	}
	if err := a.Reading("R. Calloway", archive.ReadExport, "", all...); err != nil {
		t.Fatal(err)
	}
	if a.Reading(" \n", archive.ReadExport, "", all...) == nil {
		t.Error("nobody read something")
	}
	if err := a.Reading("R. Calloway", archive.ReadExport, ""); err != nil {
		t.Error(err)
	}
	lines, named := 0, 0
	if err := a.Readings(archive.ReadingQuery{}, func(l archive.ReadingLine) error { lines++; named += len(l.Reports); return nil }); err != nil {
		t.Fatal(err)
	}
	if lines != 3 || named != 1203 {
		t.Errorf("%d lines name %d reports", lines, named)
	}
}

// A line that was altered or taken out is found, by the check and in the list; a
// torn last line is cut off by the next reading.
func TestReadingsAltered(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, time.Now()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	path := filepath.Join(dir, "readings.jsonl")
	read := func(who string) {
		t.Helper()
		if err := a.Reading(who, archive.ReadFile, "", hashN(1)); err != nil {
			t.Fatal(err)
		}
	}
	read("one")
	read("two")
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.WriteString(`{"from":"","pre`)
	if err = errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
	read("three")
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(whole, []byte("\n")); n != 3 {
		t.Fatalf("%d lines after a torn one:\n%s", n, whole)
	}
	clean(t, a)
	lines := strings.SplitAfter(string(whole), "\n")
	for name, altered := range map[string]string{
		"altered":   strings.Replace(string(whole), `"two"`, `"twp"`, 1),
		"taken out": lines[0] + lines[2],
		"spaced":    lines[0] + lines[1] + strings.Replace(lines[2], `,"reports"`, `, "reports"`, 1),
	} {
		if err := os.WriteFile(path, []byte(altered), 0o644); err != nil {
			t.Fatal(err)
		}
		var broken *archive.ReadingError
		if err := a.Readings(archive.ReadingQuery{}, func(archive.ReadingLine) error { return nil }); !errors.As(err, &broken) {
			t.Errorf("%s: %v", name, err)
		}
		r, err := a.Check(context.Background(), archive.CheckOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Findings) != 1 || r.Findings[0].Severity != archive.Grave || !strings.Contains(r.Findings[0].Text, "readings.jsonl") {
			t.Errorf("%s: %+v", name, r.Findings)
		}
	}
}
