package archive

// AlikeRule is one rule of the proposals: what it looks at and how much it
// counts. INSTRUMENTS.md prints them, and a test holds the two together.
type AlikeRule struct {
	ID     string
	Points float64 // each time it applies; below 0 against
	Most   float64 // of all times together; 0 where it applies once
	Own    bool    // it is about this one instrument, not about a whole run
	Says   string
}

// The points are judgements in the manner of logarithms of odds: one point makes
// it about ten times as likely. They are set so that what a whole production run
// has in common never proposes anything, and so that one misread figure is made
// good by two marks in the same places.
var alikeRules = []AlikeRule{
	{"serial same", 4, 0, true, "the same serial number, of four characters or more, by the same maker"},
	{"serial same, short", 1.5, 0, true, "the same serial number, but a short one, or the maker is not given in both or another"},
	{"serial slip", 2, 0, true, "one serial number is the other with a figure that is easily misread, one left out, or two exchanged"},
	{"serial one off", 1, 0, true, "one character of the serial number is another"},
	{"serial neighbours", -1.5, 0, true, "the serial numbers are neighbours, as those of two instruments of one run are"},
	{"serial other", -5, 0, true, "two different serial numbers"},
	{"instrument id", 4, 0, true, "the same bench's number of the instrument inside the record, under another signing key"},
	{"photo", 5, 0, true, "the same photo file is listed in both"},
	{"named", 2, 0, true, "one record names the number of the other report"},
	{"mark, telling", 1.5, 6, true, "a break, crack, repair, hole or mark into the wood at the same place"},
	{"mark", 0.7, 6, true, "another flaw at the same place"},
	{"mark, usual", 0.2, 0.6, false, "wear at the same place, where most instruments wear"},
	{"mark missing", -1, -3, true, "a mark that does not go away is not listed later, though its part was looked at"},
	{"code", 0.4, 1.2, true, "the same code on a component; parts of one batch carry the same"},
	{"model same", 0.7, 0, false, "the same maker and model"},
	{"maker same", 0.3, 0, false, "the same maker; a model is not given in both"},
	{"maker other", -3, 0, false, "two different makers"},
	{"model other", -1.5, 0, false, "two different models of one maker"},
	{"class other", -3, 0, false, "two different classes"},
	{"hand other", -5, 0, false, "one is left-handed"},
	{"strings other", -4, 0, false, "two different numbers of strings"},
	{"frets other", -2, 0, false, "two different numbers of frets"},
	{"scale same", 0.2, 0, false, "the same scale length within 3 mm"},
	{"scale other", -3, 0, false, "two different scale lengths"},
	{"weight same", 0.7, 0, false, "the same weight within 0.04 kg"},
	{"weight other", -1.5, 0, false, "weights that differ by more than 0.15 kg"},
	{"years touch", 0.2, 0, false, "claimed years that touch"},
	{"years apart", -1.5, 0, false, "claimed years that do not touch"},
	{"colour same", 0.2, 0, false, "the same colour"},
	{"colour other", -1, 0, false, "two colours, and no refinish is listed"},
}

// AlikeRules are the rules in the order in which they are explained.
func AlikeRules() []AlikeRule { return alikeRules }

// From how many points on a proposal is how strong. Below the last there is none.
const (
	StrongFrom = 5.0
	FairFrom   = 3.5
	WeakFrom   = 2.2
)

// strengthOf is "" where nothing is proposed: too little, or nothing that is
// about this one instrument.
func strengthOf(points float64, own bool) Strength {
	switch {
	case !own || points < WeakFrom:
		return ""
	case points >= StrongFrom:
		return Strong
	case points >= FairFrom:
		return Fair
	}
	return Weak
}

func ruleOf(id string) AlikeRule {
	for _, r := range alikeRules {
		if r.ID == id {
			return r
		}
	}
	panic("archive: no rule " + id)
}
