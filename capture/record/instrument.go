package record

import (
	"fmt"
	"strings"
)

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

	// Fanned frets: the bass string's scale length and the fret that runs square
	// to the strings; ScaleLength is then the treble string's.
	BassScale    float64 `json:"bassScale,omitempty"`    // mm; 0 for one scale length
	StraightFret int     `json:"straightFret,omitempty"` // 0 is the nut
	BodyLength   float64 `json:"bodyLength,omitempty"`   // mm; 0 takes the class's default
	BodyWidth    float64 `json:"bodyWidth,omitempty"`    // mm at its widest; 0 takes the class's default
	Own          *Own    `json:"own,omitempty"`          // the body's own outline, traced from a photo

	Mass     float64 `json:"mass,omitempty"`     // kg
	WithIt   string  `json:"withIt,omitempty"`   // case, papers, tools
	Material string  `json:"material,omitempty"` // remark on materials with legal weight
}

// Own is an instrument's own outline: the body's silhouette from the front, a
// closed curve through Nodes in millimetres of the front sheet, clockwise as
// seen. It takes the place of the class's body; regions follow it.
type Own struct {
	Nodes []Node `json:"nodes"`
	Photo string `json:"photo,omitempty"` // Photo.ID it was traced from
	How   string `json:"how,omitempty"`   // "traced", "traced and corrected by hand", with the scale it was sized by
}

// Node is one point of a smooth closed curve with the ends of its two handles:
// the curve arrives from In and leaves towards Out (cubic Bezier controls).
type Node struct {
	At  Point `json:"at"`
	In  Point `json:"in"`
	Out Point `json:"out"`
}

// MaxNodes bounds an own outline.
const MaxNodes = 400

func (o *Own) check() error {
	if len(o.Nodes) < 3 || len(o.Nodes) > MaxNodes {
		return fmt.Errorf("an own outline with %d points: it needs 3 to %d", len(o.Nodes), MaxNodes)
	}
	for _, n := range o.Nodes {
		for _, p := range []Point{n.At, n.In, n.Out} {
			if !ordinary(p) {
				return fmt.Errorf("a point of the own outline is not an ordinary number")
			}
		}
	}
	return nil
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
	Files    []string `json:"files,omitempty"` // Photo.ID or Attachment.ID of what supports or contradicts it
}

// ClaimSubjects are what claims are usually about, in the order of a form; a
// claim may be about anything.
func ClaimSubjects() []string {
	return []string{"year", "edition size", "colour", "hardware", "owners", "provenance", "materials", "repairs"}
}
