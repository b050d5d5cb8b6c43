package serve

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"strings"
	"time"
	"unicode"

	"wornwood/pdfout/archive/people"
)

//go:embed pages/*.html pages/style.css
var pages embed.FS

// views are the pages, each with the frame around it.
var views = func() map[string]*template.Template {
	out := map[string]*template.Template{}
	frame := template.Must(template.New("frame.html").Funcs(words).ParseFS(pages, "pages/frame.html"))
	names, err := fs.Glob(pages, "pages/*.html")
	if err != nil {
		panic(err)
	}
	for _, n := range names {
		name := strings.TrimSuffix(strings.TrimPrefix(n, "pages/"), ".html")
		if name != "frame" {
			out[name] = template.Must(template.Must(frame.Clone()).ParseFS(pages, n))
		}
	}
	return out
}()

var words = template.FuncMap{
	"capital": func(s any) string {
		r := []rune(fmt.Sprint(s))
		if len(r) > 0 {
			r[0] = unicode.ToUpper(r[0])
		}
		return string(r)
	},
	"dash": func(s any) string {
		if t := fmt.Sprint(s); t != "" {
			return t
		}
		return "–"
	},
	"one": func(v any) string { // a figure with one digit; a dash where there is none
		switch x := v.(type) {
		case *float64:
			if x != nil {
				return fmt.Sprintf("%.1f", *x)
			}
		case float64:
			return fmt.Sprintf("%.1f", x)
		}
		return "–"
	},
	"apart": func(low, high float64) bool { return high-low >= 0.05 }, // two ends that read differently
	"grouped": func(n int) string {
		s := fmt.Sprint(n)
		for i := len(s) - 3; i > 0; i -= 3 {
			s = s[:i] + "\u202f" + s[i:]
		}
		return s
	},
	"short": func(hash string) string { return hash[:min(16, len(hash))] },
	"time":  func(t time.Time) string { return t.UTC().Format("2006-01-02 15:04 UTC") },
	"mib":   func(n int64) string { return fmt.Sprintf("%.1f MiB", float64(n)/(1<<20)) },
	"many": func(n int, one, more string) string {
		if n == 1 {
			return "1 " + one
		}
		return fmt.Sprintf("%d %s", n, more)
	},
	"least": func(have any, least string) bool { r, is := have.(people.Role); return is && r.May(people.Role(least)) },
}

// page writes a page into w.
func (s *Server) page(w io.Writer, v *visit, name, title string, data map[string]any) error {
	all := map[string]any{"Title": title, "Archive": s.name, "Page": name}
	if v.session != nil {
		all["Name"], all["Role"], all["Token"] = v.person.Name, v.person.Role, v.session.token
	}
	for k, x := range data {
		all[k] = x
	}
	return views[name].Execute(w, all)
}

// show answers with a page, whole or not at all.
func (s *Server) show(v *visit, status int, name, title string, data map[string]any) error {
	var b bytes.Buffer
	if err := s.page(&b, v, name, title, data); err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	_, _ = b.WriteTo(v.w) // whoever asked has hung up
	return nil
}

func (s *Server) style(v *visit) error {
	b, err := pages.ReadFile("pages/style.css")
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "text/css; charset=utf-8")
	v.w.Header().Set("Cache-Control", "max-age=600")
	_, _ = v.w.Write(b) // whoever asked has hung up
	return nil
}
