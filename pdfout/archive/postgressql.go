package archive

import (
	"fmt"
	"strings"
)

// pgVersion is the version of the tables below.
const pgVersion = "1"

// pgSQL are the statements of the index on PostgreSQL, all of them: what stands
// here is all that an engine must understand. An @ stands before a table's name
// for the schema. TestPostgresSQLIsPlain holds them to what SHARED.md promises.
//
// Everything that is found lies in post: for each term, and each run of
// pgBlock numbers of log lines, which of the lines have the term. What reports
// are counted and put in order by lies in col, as numbers of values. So a query
// reads few rows by primary key, whatever the engine, and no index of a special
// kind is needed. Texts are BYTEA: they sort by their bytes on every engine and
// in every language.
var pgTables = []string{
	`CREATE SCHEMA IF NOT EXISTS @`,
	`CREATE TABLE IF NOT EXISTS @place (one BIGINT PRIMARY KEY, version TEXT NOT NULL, genesis TEXT NOT NULL, seq BIGINT NOT NULL, head TEXT NOT NULL, ending BIGINT NOT NULL)`,
	`CREATE TABLE IF NOT EXISTS @lease (one BIGINT PRIMARY KEY, fence BIGINT NOT NULL, token TEXT NOT NULL, holder TEXT NOT NULL, until TIMESTAMPTZ NOT NULL)`,
	// Always empty: whoever may empty it may empty the rest, which Reset tries first.
	`CREATE TABLE IF NOT EXISTS @keeping (one BIGINT PRIMARY KEY)`,
	`CREATE TABLE IF NOT EXISTS @report (seq BIGINT PRIMARY KEY, hash BYTEA NOT NULL, first BYTEA NOT NULL, number BYTEA NOT NULL, numberkey BYTEA NOT NULL,
		serialkey BYTEA NOT NULL, serial BYTEA NOT NULL, cond DOUBLE PRECISION NOT NULL, size BIGINT NOT NULL, doc BYTEA NOT NULL)`,
	`CREATE UNIQUE INDEX IF NOT EXISTS report_hash ON @report (hash)`,
	`CREATE INDEX IF NOT EXISTS report_first ON @report (first, seq)`,
	`CREATE INDEX IF NOT EXISTS report_numberkey ON @report (numberkey, seq)`,
	`CREATE INDEX IF NOT EXISTS report_serialkey ON @report (serialkey, seq)`,
	`CREATE INDEX IF NOT EXISTS report_cond ON @report (cond, seq)`,
	`CREATE INDEX IF NOT EXISTS report_size ON @report (size, seq)`,
	`CREATE TABLE IF NOT EXISTS @post (term BYTEA NOT NULL, block BIGINT NOT NULL, bits BYTEA NOT NULL, PRIMARY KEY (term, block))`,
	`CREATE TABLE IF NOT EXISTS @col (field BIGINT NOT NULL, block BIGINT NOT NULL, ids BYTEA NOT NULL, PRIMARY KEY (field, block))`,
	`CREATE TABLE IF NOT EXISTS @value (field BIGINT NOT NULL, id BIGINT NOT NULL, digest BYTEA NOT NULL, text BYTEA NOT NULL, folded BYTEA NOT NULL, n BIGINT NOT NULL, PRIMARY KEY (field, id))`,
	`CREATE UNIQUE INDEX IF NOT EXISTS value_digest ON @value (field, digest)`,
	`CREATE INDEX IF NOT EXISTS value_folded ON @value (field, folded, id)`,
	`CREATE TABLE IF NOT EXISTS @refused (hash BYTEA PRIMARY KEY, seq BIGINT NOT NULL)`,
	`CREATE TABLE IF NOT EXISTS @note (seq BIGINT PRIMARY KEY, kind TEXT NOT NULL, line BYTEA NOT NULL)`,
}

// pgEmptied are the tables that Reset empties.
var pgEmptied = []string{"report", "post", "col", "value", "refused", "note"}

