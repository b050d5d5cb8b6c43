package archivetest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
)

type rowTest = func(archive.Row) bool

// drawTerm is a random term as it is typed, and the same in Go.
func drawTerm(t *rapid.T) (string, rowTest) {
	draw := rapid.SampledFrom([]func(*rapid.T) (string, rowTest){bareTerm, bareTerm, phraseTerm, fieldTerm, fieldTerm, serialTerm, rangeTerm, rangeTerm, markTerm, exactTerm}).Draw(t, "kind of term")
	return draw(t)
}

// typed is the beginning of a text as somebody types it: in any case, in quotes
// where it has blanks.
func typed(t *rapid.T, s string) string {
	runes := []rune(s)
	s = string(runes[:rapid.IntRange(min(1, len(runes)), len(runes)).Draw(t, "letters")])
	switch rapid.IntRange(0, 2).Draw(t, "case") {
	case 0:
		s = strings.ToUpper(s)
	case 1:
		s = strings.ToLower(s)
	}
	return s
}

// begins tells whether every word of a text begins a word of one of the others.
func begins(words string, in ...string) bool {
	var all []string
	for _, s := range in {
		all = append(all, archive.Words(s)...)
	}
	for _, w := range archive.Words(words) {
		if !slices.ContainsFunc(all, func(s string) bool { return strings.HasPrefix(s, w) }) {
			return false
		}
	}
	return true
}

func texts(r archive.Row) []string {
	return []string{r.Maker, r.Model, r.Class, r.Examiner, r.Shop, r.Words}
}

func bareTerm(t *rapid.T) (string, rowTest) {
	s := typed(t, one(t, slices.Concat(pool.word, pool.serial, []string{"Rowe", "Østerby", "flat-top", "ostergard", "ca-wo", "nowhere"}), "bare"))
	s = strings.TrimLeft(strings.ReplaceAll(s, " ", "-"), "-")
	if len(archive.Words(s)) == 0 {
		s = "case"
	}
	key := archive.SerialKey(s)
	return s, func(r archive.Row) bool {
		return begins(s, texts(r)...) || (strings.ContainsAny(key, "0123456789") && strings.HasPrefix(archive.SerialKey(r.Serial), key))
	}
}

func phraseTerm(t *rapid.T) (string, rowTest) {
	var words []string
	for range rapid.IntRange(1, 3).Draw(t, "words of a phrase") {
		words = append(words, one(t, slices.Concat(pool.word, []string{"works", "osterby", "top"}), "phrase"))
	}
	s := strings.Join(words, " ")
	folded := archive.Words(s)
	return `"` + s + `"`, func(r archive.Row) bool {
		return slices.ContainsFunc(texts(r), func(text string) bool {
			w := archive.Words(text)
			for i := range w {
				if i+len(folded) <= len(w) && slices.Equal(w[i:i+len(folded)], folded) {
					return true
				}
			}
			return false
		})
	}
}

func fieldTerm(t *rapid.T) (string, rowTest) {
	field := one(t, []string{"maker", "model", "class", "examiner", "shop"}, "field")
	of := func(r archive.Row) string { return valuesOf(r, field)[0] }
	list := map[string][]string{"maker": pool.maker, "model": pool.model, "class": pool.class, "examiner": pool.examiner, "shop": pool.shop}[field]
	s := typed(t, one(t, list, "value"))
	if len(archive.Words(s)) == 0 {
		s = "larkfoot"
	}
	return field + `:"` + s + `"`, func(r archive.Row) bool { return begins(s, of(r)) }
}

func serialTerm(t *rapid.T) (string, rowTest) {
	if rapid.Bool().Draw(t, "a report's number") {
		s := typed(t, one(t, []string{"CR-2026-0012", "cr-2026-1", "X 3", "CR-2026-00"}, "number"))
		return `number:"` + s + `"`, func(r archive.Row) bool {
			return strings.HasPrefix(archive.FoldText(r.Number), archive.FoldText(s))
		}
	}
	s := typed(t, one(t, []string{"L-4I87O", "FO X12", "4 1002", "o12", "m"}, "serial number"))
	return `serial:"` + s + `"`, func(r archive.Row) bool {
		return strings.HasPrefix(archive.SerialKey(r.Serial), archive.SerialKey(s))
	}
}

