package archive

import (
	"encoding/json"
	"fmt"
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
	rows, err := x.db.Query(query+` ORDER BY seq`, args...)
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

// suggested are the column that holds the values of a field and the table it
// stands in.
var suggested = map[string][2]string{"maker": {"maker", "report"}, "model": {"model", "report"}, "class": {"class", "report"}, "serial": {"serial", "report"}, "number": {"number", "report"},
	"examiner": {"examiner", "report"}, "shop": {"shop", "report"}, "kind": {"kind", "mark"}, "part": {"part", "part"}}

func (x *sqlite) Suggest(field, begin string, most int) ([]Count, error) {
	from, is := suggested[field]
	if !is {
		return nil, fmt.Errorf("there are no suggestions for %q; for %s", field, strings.Join(SuggestFields(), ", "))
	}
	column, key := "lower("+from[0]+")", fold(begin)
	if field == "serial" {
		column, key = "serialkey", SerialKey(begin)
	}
	rows, err := x.db.Query(`SELECT min(`+from[0]+`) FROM `+from[1]+` WHERE `+column+` >= ? AND `+column+` < ? GROUP BY `+column+` ORDER BY `+column+` LIMIT ?`, key, key+last, most)
	if err != nil {
		return nil, unusable(err)
	}
	defer rows.Close()
	out := []Count{}
	for rows.Next() {
		var c Count
		if err := rows.Scan(&c.Value); err != nil {
			return nil, unusable(err)
		}
		out = append(out, c)
	}
	if err := rows.Err(); err != nil {
		return nil, unusable(err)
	}
	return out, nil
}
