package archive_test

import (
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// The index answers as going through the rows one by one does.
func TestSQLiteProperty(t *testing.T) {
	x, err := archive.OpenSQLite(t.TempDir()+"/index.db", false)
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	archivetest.Property(t, x)
}
