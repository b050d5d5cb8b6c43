package bench

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"wornwood/capture/record"
)

// A listing's draft is kept beside the examination, replaced whole, and gone
// with nothing but its own file.
func TestListing(t *testing.T) {
	dir := t.TempDir()
	b, err := Open(dir, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	e, err := b.Begin("", record.Intake, record.Instrument{Class: "violin"})
	if err != nil {
		t.Fatal(err)
	}
	if data, err := b.Listing(e.ID()); data != nil || err != nil {
		t.Errorf("%q %v", data, err)
	}
	for _, s := range []string{"first", "second"} {
		if err := b.KeepListing(e.ID(), []byte(s)); err != nil {
			t.Fatal(err)
		}
		if data, err := b.Listing(e.ID()); string(data) != s || err != nil {
			t.Errorf("%q %v", data, err)
		}
	}
	if found, err := b.Check(t.Context(), nil); len(found) > 0 || err != nil {
		t.Errorf("%v %v", found, err)
	}
	if err := b.KeepListing("../x", nil); err == nil {
		t.Error("a name outside the folder passes")
	}
	if err := b.KeepListing(e.ID(), bytes.Repeat([]byte("x"), maxListing+1)); err == nil {
		t.Error("too large a draft passes")
	}
	if list, err := os.ReadDir(filepath.Join(dir, listingsDir)); err != nil || len(list) != 1 {
		t.Errorf("%v %v", list, err)
	}
}
