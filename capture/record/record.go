// Package record holds the domain types of an examination: what was looked
// at, by whom, which photos were taken, which marks were found, what each part
// is and how the instrument plays.
//
// Start with Record, the whole of one examination, and Change, the only way a
// Record is altered. The package imports the standard library only and
// promises nothing about storage: capture/journal keeps Changes on disk,
// annotate/grade judges a Record, pdfout prints it.
package record

import (
	"encoding/json"
	"fmt"
	"math"
	"time"
)

// Schema names the JSON shape of a Record. It is printed in every report and
// checked when a record is read back.
const Schema = "wornwood.examination/1"

// Point is a place on a sheet: millimetres on an outline (X to the right as
// seen, Y down along the strings from the nut) or pixels of an upright photo
// (X right, Y down, origin at the top left corner). It is written in JSON as
// [x, y].
type Point struct{ X, Y float64 }

// MarshalJSON writes the point as [x, y].
func (p Point) MarshalJSON() ([]byte, error) { return json.Marshal([2]float64{p.X, p.Y}) }

// UnmarshalJSON reads [x, y] and refuses any other number of coordinates.
func (p *Point) UnmarshalJSON(b []byte) error {
	var xy []float64
	if err := json.Unmarshal(b, &xy); err != nil {
		return fmt.Errorf("read point: %w", err)
	}
	if len(xy) != 2 {
		return fmt.Errorf("read point: %d numbers where two are needed", len(xy))
	}
	p.X, p.Y = xy[0], xy[1]
	return nil
}

// Finite tells whether both coordinates are ordinary numbers.
func (p Point) Finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// Record is the whole of one examination. Photos are in the order in which the
// views are shown; marks are in the order of their numbers.
type Record struct {
	Schema      string      `json:"schema"`
	Examination Examination `json:"examination"`
	Instrument  Instrument  `json:"instrument"`
	Photos      []Photo     `json:"photos,omitempty"`
	Marks       []Mark      `json:"marks,omitempty"`
	Parts       []Part      `json:"parts,omitempty"`
	Claims      []Claim     `json:"claims,omitempty"`
	Readings    []Reading   `json:"readings,omitempty"`
	Playing     Playing     `json:"playing"`
	NotExamined []string    `json:"notExamined,omitempty"` // sentences, beyond what parts and positions already say

	Components  []Component  `json:"components,omitempty"` // of the electronics
	Wiring      *Wiring      `json:"wiring,omitempty"`
	Setup       *Setup       `json:"setup,omitempty"`
	Evidence    []Evidence   `json:"evidence,omitempty"` // of its date
	Attachments []Attachment `json:"attachments,omitempty"`
	Extras      []Extra      `json:"extras,omitempty"` // what comes with it
	Materials   []Material   `json:"materials,omitempty"`
}

// Purpose says why an examination was made.
type Purpose string

// The purposes of an examination.
const (
	Intake         Purpose = "intake"
	BeforeListing  Purpose = "before listing"
	BeforeDispatch Purpose = "before dispatch"
	OnReceipt      Purpose = "on receipt"
	Periodic       Purpose = "periodic"
	AfterDamage    Purpose = "after damage"
)

// Purposes lists every purpose in the order in which a form offers them.
func Purposes() []Purpose {
	return []Purpose{Intake, BeforeListing, BeforeDispatch, OnReceipt, Periodic, AfterDamage}
}

// Examination is one dated look at an instrument.
type Examination struct {
	ID         string    `json:"id"`               // 26 lower-case base32 digits, made once
	Instrument string    `json:"instrument"`       // ID of the instrument within its bench
	Number     string    `json:"number,omitempty"` // report number, given when the report is issued
	Purpose    Purpose   `json:"purpose"`
	Date       time.Time `json:"date"` // with the examiner's zone
	Examiner   string    `json:"examiner,omitempty"`
	Shop       string    `json:"shop,omitempty"`
	Note       string    `json:"note,omitempty"`
	Summary    string    `json:"summary,omitempty"`
	// NextDue is the date by which it should be examined again, 2006-01-02; ""
	// for none.
	NextDue string `json:"nextDue,omitempty"`
	// Rubric is the SHA-256 of the rubric that the examination is graded by;
	// "" takes the bench's.
	Rubric string `json:"rubric,omitempty"`
}

// Issued is written to the journal when an examination is frozen.
type Issued struct {
	Number     string    `json:"number"`
	At         time.Time `json:"at"`
	File       string    `json:"file"`       // path of the PDF inside the bench, with forward slashes
	SHA256     string    `json:"sha256"`     // of the PDF
	RecordHash string    `json:"recordHash"` // SHA-256 of the canonical record attached to it
	Key        string    `json:"key"`        // full fingerprint of the signing key
	// Rubric is the SHA-256 of the rubric that the report was graded by; ""
	// in journals from before examinations kept it.
	Rubric string `json:"rubric,omitempty"`
	// Language is the tag of the report's language; "" is English.
	Language string `json:"language,omitempty"`
}

// MarkByNumber returns the mark with that number, or nil.
func (r *Record) MarkByNumber(n int) *Mark {
	for i := range r.Marks {
		if r.Marks[i].Number == n {
			return &r.Marks[i]
		}
	}
	return nil
}

// PhotoByID returns the photo with that SHA-256, or nil.
func (r *Record) PhotoByID(id string) *Photo {
	for i := range r.Photos {
		if r.Photos[i].ID == id {
			return &r.Photos[i]
		}
	}
	return nil
}

// PartByID returns what was said of a part, or nil when nothing was.
func (r *Record) PartByID(id PartID) *Part {
	for i := range r.Parts {
		if r.Parts[i].ID == id {
			return &r.Parts[i]
		}
	}
	return nil
}

// NextNumber is the number that the next mark gets: one more than the highest
// in use, so that a number printed on a photo never comes to mean another mark.
func (r *Record) NextNumber() int {
	n := 0
	for _, m := range r.Marks {
		n = max(n, m.Number)
	}
	return n + 1
}
