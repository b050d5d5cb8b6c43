package serve

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/people"
)

const password = "seven brown kettles"

// clock is one that tests move on.
type clock struct {
	mu sync.Mutex
	t  time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

func (c *clock) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.t = c.t.Add(d)
}

// site is an archive with four examinations of one instrument, three people,
// and a server for it.
type site struct {
	t     *testing.T
	dir   string
	made  string // folder of the reports
	clock *clock
	log   bytes.Buffer
	http  *httptest.Server
	cert  *x509.Certificate
}

var issued struct {
	once sync.Once
	dir  string
	err  error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if issued.dir != "" {
		if err := os.RemoveAll(issued.dir); err != nil {
			code = 1
		}
	}
	os.Exit(code)
}

// reports is a folder of four made examinations, made once for all tests.
func reports(t *testing.T) string {
	t.Helper()
	issued.once.Do(func() {
		if issued.dir, issued.err = os.MkdirTemp("", "wornwood-serve-"); issued.err == nil {
			_, issued.err = archivetest.Years(issued.dir, nil)
		}
	})
	if issued.err != nil {
		t.Fatal(issued.err)
	}
	return issued.dir
}

func newSite(t *testing.T) *site {
	t.Helper()
	s := &site{t: t, dir: filepath.Join(t.TempDir(), "archive"), made: reports(t), clock: &clock{t: time.Now()}}
	ctx := context.Background()
	if err := archive.Make(s.dir, "Fen Street Archive", false, s.clock.now()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(ctx, s.dir, archive.Options{Now: s.clock.now})
	if err != nil {
		t.Fatal(err)
	}
	tally, err := a.File(ctx, []string{s.made}, archive.FileOptions{Done: func(archive.Outcome) {}})
	if err = errors.Join(err, a.Close()); err != nil || tally.Filed < 4 {
		t.Fatal(tally, err)
	}
	l, err := people.Load(s.dir)
	for _, r := range people.Roles() {
		err = errors.Join(err, l.Add("The "+string(r), r, password, s.clock.now().Add(-time.Hour)))
	}
	if err = errors.Join(err, l.Save()); err != nil {
		t.Fatal(err)
	}
	sv, err := New(ctx, Options{Dir: s.dir, Now: s.clock.now, Log: &s.log, Verify: pdfout.VerifyOptions{}})
	if err != nil {
		t.Fatal(err)
	}
	s.http = httptest.NewUnstartedServer(sv.Handler())
	cert, _, err := TrialCertificate("127.0.0.1", time.Now())
	if err != nil {
		t.Fatal(err)
	}
	s.http.TLS = tlsConfig()
	s.http.TLS.Certificates = []tls.Certificate{cert}
	s.cert = cert.Leaf
	s.http.StartTLS()
	t.Cleanup(func() {
		s.http.Close()
		if err := sv.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// browser keeps cookies and follows nothing.
type browser struct {
	s *site
	c *http.Client
}

func (s *site) browser() *browser {
	jar, err := cookiejar.New(nil)
	if err != nil {
		s.t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(s.cert)
	return &browser{s, &http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

func (b *browser) do(method, path string, body io.Reader, header ...string) (*http.Response, string) {
	b.s.t.Helper()
	r, err := http.NewRequest(method, b.s.http.URL+path, body)
	if err != nil {
		b.s.t.Fatal(err)
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := b.c.Do(r)
	if err != nil {
		b.s.t.Fatal(err)
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil {
		b.s.t.Fatal(err)
	}
	return resp, string(text)
}

func (b *browser) get(path string) (*http.Response, string) { return b.do("GET", path, nil) }

func (b *browser) post(path string, form url.Values, header ...string) (*http.Response, string) {
	return b.do("POST", path, strings.NewReader(form.Encode()), append(header, "Content-Type", "application/x-www-form-urlencoded")...)
}

// in is a browser in which somebody of the role signed in.
func (s *site) in(role people.Role) *browser {
	s.t.Helper()
	b := s.browser()
	if r, text := b.post("/login", url.Values{"name": {"the " + string(role)}, "password": {password}}); r.StatusCode != http.StatusSeeOther {
		s.t.Fatalf("%s cannot sign in: %s\n%s", role, r.Status, text)
	}
	return b
}

var tokenIn = regexp.MustCompile(`name="token" value="([^"]+)"`)

// token is what every form of the visit carries.
func (b *browser) token() string {
	b.s.t.Helper()
	_, text := b.get("/")
	m := tokenIn.FindStringSubmatch(text)
	if m == nil {
		b.s.t.Fatalf("no token in\n%s", text)
	}
	return m[1]
}

// rows are the filed reports, the earliest examination first.
func (s *site) rows() []archive.Row {
	s.t.Helper()
	a, err := archive.Open(context.Background(), s.dir, archive.Options{ReadOnly: true})
	if err != nil {
		s.t.Fatal(err)
	}
	q, err := archive.ParseQuery("sort:date")
	if err != nil {
		s.t.Fatal(err)
	}
	f, err := a.Find(q, 0, 100)
	if err = errors.Join(err, a.Close()); err != nil {
		s.t.Fatal(err)
	}
	return f.Rows
}

// photoOf is a photo that a report prints.
func (s *site) photoOf(hash string) string {
	s.t.Helper()
	a, err := archive.Open(context.Background(), s.dir, archive.Options{ReadOnly: true})
	if err != nil {
		s.t.Fatal(err)
	}
	sh, err := a.Show(hash)
	if err = errors.Join(err, a.Close()); err != nil {
		s.t.Fatal(err)
	}
	var photos []record.Photo = sh.Verdict.Record.Photos
	if len(photos) == 0 {
		s.t.Fatal("the report has no photo")
	}
	return photos[0].ID
}

// readings are what is written down so far.
func (s *site) readings() (out []archive.ReadingLine) {
	s.t.Helper()
	a, err := archive.Open(context.Background(), s.dir, archive.Options{ReadOnly: true})
	if err != nil {
		s.t.Fatal(err)
	}
	err = a.Readings(archive.ReadingQuery{}, func(l archive.ReadingLine) error { out = append(out, l); return nil })
	if err = errors.Join(err, a.Close()); err != nil {
		s.t.Fatal(err)
	}
	return out
}
