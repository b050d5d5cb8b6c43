package listing_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
	"wornwood/pdfout/listing"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/prose"
	"wornwood/pdfout/reporttest"
)

// originals are small photos by ID.
type originals map[string][]byte

func (o originals) OriginalBytes(id string) ([]byte, error) {
	if b, ok := o[id]; ok {
		return b, nil
	}
	return nil, fmt.Errorf("photo %s is not there", id[:4])
}

// set is the demo with small photos of its own, in an order that is not the
// views'.
func set(t testing.TB) (prose.Source, originals) {
	r := reporttest.Demo(6)
	slices.Reverse(r.Photos)
	r.Photos[0].View, r.Photos[1].View, r.Photos[2].View = "serial", "", "close-up"
	o := originals{}
	for i := range r.Photos {
		p := &r.Photos[i]
		p.Width, p.Height = 400, 300
		o[p.ID] = jpegOf(t, scene(400, 300, image.Rect(0, 0, 400, 300), uint32(i)))
	}
	for i := range r.Marks {
		for k := range r.Marks[i].Photos {
			r.Marks[i].Photos[k].Points = []record.Point{{X: 100, Y: 100}}
		}
	}
	return source(t, r), o
}

func write(t testing.TB, to string, s prose.Source, d *listing.Draft, o originals) *listing.Written {
	t.Helper()
	w, err := listing.Write(context.Background(), to, s, d, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestFolder(t *testing.T) {
	s, o := set(t)
	to := filepath.Join(t.TempDir(), "deep", "set")
	w := write(t, to, s, &listing.Draft{Sizes: []int{350, 200}, Pins: true}, o)
	want := []string{"01-front.jpg", "01-front-200.jpg", "02-back.jpg", "02-back-200.jpg", "03-serial.jpg", "03-serial-200.jpg", "04-close-up.jpg", "04-close-up-200.jpg", "05-photo.jpg", "05-photo-200.jpg"}
	views := slices.DeleteFunc(slices.Clone(w.Files), func(f string) bool { return strings.HasPrefix(f, "listing.") || strings.Contains(f, "whole") })
	for i := range views { // the whole view stands first and moves the numbers
		views[i] = views[i][3:]
	}
	for i := range want {
		want[i] = want[i][3:]
	}
	if !slices.Equal(views, want) || w.Files[0] != "01-whole.jpg" || w.Photos != 6 || len(w.LeftOut) > 0 {
		t.Errorf("%v", w.Files)
	}
	list, err := os.ReadDir(to)
	if err != nil || len(list) != len(w.Files) {
		t.Fatalf("%d files, %v", len(list), err)
	}
	page, err := os.ReadFile(filepath.Join(to, listing.PageFile))
	if err != nil || !bytes.Contains(page, []byte(`src="01-whole.jpg" width="350"`)) {
		t.Errorf("%s %v", page, err)
	}
	if rest, _ := filepath.Glob(filepath.Join(filepath.Dir(to), ".listing-*")); len(rest) > 0 {
		t.Errorf("left behind: %v", rest)
	}
	if _, err := listing.Write(context.Background(), to, s, &listing.Draft{}, o, nil); !errors.Is(err, listing.ErrThere) {
		t.Errorf("a set was written over: %v", err)
	}
}

// Python's zipfile reads the set; two runs give the same bytes.
func TestZip(t *testing.T) {
	s, o := set(t)
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.zip"), filepath.Join(dir, "b.ZIP")
	w := write(t, a, s, &listing.Draft{}, o)
	write(t, b, s, &listing.Draft{}, o)
	one, _ := os.ReadFile(a)
	two, _ := os.ReadFile(b)
	if len(one) == 0 || !bytes.Equal(one, two) {
		t.Errorf("two runs give %d and %d bytes that differ", len(one), len(two))
	}
	cmd := exec.Command("/usr/bin/python3", "-c", `
import json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
print(json.dumps([[i.filename, list(i.date_time), oct(i.external_attr >> 16), len(z.read(i))] for i in z.infolist()]))`, a)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3: %v", err)
	}
	var rows [][]any
	if err := json.Unmarshal(out, &rows); err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		if r[0] != w.Files[i] || fmt.Sprint(r[1]) != "[2026 11 14 0 0 0]" || r[2] != "0o100644" || r[3].(float64) < 100 {
			t.Errorf("%v, want %s", r, w.Files[i])
		}
	}
	if len(rows) != len(w.Files) {
		t.Errorf("%d of %d files", len(rows), len(w.Files))
	}
}

