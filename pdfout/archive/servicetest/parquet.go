package servicetest

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	_ "embed"
)

// The outside reader of Parquet files is a database engine that npm carries as
// a library for node (MIT), so nothing of it is in this module. It works with
// Debian 12's node 18. The digests are those that the registry states for these
// versions (npm view name@version dist.integrity).
const engineVersion = "1.5.6-r.1"

var engine = map[string]string{
	"@duckdb/node-api":                  "yIPol6P4EQmsAUsb27donJf7iADrM31Ei/WkvhkZpSscjhEErYsuF19lsJ/qz5mUWxsKFQpLdjvrlhPQnMTBqw==",
	"@duckdb/node-bindings":             "/pWlTyvKC1d16iSMJCBAPwlmzoeXRs5Y9cqG+TpKd/YAW6Ke05FJg099v/Im2bkS9BgznNyNcAK1NxA1eQhSUw==",
	"@duckdb/node-bindings-linux-x64":   "IXcrZJE6kEqM0Z4wwdVnGBHX/frOS33VPNAwDXQ/Q+Fs84b058Qe94chrCCIcNJlG8Y3UHIUU4eBeCQxW5mN1Q==",
	"@duckdb/node-bindings-linux-arm64": "3jnUaDil1BrF/6vAZwVaInJ1xoBaWGHB4PDiUnzJWKCo8a8TLx9j7/gPyPl/UGRBftrYIuTihRZSfF4mWMgtWA==",
}

//go:embed sql.mjs
var sqlScript []byte

// SQL has the outside engine answer a query, which may read files by their
// absolute paths: SELECT count(*) FROM read_parquet('/tmp/x.parquet'). Numbers
// come as int64 when they are whole and fit, else float64; what JSON has no form
// for (dates, times in UTC, decimals, uuids, blobs) as the engine's text; lists as
// []any, structs as map[string]any.
func SQL(t testing.TB, query string) []map[string]any {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Fatal("node, which runs the outside reader of Parquet files, is not here: install Debian's package nodejs")
	}
	dir, err := reader()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, filepath.Join(dir, "sql.mjs"))
	cmd.Env = append(os.Environ(), "TZ=UTC") // the zone that times are said in
	cmd.Stdin = strings.NewReader(query)
	var out, trouble bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &trouble
	if err := cmd.Run(); err != nil {
		t.Fatalf("the outside engine does not answer %q: %v: %s", query, err, trouble.String())
	}
	d := json.NewDecoder(&out)
	d.UseNumber()
	var rows []map[string]any
	if err := d.Decode(&rows); err != nil {
		t.Fatalf("the outside engine's answer to %q: %v", query, err)
	}
	for _, r := range rows {
		for k, v := range r {
			r[k] = plain(v)
		}
	}
	return rows
}

// ReadParquet reads every row of a Parquet file with the outside engine, in the
// file's order; values are as those of SQL.
func ReadParquet(t testing.TB, path string) []map[string]any {
	t.Helper()
	abs, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	return SQL(t, "SELECT * FROM read_parquet('"+strings.ReplaceAll(abs, "'", "''")+"')")
}

// plain turns the numbers of decoded JSON into int64 or float64.
func plain(v any) any {
	switch v := v.(type) {
	case json.Number:
		if n, err := strconv.ParseInt(v.String(), 10, 64); err == nil {
			return n
		}
		f, err := v.Float64()
		if err != nil {
			return v.String()
		}
		return f
	case []any:
		for i := range v {
			v[i] = plain(v[i])
		}
	case map[string]any:
		for k := range v {
			v[k] = plain(v[k])
		}
	}
	return v
}

// reader is the folder with the engine and the script that asks it.
func reader() (string, error) {
	arch := map[string]string{"amd64": "x64", "arm64": "arm64"}[runtime.GOARCH]
	if arch == "" {
		return "", errors.New("the outside reader of Parquet files is there for amd64 and arm64 only, not for " + runtime.GOARCH)
	}
	dir, err := kept("parquet-reader-"+engineVersion, func(dir string) error {
		for _, name := range []string{"@duckdb/node-api", "@duckdb/node-bindings", "@duckdb/node-bindings-linux-" + arch} {
			if err := npm(name, filepath.Join(dir, "node_modules", name)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	// The script is this version's own, whatever the cache was filled by.
	script := filepath.Join(dir, "sql.mjs")
	if b, err := os.ReadFile(script); err == nil && bytes.Equal(b, sqlScript) {
		return dir, nil
	}
	tmp, err := os.CreateTemp(dir, "sql-*.mjs")
	if err != nil {
		return "", err
	}
	_, err = tmp.Write(sqlScript)
	if err := errors.Join(err, tmp.Close()); err != nil {
		return "", err
	}
	return dir, os.Rename(tmp.Name(), script)
}
