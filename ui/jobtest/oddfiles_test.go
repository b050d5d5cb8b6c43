package jobtest

import (
	"bytes"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"wornwood/capture/bench"
	"wornwood/ui/cli"
)

// photoNo is a real phone photo that differs from every other number's by a
// comment in front.
func photoNo(t *testing.T, n int) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(moduleFolder(t, "github.com/rwcarlsen/goexif", "exif/samples"), "has-lens-info.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	return numbered(data, n)
}

func numbered(data []byte, n int) []byte {
	text := fmt.Sprintf("photo %d", n)
	comment := append([]byte{0xff, 0xfe, 0, byte(len(text) + 2)}, text...)
	return append(append(bytes.Clone(data[:2]), comment...), data[2:]...)
}

// odd is one thing in a dealer's folder, and what has to become of it.
type odd struct {
	path string
	put  func(t *testing.T, path string)
	// want is "" for taken in, "known" for content taken in before, otherwise
	// words of the refusal.
	want string
}

func content(data []byte) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		t.Helper()
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func link(to string) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		t.Helper()
		if err := os.Symlink(to, path); err != nil {
			t.Fatal(err)
		}
	}
}

// oddNames are photos with legal names that programs stumble over.
func oddNames(t *testing.T) (list []odd) {
	for i, name := range []string{
		"a name  with   blanks .jpg", "Übergröße, façade, Łódź.jpg", "Жук и Ωμέγα.JPG", "two\nlines\tand a tab.jpg", "e\u0301 in two characters.jpg",
		"-rf.jpg", "--exam.jpg", strings.Repeat("long ", 49) + ".jpg", "no ending", "photo.jpeg.txt", `it's "quoted" <b>&amp; $(HOME) %d%s.jpg`, `back\slash.jpg`,
		"not utf-8 \xff\xfe.jpg", "right to left \u202egpj.exe", "con.jpg", ";drop table photos;--.jpg", "楽器の写真.jpg", "🎸.jpg", "שלום.jpg",
	} {
		list = append(list, odd{path: name, put: content(photoNo(t, i))})
	}
	return list
}