// ends draws a span of one list's values: both ends or one, as typed.
func ends(t *rapid.T, list []string) (string, string, string) {
	i := rapid.IntRange(0, len(list)-1).Draw(t, "from")
	j := rapid.IntRange(i, len(list)-1).Draw(t, "to")
	switch rapid.IntRange(0, 3).Draw(t, "span") {
	case 0:
		return list[i], list[i], list[i]
	case 1:
		return list[i], "", list[i] + ".."
	case 2:
		return "", list[j], ".." + list[j]
	}
	return list[i], list[j], list[i] + ".." + list[j]
}

func rangeTerm(t *rapid.T) (string, rowTest) {
	within := func(v, from, to string) bool { return v >= from && (to == "" || v[:min(len(v), len(to))] <= to) }
	number := func(s string, none float64) float64 {
		if s != "" {
			_, _ = fmt.Sscan(s, &none)
		}
		return none
	}
	switch one(t, []string{"date", "filed", "year", "index", "condition"}, "range") {
	case "date":
		from, to, s := ends(t, []string{"2024", "2025-02", "2025-12-24", "2026-03", "2026-11", "2027"})
		return "date:" + s, func(r archive.Row) bool { return within(r.Date, from, to) }
	case "filed":
		from, to, s := ends(t, []string{"2026", "2026-11-20", "2026-12", "2027-01-03", "2027-03", "2028"})
		return "filed:" + s, func(r archive.Row) bool { return within(r.Filed.UTC().Format(time.RFC3339), from, to) }
	case "year":
		from, to, s := ends(t, []string{"1929", "1940", "1961", "1974", "2001"})
		return "year:" + s, func(r archive.Row) bool {
			return r.YearTo > 0 && float64(r.YearTo) >= number(from, 1) && float64(r.YearFrom) <= number(to, 9999)
		}
	case "index":
		from, to, s := ends(t, []string{"0", "12.5", "61", "80", "80.95", "100"})
		return "index:" + s, func(r archive.Row) bool {
			if strings.Contains(s, "..") {
				return r.Index != nil && *r.Index >= number(from, 0) && *r.Index <= number(to, 1000)
			}
			return r.Index != nil && *r.Index >= number(from, 0) && *r.Index < number(from, 0)+1
		}
	}
	from, to, s := ends(t, []string{"1", "2", "4", "6"})
	return "condition:" + s, func(r archive.Row) bool {
		return r.Condition > 0 && float64(r.Condition) >= number(from, 1) && float64(r.Condition) <= number(to, 6)
	}
}

func markTerm(t *rapid.T) (string, rowTest) {
	if rapid.Bool().Draw(t, "a mark") {
		s := typed(t, one(t, pool.kind, "kind"))
		return `kind:"` + s + `"`, func(r archive.Row) bool {
			return slices.ContainsFunc(r.Kinds, func(k string) bool { return strings.HasPrefix(archive.FoldText(k), archive.FoldText(s)) })
		}
	}
	s, state := typed(t, one(t, pool.part, "part")), one(t, append([]string{"", "replaced"}, pool.state...), "state")
	line := `part:"` + s + `"`
	if state != "" {
		line = `part:"` + s + "=" + state + `"`
	}
	return line, func(r archive.Row) bool {
		return slices.ContainsFunc(r.Parts, func(p archive.PartState) bool {
			is := state == "" || p.State == state || (state == "replaced" && strings.HasSuffix(p.State, " replacement"))
			return is && strings.HasPrefix(archive.FoldText(p.Part), archive.FoldText(s))
		})
	}
}

func exactTerm(t *rapid.T) (string, rowTest) {
	switch one(t, []string{"purpose", "key", "verdict", "has"}, "exact") {
	case "purpose":
		s := one(t, []string{"before listing", "INTAKE", "other"}, "purpose")
		return `purpose:"` + s + `"`, func(r archive.Row) bool { return archive.FoldText(r.Purpose) == archive.FoldText(s) }
	case "key":
		s := sum(fmt.Append(nil, "key ", rapid.IntRange(0, 4).Draw(t, "key")))[:rapid.IntRange(1, 64).Draw(t, "digits")]
		return "key:" + s, func(r archive.Row) bool { return strings.HasPrefix(r.Key, s) }
	case "verdict":
		s := one(t, []string{archive.KnownKey, archive.TrustedKey, archive.UnknownKey}, "verdict")
		return "verdict:" + s, func(r archive.Row) bool { return r.Verdict == s }
	}
	what := one(t, []string{"countersignature", "timestamp", "originals", "photos", "marks"}, "has")
	return "has:" + what, func(r archive.Row) bool {
		return map[string]bool{"countersignature": r.Countersigned, "timestamp": r.Stamped, "originals": r.Originals > 0, "photos": r.Photos > 0, "marks": len(r.Kinds) > 0}[what]
	}
}
