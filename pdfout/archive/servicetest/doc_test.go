package servicetest

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestProgramDoesNotImport reads every Go file of the module: this package may
// be imported by tests and by what measures (ui/measure), and by nothing else.
func TestProgramDoesNotImport(t *testing.T) {
	const root = "../../.."
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
			return err
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		files++
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		for _, p := range []string{"wornwood/pdfout/archive/servicetest", "github.com/chromedp/chromedp"} {
			if !strings.Contains(string(src), "\""+p+"\"") || rel == "pdfout/archive/servicetest/doc_test.go" {
				continue
			}
			tests := strings.HasSuffix(path, "_test.go") || strings.HasPrefix(rel, "ui/measure/") || strings.HasPrefix(rel, "pdfout/archive/servicetest/")
			if !tests {
				t.Errorf("%s imports %s, which is for tests and measurements only", rel, p)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 100 {
		t.Fatalf("only %d Go files found: the test looks at the wrong folder", files)
	}
}
