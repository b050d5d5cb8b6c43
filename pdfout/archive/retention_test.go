package archive_test

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// A hold keeps a report and its versions from being removed, until it ends.
func TestHold(t *testing.T) {
	keeper := newKey(t, "K. Marlow")
	a, _ := newArchive(t)
	file(t, a, folderOf(t, 3))
	h := []string{hash(made()[0]), hash(made()[1]), hash(made()[2])}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	held := func(hash string) {
		t.Helper()
		before := a.Head()
		_, err := a.Remove(removal(hash, keeper))
		var back *archive.HeldBackError
		if !errors.As(err, &back) || !strings.Contains(err.Error(), "a claim is open") || a.Head() != before {
			t.Errorf("%v", err)
		}
	}
	must(a.Hold("L. Counsel", "a claim is open", h[0], h[1]))
	held(h[0])
	if err := a.Release("L. Counsel", "settled", h[2]); err == nil {
		t.Error("released what is not held")
	}
	must(a.Release("L. Counsel", "settled", h[0]))
	held(h[1])
	if _, err := a.Remove(removal(h[0], keeper)); err != nil {
		t.Error(err)
	}
	must(a.Hold("L. Counsel", "a claim is open"))
	held(h[2])
	if err := a.Release("L. Counsel", "", h[1]); err == nil {
		t.Error("released without saying why")
	}
	must(a.Release("L. Counsel", "settled"))
	if list, err := a.Holds(); err != nil || len(list) != 1 || list[0].Reports[0].Report != h[1] {
		t.Errorf("%+v (%v)", list, err)
	}
	if _, err := a.Remove(removal(h[2], keeper)); err != nil {
		t.Error(err)
	}
}

// Rules list what is due and remove nothing; the longest rule keeps.
func TestRetention(t *testing.T) {
	now := time.Date(2026, 11, 14, 12, 0, 0, 0, time.UTC)
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Test", false, now); err != nil {
		t.Fatal(err)
	}
	a := reopen(t, dir, archive.Options{Now: func() time.Time { return now }})
	file(t, a, folderOf(t, 4)) // even: Halden & Rowe, odd: Merrow & Finch
	due := func(at string) string { return expired(t, a, at) }
	set := func(r archive.Rule) {
		t.Helper()
		if err := a.SetRule("K. Marlow", r); err != nil {
			t.Fatal(err)
		}
	}
	if s := due("2999-01-01"); s != "" {
		t.Errorf("without a rule %s are due", s)
	}
	set(archive.Rule{Name: "Halden", Query: "maker:halden", Basis: archive.AfterFiling, Months: 120, Law: "invented"})
	if s := due("2036-11-14"); s != "" {
		t.Errorf("on the last day %s are due", s)
	}
	if s := due("2036-11-15"); len(s) != 2 || !strings.ContainsAny(s, "02") || strings.ContainsAny(s, "13") {
		t.Errorf("then %s are due", s)
	}
	set(archive.Rule{Name: "One", Query: "serial:41002", Basis: archive.AfterExamination, Months: 600})
	if s := due("2036-11-15"); s != "0" {
		t.Errorf("with a longer rule for one, %s are due", s)
	}
	if err := a.Hold("L. Counsel", "a claim", hash(made()[0])); err != nil {
		t.Fatal(err)
	}
	if s := due("2036-11-15"); s != "0h" {
		t.Errorf("held, %s are due", s)
	}
	if err := a.EndRule("K. Marlow", "one", "not needed"); err != nil {
		t.Fatal(err)
	}
	if s := due("2036-11-15"); len(s) != 3 {
		t.Errorf("without the longer rule, %s are due", s)
	}
	insured(t, a, set, due)
	if n := len(find(t, a, "")); n != 4 {
		t.Errorf("a rule removed something: %d are left", n)
	}
	for _, r := range []archive.Rule{{Basis: archive.AfterFiling, Months: 1}, {Name: "x", Months: 1}, {Name: "x", Basis: archive.AfterFiling}, {Name: "x", Basis: archive.AfterFiling, Months: 1, Query: "colour:red"}} {
		if err := a.SetRule("K. Marlow", r); err == nil {
			t.Errorf("taken: %+v", r)
		}
	}
}

// expired are the numbers of the reports that are due on a day, each with an h
// behind it where it is held.
func expired(t *testing.T, a *archive.Archive, at string) string {
	t.Helper()
	day, err := time.Parse(time.DateOnly, at)
	if err != nil {
		t.Fatal(err)
	}
	list, _, err := a.Expired(context.Background(), day, 100)
	if err != nil {
		t.Fatal(err)
	}
	out := ""
	for _, e := range list {
		for i, b := range made()[:4] {
			if hash(b) == e.Row.Hash {
				out += string(rune('0' + i))
			}
		}
		if e.Hold != nil {
			out += "h"
		}
	}
	return out
}

// insured: a rule that counts from the last insured day.
func insured(t *testing.T, a *archive.Archive, set func(archive.Rule), due func(string) string) {
	t.Helper()
	if err := a.EndRule("K. Marlow", "Halden", "another"); err != nil {
		t.Fatal(err)
	}
	item := archive.Item{Member: archive.Member{Report: hash(made()[1])}}
	row := find(t, a, "serial:41001")[0]
	item.First = row.First
	if err := a.Insure("K. Marlow", archive.Policy{Number: "P-1", Holder: "A. Holder", Items: []archive.Item{item}, From: "2026-11-14", To: "2030-12-31"}); err != nil {
		t.Fatal(err)
	}
	set(archive.Rule{Name: "Insured", Query: "maker:merrow", Basis: archive.AfterInsurance, Months: 12})
	if s := due("2027-11-15"); s != "3" {
		t.Errorf("a year after filing %s are due, and one is insured until 2030", s)
	}
	if s := due("2031-12-31"); s != "3" {
		t.Errorf("a year after the last insured day %s are due", s)
	}
	if s := due("2032-01-01"); len(s) != 2 {
		t.Errorf("then %s are due", s)
	}
}
