package listing

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
)

// fileName is the n-th photo's: its number, so that folders sort by it, and its
// view in letters that every server takes.
func fileName(n, of int, p *record.Photo) string {
	digits := max(2, len(fmt.Sprint(of)))
	view := slug(p.View)
	if view == "" {
		view = "photo"
	}
	return fmt.Sprintf("%0*d-%s.jpg", digits, n, view)
}

// sized is the name of a further size: "01-front-800.jpg".
func sized(name string, size int, first bool) string {
	if first {
		return name
	}
	return strings.TrimSuffix(name, ".jpg") + fmt.Sprintf("-%d.jpg", size)
}

// slug keeps letters a to z and figures, everything else is a hyphen.
func slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String()[:min(b.Len(), 40)], "-")
}
