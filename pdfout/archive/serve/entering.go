package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"wornwood/pdfout/archive/people"
)

const maxForm = 64 << 10 // bytes

// local is a place on this site to go on to; "/" for everything else.
func local(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n") {
		return "/"
	}
	return next
}

func (s *Server) loginForm(v *visit) error {
	next := local(v.r.URL.Query().Get("next"))
	if v.session != nil {
		http.Redirect(v.w, v.r, next, http.StatusSeeOther)
		return nil
	}
	return s.show(v, http.StatusOK, "login", "Sign in", map[string]any{"Next": next})
}

func (s *Server) login(v *visit) error {
	v.r.Body = http.MaxBytesReader(v.w, v.r.Body, maxForm)
	if err := v.r.ParseForm(); err != nil {
		return asked(http.StatusBadRequest, "The form could not be read.")
	}
	name, password, next := v.r.PostForm.Get("name"), v.r.PostForm.Get("password"), local(v.r.PostForm.Get("next"))
	again := func(status int, text string) error {
		return s.show(v, status, "login", "Sign in", map[string]any{"Next": next, "Typed": name, "Text": text})
	}
	if wait := s.gate.try(v.address, name); wait > 0 {
		seconds := int(wait/time.Second) + 1
		v.w.Header().Set("Retry-After", strconv.Itoa(seconds))
		return again(http.StatusTooManyRequests, fmt.Sprintf("Too many wrong passwords. The next one is looked at in %d seconds.", seconds))
	}
	list, err := people.Load(s.opt.Dir)
	if err != nil {
		return err
	}
	p, ok, err := list.Login(name, password)
	if err != nil {
		return err
	}
	if !ok {
		return again(http.StatusForbidden, "Name or password is wrong.")
	}
	s.gate.right(v.address, name)
	s.sessions.end(v.r) // another's, on the same machine
	http.SetCookie(v.w, s.sessions.begin(p))
	http.Redirect(v.w, v.r, next, http.StatusSeeOther)
	return nil
}

func (s *Server) logout(v *visit) error {
	v.r.Body = http.MaxBytesReader(v.w, v.r.Body, maxForm)
	if err := v.r.ParseForm(); err != nil || !v.session.carries(v.r.PostForm.Get("token")) {
		return asked(http.StatusForbidden, "The form is not of this visit. Go back, reload the page and sign out again.")
	}
	s.sessions.end(v.r)
	http.SetCookie(v.w, cookieOf("", -1))
	http.Redirect(v.w, v.r, "/login", http.StatusSeeOther)
	return nil
}
