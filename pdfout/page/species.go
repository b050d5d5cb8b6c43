package page

import (
	"slices"
	"strings"

	"wornwood/annotate/caution"
)

// appears puts "appears to be" before a material that a look cannot tell.
func (l *layout) appears(s string) string {
	if s = clean(s); s == "" || len(caution.Find(s)) == 0 || strings.Contains(strings.ToLower(s), "appear") {
		return s
	}
	r := []rune(s)
	if len(r) > 1 && !(r[1] >= 'A' && r[1] <= 'Z') {
		s = strings.ToLower(string(r[:1])) + string(r[1:])
	}
	return l.say("species.appears", s)
}

// material is an entry on a part as the report prints it: "appears to be" stands
// before it unless, for every material that it names, a document is attached.
func (l *layout) material(s, on string) string {
	found := caution.Find(s)
	if len(found) == 0 {
		return clean(s)
	}
	for _, m := range found {
		if !l.documented(m, on) {
			return l.appears(s)
		}
	}
	return clean(s)
}

func (l *layout) documented(m caution.Material, on string) bool {
	rec := l.r.Record
	for _, x := range rec.Materials {
		if x.Name == m.Name && (on == "" || strings.EqualFold(x.On, on)) && caution.HasDocument(rec, x) {
			return true
		}
	}
	return false
}

// materialCautions are the cautions by material, and whom to ask.
func (l *layout) materialCautions() []string {
	out := slices.Clone(caution.Cautions(l.r.Record))
	for i := range out {
		out[i] = l.phrase("caution", out[i])
	}
	return out
}
