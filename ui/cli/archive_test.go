package cli_test

import (
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/testscript"
)

// copyFolder FROM TO copies a folder with everything below it.
func copyFolder(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: copyfolder FROM TO")
	}
	ts.Check(os.CopyFS(ts.MkAbs(args[1]), os.DirFS(ts.MkAbs(args[0]))))
}

// filedFile ARCHIVE NAME puts the path of the only filed report into a variable.
func filedFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: filedfile ARCHIVE NAME")
	}
	list, err := filepath.Glob(filepath.Join(ts.MkAbs(args[0]), "files", "*", "*.pdf"))
	ts.Check(err)
	if len(list) != 1 {
		ts.Fatalf("%d files are filed, want 1", len(list))
	}
	ts.Setenv(args[1], list[0])
}
