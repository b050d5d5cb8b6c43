package pdfout

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"

	"wornwood/annotate/grade"
)

// sameNumber is how far two figures of a grade may lie apart: processors round
// the last digits of a sum differently, and a report prints tenths.
const sameNumber = 1e-6

// differs compares a grade with one in JSON, figure by figure, and names the
// first place where they differ, "" when they are the same. Entries that only
// one side has count as a difference.
func differs(g *grade.Result, data []byte) string {
	b, err := json.Marshal(g)
	if err != nil {
		return err.Error()
	}
	var mine, theirs any
	if err := json.Unmarshal(b, &mine); err != nil {
		return err.Error()
	}
	if err := json.Unmarshal(data, &theirs); err != nil {
		return err.Error()
	}
	return difference("", mine, theirs)
}

func difference(path string, mine, theirs any) string {
	other := fmt.Sprintf("%s is %s in the report and %s when computed again", orWhole(path), short(theirs), short(mine))
	switch m := mine.(type) {
	case float64:
		if t, ok := theirs.(float64); ok && math.Abs(m-t) <= sameNumber {
			return ""
		}
		return other
	case []any:
		t, ok := theirs.([]any)
		if !ok || len(t) != len(m) {
			return other
		}
		for i := range m {
			if d := difference(fmt.Sprintf("%s %d", path, i+1), m[i], t[i]); d != "" {
				return d
			}
		}
		return ""
	case map[string]any:
		t, ok := theirs.(map[string]any)
		if !ok {
			return other
		}
		return differentEntry(path, m, t)
	}
	if mine != theirs {
		return other
	}
	return ""
}

func differentEntry(path string, mine, theirs map[string]any) string {
	keys := map[string]bool{}
	for k := range mine {
		keys[k] = true
	}
	for k := range theirs {
		keys[k] = true
	}
	sorted := make([]string, 0, len(keys))
	for k := range keys {
		sorted = append(sorted, k)
	}
	sort.Strings(sorted)
	for _, k := range sorted {
		at := k
		if path != "" {
			at = path + " " + k
		}
		if d := difference(at, mine[k], theirs[k]); d != "" {
			return d
		}
	}
	return ""
}

func orWhole(path string) string {
	if path == "" {
		return "the whole"
	}
	return path
}

// short shows a value in a few letters.
func short(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return "?"
	}
	if r := []rune(string(b)); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return string(b)
}
