package archive

import (
	"regexp"
	"strings"
	"testing"
)

// notPlain are what the statements must do without, each with where it is said
// that an engine lacks it, or does it otherwise. Read in stored copies of these
// pages; where an engine has gained one since, doing without harms nothing.
var notPlain = []struct{ pattern, source string }{
	{`(?i)create\s+extension|pg_trgm|similarity\(`, "https://www.cockroachlabs.com/docs/stable/postgresql-compatibility"},
	{`(?i)advisory`, "https://github.com/wheels-dev/wheels/pull/2746: \"CockroachDB does not support advisory locks\""},
	{`(?i)\b(un)?listen\b|\bnotify\b`, "https://psycopg.org/psycopg3/docs/api/crdb.html; https://docs.yugabyte.com/latest/explore/ysql-language-features/postgresql-compatibility/"},
	{`(?i)\block\s+table\b|\binherits\b|\bexclude\s+using\b|\bdeferrable\b|using\s+gist|generated\s+always`, "https://docs.yugabyte.com/latest/explore/ysql-language-features/postgresql-compatibility/"},
	{`(?i)using\s+\w*gin\b|tsvector|tsquery`, "https://docs.yugabyte.com/stable/explore/ysql-language-features/indexes-constraints/gin/: a scan takes one entry only"},
	{`(?i)create\s+(or\s+replace\s+)?(trigger|function|procedure|rule)|\bdo\s+\$`, "https://cockroachlabs.com/docs/v24.2/postgresql-compatibility: triggers"},
	{`(?i)\bdeclare\b|\bfetch\b|\bcursor\b|with\s+hold`, "https://psycopg.org/psycopg3/docs/api/crdb.html: server-side cursors"},
	{`(?i)\bbegin;|\bcommit;|;\s*\S`, "one statement at a time: https://docs.yugabyte.com/stable/explore/transactions (each DDL is a transaction of its own)"},
	{`(?i)\bserial\b\s+(primary|not)|bigserial|\bctid\b|\bxmin\b|\boid\b|tablesample|\bcollate\b|pg_catalog|current_setting|set_config`, "common practice: what engines and languages differ in"},
}

func TestPostgresSQLIsPlain(t *testing.T) {
	all := map[string]string{}
	for _, s := range pgTables {
		all[s] = s
	}
	for name, s := range pgSQL {
		all[name] = s
	}
	for _, column := range pgOrders {
		a, b := pgWalks(column, true)
		all["walk "+column], all["walk on "+column], all["gather "+column] = a, b, pgGather(column, false)
	}
	all["ten"] = pgTen(true)
	if len(all) < 60 {
		t.Fatalf("only %d statements: the test does not see all", len(all))
	}
	for name, s := range all {
		for _, n := range notPlain {
			if m := regexp.MustCompile(n.pattern).FindString(s); m != "" {
				t.Errorf("%s: %q, see %s", name, m, n.source)
			}
		}
		// Names stand in no schema that was not said, and definitions in no
		// statement that changes rows.
		if strings.Contains(strings.ToUpper(s), "CREATE ") && regexp.MustCompile(`(?i)\b(insert|update|delete)\b`).MatchString(s) {
			t.Errorf("%s defines and changes", name)
		}
		for _, m := range regexp.MustCompile(`(?i)\b(from|into|join|update|table( if not exists| if exists)?) ([a-z]+)\b`).FindAllStringSubmatch(s, -1) {
			if word := strings.ToLower(m[3]); word != "unnest" && word != "set" && word != "if" {
				t.Errorf("%s: the table %s stands in no schema", name, word)
			}
		}
	}
	// Each pattern is one that can be found.
	for _, bad := range []string{"CREATE EXTENSION pg_trgm", "SELECT pg_advisory_lock(1)", "LISTEN x", "LOCK TABLE x", "CREATE INDEX ON x USING gin (y)", "CREATE TRIGGER x", "DECLARE c CURSOR FOR SELECT 1", "SELECT 1; SELECT 2", "SELECT ctid FROM x"} {
		found := false
		for _, n := range notPlain {
			found = found || regexp.MustCompile(n.pattern).MatchString(bad)
		}
		if !found {
			t.Errorf("nothing forbids %s", bad)
		}
	}
}

// The terms of a row of post added one by one or together, and taken out again,
// are the same bytes.
func TestPostgresBits(t *testing.T) {
	var one []byte
	var places []uint16
	for i := range 700 {
		p := uint16(i * 2731 % pgBlock)
		places = append(places, p)
		b, err := merged(one, []uint16{p, p}, false)
		if err != nil {
			t.Fatal(err)
		}
		one = b
		all, err := merged(nil, places, false)
		if err != nil || string(all) != string(one) {
			t.Fatalf("%d places: %d bytes one by one, %d together (%v)", len(places), len(one), len(all), err)
		}
	}
	for len(places) > 0 {
		var err error
		if one, err = merged(one, places[:7], true); err != nil {
			t.Fatal(err)
		}
		places = places[7:]
		if all, err := merged(nil, places, false); len(places) > 0 && (err != nil || string(all) != string(one)) {
			t.Fatalf("%d left: other bytes (%v)", len(places), err)
		}
	}
	if one != nil {
		t.Errorf("%d bytes of an empty row", len(one))
	}
	for _, bad := range [][]byte{{1}, {0xff, 0xff}, make([]byte, pgBlockBytes+2)} {
		if err := newSet(0, 1).orBlock(0, bad); err == nil {
			t.Errorf("%d damaged bytes are taken", len(bad))
		}
	}
	for _, bad := range [][]byte{{9, 1}, {3, 1}, {255, 9}, {255, 1}} {
		if err := eachID(bad, func(int, uint32) {}); err == nil {
			t.Errorf("% x is taken for a row of col", bad)
		}
	}
}
