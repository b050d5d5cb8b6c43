package archive

import (
	"encoding/json"
	"strings"
)

func (x *sqlite) Notes(kinds ...EventKind) ([]Entry, error) {
	query, args := `SELECT line FROM note`, []any{}
	if len(kinds) > 0 {
		query += ` WHERE kind IN (?` + strings.Repeat(", ?", len(kinds)-1) + `)`
		for _, k := range kinds {
			args = append(args, string(k))
		}
	}
	rows, err := x.reads.Query(query+` ORDER BY seq`, args...)
	if err != nil {
		return nil, unusable(err)
	}
	defer rows.Close()
	out := []Entry{}
	for rows.Next() {
		var line string
		var e Entry
		if err := rows.Scan(&line); err != nil {
			return nil, unusable(err)
		}
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			return nil, unusable(err)
		}
		out = append(out, e)
	}
	if err := rows.Err(); err != nil {
		return nil, unusable(err)
	}
	return out, nil
}
