package servicetest

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
)

func TestSQL(t *testing.T) {
	began := time.Now()
	if got := SQL(t, "SELECT 1 AS one"); !reflect.DeepEqual(got, []map[string]any{{"one": int64(1)}}) {
		t.Errorf("select 1: %v", got)
	}
	t.Logf("first answer after %v", time.Since(began))
	began = time.Now()
	if got := SQL(t, "SELECT 1 WHERE false"); len(got) != 0 {
		t.Errorf("no row: %v", got)
	}
	t.Logf("second answer after %v", time.Since(began))
}

// TestReadParquet reads back a file that the engine wrote, of every kind of
// value that a register may have in it.
func TestReadParquet(t *testing.T) {
	path := filepath.Join(t.TempDir(), "it's.parquet")
	SQL(t, `COPY (SELECT * FROM (VALUES
		(9007199254740993::BIGINT, DATE '2021-03-04', TIMESTAMPTZ '2021-03-04 05:06:07+00', 'Merrow & Finch ä', [1, 2], {'a': 0.5::DOUBLE}, true, 12.50::DECIMAL(6,2)),
		(NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL)) t(n, d, ts, s, l, st, b, dec))
		TO '`+strings.ReplaceAll(path, "'", "''")+`' (FORMAT parquet)`)
	head, err := os.ReadFile(path)
	if err != nil || string(head[:4]) != "PAR1" {
		t.Fatalf("the written file begins with %q, %v", head[:4], err)
	}
	want := []map[string]any{
		{"n": int64(9007199254740993), "d": "2021-03-04", "ts": "2021-03-04 05:06:07+00", "s": "Merrow & Finch ä",
			"l": []any{int64(1), int64(2)}, "st": map[string]any{"a": 0.5}, "b": true, "dec": "12.50"},
		{"n": nil, "d": nil, "ts": nil, "s": nil, "l": nil, "st": nil, "b": nil, "dec": nil},
	}
	if got := ReadParquet(t, path); !reflect.DeepEqual(got, want) {
		t.Errorf("read %#v, want %#v", got, want)
	}
}
