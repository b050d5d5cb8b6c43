package cli_test

import (
	"encoding/json"
	"os"

	"github.com/rogpeppe/go-internal/testscript"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// years FOLDER makes the reports of one instrument over eight years in a folder,
// named by their dates.
func years(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: years FOLDER")
	}
	ts.Check(os.MkdirAll(ts.MkAbs(args[0]), 0o755))
	_, err := archivetest.Years(ts.MkAbs(args[0]), nil)
	ts.Check(err)
}

// hashOf FILE NAME puts the SHA-256 of a report, out of its line of JSON, into a
// variable.
func hashOf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: hashof FILE NAME")
	}
	var row archive.Row
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &row))
	ts.Setenv(args[1], row.Hash)
}