// Without serial numbers the photo that shows one is left out unless it is
// covered, and no file of the set names it.
func TestNoSerials(t *testing.T) {
	s, o := set(t)
	serial := s.Record.Photos[0]
	s.Record.Photos[3].Caption = "with 41873 on it"
	d := &listing.Draft{NoSerials: true}
	to := filepath.Join(t.TempDir(), "set")
	w := write(t, to, s, d, o)
	if w.Photos != 5 || len(w.LeftOut) != 1 || w.LeftOut[0].Photo.ID != serial.ID || slices.Contains(w.Files, "04-serial.jpg") {
		t.Errorf("%v, left out %v", w.Files, w.LeftOut)
	}
	for _, f := range w.Files {
		b, err := os.ReadFile(filepath.Join(to, f))
		if err != nil || bytes.Contains(b, []byte("41873")) {
			t.Errorf("%s names the serial number (%v)", f, err)
		}
	}
	d.SetPhoto(listing.Photo{ID: serial.ID, Covers: []listing.Cover{{10, 10, 300, 200}}})
	if w := write(t, to+"2", s, d, o); w.Photos != 6 || len(w.LeftOut) != 0 {
		t.Errorf("the covered photo is not in: %v", w.Files)
	}
	d.SetPhoto(listing.Photo{ID: serial.ID, Out: true})
	if w := write(t, to+"3", s, d, o); w.Photos != 5 || w.LeftOut[0].Why != "it was left out" {
		t.Errorf("%v", w.LeftOut)
	}
}

