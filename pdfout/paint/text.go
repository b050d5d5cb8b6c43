package paint

import (
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"

	"wornwood/icons"
)

// use tells the drawing library the font, when it is not the one in use.
func (d *Doc) use(f Font) {
	if d.err != nil || d.page == 0 {
		return
	}
	if f.Face != d.face || f.Size != d.size {
		if !d.added[f.Face] { // reading a typeface copies it
			d.f.AddUTF8FontFromBytes(string(f.Face), "", icons.Font(string(f.Face)))
			d.added[f.Face] = true
		}
		d.f.SetFont(string(f.Face), "", f.Size)
		d.face, d.size = f.Face, f.Size
	}
	if f.Track != d.track {
		d.raw("%.2f Tc", f.Track)
		d.track = f.Track
	}
}

// Text draws one line from x with its baseline at y. Text that is in no tag is
// a paragraph of its own.
func (d *Doc) Text(x, y float64, s string, f Font, ink Ink) {
	if d.err != nil || s == "" {
		return
	}
	if !d.tags.inContent() {
		d.Tag("P", func() { d.Text(x, y, s, f, ink) })
		return
	}
	rs, err := runs(f.Face, s)
	if err != nil {
		d.fail(fmt.Errorf("print %q: %w", shorten(s), err))
		return
	}
	d.f.SetTextColor(int(ink.R), int(ink.G), int(ink.B))
	// Between two texts of one tag stands a space, so that who copies or listens
	// does not get the last word of a line and the first of the next as one.
	if first := rs[0].face; d.tags.tag && d.tags.spoken {
		rs[0].text = " " + rs[0].text
		x -= Width(" ", Font{Face: first, Size: f.Size, Track: f.Track})
	}
	d.tags.spoken = d.tags.tag
	for _, r := range rs {
		g := f
		g.Face = r.face
		d.use(g)
		d.f.Text(x, y, r.text)
		d.noteText(x, y, r.text, g, ink)
		x += Width(r.text, g)
	}
}

// Right draws one line that ends at x.
func (d *Doc) Right(x, y float64, s string, f Font, ink Ink) {
	// The last character's letter spacing sticks out behind it.
	d.Text(x-Width(s, f)+f.Track*pt, y, s, f, ink)
}

// Centre draws one line about x.
func (d *Doc) Centre(x, y float64, s string, f Font, ink Ink) {
	d.Text(x-(Width(s, f)-f.Track*pt)/2, y, s, f, ink)
}

func shorten(s string) string {
	if utf8.RuneCountInString(s) <= 40 {
		return s
	}
	return string([]rune(s)[:39]) + "…"
}

// Wrap breaks a text into lines no wider than width. It breaks at spaces, after
// a hyphen or a slash inside a word that is too long, and within a word as the
// last resort, so that no line sticks out. Line ends in the text are kept.
func Wrap(s string, f Font, width float64) []string {
	var out []string
	for _, para := range strings.Split(s, "\n") {
		out = append(out, wrapLine(para, f, width)...)
	}
	return out
}

func wrapLine(s string, f Font, width float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(s) {
		try := word
		if line != "" {
			try = line + " " + word
		}
		if Width(try, f) <= width {
			line = try
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		pieces := breakWord(word, f, width)
		out = append(out, pieces[:len(pieces)-1]...)
		line = pieces[len(pieces)-1]
	}
	return append(out, line)
}

// breakWord cuts a word that is wider than a line, in one pass: the word may be
// a letter that somebody pasted in.
func breakWord(word string, f Font, width float64) []string {
	if Width(word, f) <= width {
		return []string{word}
	}
	var out []string
	start, soft := 0, 0 // of the piece, and behind its last soft break
	w, afterSoft := 0.0, 0.0
	for i, r := range word {
		adv := Width(string(r), f)
		if w+adv > width && i > start {
			cut := i
			if soft > start+(i-start)/2 {
				cut, w = soft, afterSoft
			} else {
				w = 0
			}
			out = append(out, word[start:cut])
			start, soft, afterSoft = cut, cut, 0
		}
		w += adv
		afterSoft += adv
		if strings.ContainsRune("-–—/_.,;:·", r) {
			soft, afterSoft = i+utf8.RuneLen(r), 0
		}
	}
	return append(out, word[start:])
}

// Clamp keeps at most n lines; what is cut off ends in an ellipsis that fits.
func Clamp(lines []string, n int, f Font, width float64) []string {
	if len(lines) <= n || n < 1 {
		return lines
	}
	last := []rune(strings.TrimRight(lines[n-1], " ,;:"))
	// By halves: the text may be a letter that somebody pasted in.
	less := sort.Search(len(last), func(n int) bool { return Width(string(last[:len(last)-n])+"…", f) <= width })
	last = last[:len(last)-less]
	return append(append([]string{}, lines[:n-1]...), strings.TrimRight(string(last), " ,;:")+"…")
}

// Fit is the font made smaller, down to least points, until the text takes no
// more than width; below that the text is cut and ends in an ellipsis.
func Fit(s string, f Font, width, least float64) (string, Font) {
	for f.Size > least && Width(s, f) > width {
		f.Size = max(least, f.Size-0.25)
	}
	if Width(s, f) > width {
		s = Clamp([]string{s, ""}, 1, f, width)[0]
	}
	return s, f
}

// Minus writes a number of points with so many decimals; below zero it carries
// the true minus sign U+2212.
func Minus(v float64, decimals int) string {
	s := fmt.Sprintf("%.*f", decimals, v)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "\u2212", 1)
}
