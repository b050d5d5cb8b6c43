package page

import "strings"

// protected are words for woods and materials whose trade may be regulated
// under CITES for some species: names that dealers use for several species at
// once, so that a look cannot tell. From the general cautions; the appendices
// change, which is why the report says to ask and does not say what holds.
var protected = []string{"rosewood", "palisander", "ebony", "bubinga", "cocobolo", "mahogany", "ivory", "tortoise", "abalone", "pernambuco", "ray skin", "whale"}

// regulated tells whether a text names such a material.
func regulated(s string) bool {
	s = strings.ToLower(s)
	for _, w := range protected {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}

// appears puts "appears to be" before a material that a look cannot tell.
func appears(s string) string {
	if s = clean(s); s == "" || !regulated(s) || strings.Contains(strings.ToLower(s), "appear") {
		return s
	}
	r := []rune(s)
	if len(r) > 1 && !(r[1] >= 'A' && r[1] <= 'Z') {
		s = strings.ToLower(string(r[:1])) + string(r[1:])
	}
	return "appears to be " + s
}