// What fails or is cancelled leaves nothing.
func TestNothingHalfDone(t *testing.T) {
	s, o := set(t)
	delete(o, s.Record.Photos[2].ID)
	dir := t.TempDir()
	for _, name := range []string{"set", "set.zip"} {
		if _, err := listing.Write(context.Background(), filepath.Join(dir, name), s, &listing.Draft{}, o, nil); err == nil || !strings.Contains(err.Error(), s.Record.Photos[2].Name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, o = set(t)
	for _, name := range []string{"set", "set.zip"} {
		ctx, stop := context.WithCancel(context.Background())
		_, err := listing.Write(ctx, filepath.Join(dir, name), s, &listing.Draft{}, o, func(done, _ int, _ string) {
			if done == 2 {
				stop()
			}
		})
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", name, err)
		}
		stop()
	}
	if list, _ := os.ReadDir(dir); len(list) > 0 {
		t.Errorf("left behind: %v", list)
	}
	if _, err := listing.Write(context.Background(), filepath.Join(dir, "x"), s, &listing.Draft{Quality: 900}, o, nil); err == nil {
		t.Error("a quality of 900 passes")
	}
}

// A draft comes back as it was kept; impossible ones are refused.
func TestDraft(t *testing.T) {
	d := &listing.Draft{Text: "A guitar.\n", Sizes: []int{1600, 800}, Quality: 80, Pins: true}
	d.SetPhoto(listing.Photo{ID: "a", Out: true})
	d.SetPhoto(listing.Photo{ID: "b", Covers: []listing.Cover{{1, 2, 3, 4}}})
	d.SetPhoto(listing.Photo{ID: "c"})
	b, err := d.JSON()
	if err != nil {
		t.Fatal(err)
	}
	got, err := listing.Read(bytes.NewReader(b))
	if err != nil || got.Text != d.Text || !got.Photo("a").Out || got.Photo("b").Covers[0] != (listing.Cover{1, 2, 3, 4}) || len(got.Photos) != 2 {
		t.Errorf("%+v %v", got, err)
	}
	for _, bad := range []string{``, `{}`, `{"schema":"wornwood.listing/9"}`, `{"schema":"wornwood.listing/1","sizes":[800,1600]}`, `{"schema":"wornwood.listing/1","sizes":[1]}`,
		`{"schema":"wornwood.listing/1","quality":101}`, `{"schema":"wornwood.listing/1","photos":[{"id":"a","covers":[[1,1,1,9]]}]}`, `{"schema":"wornwood.listing/1","photos":[{"id":"a","covers":[[1,1,1e9,9]]}]}`} {
		if _, err := listing.Read(strings.NewReader(bad)); err == nil {
			t.Errorf("%s passes", bad)
		}
	}
}

// Any text survives its way to HTML: Python's parser gives the words back and
// finds no element and no attribute that the text did not get by its form.
func TestHTMLIsEscaped(t *testing.T) {
	nasty := "A <b>title</b> & \"more\"\n\n<script>alert('x')</script> & 5 < 6\n\n- item <img src=x onerror=y>\n- ]]> &amp; &lt;\n"
	out := python(t, `
import json, sys
from html.parser import HTMLParser
class P(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True); self.tags=[]; self.text=[]
    def handle_starttag(self, tag, attrs): self.tags.append([tag, len(attrs)])
    def handle_data(self, d):
        if d.strip(): self.text.append(d)
p = P(); p.feed(sys.stdin.read()); p.close()
print(json.dumps([p.tags, p.text]))`, listing.HTMLBody(nasty))
	want := `[[["h1", 0], ["p", 0], ["ul", 0], ["li", 0], ["li", 0]], ["A <b>title</b> & \"more\"", "<script>alert('x')</script> & 5 < 6", "item <img src=x onerror=y>", "]]> &amp; &lt;"]]`
	if strings.TrimSpace(out) != want {
		t.Errorf("%s\nwant %s", out, want)
	}
}

func python(t *testing.T, script, in string) string {
	t.Helper()
	cmd := exec.Command("/usr/bin/python3", "-c", script)
	cmd.Stdin = strings.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3: %v", err)
	}
	return string(out)
}

// CommonMark's own reference program (Debian package cmark) reads the Markdown as
// the HTML says: no character of a text means anything.
func TestMarkdownIsEscaped(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		line := rapid.StringOfN(rapid.RuneFrom([]rune("ab 1.)(*_`#>-+=~[]!<&;:\\/|\"'“é$^{}@\t")), 1, 30, -1)
		var lines []string
		for range rapid.IntRange(1, 5).Draw(rt, "lines") {
			lines = append(lines, rapid.SampledFrom([]string{"", "- "}).Draw(rt, "item")+line.Draw(rt, "line"), rapid.SampledFrom([]string{"", "- x", "and"}).Draw(rt, "next"))
		}
		text := strings.Join(lines, "\n")
		got := words(pdfxtest.Output(t, "cmark", pdfxtest.Write(t, "x.md", []byte(listing.Markdown(text)))))
		if want := words(listing.HTMLBody(text)); got != want {
			rt.Fatalf("%q\nbecame %q\ncmark reads %q\nwant %q", text, listing.Markdown(text), got, want)
		}
	})
}

// words makes two spellings of the same HTML one.
func words(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("&#34;", "\"", "&quot;", "\"", "&#39;", "'", "\n", " ", ">", "> ", "<", " <").Replace(s)), " ")
}

// The plain form is what it was read from.
func TestBlocks(t *testing.T) {
	s, _ := set(t)
	text := listing.Compose(s, false)
	if got := listing.Plain(listing.Blocks(text)); got != text {
		t.Errorf("%q\nbecame %q", text, got)
	}
	b := listing.Blocks("Title\n\nFirst\nline.\r\n\r\nHead:\n- a\n- b\nAfter.")
	if len(b) != 5 || !b[0].Title || b[1].Text != "First line." || len(b[3].Items) != 2 || b[4].Text != "After." {
		t.Errorf("%+v", b)
	}
}
