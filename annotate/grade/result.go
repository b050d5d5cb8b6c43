package grade

import (
	"wornwood/capture/record"
)

// ResultSchemaName names the JSON shape of a Result.
const ResultSchemaName = "wornwood.grade/1"

// Result is the grade of one record by one rubric: condition, originality and
// playing, each with what it was computed from. Nothing in it is rounded but
// Line.Shown.
type Result struct {
	Schema      string   `json:"schema"`
	Index       *float64 `json:"index"`     // condition 0..100; nil when nothing was inspected
	Class       int      `json:"class"`     // 1..6, 0 when nothing was inspected
	Word        string   `json:"classWord"` // "" when nothing was inspected
	Low         float64  `json:"low"`       // index if every part not inspected were worn out
	High        float64  `json:"high"`      // index if every part not inspected were sound
	Ratio       float64  `json:"ratio"`     // R over the inspected parts; 1 when nothing was inspected
	BeforeCap   *float64 `json:"beforeCap"` // index before the cap
	Inspected   float64  `json:"inspected"` // share of the fitted parts inspected, 0..1
	Provisional bool     `json:"provisional"`

	NotInspected []record.PartID `json:"notInspected"`
	NotFitted    []record.PartID `json:"notFitted"`
	Cap          *Cap            `json:"cap"`

	Originality     *float64        `json:"originality"` // 0..100; nil when no part's state is known
	OriginalityLow  float64         `json:"originalityLow"`
	OriginalityHigh float64         `json:"originalityHigh"`
	NotOriginal     []PartState     `json:"notOriginal"`
	UnknownState    []record.PartID `json:"unknownState"` // fitted parts whose originality nobody stated

	Ledger  []Line       `json:"ledger"`
	Parts   []PartResult `json:"parts"`
	Playing Playing      `json:"playing"`

	Rubric     string `json:"rubric"`
	RubricHash string `json:"rubricHash"`
}

// Cap says which structural flaw holds the instrument to a class. A Result has
// one only when it changed something: the index by Points, or just the class
// or the range.
type Cap struct {
	Mark      int           `json:"mark"`
	Part      record.PartID `json:"part"`                // where the flaw's extent is largest
	Extent    float64       `json:"extent"`              // its real share of that part, 0..1
	CountedAs float64       `json:"countedAs,omitempty"` // what it counts for, where its kind reaches further than what shows
	FlawClass int           `json:"flawClass"`           // class of the flaw at that extent
	Class     int           `json:"class"`               // best class the instrument can be in
	Limit     float64       `json:"limit"`               // highest index of that class
	Points    float64       `json:"points"`              // points that it took from the index
}

// Line is one line of the ledger.
type Line struct {
	Mark   int             `json:"mark"` // 0 for the line of the cap
	Text   string          `json:"text"`
	Parts  []record.PartID `json:"parts"`
	Points float64         `json:"points"` // exact
	Shown  float64         `json:"shown"`  // in tenths; all lines add up to 100.0 less the printed index
	Remark string          `json:"remark,omitempty"`

	// How the mark was scored; nothing in the line of the cap.
	Importance int     `json:"importance"` // 0..2
	Intensity  int     `json:"intensity"`  // 0..2
	Score      int     `json:"score"`      // 2..6, as if it covered its whole part; 0 for the cap
	Factor     float64 `json:"factor"`     // of that score; 0 for the cap
	Covers     []Cover `json:"covers"`     // of each of Parts, whatever else lies over it
}

// Cover is a mark's own share of a part, 0..1.
type Cover struct {
	Part  record.PartID `json:"part"`
	Share float64       `json:"share"`
}

// PartResult is one part of the class.
type PartResult struct {
	Part      record.PartID `json:"part"`
	Share     float64       `json:"share"` // per cent, from the rubric
	Fitted    bool          `json:"fitted"`
	Inspected bool          `json:"inspected"`
	State     record.State  `json:"state"`   // "not seen" when nothing was said
	R         float64       `json:"r"`       // 1 sound .. 2 worn out; 1 when not inspected
	Covered   float64       `json:"covered"` // share of the part under any mark, 0..1
	Points    float64       `json:"points"`  // points lost here, before the cap
}

// PartState is a part that is not original.
type PartState struct {
	Part  record.PartID `json:"part"`
	State record.State  `json:"state"`
}

// Playing is the third answer: how the instrument plays.
type Playing struct {
	Clean    int           `json:"clean"`
	Tried    int           `json:"tried"`
	Total    int           `json:"total"` // strings times frets
	Faults   []Fault       `json:"faults"`
	OffGrid  int           `json:"offGrid"`  // positions recorded that the instrument does not have
	NotTried []StringFrets `json:"notTried"` // positions nobody tried, by string
	Readings []ReadingLine `json:"readings"`
}

// Fault is a position that does not speak cleanly.
type Fault struct {
	String int          `json:"string"`
	Fret   int          `json:"fret"`
	Sound  record.Sound `json:"sound"`
}

// StringFrets names frets of one string.
type StringFrets struct {
	String int   `json:"string"`
	Frets  []int `json:"frets"`
}

// ReadingLine is one reading beside its usual range.
type ReadingLine struct {
	Reading string  `json:"reading"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Text    string  `json:"text"`    // value with uncertainty and unit
	Usual   string  `json:"usual"`   // the range in words, "" when the rubric has none
	Outside bool    `json:"outside"` // false where there is no range
}

// MarkPoints is what mark n costs, without the cap; 0 for an unknown number.
func (r *Result) MarkPoints(n int) float64 {
	for _, l := range r.Ledger {
		if l.Mark == n && n != 0 {
			return l.Points
		}
	}
	return 0
}

// Line is the ledger's line of mark n, nil for an unknown number.
func (r *Result) Line(n int) *Line {
	for i := range r.Ledger {
		if r.Ledger[i].Mark == n && n != 0 {
			return &r.Ledger[i]
		}
	}
	return nil
}
