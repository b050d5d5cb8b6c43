package serve

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive/people"
)

// want is what each of nobody, reader, filer and keeper gets.
type want struct {
	method, path string
	status       [4]int
}

// everyRoute is written by hand, apart from the table in the program: a role let
// in where it should not be changes a figure here.
func everyRoute(hash, photo string) map[string]want {
	see, ok, no := http.StatusSeeOther, http.StatusOK, http.StatusForbidden
	all := [4]int{see, ok, ok, ok}
	return map[string]want{
		"GET /login":                 {"GET", "/login", [4]int{ok, see, see, see}},
		"POST /login":                {"POST", "/login", [4]int{no, no, no, no}}, // with a wrong password
		"GET /style.css":             {"GET", "/style.css", [4]int{ok, ok, ok, ok}},
		"POST /logout":               {"POST", "/logout", [4]int{no, see, see, see}},
		"GET /{$}":                   {"GET", "/", all},
		"GET /help":                  {"GET", "/help", all},
		"GET /report/{hash}":         {"GET", "/report/" + hash, all},
		"GET /report/{hash}/file":    {"GET", "/report/" + hash + "/file", all},
		"GET /report/{hash}/verdict": {"GET", "/report/" + hash + "/verdict", all},
		"GET /history/{hash}":        {"GET", "/history/" + hash, all},
		"GET /photo/{hash}/{id}":     {"GET", "/photo/" + hash + "/" + photo, all},
		"GET /log":                   {"GET", "/log", all},
		"GET /file":                  {"GET", "/file", [4]int{see, no, ok, ok}},
		"POST /file":                 {"POST", "/file", [4]int{no, no, ok, ok}},
		"GET /refused":               {"GET", "/refused", [4]int{see, no, ok, ok}},
		"GET /readings":              {"GET", "/readings", [4]int{see, no, no, ok}},
	}
}

// form is a form of files, the token first.
func form(t *testing.T, token string, files map[string][]byte) (*bytes.Buffer, string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	if err := w.WriteField("token", token); err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		p, err := w.CreateFormFile("reports", name)
		if err == nil {
			_, err = p.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return &b, w.FormDataContentType()
}

// Every route with nobody and with every role; no route is without a line here.
func TestEveryRouteForEveryRole(t *testing.T) {
	s := newSite(t)
	hash := s.rows()[0].Hash
	list := everyRoute(hash, s.photoOf(hash))
	for _, rt := range routes() {
		if _, is := list[rt.method+" "+rt.pattern]; !is {
			t.Errorf("nothing says who may %s %s", rt.method, rt.pattern)
		}
	}
	if len(list) != len(routes()) {
		t.Errorf("%d lines for %d routes", len(list), len(routes()))
	}
	var in [4]*browser
	for name, w := range list {
		for i, role := range []people.Role{"", people.Reader, people.Filer, people.Keeper} {
			s.clock.add(time.Second) // how much one address may ask for is not what is tried here
			b, token := s.browser(), "none"
			if role != "" {
				if in[i] == nil {
					in[i] = s.in(role)
				}
				b = in[i]
				token = b.token()
			}
			var resp *http.Response
			var text string
			switch w.method + w.path {
			case "POST/file":
				body, kind := form(t, token, map[string][]byte{"note.pdf": []byte("no report")})
				resp, text = b.do("POST", w.path, body, "Content-Type", kind)
			case "POST/login":
				resp, text = b.post(w.path, url.Values{"name": {fmt.Sprint("nobody ", i)}, "password": {"wrong"}})
				s.clock.add(5 * time.Second) // waiting is not what is tried here
			case "POST/logout":
				resp, text = b.post(w.path, url.Values{"token": {token}})
				in[i] = nil
			default:
				resp, text = b.get(w.path)
			}
			if resp.StatusCode != w.status[i] {
				t.Errorf("%s as %q: %s, wanted %d\n%.1000s\n%s", name, role, resp.Status, w.status[i], text, s.log.String())
			}
			if to := resp.Header.Get("Location"); role == "" && resp.StatusCode == http.StatusSeeOther && to != "/login?next="+url.QueryEscape(w.path) {
				t.Errorf("%s: nobody is sent to %s", name, to)
			}
			headers(t, name, resp)
		}
	}
}

func headers(t *testing.T, name string, r *http.Response) {
	t.Helper()
	for h, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
		"Strict-Transport-Security": "max-age=31536000", "Referrer-Policy": "same-origin"} {
		if got := r.Header.Get(h); got != want {
			t.Errorf("%s: %s is %q", name, h, got)
		}
	}
	for _, c := range r.Cookies() {
		if c.Name != "__Host-session" || !c.Secure || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" {
			t.Errorf("%s: cookie %+v", name, c)
		}
	}
}

// What is no page, or not a method of one, is answered without a trace of how
// things are here.
func TestNoSuchPage(t *testing.T) {
	s := newSite(t)
	b := s.in(people.Keeper)
	hash := s.rows()[0].Hash
	for path, status := range map[string]int{"/nothing": 404, "/report/" + hash[:16]: 404, "/report/" + strings.Repeat("0", 64): 404, "/report/" + strings.ToUpper(hash): 404, "/report/..%2f..%2farchive.json": 404,
		"/../archive.json": 404, "/history/x": 404, "/photo/" + hash + "/nothing": 404, "/?q=" + url.QueryEscape("colour:red"): 400, "/?q=maker:halden&from=-5": 200, "/?from=9999999999999999999": 200, "/readings?of=x": 400} {
		resp, text := b.get(path)
		if resp.StatusCode != status && resp.StatusCode != http.StatusTemporaryRedirect {
			t.Errorf("%s: %s", path, resp.Status)
		}
		if strings.Contains(text, s.dir) || strings.Contains(text, "goroutine") {
			t.Errorf("%s tells of this machine:\n%s", path, text)
		}
	}
	if resp, _ := b.do("DELETE", "/report/"+hash, nil); resp.StatusCode < 400 {
		t.Error("DELETE:", resp.Status)
	}
}

// Whoever comes from one place of this site is sent on to one of this site only.
func TestNext(t *testing.T) {
	for next, want := range map[string]string{"": "/", "/": "/", "/report/ab?x=1": "/report/ab?x=1", "//example.org/": "/", "https://example.org/": "/", `/\example.org`: "/", "/a\r\nSet-Cookie: x": "/", "javascript:alert(1)": "/", "report": "/", "/?q=maker%3Ahalden": "/?q=maker%3Ahalden", "/log": "/log"} {
		if got := local(next); got != want {
			t.Errorf("%q goes on to %q", next, got)
		}
	}
}

// What a browser calls a file never leaves the folder it is put into.
func TestSafeName(t *testing.T) {
	for name, want := range map[string]string{"a.pdf": "a.pdf", "../../etc/passwd": "passwd", `C:\reports\b.pdf`: "b.pdf", "": "report.pdf", "..": "report.pdf", "/": "report.pdf", "a\nb.pdf": "a_b.pdf", "ä.pdf": "ä.pdf"} {
		got := safeName(name)
		if got != want || filepath.Base(got) != got {
			t.Errorf("%q becomes %q", name, got)
		}
	}
	if n := safeName(strings.Repeat("ß", 300) + ".pdf"); len(n) > 200 || !strings.HasSuffix(n, ".pdf") {
		t.Errorf("%d bytes, %q", len(n), n)
	}
}
