package record

import "fmt"

// PartID names a component that has a share of the whole.
type PartID string

// The parts of a solid-body electric guitar.
const (
	FrontFinish PartID = "front finish"
	BackFinish  PartID = "back finish"
	SidesFinish PartID = "sides"
	Neck        PartID = "neck"
	Headstock   PartID = "headstock"
	Fingerboard PartID = "fingerboard"
	Frets       PartID = "frets"
	Nut         PartID = "nut"
	Binding     PartID = "binding"
	Bridge      PartID = "bridge and tailpiece"
	Tuners      PartID = "tuners"
	Guard       PartID = "guard and covers"
	Electronics PartID = "electronics"
)

// The parts that other classes have besides.
const (
	Top     PartID = "top"
	Back    PartID = "back"
	Bracing PartID = "bracing"
	Cone    PartID = "cone" // of a resonator guitar

	Skin      PartID = "skin" // of a banjo
	Rim       PartID = "rim"
	Resonator PartID = "resonator"
	Hoop      PartID = "hoop and hooks"

	Belly   PartID = "belly" // of the violin family
	Ribs    PartID = "ribs"
	Scroll  PartID = "scroll and pegbox"
	Pegs    PartID = "pegs"
	Edges   PartID = "edges and purfling"
	BassBar PartID = "bass bar and sound-post"
)

// State says what a part is.
type State string

// The states of a part. NotSeen is the state of a part about which nothing was
// said; NotFitted is a part that this instrument never had, such as the
// binding of an unbound body, and takes its share out of every count.
const (
	Original          State = "original"
	PeriodReplacement State = "period replacement"
	LaterReplacement  State = "later replacement"
	Refinished        State = "refinished"
	Altered           State = "altered"
	Missing           State = "missing"
	NotSeen           State = "not seen"
	NotFitted         State = "not fitted"
)

// States lists the states in the order in which a form offers them.
func States() []State {
	return []State{Original, PeriodReplacement, LaterReplacement, Refinished, Altered, Missing, NotSeen, NotFitted}
}

// Part is what the examiner says of one part.
type Part struct {
	ID         PartID   `json:"id"`
	State      State    `json:"state,omitempty"` // "" reads as not seen
	Inspected  bool     `json:"inspected"`       // whether its condition was inspected
	Judged     []string `json:"judged,omitempty"`
	Reversible string   `json:"reversible,omitempty"` // "", yes, no
	Photos     []string `json:"photos,omitempty"`
	Signs      []Sign   `json:"signs,omitempty"` // of a refinish or replacement, as far as they were looked for
	Note       string   `json:"note,omitempty"`
}

// Methods lists how a part may have been judged, in the trade's words.
func Methods() []string {
	return []string{"seen", "measured", "code", "ultraviolet light", "solder", "screw holes", "document"}
}

func (p *Part) check() error {
	if !p.State.known() {
		return fmt.Errorf("has the unknown state %q", p.State)
	}
	if !isOneOf(p.Reversible, []string{"", "yes", "no"}) {
		return fmt.Errorf("is reversible %q, which is neither yes nor no", p.Reversible)
	}
	if len(p.Signs) > MaxEntries || len(p.Photos) > MaxPhotos {
		return fmt.Errorf("has %d signs and %d photos, more than one part can have", len(p.Signs), len(p.Photos))
	}
	seen := map[string]bool{}
	for _, s := range p.Signs {
		if s.ID == "" || seen[s.ID] || !isOneOf(s.Answer, SignAnswers()) {
			return fmt.Errorf("has a sign %q without identity, answered twice, or with the unknown answer %q", s.ID, s.Answer)
		}
		seen[s.ID] = true
	}
	return nil
}