var pgSQL = map[string]string{
	"begin place": `INSERT INTO @place (one, version, genesis, seq, head, ending) VALUES (1, $1, $2, 0, '', 0) ON CONFLICT (one) DO NOTHING`,
	"begin lease": `INSERT INTO @lease (one, fence, token, holder, until) VALUES (1, 0, '', '', now()) ON CONFLICT (one) DO NOTHING`,
	"place":       `SELECT version, genesis, seq, head, ending FROM @place WHERE one = 1`,
	"mark place":  `UPDATE @place SET version = $1, seq = 0, head = '', ending = 0 WHERE one = 1`,
	// The writer's fence: nobody else moved the index meanwhile, and nobody else
	// took the lease where this one had it ($6 is -1 without one).
	"move place": `UPDATE @place SET seq = $3, head = $4, ending = $5 WHERE one = 1 AND seq = $1 AND head = $2 AND version = $8
		AND ($6::bigint < 0 OR EXISTS (SELECT 1 FROM @lease WHERE one = 1 AND fence = $6::bigint AND token = $7))`,
	"empty": `TRUNCATE TABLE @`,
	"drop":  `DROP TABLE IF EXISTS @`,

	"take lease": `UPDATE @lease SET fence = fence + 1, token = $1, holder = $2, until = now() + $3::bigint * INTERVAL '1 millisecond'
		WHERE one = 1 AND (token = '' OR until < now()) RETURNING fence`,
	"see lease":  `SELECT fence, token, holder, until > now() AND token <> '' FROM @lease WHERE one = 1`,
	"keep lease": `UPDATE @lease SET until = now() + $3::bigint * INTERVAL '1 millisecond' WHERE one = 1 AND token = $1 AND fence = $2`,
	"give lease": `UPDATE @lease SET token = '', holder = '' WHERE one = 1 AND token = $1`,

	"add reports": `INSERT INTO @report (seq, hash, first, number, numberkey, serialkey, serial, cond, size, doc)
		SELECT * FROM unnest($1::bigint[], $2::bytea[], $3::bytea[], $4::bytea[], $5::bytea[], $6::bytea[], $7::bytea[], $8::double precision[], $9::bigint[], $10::bytea[])`,
	"drop report": `DELETE FROM @report WHERE seq = $1`,
	"by hash":     `SELECT seq, doc FROM @report WHERE hash = $1`,
	"by first":    `SELECT seq, doc FROM @report WHERE first = $1 ORDER BY seq`,
	"by seqs":     `SELECT seq, doc FROM @report WHERE seq = ANY ($1::bigint[])`,
	"add refused": `INSERT INTO @refused (hash, seq) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING`,
	"refused":     `SELECT seq FROM @refused WHERE hash = $1`,
	"unrefuse":    `DELETE FROM @refused WHERE hash = $1`,
	"add note":    `INSERT INTO @note (seq, kind, line) VALUES ($1, $2, $3)`,
	"notes":       `SELECT line FROM @note ORDER BY seq`,
	"notes of":    `SELECT line FROM @note WHERE kind = ANY ($1::text[]) ORDER BY seq`,

	"posts at": `SELECT p.term, p.block, p.bits FROM unnest($1::bytea[], $2::bigint[]) AS u (term, block) JOIN @post p ON p.term = u.term AND p.block = u.block`,
	"put posts": `INSERT INTO @post (term, block, bits) SELECT * FROM unnest($1::bytea[], $2::bigint[], $3::bytea[])
		ON CONFLICT (term, block) DO UPDATE SET bits = excluded.bits`,
	"drop post":  `DELETE FROM @post WHERE term = $1 AND block = $2`,
	"post":       `SELECT block, bits FROM @post WHERE term = $1 AND block >= $2 AND block < $3`,
	"posts from": `SELECT term, block, bits FROM @post WHERE term >= $1 AND term < $2 AND block >= $3 AND block < $4`,

	"cols at":  `SELECT c.field, c.block, c.ids FROM unnest($1::bigint[], $2::bigint[]) AS u (field, block) JOIN @col c ON c.field = u.field AND c.block = u.block`,
	"put cols": `INSERT INTO @col (field, block, ids) SELECT * FROM unnest($1::bigint[], $2::bigint[], $3::bytea[]) ON CONFLICT (field, block) DO UPDATE SET ids = excluded.ids`,
	"col":      `SELECT block, ids FROM @col WHERE field = $1 AND block >= $2 AND block < $3`,
	"col of":   `SELECT block, ids FROM @col WHERE field = $1 AND block = ANY ($2::bigint[])`,

	"values at":  `SELECT v.field, v.digest, v.id FROM unnest($1::bigint[], $2::bytea[]) AS u (field, digest) JOIN @value v ON v.field = u.field AND v.digest = u.digest`,
	"last value": `SELECT id FROM @value WHERE field = $1 ORDER BY id DESC LIMIT 1`,
	"put values": `INSERT INTO @value (field, id, digest, text, folded, n) SELECT * FROM unnest($1::bigint[], $2::bigint[], $3::bytea[], $4::bytea[], $5::bytea[], $6::bigint[])
		ON CONFLICT (field, id) DO UPDATE SET n = @value.n + excluded.n`,
	"drop value":  `DELETE FROM @value WHERE field = $1 AND digest = $2 AND n <= 0`,
	"values":      `SELECT id, text, n FROM @value WHERE field = $1`,
	"values of":   `SELECT id, text, n FROM @value WHERE field = $1 AND id = ANY ($2::bigint[])`,
	"values past": `SELECT folded, id, text, n FROM @value WHERE field = $1 AND folded < $3 AND (folded > $2 OR (folded = $2 AND id > $5)) ORDER BY folded, id LIMIT $4`,

	"seqs of hash":   `SELECT seq FROM @report WHERE hash >= $1 AND hash <= $2 ORDER BY hash LIMIT $3`,
	"seqs of number": `SELECT seq FROM @report WHERE numberkey >= $1 AND numberkey < $2`,
	"seqs of serial": `SELECT seq FROM @report WHERE serialkey >= $1 AND serialkey < $2`,
	"seqs at number": `SELECT seq FROM @report WHERE numberkey = $1`,
	"seqs at serial": `SELECT seq FROM @report WHERE serialkey = $1`,
	"seqs of cond":   `SELECT seq FROM @report WHERE cond >= $1 AND cond < $2`,
	"seqs to cond":   `SELECT seq FROM @report WHERE cond >= $1 AND cond <= $2`,

	"serials all":  `SELECT count(*), serial FROM @report GROUP BY serial`,
	"serials each": `SELECT seq, serial FROM @report`,
	"serials of":   `SELECT count(*), serial FROM @report WHERE seq = ANY ($1::bigint[]) GROUP BY serial`,
	"serials past": `SELECT serialkey, seq, serial FROM @report WHERE serialkey < $2 AND (serialkey > $1 OR (serialkey = $1 AND seq > $3)) ORDER BY serialkey, seq LIMIT $4`,
	"numbers past": `SELECT numberkey, seq, number FROM @report WHERE numberkey < $2 AND (numberkey > $1 OR (numberkey = $1 AND seq > $3)) ORDER BY numberkey, seq LIMIT $4`,
	"sound":        `SELECT count(*) FROM @report`,
}

