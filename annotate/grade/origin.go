package grade

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Shipped tells whether the rubric came with the program. Only its hash
// decides: whatever a table says of itself, it is a shop's own.
func (r *Rubric) Shipped() bool { return ByHash(r.hash) != nil }

// Origin says in words whose rubric it is; "" for one that came with the
// program. What a table says it is based on is said only when the program
// knows that one.
func (r *Rubric) Origin() string {
	switch base := ByHash(r.basedOn); {
	case r.Shipped():
		return ""
	case base != nil:
		return "changed by the shop from " + base.Name
	}
	return "a rubric of the shop's own, not one of Wornwood's"
}

// Title is the name with the first digits of the hash and, where it is not one
// of the program's, the origin: "House rubric (1f0c92ab4d5e), changed by the
// shop from Wornwood condition rubric 3".
func (r *Rubric) Title() string {
	t := fmt.Sprintf("%s (%s)", r.Name, ShortHash(r.hash))
	if o := r.Origin(); o != "" {
		t += ", " + o
	}
	return t
}

// ShortHash is as much of a hash as a person compares.
func ShortHash(hash string) string { return hash[:min(12, len(hash))] }

// Table is the whole table in canonical JSON (RFC 8785); its SHA-256 is Hash.
func (r *Rubric) Table() []byte { return bytes.Clone(r.table) }

// Copy is the table as a file to change: laid out to be read, with a name of
// its own and the hash of the one that it is based on. Load takes it back.
func (r *Rubric) Copy(name string) ([]byte, error) {
	head := *r
	head.Name = name
	var rows []string
	for _, part := range []any{head, tableFile{BasedOn: r.hash, Depths: r.depthFamilies, Places: r.places, Kinds: r.rows(), Profiles: r.profiles, Setup: r.setup}} {
		more, err := laidOut(part, "  ")
		if err != nil {
			return nil, fmt.Errorf("copy rubric: %w", err)
		}
		rows = append(rows, more...)
	}
	// What it is based on stands below the name.
	i := slices.IndexFunc(rows, func(s string) bool { return strings.HasPrefix(s, `  "basedOn"`) })
	rows = slices.Insert(rows, 1, rows[i])
	rows = slices.Delete(rows, i+1, i+2)
	var out bytes.Buffer
	out.WriteString("{\n" + strings.Join(rows, ",\n") + "\n}\n")
	if _, err := Load(out.Bytes()); err != nil {
		return nil, fmt.Errorf("copy rubric: %w", err)
	}
	return out.Bytes(), nil
}

// CopyName is the name that a copy of the rubric is offered.
func (r *Rubric) CopyName(shop string) string {
	name := "House rubric"
	if shop = strings.Join(strings.Fields(shop), " "); shop != "" && !strings.HasPrefix(strings.ToLower(shop), "wornwood") {
		name = shop + " rubric"
	}
	if n := []rune(name); len(n) > maxName {
		name = strings.TrimSpace(string(n[:maxName]))
	}
	return name
}

// rows are the kinds as the table has them.
func (r *Rubric) rows() []kindRow {
	var t tableFile
	if err := json.Unmarshal(r.table, &t); err != nil {
		return nil // it was read once
	}
	return t.Kinds
}

// laidOut writes the entries of an object one under the other.
func laidOut(v any, indent string) ([]string, error) {
	b, err := encoded(v)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(strings.NewReader(b))
	if _, err := d.Token(); err != nil {
		return nil, err
	}
	var out []string
	for d.More() {
		k, err := d.Token()
		if err != nil {
			return nil, err
		}
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			return nil, err
		}
		out = append(out, fmt.Sprintf("%s%q: %s", indent, k, opened(value, indent)))
	}
	return out, nil
}

// opened writes a list of objects with one of them in each line, and an object,
// at the top or with such a list in it, over several lines.
func opened(value json.RawMessage, indent string) string {
	in := indent + "  "
	var list []json.RawMessage
	if json.Unmarshal(value, &list) == nil && len(list) > 0 && list[0][0] == '{' {
		rows := make([]string, len(list))
		for i, e := range list {
			rows[i] = in + string(e)
			if bytes.Contains(e, []byte("[{")) {
				rows[i] = in + opened(e, in)
			}
		}
		return "[\n" + strings.Join(rows, ",\n") + "\n" + indent + "]"
	}
	if value[0] == '{' {
		if rows, err := laidOut(value, in); err == nil && len(rows) > 0 {
			return "{\n" + strings.Join(rows, ",\n") + "\n" + indent + "}"
		}
	}
	return string(value)
}

func encoded(v any) (string, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return strings.TrimSpace(b.String()), err
}
