package view

import (
	"fmt"

	"wornwood/annotate"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// Report is the screen from which a report is issued.
type Report struct {
	s      *annotate.Session
	hasKey func() bool
	// Remembered tells whether the desktop's key ring was given the passphrase,
	// so that none need be typed; nil is no.
	Remembered func() bool
}

// NewReport makes the model on a session; hasKey tells whether the bench has a
// signing key yet.
func NewReport(s *annotate.Session, hasKey func() bool) *Report {
	return &Report{s: s, hasKey: hasKey}
}

// Gap is something a buyer will miss in the report.
type Gap struct {
	Screen Screen // where it is mended
	Text   string
	Stops  bool // the report cannot be issued with it
}

// Gaps names what still stands in the way. Only what Stops does; the rest the
// dealer may decide.
func (v *Report) Gaps() []Gap {
	sc := v.s.Scene()
	r := sc.Record
	var g []Gap
	add := func(s Screen, stops bool, text string) { g = append(g, Gap{s, text, stops}) }
	if sc.GradeError != nil {
		add(MarksScreen, true, Words(sc.GradeError))
	}
	if r.Examination.Examiner == "" {
		add(IdentityScreen, true, "Nobody is named as examiner.")
	}
	if r.Instrument.Maker == "" && r.Instrument.Model == "" {
		add(IdentityScreen, false, "Neither maker nor model is entered.")
	}
	if r.Instrument.Serial == "" {
		add(IdentityScreen, false, "No serial number is entered.")
	}
	if n := len(annotate.MissingViews(r)); n > 0 {
		add(PhotosScreen, false, count(n, "view has", "views have")+" no photo.")
	}
	noPlace, noPhoto := 0, 0
	for _, m := range r.Marks {
		if len(m.On) == 0 {
			noPlace++
		}
		if len(m.Photos) == 0 {
			noPhoto++
		}
	}
	if noPlace > 0 {
		add(MarksScreen, false, count(noPlace, "mark is", "marks are")+" not on the outline and cost nothing.")
	}
	if noPhoto > 0 {
		add(MarksScreen, false, count(noPhoto, "mark is", "marks are")+" shown on no photo.")
	}
	if sc.Grade != nil {
		g = append(g, gradeGaps(sc)...)
	}
	return g
}

func gradeGaps(sc *annotate.Scene) []Gap {
	var g []Gap
	if n := len(sc.Grade.NotInspected); n > 0 {
		t := count(n, "part was", "parts were") + " not inspected."
		if sc.Grade.Provisional {
			t = fmt.Sprintf("%s Only %.0f %% of the shares were, so the index is provisional.", t, 100*sc.Grade.Inspected)
		}
		g = append(g, Gap{PartsScreen, t, false})
	}
	if n := len(sc.Grade.UnknownState); n > 0 {
		g = append(g, Gap{PartsScreen, "Nobody said whether " + count(n, "part is", "parts are") + " original.", false})
	}
	if n := contradicted(sc); n > 0 {
		g = append(g, Gap{PartsScreen, "Signs that were seen do not go with what is stated of " + count(n, "part", "parts") + ".", false})
	}
	if n := sc.Grade.Playing.Total - sc.Grade.Playing.Tried; n > 0 {
		g = append(g, Gap{GradeScreen, count(n, "playing position was", "playing positions were") + " not tried.", false})
	}
	return g
}

// CanIssue tells whether the report can be issued now.
func (v *Report) CanIssue() bool {
	if v.s.Scene().Issued != nil {
		return false
	}
	for _, g := range v.Gaps() {
		if g.Stops {
			return false
		}
	}
	return true
}

// Issued is the report that was issued, nil before.
func (v *Report) Issued() *record.Issued { return v.s.Scene().Issued }

// FirstKey tells whether issuing will make the bench's signing key.
func (v *Report) FirstKey() bool { return !v.hasKey() }

// FromRing tells whether an empty passphrase is asked of the key ring.
func (v *Report) FromRing() bool { return !v.FirstKey() && v.Remembered != nil && v.Remembered() }

// CheckPassphrase says what is wrong with what was typed, "" for nothing: a new
// key's passphrase is typed twice, because a mistake would lose the key.
func (v *Report) CheckPassphrase(one, two string) string {
	switch {
	case one == "" && v.FromRing():
		return ""
	case one == "":
		return "Type the passphrase of the signing key."
	case v.FirstKey() && len([]rune(one)) < sign.MinPassphrase:
		return fmt.Sprintf("A new key needs a passphrase of %d characters or more.", sign.MinPassphrase)
	case v.FirstKey() && one != two:
		return "The two passphrases differ."
	}
	return ""
}

// Finding is one line of a verdict as a screen shows it.
type Finding struct {
	Good, Bad bool
	Text      string
}

// Verdict gives a verdict's headline and its lines, those against it first.
func Verdict(v *pdfout.Verdict) (headline string, lines []Finding) {
	for _, want := range []pdfout.Standing{pdfout.Bad, pdfout.Good, pdfout.Note} {
		for _, l := range v.Lines {
			if l.Standing == want {
				lines = append(lines, Finding{want == pdfout.Good, want == pdfout.Bad, l.Text})
			}
		}
	}
	return v.Headline(), lines
}
