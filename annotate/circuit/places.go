package circuit

import (
	"strings"
	"unicode"

	"wornwood/capture/record"
)

// place is what the words of a component's place say.
type place struct {
	words  []string
	number int // a figure standing alone, else 0
	bleed  bool
}

// positionWords are where a pickup sits, from the neck to the bridge.
var positionWords = []string{"neck", "middle", "bridge"}

// otherWords say the same in other words of the trade.
var otherWords = map[string]string{"front": "neck", "rhythm": "neck", "centre": "middle", "center": "middle", "back": "bridge", "rear": "bridge", "lead": "bridge"}

func placeOf(s string) place {
	var p place
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if o := otherWords[w]; o != "" {
			w = o
		}
		if len(w) == 1 && w[0] >= '1' && w[0] <= '9' {
			p.number = int(w[0] - '0')
		}
		p.bleed = p.bleed || w == "bleed"
		p.words = append(p.words, w)
	}
	return p
}

func (p place) says(word string) bool {
	for _, w := range p.words {
		if w == word {
			return true
		}
	}
	return false
}

// rank orders pickups: neck, middle, bridge; else by number; else last. Ties
// keep the record's order.
func (p place) rank() int {
	for i, w := range positionWords {
		if p.says(w) {
			return 2 * i
		}
	}
	if p.number > 0 {
		return 100 + p.number
	}
	return 200
}

// position is the word of the pickup that a control belongs to, or "".
func (p place) position() string {
	for _, w := range positionWords {
		if p.says(w) {
			return w
		}
	}
	return ""
}

// roleOf is what a potentiometer does, by what was said of it or by its place.
func roleOf(p *record.Potentiometer, at place) string {
	if p != nil && p.Role != "" {
		return p.Role
	}
	switch {
	case at.says("volume"):
		return "volume"
	case at.says("tone"):
		return "tone"
	}
	return ""
}

// everyPickup asks for the controls that serve all pickups.
const everyPickup = -1

// owner says which pickup a control belongs to: its number in the order from
// the neck, or everyPickup. Of all is the controls of the same role.
//
// Where the numbers reach as far as the pickups do, "tone 2" is the second
// pickup's; with fewer controls than pickups the last pickups have none, which
// is the usual way of an instrument with three pickups and two tone controls.
// Several volumes (or tones) that say nothing are one for each pickup, in order,
// when there are as many; else the first of them serves all.
func (b *builder) owner(f found, all []found) (pickup int, ok bool) {
	if w := f.at.position(); w != "" {
		for i, p := range b.pickups {
			if p.at.says(w) {
				return i, true
			}
		}
		return 0, false // of a pickup that is not listed, or has no curve
	}
	if len(all) == 1 || len(b.pickups) == 1 || f.at.says("master") {
		return everyPickup, true
	}
	if n := f.at.number; n > 0 {
		return n - 1, n <= len(b.pickups)
	}
	if i := indexOf(f, all); len(all) == len(b.pickups) {
		return i, true
	}
	return everyPickup, true
}

func indexOf(f found, all []found) int {
	for i, o := range all {
		if o.Component == f.Component {
			return i
		}
	}
	return 0
}

// of are the controls among all that belong to a pickup or to every one.
func (b *builder) of(pickup int, all []found) []found {
	var out []found
	for _, f := range all {
		if o, ok := b.owner(f, all); ok && o == pickup {
			out = append(out, f)
		}
	}
	return out
}
