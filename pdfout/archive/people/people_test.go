package people_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive/people"
)

const secret = "seven brown kettles"

func TestList(t *testing.T) {
	dir := t.TempDir()
	now := time.Date(2026, 11, 14, 9, 0, 0, 0, time.UTC)
	l, err := people.Load(dir)
	if err != nil || len(l.People()) != 0 {
		t.Fatal(l, err)
	}
	for _, bad := range []string{"", " ", strings.Repeat("x", 65), "a\x00b"} {
		if l.Add(bad, people.Reader, secret, now) == nil {
			t.Errorf("%q is taken as a name", bad)
		}
	}
	if l.Add("R. Calloway", people.Reader, "too short", now) == nil {
		t.Error("a short password is taken")
	}
	if err := errors.Join(l.Add("R. Calloway", people.Reader, secret, now), l.Add("A. Thorne", people.Keeper, secret+"!", now), l.Save()); err != nil {
		t.Fatal(err)
	}
	if l.Add("r.  CALLOWAY", people.Reader, secret, now) == nil {
		t.Error("one name is on the list twice")
	}
	if st, err := os.Stat(filepath.Join(dir, people.FileName)); err != nil || st.Mode().Perm() != 0o600 {
		t.Error(st, err)
	}
	if l, err = people.Load(dir); err != nil {
		t.Fatal(err)
	}
	if list := l.People(); len(list) != 2 || list[0].Name != "A. Thorne" || list[1].Role != people.Reader || strings.Contains(list[1].Password, secret) {
		t.Errorf("%+v", list)
	}
	for _, c := range []struct {
		name, password string
		ok             bool
	}{{"r. calloway", secret, true}, {"R. Calloway", secret + "!", false}, {"R. Calloway", "", false}, {"Nobody", secret, false}, {"R. Calloway", strings.Repeat("x", 600), false}} {
		if _, ok, err := l.Login(c.name, c.password); ok != c.ok || err != nil {
			t.Errorf("%s with %.20q: %v, %v", c.name, c.password, ok, err)
		}
	}
	later := now.Add(time.Hour)
	if err := errors.Join(l.SetRole("R. Calloway", people.Filer, later), l.SetPassword("A. Thorne", "nine green lanterns", later)); err != nil {
		t.Fatal(err)
	}
	if p, _ := l.Find("R. Calloway"); p.Role != people.Filer || !p.Changed.Equal(later) || !p.Since.Equal(now) {
		t.Errorf("%+v", p)
	}
	if _, ok, _ := l.Login("A. Thorne", secret+"!"); ok {
		t.Error("the old password still opens")
	}
	if err := errors.Join(l.Remove("A. Thorne")); err != nil {
		t.Fatal(err)
	}
	if err := l.SetRole("A. Thorne", people.Reader, now); !errors.Is(err, people.ErrNobody) {
		t.Error(err)
	}
}

// The form of a kept password is the usual one, and a hash that another program
// made of it is taken: this one is of Debian's argon2 (argon2 0~20171227-0.3),
// echo -n "seven brown kettles" | argon2 saltsaltsalt -id -t 3 -m 16 -p 4 -l 32 -e
func TestMatchesOutsideHash(t *testing.T) {
	const outside = "$argon2id$v=19$m=65536,t=3,p=4$c2FsdHNhbHRzYWx0$K8X80GT4HAv1ofvlBy1gS8iKyh4hXsfCe01WqzFylCo"
	if ok, err := people.Matches(outside, secret); !ok || err != nil {
		t.Error(ok, err)
	}
	if ok, err := people.Matches(outside, secret+"."); ok || err != nil {
		t.Error(ok, err)
	}
	for _, bad := range []string{"", "plain", "$argon2i$v=19$m=65536,t=3,p=4$c2FsdHNhbHQ$AAAA", "$argon2id$v=19$m=99999999,t=3,p=4$c2FsdHNhbHQ$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA", strings.Replace(outside, "v=19", "v=16", 1)} {
		if _, err := people.Matches(bad, secret); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

func TestRoles(t *testing.T) {
	for i, r := range people.Roles() {
		for j, least := range people.Roles() {
			if r.May(least) != (i >= j) {
				t.Errorf("%s may what takes %s: %v", r, least, r.May(least))
			}
		}
		if r.May("") || people.Role("").May(r) || people.Role("owner").May(r) {
			t.Errorf("%s: a role that is none", r)
		}
	}
}

// A list that was damaged lets nobody in, rather than everybody.
func TestDamagedList(t *testing.T) {
	for _, bad := range []string{"", "{}", "null", `{"schema":"wornwood.people/1","people":[{"name":"A","role":"owner"}]}`, `{"schema":"wornwood.people/1","people":[{"name":" ","role":"reader"}]}`, `{"schema":"wornwood.people/2","people":[]}`} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, people.FileName), []byte(bad), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := people.Load(dir); err == nil {
			t.Errorf("%q is taken as a list", bad)
		}
	}
}
