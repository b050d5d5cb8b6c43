package record

import "fmt"

// EvidenceKind says what a piece of dating evidence is.
type EvidenceKind string

// The kinds of dating evidence.
const (
	CodeEvidence     EvidenceKind = "code"     // a dated code on a component that is not listed with the electronics
	SerialEvidence   EvidenceKind = "serial"   // the serial number in a shop's table
	FeatureEvidence  EvidenceKind = "feature"  // a way of building that began or ended
	DocumentEvidence EvidenceKind = "document" // a dated paper
	InscribedDate    EvidenceKind = "inscribed date"
	OtherEvidence    EvidenceKind = "other"
)

// EvidenceKinds lists the kinds in the order in which a form offers them.
func EvidenceKinds() []EvidenceKind {
	return []EvidenceKind{CodeEvidence, SerialEvidence, FeatureEvidence, DocumentEvidence, InscribedDate, OtherEvidence}
}

// Bound says what a dated thing allows for the instrument.
type Bound string

// The bounds.
const (
	InOrAfter  Bound = "in or after"
	InOrBefore Bound = "in or before"
	Within     Bound = "within" // a serial range, a dated paper on its making
)

// Bounds lists the bounds in the order in which a form offers them.
func Bounds() []Bound { return []Bound{InOrAfter, InOrBefore, Within} }

// Evidence is one dated thing. What follows from it is computed from it, never
// stored.
type Evidence struct {
	ID     string       `json:"id"`
	Kind   EvidenceKind `json:"kind"`
	What   string       `json:"what"`           // "tone potentiometer", "three-ply guard", "receipt"
	Code   string       `json:"code,omitempty"` // as read, for a code
	Bound  Bound        `json:"bound,omitempty"`
	From   int          `json:"from,omitempty"` // first year; 0 for open
	To     int          `json:"to,omitempty"`   // last year; 0 for open
	Source string       `json:"source,omitempty"`
	Files  []string     `json:"files,omitempty"` // Photo.ID or Attachment.ID
	Note   string       `json:"note,omitempty"`
	// SetAside leaves it out of what the dates allow, with the reason; a part
	// known to be replaced says nothing of the instrument.
	SetAside string `json:"setAside,omitempty"`
}

// MaxEvidence bounds the dating of one instrument.
const MaxEvidence = 500

func (e *Evidence) check() error {
	if e.ID == "" {
		return fmt.Errorf("a piece of dating evidence has no identity")
	}
	if !isOneOf(e.Kind, EvidenceKinds()) {
		return fmt.Errorf("dating evidence %q has the unknown kind %q", e.ID, e.Kind)
	}
	if e.Bound != "" && !isOneOf(e.Bound, Bounds()) {
		return fmt.Errorf("dating evidence %q has the unknown bound %q", e.ID, e.Bound)
	}
	for _, y := range []int{e.From, e.To} {
		if y != 0 && (y < 1000 || y > 9999) {
			return fmt.Errorf("dating evidence %q: %d is not a year", e.ID, y)
		}
	}
	if e.From != 0 && e.To != 0 && e.From > e.To {
		return fmt.Errorf("dating evidence %q runs from %d back to %d", e.ID, e.From, e.To)
	}
	return nil
}
