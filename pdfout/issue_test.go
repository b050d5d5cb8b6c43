package pdfout

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

var testKey = sync.OnceValues(func() (*sign.Identity, error) {
	return sign.NewKey(sign.Subject{Name: "M. Østergård-Łuczak", Shop: "Fen Street Instruments"}, issuedAt, rand.Reader)
})

func examiner(t testing.TB) *sign.Identity {
	t.Helper()
	id, err := testKey()
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// desk is a bench with one examination of so many photos.
func desk(t testing.TB, photos int) (*bench.Bench, *bench.Exam) {
	t.Helper()
	dir := t.TempDir()
	b, err := bench.Open(filepath.Join(dir, "bench"), bench.Options{Now: func() time.Time { return issuedAt }, Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	demo := reporttest.Demo(0)
	ex, err := b.Begin("", record.BeforeListing, demo.Instrument)
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	src := &reporttest.Photos{}
	for i := range photos {
		data, err := src.OriginalBytes(fmt.Sprint(i))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, filepath.Join(dir, fmt.Sprintf("DSC_%04d.JPG", i)))
		if err := os.WriteFile(files[i], data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if photos > 0 {
		if res, err := b.Import(context.Background(), ex, files, nil); err != nil || len(res.Added) != photos {
			t.Fatalf("%+v, %v", res, err)
		}
	}
	fill(t, ex, demo)
	return b, ex
}

// fill enters the demo's marks, parts, claims and readings.
func fill(t testing.TB, ex *bench.Exam, demo *record.Record) {
	t.Helper()
	var cs []record.Change
	set := func(target string, v any) {
		c, err := record.Set(target, v)
		if err != nil {
			t.Fatal(err)
		}
		cs = append(cs, c)
	}
	e := ex.Record().Examination
	e.Examiner, e.Shop, e.Date = demo.Examination.Examiner, demo.Examination.Shop, demo.Examination.Date
	set("examination", e)
	set("playing", demo.Playing)
	set("notExamined", demo.NotExamined)
	photos := ex.Record().Photos
	for i, m := range demo.Marks {
		if len(photos) > 0 {
			p := photos[i%len(photos)]
			m.Photos = []record.PhotoPlace{{Photo: p.ID, Shape: record.PointShape, Points: []record.Point{{X: float64(p.Width) / 3, Y: float64(p.Height) / 2}}}}
		}
		set(record.MarkTarget(m.Number), m)
	}
	for _, p := range demo.Parts {
		set(record.PartTarget(p.ID), p)
	}
	for _, c := range demo.Claims {
		set(record.ClaimTarget(c.ID), c)
	}
	for _, r := range demo.Readings {
		set(record.ReadingTarget(r.ID), r)
	}
	if err := ex.Do("Fill in", cs...); err != nil {
		t.Fatal(err)
	}
}

func issue(t testing.TB, b *bench.Bench, ex *bench.Exam) *Issued {
	t.Helper()
	is, err := Issue(context.Background(), b, ex, examiner(t), IssueOptions{Now: issuedAt}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return is
}

// A report is issued once, is what the journal says, and other people's tools
// find it sound: pdfsig the signature, qpdf the objects, pdfdetach the record.
func TestIssue(t *testing.T) {
	b, ex := desk(t, 5)
	is := issue(t, b, ex)
	if is.Number != "CR-2026-0001" || is.Pages < 5 || !is.Verdict.OK {
		t.Fatalf("%+v", is)
	}
	data, err := os.ReadFile(is.Path)
	if err != nil {
		t.Fatal(err)
	}
	if h := sha256.Sum256(data); hex.EncodeToString(h[:]) != is.SHA256 {
		t.Error("the journal names another digest of the file")
	}
	got, ok := ex.Issued()
	if !ok || got.RecordHash != is.RecordHash || got.File != is.File {
		t.Errorf("journal: %+v, %v", got, ok)
	}
	if h, err := RecordHash(ex.Record()); err != nil || h != is.RecordHash {
		t.Errorf("the frozen record has the digest %s (%v), the report names %s", h, err, is.RecordHash)
	}
	if _, err := Issue(context.Background(), b, ex, examiner(t), IssueOptions{Now: issuedAt}, nil); !errors.Is(err, ErrIssued) {
		t.Errorf("issued twice: %v", err)
	}
	pdfxtest.Check(t, is.Path)
	out, err := pdfxtest.Run(t, "pdfsig", "-nocert", is.Path)
	if err != nil || !strings.Contains(out, "Signature is Valid.") || !strings.Contains(out, "Total document signed") {
		t.Errorf("pdfsig: %v\n%s", err, out)
	}
	saved := filepath.Join(t.TempDir(), "record.json")
	pdfxtest.Output(t, "pdfdetach", "-savefile", RecordName, "-o", saved, is.Path)
	want, err := Canonical(ex.Record())
	if err != nil {
		t.Fatal(err)
	}
	if rec, err := os.ReadFile(saved); err != nil || !bytes.Equal(rec, want) {
		t.Errorf("pdfdetach gives another record (%v)", err)
	}
}

// Cancelled at any step, an issue leaves nothing.
func TestIssueCancelled(t *testing.T) {
	b, ex := desk(t, 2)
	steps := 0
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	_, err := Issue(ctx, b, ex, examiner(t), IssueOptions{Now: issuedAt}, func(done, total int, what string) { steps++ })
	if err != nil || steps < 4 {
		t.Fatalf("%d steps, %v", steps, err)
	}
	for at := 1; at <= steps; at++ {
		b, ex := desk(t, 2)
		ctx, cancel := context.WithCancel(context.Background())
		n := 0
		_, err := Issue(ctx, b, ex, examiner(t), IssueOptions{Now: issuedAt}, func(done, total int, what string) {
			if n++; n == at {
				cancel()
			}
		})
		cancel()
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("cancelled at step %d: %v", at, err)
		}
		if _, ok := ex.Issued(); ok {
			t.Errorf("cancelled at step %d, yet frozen", at)
		}
		left, err := filepath.Glob(filepath.Join(b.Dir(), "reports", "*"))
		if err != nil || len(left) > 0 {
			t.Errorf("cancelled at step %d, left %v (%v)", at, left, err)
		}
		if number, err := b.NextNumber(issuedAt); err != nil || number != "CR-2026-0001" {
			t.Errorf("cancelled at step %d, the number is used: %s, %v", at, number, err)
		}
	}
}