// oddThings are what is no photo, or not a whole one, or no file.
func oddThings(t *testing.T) []odd {
	photo := photoNo(t, 1000)
	png := []byte("\x89PNG\r\n\x1a\n")
	return []odd{
		{"zero.jpg", content(nil), "is empty"},
		{"empty\non two lines.jpg", content(nil), "is empty"},
		{"text\x1b[31m in red.jpg", content([]byte("no picture")), "not a photo"},
		{"one byte.jpg", content([]byte{0xff}), "not a photo"},
		{"three bytes.jpg", content(photo[:3]), "breaks off"},
		{"head only.jpg", content(photo[:2000]), "breaks off"},
		{"signature only.png", content(png), "its header breaks off"},
		{"IMG_0001.HEIC", content([]byte("a list of what is in the case\n")), "not a photo"},
		{"IMG_0002.HEIC", content([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")), "HEIC"},
		{"clip.mov", content([]byte("\x00\x00\x00\x14ftypqt  \x00\x00\x02\x00qt  ")), "a video"},
		{"raw.tif", content([]byte("II*\x00\x08\x00\x00\x00 and so on")), "TIFF or raw"},
		{"invoice.pdf", content([]byte("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")), "a PDF document"},
		{"page.jpg", content([]byte("<!DOCTYPE html><title>404</title>")), "not a photo"},
		{"zeros.jpg", content(make([]byte, 5000)), "not a photo"},
		{"huge.jpg", func(t *testing.T, path string) {
			content(photo)(t, path)
			if err := os.Truncate(path, 3<<30); err != nil { // a sparse file: nothing is written
				t.Fatal(err)
			}
		}, "save a smaller copy"},
		{"x.jpg/inside.jpg", content(photoNo(t, 1001)), ""},
		{"empty.jpg", func(t *testing.T, path string) { mkdir(t, path) }, "folder"},
		{"loop.jpg", link("loop.jpg"), "cannot be opened"},
		{"round/again", link(".."), "not an ordinary file"},
		{"gone.jpg", link("nowhere.jpg"), "not there"},
		{"z linked.jpg", link("x.jpg/inside.jpg"), "known"},
		{"linked folder.jpg", link("x.jpg"), "not an ordinary file"},
		{"pipe.jpg", func(t *testing.T, path string) { output(t, "coreutils", "mkfifo", path) }, "not an ordinary file"},
		{"socket.jpg", func(t *testing.T, path string) {
			// The address of a socket has room for about a hundred characters.
			t.Chdir(filepath.Dir(path))
			l, err := net.Listen("unix", filepath.Base(path))
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { l.Close() })
		}, "not an ordinary file"},
		{".hidden.jpg", content(photoNo(t, 1002)), "hidden"},
		{"._of the system.jpg", content([]byte("\x00\x05\x16\x07")), "hidden"},
		{".cache/thumbnail.jpg", content(photoNo(t, 1003)), "hidden"},
	}
}

func mkdir(t *testing.T, path string) {
	t.Helper()
	if err := os.MkdirAll(path, 0o755); err != nil {
		t.Fatal(err)
	}
}

// TestOddFiles imports a folder of oddities in one go: each file is taken in
// or refused in one sentence that names it, and none of it is touched.
func TestOddFiles(t *testing.T) {
	// The folder is named by a link, as a mounted card often is.
	dir := filepath.Join(t.TempDir(), "card")
	link(t.TempDir())(t, dir)
	list := append(oddNames(t), oddThings(t)...)
	for i, o := range list {
		list[i].path = filepath.Join(dir, o.path)
		mkdir(t, filepath.Dir(list[i].path))
		o.put(t, list[i].path)
	}
	before := sums(t, dir)
	j := begin(t)
	res := j.take(dir)
	for _, o := range list {
		checkFate(t, res, o)
	}
	answers := len(res.Added) + len(res.Known) + len(res.Refused)
	want := 0
	for _, o := range list {
		if o.want != "hidden" && o.want != "folder" {
			want++
		}
	}
	if answers != want {
		t.Errorf("%d answers for %d files", answers, want)
	}
	if after := sums(t, dir); len(after) != len(before) {
		t.Errorf("%d files before the import, %d after", len(before), len(after))
	} else {
		for f, s := range before {
			if after[f] != s {
				t.Errorf("the import changed %q", f)
			}
		}
	}
	j.checkOriginals()
	j.checkNames()
	j.whole()
	j.checkWholeUndo(len(res.Added))
}

// TestVerbAnswersOnOneLine: whatever a file is called, the verb gives it one
// line, without codes that a terminal would obey.
func TestVerbAnswersOnOneLine(t *testing.T) {
	home := t.TempDir()
	v := verbs{t, home}
	card, shop := filepath.Join(home, "card"), filepath.Join(home, "shop")
	mkdir(t, card)
	for _, name := range []string{"two\nlines.txt", "red\x1b[31m.txt", "not utf-8 \xff.txt", "plain.txt"} {
		content([]byte("no picture"))(t, filepath.Join(card, name))
	}
	content(photoNo(t, 1))(t, filepath.Join(card, "photo on\ntwo lines.jpg"))
	v.run(cli.OK, "new", shop)
	out, said := v.run(cli.AnswerNo, "import", shop, card)
	if strings.Count(out, "refused ") != 4 || strings.Count(out, "\nrefused ") != 4 || !strings.Contains(out, "1 added, 0 known already, 4 refused") {
		t.Errorf("import answers %q", out)
	}
	if strings.Count(said, "\n") != 5 || strings.Count(said, "photo ") < 5 {
		t.Errorf("import's progress is %q", said)
	}
	if strings.IndexFunc(strings.ReplaceAll(out+said, "\n", ""), unicode.IsControl) >= 0 || !utf8.ValidString(out+said) {
		t.Errorf("import prints what a terminal would obey: %q", out+said)
	}
	if !strings.Contains(out, "refused "+filepath.Join(card, "plain.txt")+": ") {
		t.Errorf("import changes a plain name: %q", out)
	}
}

// checkFate looks an oddity up among the answers.
func checkFate(t *testing.T, res *bench.ImportResult, o odd) {
	t.Helper()
	got, met := "", 0
	for _, f := range res.Known {
		if f == o.path {
			got, met = "known", met+1
		}
	}
	for _, r := range res.Refused {
		if r.File == o.path {
			got, met = r.Why, met+1
			checkSentence(t, filepath.Base(o.path), r.Why)
		}
	}
	switch o.want {
	case "hidden", "folder":
		if met != 0 {
			t.Errorf("%q: %q, want no answer", o.path, got)
		}
	case "":
		if met != 0 {
			t.Errorf("%q is not taken in: %q", o.path, got)
		}
	default:
		if met != 1 || !strings.Contains(got, o.want) {
			t.Errorf("%q: %d answers, %q, want %q", o.path, met, got, o.want)
		}
	}
}

// checkNames: every name in the record is one line of printable text, and no
// two photos of this folder were given one name.
func (j *job) checkNames() {
	j.t.Helper()
	seen := map[string]bool{}
	for _, p := range j.ex.Record().Photos {
		if p.Name == "" || len(p.Name) > 200 || strings.ContainsAny(p.Name, "\n\t\x00/\u202e\ufffd") {
			j.t.Errorf("the record names a photo %q", p.Name)
		}
		if seen[p.Name] {
			j.t.Errorf("the record names two photos %q", p.Name)
		}
		seen[p.Name] = true
	}
}

// checkWholeUndo: one undo takes the whole import back, one redo brings it
// again, the originals being there all the time.
func (j *job) checkWholeUndo(photos int) {
	j.t.Helper()
	if _, err := j.s.Undo(); err != nil || len(j.ex.Record().Photos) != 0 {
		j.t.Errorf("undone, %d photos are left of %d, %v", len(j.ex.Record().Photos), photos, err)
	}
	j.whole()
	if _, err := j.s.Redo(); err != nil || len(j.ex.Record().Photos) != photos {
		j.t.Errorf("done again, %d photos are there of %d, %v", len(j.ex.Record().Photos), photos, err)
	}
	j.checkOriginals()
}

// sums are the digests of all ordinary files of a folder that are not huge,
// and the sizes of those that are.
func sums(t *testing.T, dir string) map[string]string {
	t.Helper()
	m := map[string]string{}
	for _, f := range filesIn(t, dir) {
		st, err := os.Lstat(f)
		switch {
		case err != nil:
			t.Fatal(err)
		case !st.Mode().IsRegular() || st.Size() > 1<<30:
			m[f] = fmt.Sprint(st.Mode(), st.Size())
		default:
			m[f] = sumOf(t, f)
		}
	}
	return m
}
