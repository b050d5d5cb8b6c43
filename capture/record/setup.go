package record

import "fmt"

// Setup is what was found of the setup besides the readings: answers in words.
// Readings (string heights, relief, crowns) are in Record.Readings.
type Setup struct {
	TrussRod    string       `json:"trussRod,omitempty"`  // one of TrussRodAnswers
	Capo        string       `json:"capo,omitempty"`      // how the string was held for the relief, one of CapoAnswers
	NeckAngle   string       `json:"neckAngle,omitempty"` // where a straightedge along the frets meets the bridge, one of NeckAngleAnswers
	Nut         string       `json:"nut,omitempty"`       // one of NutAnswers
	Tuning      string       `json:"tuning,omitempty"`    // notes of the open strings from string 1 on, "E4 B3 G3 D3 A2 E2"; "" takes the class's usual
	A4          float64      `json:"a4,omitempty"`        // Hz; 0 reads as 440 (ISO 16)
	StringSet   string       `json:"stringSet,omitempty"` // gauges or name of the set, as found
	Tuners      []Tuner      `json:"tuners,omitempty"`
	Intonations []Intonation `json:"intonations,omitempty"`
	Note        string       `json:"note,omitempty"`
}

// Tuner is one tuning machine or peg, by its string.
type Tuner struct {
	String   int       `json:"string"`             // from the treble side
	Backlash *Quantity `json:"backlash,omitempty"` // degrees of the button before the post follows
	Feel     string    `json:"feel,omitempty"`     // one of TunerAnswers
}

// Intonation is the pitch of one string, open and stopped, as heard or taken
// from a recording.
type Intonation struct {
	String  int       `json:"string"`
	Fret    int       `json:"fret,omitempty"`    // of Stopped; 0 reads as 12
	Open    *Quantity `json:"open,omitempty"`    // Hz
	Stopped *Quantity `json:"stopped,omitempty"` // Hz
	File    string    `json:"file,omitempty"`    // Attachment.ID of the recording
}

// TrussRodAnswers are the answers on the truss rod, in the order of a form.
func TrussRodAnswers() []string {
	return []string{"works both ways", "works", "at its end", "seized", "broken", "none fitted", "not tried"}
}

// CapoAnswers say how the string was held when the relief was read.
func CapoAnswers() []string {
	return []string{"capo at fret 1, last fret held", "held by hand", "straightedge", "not noted"}
}

// NeckAngleAnswers say where a straightedge along the frets meets the bridge.
func NeckAngleAnswers() []string {
	return []string{"meets the top of the bridge", "above the bridge", "below the top of the bridge", "far below, a reset is due", "not checked"}
}

// NutAnswers are the answers on the nut's slots.
func NutAnswers() []string {
	return []string{"slots right", "high slots", "low slots", "worn slots", "not checked"}
}

// TunerAnswers are how a tuner feels.
func TunerAnswers() []string {
	return []string{"smooth", "stiff", "slack", "slips", "seized", "not tried"}
}

func (s *Setup) check() error {
	if !finite(s.A4) || s.A4 < 0 || s.A4 > 1000 {
		return fmt.Errorf("the pitch of A4 is not a frequency")
	}
	for _, t := range s.Tuners {
		if t.String < 1 || t.String > 64 {
			return fmt.Errorf("a tuner of string %d", t.String)
		}
		if err := t.Backlash.checkAny(); err != nil {
			return fmt.Errorf("the tuner of string %d: %w", t.String, err)
		}
	}
	for _, i := range s.Intonations {
		if i.String < 1 || i.String > 64 || i.Fret < 0 {
			return fmt.Errorf("an intonation of string %d at fret %d", i.String, i.Fret)
		}
		for _, q := range []*Quantity{i.Open, i.Stopped} {
			if err := q.checkAny(); err != nil {
				return fmt.Errorf("the intonation of string %d: %w", i.String, err)
			}
		}
	}
	return nil
}
