package archive_test

import (
	"context"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// grants are the statements of SHARED.md under the heading, with the schema and
// the database of a test in place of those of the text.
func grants(t *testing.T, genesis, database, password string) []string {
	t.Helper()
	text, err := os.ReadFile("SHARED.md")
	if err != nil {
		t.Fatal(err)
	}
	_, part, found := strings.Cut(string(text), "## Roles of the database")
	_, part, found2 := strings.Cut(part, "```sql\n")
	part, _, found3 := strings.Cut(part, "```")
	if !found || !found2 || !found3 {
		t.Fatal("SHARED.md has no statements for the roles")
	}
	var out []string
	for _, s := range strings.Split(regexp.MustCompile(`--[^\n]*`).ReplaceAllString(part, ""), ";") {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, strings.NewReplacer("wornwood_0123456789abcdef", schemaOf(genesis), "DATABASE archives", "DATABASE "+database, "'…'", "'"+password+"'").Replace(s))
		}
	}
	return out
}

// as is the DSN of another role.
func as(t *testing.T, dsn, role, password string) string {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	u.User = url.UserPassword(role, password)
	return u.String()
}

// The statements of SHARED.md give a reader what finding takes and nothing
// more, a filer what filing takes, and a keeper the rest.
func TestPostgresRoles(t *testing.T) {
	srv := servicetest.PostgresServer(t) // roles are of a whole server
	dsn, genesis := srv.DSN(), hash([]byte("roles"))
	for _, s := range grants(t, genesis, "test", "secret") {
		runSQL(t, dsn, s)
	}
	keeper := openPostgres(t, as(t, dsn, "keeper", "secret"), genesis) // makes the tables
	filer := openPostgres(t, as(t, dsn, "filer", "secret"), genesis)
	release, err := filer.Lock(archivetest.When)
	if err != nil {
		t.Fatal(err)
	}
	if err := filer.Apply(archivetest.Events(1, 20)); err != nil {
		t.Fatal(err)
	}
	reader, err := archive.OpenPostgres(context.Background(), as(t, dsn, "reader", "secret"), genesis, true)
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	looks(t, reader)
	if err := release(); err != nil {
		t.Error(err)
	}
	// With the program's own care taken away, the database still refuses.
	bold := openPostgres(t, as(t, dsn, "reader", "secret"), genesis)
	events, at := archivetest.Events(21, 1)
	for what, err := range map[string]error{"files": bold.Apply(events, at), "empties": bold.Reset(), "locks": func() error { _, err := bold.Lock(archivetest.When); return err }()} {
		if err == nil || !strings.Contains(err.Error(), "may not do that") || strings.Contains(err.Error(), "\n") {
			t.Errorf("a reader %s: %v", what, err)
		}
	}
	if err := filer.Reset(); err == nil || !strings.Contains(err.Error(), "may not do that") {
		t.Errorf("a filer empties the index: %v", err)
	}
	if at, err := filer.At(); err != nil || at.Seq != 20 {
		t.Errorf("after that the index is at %v (%v)", at, err)
	}
	if err := keeper.Reset(); err != nil {
		t.Errorf("a keeper: %v", err)
	}
	// Tables made anew are everybody's as before.
	runSQL(t, dsn, "UPDATE "+schemaOf(genesis)+".place SET version = '0'")
	if err := keeper.Reset(); err != nil {
		t.Errorf("a keeper: %v", err)
	}
	again := openPostgres(t, as(t, dsn, "filer", "secret"), genesis)
	if err := again.Apply(archivetest.Events(1, 20)); err != nil {
		t.Errorf("a filer, after the tables were made anew: %v", err)
	}
	if f, err := reader.Find(mustParse(t, "sunburst"), 0, 50); err != nil || len(f.Rows) != 20 {
		t.Errorf("a reader, after the tables were made anew: %v (%v)", f, err)
	}
}

// looks tries everything that a reader does, while somebody is at work.
func looks(t *testing.T, reader *archive.Postgres) {
	t.Helper()
	if f, err := reader.Find(mustParse(t, "sunburst sort:index"), 0, 50); err != nil || len(f.Rows) != 20 {
		t.Fatalf("a reader finds %v (%v)", f, err)
	}
	if c, err := reader.Counts(mustParse(t, "halden"), "kind"); err != nil || len(c) == 0 {
		t.Errorf("a reader counts %v (%v)", c, err)
	}
	if c, err := reader.Suggest("maker", "h", 5); err != nil || len(c) != 1 {
		t.Errorf("a reader is suggested %v (%v)", c, err)
	}
	if !reader.AtWork() {
		t.Error("a reader does not see that somebody is at work")
	}
}
