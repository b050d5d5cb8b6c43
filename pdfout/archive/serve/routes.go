package serve

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// route is one thing that can be asked for, and the least role that may; "" is
// for everybody.
type route struct {
	method, pattern string
	least           people.Role
	do              func(*Server, *visit) error
}

// routes are all of them: nothing else is answered.
func routes() []route {
	return []route{
		{"GET", "/login", "", (*Server).loginForm},
		{"POST", "/login", "", (*Server).login},
		{"GET", "/style.css", "", (*Server).style},
		{"POST", "/logout", people.Reader, (*Server).logout},
		{"GET", "/{$}", people.Reader, (*Server).find},
		{"GET", "/help", people.Reader, (*Server).help},
		{"GET", "/report/{hash}", people.Reader, (*Server).report},
		{"GET", "/report/{hash}/file", people.Reader, (*Server).file},
		{"GET", "/report/{hash}/verdict", people.Reader, (*Server).verdict},
		{"GET", "/history/{hash}", people.Reader, (*Server).history},
		{"GET", "/photo/{hash}/{id}", people.Reader, (*Server).photo},
		{"GET", "/log", people.Reader, (*Server).logHead},
		{"GET", "/file", people.Filer, (*Server).fileForm},
		{"POST", "/file", people.Filer, (*Server).fileReports},
		{"GET", "/refused", people.Filer, (*Server).refused},
		{"GET", "/readings", people.Keeper, (*Server).readings},
	}
}

// visit is one request of somebody.
type visit struct {
	w       *answer
	r       *http.Request
	address string
	person  people.Person
	session *session // nil for those who are not in
}

// answer notes what was answered.
type answer struct {
	http.ResponseWriter
	address string // where the request comes from
	status  int
	who     string // who asked, where they are in
}

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answer) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	return a.ResponseWriter.Write(b)
}

// Unwrap gives http.ResponseController what it needs.
func (a *answer) Unwrap() http.ResponseWriter { return a.ResponseWriter }

func (s *Server) mux() *http.ServeMux {
	m := http.NewServeMux()
	for _, rt := range routes() {
		m.HandleFunc(rt.method+" "+rt.pattern, func(w http.ResponseWriter, r *http.Request) { s.serve(rt, w.(*answer), r) })
	}
	m.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		s.fail(&visit{w: w.(*answer), r: r}, http.StatusNotFound, "There is no such page.")
	})
	return m
}

// outer is around every request: rates, headers, the line in the log, and no
// form that another site sent.
func (s *Server) outer(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(&visit{w: w.(*answer), r: r}, http.StatusForbidden, "This came from another site's page; nothing was done.")
	}))
	inner := cross.Handler(next)
	return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		began := time.Now()
		address := s.address(r)
		w := &answer{ResponseWriter: rw, address: address}
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Strict-Transport-Security", "max-age=31536000")
		h.Set("Cache-Control", "no-store")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		defer func() {
			if p := recover(); p != nil && p != http.ErrAbortHandler {
				s.note(address, "", r, fmt.Sprintf("500 panic: %v", p), began)
				if w.status == 0 {
					s.fail(&visit{w: w, r: r}, http.StatusInternalServerError, "Something went wrong here. It was noted.")
				}
				return
			}
			s.note(address, w.who, r, strconv.Itoa(w.status), began)
		}()
		if !s.gate.allow(address) {
			h.Set("Retry-After", "5")
			s.fail(&visit{w: w, r: r}, http.StatusTooManyRequests, "Too many requests came from your address. Wait a few seconds.")
			return
		}
		inner.ServeHTTP(w, r)
	})
}

// note writes a line about a request. What was searched for is not in it: it may
// name people's instruments.
func (s *Server) note(address, who string, r *http.Request, what string, began time.Time) {
	if s.opt.Log == nil {
		return
	}
	s.logging.Lock()
	defer s.logging.Unlock()
	fmt.Fprintf(s.opt.Log, "%s %s %q %s %q %s %d ms\n", s.opt.Now().UTC().Format(time.RFC3339), address, who, r.Method, r.URL.EscapedPath(), what, time.Since(began).Milliseconds())
}

// serve answers one request of a route.
func (s *Server) serve(rt route, w *answer, r *http.Request) {
	v := &visit{w: w, r: r, address: w.address}
	list, err := people.Load(s.opt.Dir)
	if err != nil {
		s.broken(v, err)
		return
	}
	v.session, v.person, _ = s.sessions.find(r, list)
	w.who = v.person.Name
	switch {
	case rt.least == "":
	case v.session == nil && r.Method == http.MethodGet:
		http.Redirect(w, r, "/login?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		return
	case v.session == nil:
		s.fail(v, http.StatusForbidden, "You are not signed in, or it was too long ago. Sign in and do it again.")
		return
	case !v.person.Role.May(rt.least):
		s.fail(v, http.StatusForbidden, fmt.Sprintf("This takes a %s; you are a %s.", rt.least, v.person.Role))
		return
	}
	if err := rt.do(s, v); err != nil {
		s.wrong(v, err)
	}
}

// wrong says what is wrong, in a sentence where it is the asker's business.
func (s *Server) wrong(v *visit, err error) {
	var held *archive.HeldError
	var asked *askError
	switch {
	case errors.As(err, &asked):
		s.fail(v, asked.status, asked.text)
	case errors.Is(err, archive.ErrMissing):
		s.fail(v, http.StatusNotFound, "There is no such report in the archive. If it was removed, the log says by whom and why.")
	case errors.Is(err, archive.ErrAmbiguous):
		s.fail(v, http.StatusNotFound, "Several reports begin so; give more of the SHA-256.")
	case errors.As(err, &held):
		s.fail(v, http.StatusServiceUnavailable, "Somebody else is filing into the archive just now. Try again in a minute; nothing was filed.")
	default:
		s.broken(v, err)
	}
}

// broken tells the log what is wrong, and the asker only that something is.
func (s *Server) broken(v *visit, err error) {
	s.note(v.address, v.person.Name, v.r, "error: "+strings.ReplaceAll(err.Error(), "\n", "; "), time.Now())
	s.fail(v, http.StatusInternalServerError, "Something is wrong with the archive. The keeper finds in the server's log what.")
}

// askError is something the asker can put right.
type askError struct {
	status int
	text   string
}

func (e *askError) Error() string { return e.text }

func asked(status int, format string, args ...any) error {
	return &askError{status, fmt.Sprintf(format, args...)}
}

func (s *Server) fail(v *visit, status int, text string) {
	if v.w.status != 0 { // the answer is on its way already
		return
	}
	var b bytes.Buffer
	if err := s.page(&b, v, "trouble", http.StatusText(status), map[string]any{"Text": text}); err != nil {
		http.Error(v.w, text, status)
		return
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	_, _ = v.w.Write(b.Bytes()) // whoever asked has hung up
}
