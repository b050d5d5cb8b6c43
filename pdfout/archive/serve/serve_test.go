package serve

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// Every way to a report writes one reading, before it is handed out, with who
// and of what; searching, the log and the help write none; a refused one, none.
func TestEveryReadingIsWritten(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Reader)
	row := s.rows()[0]
	hash, photo := row.Hash, s.photoOf(row.Hash)
	for _, path := range []string{"/", "/?q=halden", "/help", "/log", "/readings", "/report/" + strings.Repeat("0", 64)} {
		b.get(path)
	}
	if l := s.readings(); len(l) != 0 {
		t.Fatalf("searching is written down: %+v", l)
	}
	for _, c := range []struct{ path, what string }{{"/report/" + hash, "report"}, {"/report/" + hash + "/file", "file"}, {"/report/" + hash + "/verdict", "verdict"}, {"/history/" + hash, "history"}, {"/photo/" + hash + "/" + photo, ""}} {
		before := len(s.readings())
		if r, text := b.get(c.path); r.StatusCode != 200 {
			t.Fatalf("%s: %s\n%s", c.path, r.Status, text)
		}
		after := s.readings()
		if c.what == "" {
			if len(after) != before {
				t.Errorf("a photo of the page just read is written down again: %+v", after[before:])
			}
			continue
		}
		if len(after) != before+1 {
			t.Fatalf("%s wrote %d readings", c.path, len(after)-before)
		}
		l := after[before]
		if l.Who != "The reader" || l.What != c.what || l.Reports[0] != hash || l.From != "127.0.0.1" {
			t.Errorf("%s: %+v", c.path, l)
		}
	}
	other := s.in(people.Filer)
	if r, _ := other.get("/photo/" + hash + "/" + photo); r.StatusCode != 200 {
		t.Fatal(r.Status)
	}
	if l := s.readings(); l[len(l)-1].Who != "The filer" || l[len(l)-1].What != "history" {
		t.Errorf("a photo asked for by itself: %+v", l[len(l)-1])
	}
	if _, text := s.in(people.Keeper).get("/readings?who=the+READER"); !strings.Contains(text, "4 readings") || !strings.Contains(text, hash[:16]) {
		t.Errorf("the keeper sees\n%s", text)
	}
}

// The PDF that is handed out is what was filed, byte for byte; a damaged one is
// not handed out, and a reading that cannot be written keeps the report back.
func TestFileIsWhatWasFiled(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Reader)
	row := s.rows()[0]
	r, text := b.get("/report/" + row.Hash + "/file")
	sum := sha256.Sum256([]byte(text))
	if hex.EncodeToString(sum[:]) != row.Hash || r.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(r.Header.Get("Content-Disposition"), "attachment; filename=") {
		t.Errorf("%x, %v", sum, r.Header)
	}
	var path string
	if err := filepath.WalkDir(s.dir, func(p string, _ os.DirEntry, err error) error {
		if strings.Contains(p, row.Hash) && strings.HasSuffix(p, ".pdf") {
			path = p
		}
		return err
	}); err != nil || path == "" {
		t.Fatal(path, err)
	}
	if err := os.Chmod(path, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, append([]byte(text[:len(text)-1]), '?'), 0o644); err != nil {
		t.Fatal(err)
	}
	before := len(s.readings())
	if r, got := b.get("/report/" + row.Hash + "/file"); r.StatusCode != 500 || strings.Contains(got, "%PDF") || !strings.Contains(got, "damaged") {
		t.Errorf("a damaged file: %s\n%.300s", r.Status, got)
	}
	if n := len(s.readings()); n != before {
		t.Error("a reading of what was not handed out")
	}
	ledger := filepath.Join(s.dir, "readings.jsonl")
	if err := os.Remove(ledger); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(ledger, 0o755); err != nil {
		t.Fatal(err)
	}
	if r, got := b.get("/report/" + row.Hash); r.StatusCode != 500 || strings.Contains(got, row.Serial) || strings.Contains(got, s.dir) {
		t.Errorf("without a ledger: %s\n%.300s", r.Status, got)
	}
	if !strings.Contains(s.log.String(), "error: ") {
		t.Error("the server's log does not say what is wrong")
	}
}

