package ui_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// layer orders the folders: a package imports from its own layer or from a
// lower one, never upwards. icons and testdata are leaves that anyone may use.
var layer = map[string]int{"capture": 1, "annotate": 2, "pdfout": 3, "ui": 4, "main.go": 5}

// only says which of our packages may import an outside package.
var only = map[string][]string{
	"fyne.io/fyne/v2/app":            {"."},
	"github.com/jung-kurt/gofpdf":    {"pdfout/paint"},
	"github.com/rwcarlsen/goexif":    {"capture/photo"},
	"github.com/bep/imagemeta":       {"capture/photo"},
	"modernc.org/sqlite":             {"capture/index", "pdfout/archive"},
	"github.com/mewkiz/flac":         {"capture/sound"},
	"github.com/gen2brain/malgo":     {"capture/sound"},
	"gonum.org/v1/gonum/dsp":         {"annotate/pitch"},
	"github.com/digitorus/pkcs7":     {"pdfout/sign"},
	"software.sslmate.com/src/go-pk": {"pdfout/sign"},
}

// plainUI are the folders of ui that draw nothing and so do not know Fyne.
var plainUI = []string{"ui/view", "ui/cli", "ui/demo", "ui/task"}

type importLine struct{ file, dir, path string }

func TestImportsRunOneWay(t *testing.T) {
	lines := readImports(t)
	if len(lines) < 100 {
		t.Fatalf("only %d imports found; the test looks at the wrong folder", len(lines))
	}
	for _, l := range lines {
		if why := broken(l); why != "" {
			t.Errorf("%s imports %s: %s", l.file, l.path, why)
		}
	}
}

// TestRuleBites shows that each rule refuses what it is for.
func TestRuleBites(t *testing.T) {
	for _, l := range []importLine{
		{"capture/photo/x.go", "capture/photo", "wornwood/annotate/grade"},
		{"annotate/grade/x.go", "annotate/grade", "wornwood/pdfout"},
		{"pdfout/page/x.go", "pdfout/page", "wornwood/ui/view"},
		{"pdfout/page/x.go", "pdfout/page", "github.com/jung-kurt/gofpdf"},
		{"ui/shell/x.go", "ui/shell", "fyne.io/fyne/v2/app"},
		{"ui/view/x.go", "ui/view", "fyne.io/fyne/v2"},
		{"annotate/draw/x.go", "annotate/draw", "fyne.io/fyne/v2/canvas"},
		{"capture/record/x.go", "capture/record", "github.com/google/uuid"},
		{"capture/record/x.go", "capture/record", "wornwood/capture/blob"},
		{"icons/x.go", "icons", "wornwood/capture/record"},
	} {
		if broken(l) == "" {
			t.Errorf("%s may import %s", l.dir, l.path)
		}
	}
}

func broken(l importLine) string {
	top, _, _ := strings.Cut(l.dir, "/")
	test := strings.HasSuffix(l.file, "_test.go")
	if l.dir == "capture/record" && !test && strings.Contains(l.path, ".") {
		return "record imports the standard library only"
	}
	if inner, ok := strings.CutPrefix(l.path, "wornwood/"); ok {
		to, _, _ := strings.Cut(inner, "/")
		switch {
		case l.dir == "capture/record" && !test:
			return "record imports nothing of ours"
		case top == "icons" || top == "testdata":
			if to != top && !test { // its tests may ask the renderer what the pictures show
				return "a leaf imports nothing of ours"
			}
		case to != "icons" && to != "testdata" && top != "." && layer[to] > layer[top]:
			return "imports run ui -> pdfout -> annotate -> capture"
		}
		return ""
	}
	if strings.HasPrefix(l.path, "fyne.io/") {
		plain := top != "ui" && top != "."
		for _, p := range plainUI {
			plain = plain || l.dir == p
		}
		if plain {
			return "only the drawing layer of ui knows Fyne"
		}
	}
	for prefix, dirs := range only {
		if strings.HasPrefix(l.path, prefix) && !test {
			for _, d := range dirs {
				if l.dir == d {
					return ""
				}
			}
			return "only " + strings.Join(dirs, ", ") + " imports it"
		}
	}
	return ""
}

func readImports(t *testing.T) []importLine {
	t.Helper()
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	var lines []importLine
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && path != root && (strings.HasPrefix(name, ".") || name == "demo-bench") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, src, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil || strings.Contains(string(src), "//go:build ignore") || rel == "deps.go" {
			return err
		}
		for _, im := range f.Imports {
			p, err := strconv.Unquote(im.Path.Value)
			if err != nil {
				return err
			}
			lines = append(lines, importLine{filepath.ToSlash(rel), filepath.ToSlash(filepath.Dir(rel)), p})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return lines
}
