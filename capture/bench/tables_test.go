package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestTablesAreKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	if got := b.Tables(); len(got) != 0 {
		t.Errorf("a new bench has %d tables", len(got))
	}
	kept, err := b.SetTable(SerialTable, ".csv", []byte("one"))
	if err != nil || kept != "" {
		t.Fatalf("first table: kept %q, %v", kept, err)
	}
	if kept, err = b.SetTable(SerialTable, ".csv", []byte("one")); err != nil || kept != "" {
		t.Errorf("the same table again: kept %q, %v", kept, err)
	}
	for i, want := range []string{"tables/serials.csv.before-1", "tables/serials.csv.before-2"} {
		if kept, err = b.SetTable(SerialTable, ".csv", []byte(strings.Repeat("x", i+1))); err != nil || kept != want {
			t.Errorf("kept %q, want %q, %v", kept, want, err)
		}
	}
	old, err := os.ReadFile(filepath.Join(dir, "tables", "serials.csv.before-1"))
	if err != nil || string(old) != "one" {
		t.Errorf("the first table is kept as %q, %v", old, err)
	}
	must(t, b.Close())
	b = open(t, dir)
	got := b.Tables()
	if len(got) != 1 || got[0].Kind != SerialTable || got[0].Name != "tables/serials.csv" || string(got[0].Data) != "xx" || got[0].Err != nil {
		t.Errorf("opened again: %+v", got)
	}
}

func TestTablesRefuse(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	for _, c := range []struct {
		kind TableKind
		ext  string
		data []byte
	}{
		{"../serials", ".csv", nil}, {SerialTable, ".txt", nil}, {SerialTable, "", nil}, {"", ".csv", nil},
		{FeatureTable, ".csv", make([]byte, maxTable+1)},
	} {
		if _, err := b.SetTable(c.kind, c.ext, c.data); err == nil {
			t.Errorf("%s%s of %d bytes was taken", c.kind, c.ext, len(c.data))
		}
	}
	big := filepath.Join(b.Dir(), "tables", "features.csv")
	must(t, os.WriteFile(big, make([]byte, maxTable+1), 0o644))
	must(t, os.Mkdir(filepath.Join(b.Dir(), "tables", "serials.csv"), 0o755))
	got := b.Tables()
	if len(got) != 2 || got[0].Err == nil || got[1].Err == nil || !strings.Contains(got[1].Err.Error(), "larger than 8 MiB") {
		t.Errorf("a folder and a file of 8 MiB and a byte: %d tables, %v", len(got), got)
	}
	must(t, b.Close())
	if _, err := b.SetTable(SerialTable, ".csv", nil); err != ErrClosed {
		t.Errorf("a closed bench: %v", err)
	}
}