// Wrong passwords slow down the next, for the address and for the name; the
// right one is not looked at before its time.
func TestWrongPasswordsSlowDown(t *testing.T) {
	s := newSite(t)
	b := s.browser()
	try := func(name, pass string) (int, string) {
		r, text := b.post("/login", url.Values{"name": {name}, "password": {pass}})
		return r.StatusCode, r.Header.Get("Retry-After") + text
	}
	for i := range freeTries {
		if status, _ := try("The reader", "wrong"); status != http.StatusForbidden {
			t.Fatalf("try %d: %d", i, status)
		}
	}
	if status, text := try("The reader", password); status != http.StatusTooManyRequests || !strings.HasPrefix(text, "1") && !strings.HasPrefix(text, "2") {
		t.Errorf("the right password at once: %d, %.80s", status, text)
	}
	if status, _ := try("The filer", password); status != http.StatusTooManyRequests {
		t.Error("another name from the address:", status)
	}
	waits := []time.Duration{}
	for range 12 {
		s.clock.add(longestWait)
		if status, _ := try("The reader", "wrong"); status != http.StatusForbidden {
			t.Fatal("after the wait:", status)
		}
		r, _ := b.post("/login", url.Values{"name": {"someone else"}, "password": {"x"}})
		d, err := time.ParseDuration(r.Header.Get("Retry-After") + "s")
		if err != nil {
			t.Fatal(err)
		}
		waits = append(waits, d)
	}
	for i := 1; i < len(waits); i++ {
		if waits[i] < waits[i-1] || waits[i] > longestWait+time.Second {
			t.Errorf("waits %v", waits)
		}
	}
	if waits[11] < longestWait {
		t.Errorf("the longest wait is %v", waits[11])
	}
	s.clock.add(longestWait + time.Second)
	if status, text := try("The reader", password); status != http.StatusSeeOther {
		t.Errorf("the right password in its time: %d %.200s", status, text)
	}
}

// An address that asks too much is held back, and goes on after a while.
func TestRate(t *testing.T) {
	s := newSite(t)
	b := s.browser()
	held := 0
	for range atOnce + 20 {
		if r, _ := b.get("/login"); r.StatusCode == http.StatusTooManyRequests {
			held++
		}
	}
	if held < 20 {
		t.Errorf("%d of %d were held back", held, atOnce+20)
	}
	s.clock.add(10 * time.Second)
	if r, _ := b.get("/login"); r.StatusCode != 200 {
		t.Error(r.Status)
	}
}

// A form that comes from elsewhere does nothing: without the token, and with
// what browsers say of where it comes from.
func TestForeignForms(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Filer)
	token := b.token()
	report := []byte("%PDF-1.7 no report")
	for name, send := range map[string]func() *http.Response{
		"sign out without token": func() *http.Response { r, _ := b.post("/logout", url.Values{}); return r },
		"another's token": func() *http.Response {
			r, _ := b.post("/logout", url.Values{"token": {s.in(people.Filer).token()}})
			return r
		},
		"from another site": func() *http.Response {
			r, _ := b.post("/logout", url.Values{"token": {token}}, "Sec-Fetch-Site", "cross-site")
			return r
		},
		"from another origin": func() *http.Response {
			r, _ := b.post("/logout", url.Values{"token": {token}}, "Origin", "https://example.org")
			return r
		},
		"files without token": func() *http.Response {
			body, kind := form(t, "none", map[string][]byte{"a.pdf": report})
			r, _ := b.do("POST", "/file", body, "Content-Type", kind)
			return r
		},
	} {
		if r := send(); r.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", name, r.Status)
		}
	}
	if r, _ := b.get("/"); r.StatusCode != 200 {
		t.Error("one of them signed out:", r.Status)
	}
	if _, text := b.get("/refused"); !strings.Contains(text, "Nothing was refused") {
		t.Errorf("one of them filed:\n%s", text)
	}
}

