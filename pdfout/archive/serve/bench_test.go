package serve

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/people"
)

// BenchmarkPages is what the server needs for a page of an archive of 1500
// reports, without TLS and the way to the browser. Those of a report write the
// reading to the disk first.
func BenchmarkPages(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "archive")
	ctx := context.Background()
	err := archivetest.Filled(dir, 1500, 1)
	if err != nil {
		b.Fatal(err)
	}
	a, err := archive.Open(ctx, dir, archive.Options{})
	if err != nil {
		b.Fatal(err)
	}
	q, err := archive.ParseQuery("")
	if err != nil {
		b.Fatal(err)
	}
	found, err := a.Find(q, 0, 1)
	if err = errors.Join(err, a.Close()); err != nil || len(found.Rows) == 0 {
		b.Fatal(found, err)
	}
	l, err := people.Load(dir)
	if err == nil {
		err = errors.Join(l.Add("The keeper", people.Keeper, password, time.Now().Add(-time.Hour)), l.Save())
	}
	if err != nil {
		b.Fatal(err)
	}
	s, err := New(ctx, Options{Dir: dir})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	p, _ := l.Find("The keeper")
	cookie := s.sessions.begin(p)
	hash := found.Rows[0].Hash
	for _, path := range []string{"/", "/?q=maker:halden+sort:index", "/report/" + hash, "/history/" + hash, "/readings"} {
		b.Run(path[:min(len(path), 9)], func(b *testing.B) {
			for range b.N {
				r := httptest.NewRequest(http.MethodGet, path, nil)
				r.AddCookie(cookie)
				s.gate = newGate(time.Now) // one address would soon be held back
				w := httptest.NewRecorder()
				s.Handler().ServeHTTP(w, r)
				if w.Code != http.StatusOK {
					b.Fatalf("%s: %d\n%s", path, w.Code, w.Body)
				}
			}
		})
	}
}
