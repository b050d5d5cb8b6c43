package record

import "strings"

// Instrument is the object: what it is said to be. Empty fields were not
// recorded.
type Instrument struct {
	Class       string  `json:"class"` // outline class, for example "solid-body double-cutaway"
	Maker       string  `json:"maker,omitempty"`
	Model       string  `json:"model,omitempty"`
	Edition     string  `json:"edition,omitempty"`
	Year        string  `json:"year,omitempty"` // as claimed: "1974", "1974 or 1975", "about 1974"
	Serial      string  `json:"serial,omitempty"`
	Colour      string  `json:"colour,omitempty"`
	Coating     string  `json:"coating,omitempty"` // kind of finish: nitrocellulose, polyester, oil ...
	Body        string  `json:"body,omitempty"`    // wood
	Neck        string  `json:"neck,omitempty"`
	Fingerboard string  `json:"fingerboard,omitempty"`
	Hardware    string  `json:"hardware,omitempty"`
	Inlays      string  `json:"inlays,omitempty"`
	Electronics string  `json:"electronics,omitempty"`
	ScaleLength float64 `json:"scaleLength,omitempty"` // mm; 0 takes the class's default
	Frets       int     `json:"frets,omitempty"`       // 0 takes the class's default
	Strings     int     `json:"strings,omitempty"`
	LeftHanded  bool    `json:"leftHanded,omitempty"`
	Mass        float64 `json:"mass,omitempty"`     // kg
	WithIt      string  `json:"withIt,omitempty"`   // case, papers, tools
	Material    string  `json:"material,omitempty"` // remark on materials with legal weight
}

// Title is the line an instrument is known by: maker, model, edition. An
// instrument without any is called by its class.
func (i Instrument) Title() string {
	t := strings.Join(strings.Fields(strings.Join([]string{i.Maker, i.Model, i.Edition}, " ")), " ")
	if t == "" {
		return "Unnamed instrument"
	}
	return t
}

// Standing says how well a claim is supported.
type Standing string

// The standings of a claim, from the best supported to the refuted.
const (
	Documented   Standing = "documented"
	Seen         Standing = "seen"
	Stated       Standing = "stated"
	Unsupported  Standing = "unsupported"
	Contradicted Standing = "contradicted"
)

// Standings lists every standing in the order in which a form offers them.
func Standings() []Standing {
	return []Standing{Documented, Seen, Stated, Unsupported, Contradicted}
}

// Claim is something said about the instrument, with who says so and what
// supports it.
type Claim struct {
	ID       string   `json:"id"`
	About    string   `json:"about"` // year, edition size, colour, provenance ...
	Text     string   `json:"text"`
	By       string   `json:"by,omitempty"`
	Support  string   `json:"support,omitempty"`
	Standing Standing `json:"standing"`
}