// A stay ends by itself, by signing out, and when the keeper gives another role
// or password or shuts somebody out.
func TestStayEnds(t *testing.T) {
	s := newSite(t)
	change := func(f func(*people.List) error) {
		t.Helper()
		l, err := people.Load(s.dir)
		if err == nil {
			err = f(l)
		}
		if err == nil {
			err = l.Save()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, end := range map[string]func(*browser){
		"nothing asked for": func(*browser) { s.clock.add(sessionIdle + time.Second) },
		"too long": func(b *browser) {
			for range 26 {
				s.clock.add(sessionIdle - time.Second)
				b.get("/help")
			}
		},
		"sign out": func(b *browser) { b.post("/logout", url.Values{"token": {b.token()}}) },
		"role": func(*browser) {
			change(func(l *people.List) error { return l.SetRole("The reader", people.Reader, s.clock.now()) })
		},
		"new password": func(*browser) {
			change(func(l *people.List) error { return l.SetPassword("The reader", password, s.clock.now()) })
		},
	} {
		b := s.in(people.Reader)
		s.clock.add(time.Second)
		if r, _ := b.get("/"); r.StatusCode != 200 {
			t.Fatalf("%s: %s before", name, r.Status)
		}
		end(b)
		if r, _ := b.get("/"); r.StatusCode != http.StatusSeeOther {
			t.Errorf("%s: %s after", name, r.Status)
		}
		s.clock.add(time.Second)
	}
	b := s.in(people.Reader)
	change(func(l *people.List) error { return l.Remove("The reader") })
	if r, _ := b.get("/"); r.StatusCode != http.StatusSeeOther {
		t.Error("who was shut out is still in:", r.Status)
	}
}

// A filer's reports are checked and filed; they are found at once, also those
// that somebody else filed a moment ago, and while somebody files.
func TestFiling(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Filer)
	files, err := filepath.Glob(filepath.Join(s.made, "*.pdf"))
	if err != nil || len(files) < 4 {
		t.Fatal(files, err)
	}
	whole, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	altered := bytes.Clone(whole)
	altered[len(altered)/2] ^= 1
	body, kind := form(t, b.token(), map[string][]byte{"again.pdf": whole, `..\..\altered "report".pdf`: altered})
	r, text := b.do("POST", "/file", body, "Content-Type", kind)
	if r.StatusCode != 200 || !strings.Contains(text, "0 filed; 1 there already; 1 refused") {
		t.Fatalf("%s\n%s", r.Status, text)
	}
	if _, text := b.get("/refused"); !strings.Contains(text, "1 file is on the pile") {
		t.Errorf("the pile:\n%s", text)
	}
	// While another process holds the archive, filing says so and reading goes on.
	a, err := archive.Open(context.Background(), s.dir, archive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	body, kind = form(t, b.token(), map[string][]byte{"again.pdf": whole})
	if r, text := b.do("POST", "/file", body, "Content-Type", kind); r.StatusCode != http.StatusServiceUnavailable || !strings.Contains(text, "Try again") {
		t.Errorf("%s\n%s", r.Status, text)
	}
	s.clock.add(fresh)
	if r, _ := b.get("/?q=41873"); r.StatusCode != 200 {
		t.Error("reading while somebody files:", r.Status)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
}

// Forty visits at once, while the archive is opened anew again and again.
func TestManyAtOnce(t *testing.T) {
	s := newSite(t)
	hash := s.rows()[0].Hash
	var wait sync.WaitGroup
	in := []*browser{s.in(people.Reader), s.in(people.Filer), s.in(people.Keeper)}
	for i := range 40 {
		b := in[i%3]
		wait.Go(func() {
			path := []string{"/?q=halden", "/report/" + hash, "/history/" + hash, "/log"}[i%4]
			r, err := b.c.Get(s.http.URL + path)
			if err != nil {
				t.Error(err)
				return
			}
			if err := r.Body.Close(); err != nil || r.StatusCode != 200 {
				t.Error(path, r.Status, err)
			}
			s.clock.add(fresh / 3)
		})
	}
	wait.Wait()
	if n := len(s.readings()); n != 20 {
		t.Errorf("%d readings of 20", n)
	}
}

// What a query finds is what the verb finds, with counts that narrow it.
func TestFinding(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Reader)
	_, text := b.get("/")
	if n := len(s.rows()); !strings.Contains(text, fmt.Sprintf("%d reports are filed", n)) {
		t.Errorf("of %d reports\n%s", n, text)
	}
	_, text = b.get("/?q=" + url.QueryEscape("serial:4I873 date:2020"))
	if !strings.Contains(text, "1 report answers") || !strings.Contains(text, "Alder Lane Strings") || strings.Contains(text, "Old Quay") {
		t.Errorf("%s", text)
	}
	if _, text := b.get("/?q=" + url.QueryEscape(`<script>alert(1)</script>`)); strings.Contains(text, "<script>alert") {
		t.Error("what was searched for is page")
	}
}
