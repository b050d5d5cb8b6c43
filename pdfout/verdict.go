package pdfout

import (
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/sign"
)

// Standing says what a line of a verdict means for the reader.
type Standing string

// The standings: something holds, something is good to know or cannot be
// proven, something speaks against relying on the report.
const (
	Good Standing = "good"
	Note Standing = "note"
	Bad  Standing = "bad"
)

// The codes of what Verify itself finds; those about the signature are the
// codes of package sign. They stay the same when the words change.
const (
	RecordFits        sign.Code = "record-fits"         // the record inside is the one that every page names
	RecordMissing     sign.Code = "record-missing"      // there is none, or it is no record
	RecordOther       sign.Code = "record-other"        // the pages name another record
	GradeFollows      sign.Code = "grade-follows"       // recomputed, attached and printed grade agree
	GradeMissing      sign.Code = "grade-missing"       // no grade is attached
	GradeNotFollowing sign.Code = "grade-not-following" // the attached grade is not that of the record
	FiguresOther      sign.Code = "figures-other"       // page 1 prints other figures than the grade
	RubricUnknown     sign.Code = "rubric-unknown"      // graded by tables this program does not have
	RubricOwn         sign.Code = "rubric-own"          // recomputed by the tables inside, which are not the program's
	RubricOther       sign.Code = "rubric-other"        // the tables inside or the record's are not those that the grade names
	NotCountersigned  sign.Code = "not-countersigned"   // no buyer has signed
)

// Line is one thing that Verify says, in a plain sentence.
type Line struct {
	Code     sign.Code `json:"code"`
	Standing Standing  `json:"standing"`
	Text     string    `json:"text"`
}

// Signed is one signature in a verdict.
type Signed struct {
	Field       string     `json:"field"`
	Signer      string     `json:"signer"` // as written in the certificate
	Shop        string     `json:"shop,omitempty"`
	Fingerprint string     `json:"fingerprint"`
	Known       bool       `json:"known"`
	KnownAs     string     `json:"knownAs,omitempty"`
	Trusted     bool       `json:"trusted"`
	Intact      bool       `json:"intact"`
	CoversAll   bool       `json:"coversAll"`
	Claimed     *time.Time `json:"claimedTime,omitempty"`
	Proven      *time.Time `json:"trustedTime,omitempty"`
	Authority   string     `json:"authority,omitempty"`
}

// Verdict is what a report proves and what it does not.
type Verdict struct {
	// OK is true when the report is unaltered since its examiner signed it, the
	// record inside is the one its pages name, and the grade follows from that
	// record. It does not say that the signer is known, that the time is
	// proven, or that the examiner was right.
	OK            bool           `json:"ok"`
	Lines         []Line         `json:"lines"`
	Signatures    []Signed       `json:"signatures"`
	Countersigned bool           `json:"countersigned"`
	Pages         int            `json:"pages"`
	Size          int64          `json:"size"`                 // bytes
	RecordHash    string         `json:"recordHash,omitempty"` // SHA-256 of the attached record
	Record        *record.Record `json:"record,omitempty"`     // nil when there is none that can be read
	Grade         *grade.Result  `json:"grade,omitempty"`      // as recomputed here; nil when it could not be
}

// Has says whether there is a line with the code.
func (v *Verdict) Has(c sign.Code) bool {
	for _, l := range v.Lines {
		if l.Code == c {
			return true
		}
	}
	return false
}

func (v *Verdict) say(c sign.Code, s Standing, text string) {
	v.Lines = append(v.Lines, Line{c, s, text})
}

// bad says whether anything speaks against the report.
func (v *Verdict) bad() bool {
	for _, l := range v.Lines {
		if l.Standing == Bad {
			return true
		}
	}
	return false
}

// Worst is the first line that speaks against the report, "" when none does.
func (v *Verdict) Worst() string {
	for _, l := range v.Lines {
		if l.Standing == Bad {
			return l.Text
		}
	}
	return ""
}