// pgWalks are the statements that go along an order of the reports, by the
// column: the first piece of it, and those that follow.
func pgWalks(column string, down bool) (first, further string) {
	more, order := ">", "ASC"
	if down {
		more, order = "<", "DESC"
	}
	first = fmt.Sprintf(`SELECT %[1]s, seq FROM @report ORDER BY %[1]s %[2]s, seq %[2]s LIMIT $1`, column, order)
	further = fmt.Sprintf(`SELECT %[1]s, seq FROM @report WHERE %[1]s %[2]s= $2 AND (%[1]s %[2]s $2 OR seq %[2]s $3) ORDER BY %[1]s %[3]s, seq %[3]s LIMIT $1`, column, more, order)
	return first, further
}

// pgGather is the order of the reports that are named, by the column.
func pgGather(column string, down bool) string {
	order := "ASC"
	if down {
		order = "DESC"
	}
	return fmt.Sprintf(`SELECT seq FROM @report WHERE seq = ANY ($1::bigint[]) ORDER BY %[1]s %[2]s, seq %[2]s `, column, order)
}

// pgTen is the reports with an index from one value up to under another.
func pgTen(down bool) string {
	order := "ASC"
	if down {
		order = "DESC"
	}
	return fmt.Sprintf(`SELECT seq FROM @report WHERE cond >= $1 AND cond < $2 ORDER BY cond %[1]s, seq %[1]s`, order)
}

// in puts the schema's name into a statement.
func (x *Postgres) in(statement string) string {
	if strings.HasSuffix(statement, "SCHEMA IF NOT EXISTS @") {
		return strings.TrimSuffix(statement, "@") + x.schema
	}
	return strings.ReplaceAll(statement, "@", x.schema+".")
}

// sql is a statement of pgSQL.
func (x *Postgres) sql(name string) string {
	s, is := pgSQL[name]
	if !is {
		panic("no statement " + name)
	}
	return x.in(s)
}
