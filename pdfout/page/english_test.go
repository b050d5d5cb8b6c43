package page

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// notPrinted are calls whose texts no page shows: errors, the progress on the
// screen, tags of the structure, formats and keys.
var notPrinted = map[string]bool{
	"Errorf": true, "New": true, "step": true, "Tag": true, "Group": true, "setLines": true, "rowLines": true, "tagLabel": true,
	"say": true, "Say": true, "sayCount": true, "word": true, "usually": true, "phrase": true, "usuallyPhrase": true, "wordList": true, "Word": true, "Usual": true, "Phrase": true,
	"UsualPhrase": true, "Format": true, "Parse": true, "checkValue": true, "Get": true, "Picture": true,
}

// englishFiles are those whose pages are in English whatever the language of
// the report: a receipt is the buyer's, not the shop's.
var englishFiles = []string{"receipt.go", "receiptfoot.go"}

// allowed are texts that look like words and are none on a page: keys of the
// record and of packages below, names of fields of the file, the square code.
var allowed = []string{
	"ultraviolet light", "in or after", "not opened", "not seen", "seen", "REPORT %s RECORD SHA256 %s", " KEY ", "Examiner", "Buyer", "A4", "Letter", "Marks", "Photos",
	"Board", "Neck", "Head", "Sides", "Front", "Back", "solid-body electric", "Appears", "mark %d", "photo %s", "the entry ",
	"close-up %d-%d", "print report: %s reads %q: %v", // a key of a picture, an error
}

var (
	wordsOf = regexp.MustCompile(`\p{L}{2,}`)
	verbsOf = regexp.MustCompile(`%[-+# 0]*[\d.*]*[a-zA-Z%]`)
)

// isEnglish tells whether a text reads like words for a page: two words, or one
// with a capital letter. Units, IDs and file names are none.
func isEnglish(s string) bool {
	if slices.Contains(allowed, s) {
		return false
	}
	bare := verbsOf.ReplaceAllString(s, " ")
	found := wordsOf.FindAllString(bare, -1)
	units := []string{"mm", "cm", "kg", "Hz", "kHz", "dB", "MB", "kB"}
	found = slices.DeleteFunc(found, func(w string) bool { return slices.Contains(units, w) })
	if len(found) == 0 || regexp.MustCompile(`^[a-z][a-zA-Z0-9]*([.-][a-zA-Z0-9-]+)*\.?$`).MatchString(s) {
		return false
	}
	return len(found) > 1 || strings.ContainsAny(bare, " ") || strings.ToLower(found[0]) != found[0]
}

// bareEnglish lists the texts of a file that are meant for a page and do not
// come from the catalogue.
func bareEnglish(name string, src any) ([]string, error) {
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, name, src, 0)
	if err != nil {
		return nil, err
	}
	var out []string
	var walk func(n ast.Node) bool
	walk = func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			if x.Tag != nil {
				return false
			}
		case *ast.CallExpr:
			name := ""
			switch fun := x.Fun.(type) {
			case *ast.SelectorExpr:
				name = fun.Sel.Name
			case *ast.Ident:
				name = fun.Name
			}
			if notPrinted[name] {
				for i, a := range x.Args {
					if !ownText(a) || name == "tagLabel" && i > 0 {
						ast.Inspect(a, walk)
					}
				}
				return false
			}
		case *ast.BasicLit:
			if x.Kind != token.STRING {
				return true
			}
			if s, err := strconv.Unquote(x.Value); err == nil && isEnglish(s) {
				out = append(out, fmt.Sprintf("%s: %q", set.Position(x.Pos()), s))
			}
		}
		return true
	}
	ast.Inspect(f, walk)
	return out, nil
}

// ownText tells whether an argument is a text, or one with something added.
func ownText(a ast.Expr) bool {
	if sum, ok := a.(*ast.BinaryExpr); ok {
		return ownText(sum.X)
	}
	lit, ok := a.(*ast.BasicLit)
	return ok && lit.Kind == token.STRING
}

// No page prints a sentence that stands in the code: texts are messages of
// pdfout/catalogue, so that a report can be made in every language.
func TestNoBareEnglish(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") || slices.Contains(englishFiles, name) {
			continue
		}
		found, err := bareEnglish(name, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range found {
			t.Errorf("%s stands in the code; make it a message of pdfout/catalogue/en.json and say it by its ID", s)
		}
	}
}

// The finder finds what it is for, and leaves alone what is none.
func TestBareEnglishIsFound(t *testing.T) {
	const src = "package page\nfunc (l *layout) f() {\n%s\n}\n"
	for code, want := range map[string]int{
		`l.section("marks", "Marks and more", 24)`:                     1,
		`l.para(l.left, measure, "No marks were made.", textFont, 0)`:  1,
		`t := table{cols: []column{{head: "Where", width: 9}}}; _ = t`: 1,
		`s := fmt.Sprintf("%d of %d positions", 1, 2); _ = s`:          1,
		`l.tagLabel("P", 1, 2, "How deep")`:                            1,
		`s := "mark " + n; _ = s`:                                      1,
		`l.label(l.say("readings.title"), 16)`:                         0,
		`l.say("answers.outside", upper("Two words"))`:                 1,
		`s := l.plain(v, 1) + " mm"; _ = s`:                            0,
		`return fmt.Errorf("lay out photo %s: it is broken", name)`:    0,
		`l.d.Tag("Caption", func() { l.d.Text(x, y, "No photo", f) })`: 1,
	} {
		got, err := bareEnglish("x.go", fmt.Sprintf(src, code))
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != want {
			t.Errorf("%s: found %q, want %d", code, got, want)
		}
	}
}

// Every ID in the code is a message, and every message is in use.
func TestMessageIDs(t *testing.T) {
	b, err := os.ReadFile("../catalogue/en.json")
	if err != nil {
		t.Fatal(err)
	}
	var src struct {
		Messages map[string]any `json:"messages"`
	}
	if err := json.Unmarshal(b, &src); err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	id := regexp.MustCompile(`"([a-zA-Z]+(\.[a-zA-Z0-9-]+)+)"`)
	call := regexp.MustCompile(`(?:say|Say|sayCount)\("([^" ]+)"[,)]`)
	files, _ := filepath.Glob("../*.go")
	for _, dir := range []string{"../catalogue/*.go", "*.go"} {
		more, _ := filepath.Glob(dir)
		files = append(files, more...)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range id.FindAllStringSubmatch(string(code), -1) {
			used[m[1]] = true
		}
		for _, m := range call.FindAllStringSubmatch(string(code), -1) {
			if used[m[1]] = true; src.Messages[m[1]] == nil {
				t.Errorf("%s says %q, which is no message", name, m[1])
			}
		}
	}
	composed := regexp.MustCompile(`^(number\.\d+|month\.(short\.)?\d+|parts\.(yes|no))$`)
	for m := range src.Messages {
		if !used[m] && !composed.MatchString(m) {
			t.Errorf("the message %q is in no use", m)
		}
	}
}
