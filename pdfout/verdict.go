package pdfout

import (
	"bytes"
	_ "embed"
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
	TextsFit          sign.Code = "texts-fit"           // page 1 prints the identity of the record
	TextsOther        sign.Code = "texts-other"         // it prints another
	MarksFit          sign.Code = "marks-fit"           // the pages list the marks of the record
	MarksOther        sign.Code = "marks-other"         // they list others
	FilesFit          sign.Code = "files-fit"           // the list of files inside is right
	FilesOther        sign.Code = "files-other"         // it is not
	SchemaOther       sign.Code = "schema-other"        // another edition of the record's schema than this program's
	OriginalsNone     sign.Code = "originals-none"      // no original photo is inside
	OriginalsFit      sign.Code = "originals-fit"       // those inside are those that the record names
	OriginalsSome     sign.Code = "originals-some"      // some of the record's are not inside
	OriginalsOther    sign.Code = "originals-other"     // one inside is another than the record names
	StrictSigner      sign.Code = "strict-signer"       // asked for by strict checking: the signer known or from an authority
	StrictTime        sign.Code = "strict-time"         // a trusted time
	StrictRubric      sign.Code = "strict-rubric"       // a rubric of the program's
	StrictForm        sign.Code = "strict-form"         // the marks of the archival form
)

// VerdictSchema names the JSON shape of a Verdict; VERDICT.md and
// verdict.schema.json describe it.
const VerdictSchema = "wornwood.verdict/1"

//go:embed verdict.schema.json
var verdictSchema []byte

// SchemaOfVerdict is the JSON Schema (2020-12) of Verdict.
func SchemaOfVerdict() []byte { return bytes.Clone(verdictSchema) }

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

// OriginalsInside says how the original photos inside a report stand to those
// that its record names.
type OriginalsInside struct {
	Photos int `json:"photos"` // that the record names
	Inside int `json:"inside"` // originals attached
	Fit    int `json:"fit"`    // of these, those whose bytes are the ones the record names
}

// Verdict is what a report proves and what it does not.
type Verdict struct {
	Schema string `json:"schema,omitempty"` // VerdictSchema of a report's verdict
	// OK is true when the report is unaltered since its examiner signed it, the
	// record inside is the one its pages name, and the grade follows from that
	// record. It does not say that the signer is known, that the time is
	// proven, or that the examiner was right. Where strict checking was asked
	// for, its demands are met as well.
	OK            bool           `json:"ok"`
	Lines         []Line         `json:"lines"`
	Signatures    []Signed       `json:"signatures"`
	Countersigned bool           `json:"countersigned"`
	Pages         int            `json:"pages"`
	Size          int64          `json:"size"`                 // bytes
	RecordHash    string         `json:"recordHash,omitempty"` // SHA-256 of the attached record
	Record        *record.Record `json:"record,omitempty"`     // nil when there is none that can be read
	Grade         *grade.Result  `json:"grade,omitempty"`      // as recomputed here; nil when it could not be
	// Originals is nil when there is no record that names photos.
	Originals *OriginalsInside `json:"originals,omitempty"`
	Strict    string           `json:"strict,omitempty"` // StrictMet or StrictMissed where strict checking was asked for
}

// What became of the demands of strict checking.
const (
	StrictMet    = "met"
	StrictMissed = "missed"
)

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
