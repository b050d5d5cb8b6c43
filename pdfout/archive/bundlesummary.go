package archive

import (
	"fmt"
	"html/template"
	"strings"
	"time"

	"wornwood/annotate/grade"
	"wornwood/pdfout/prose"
	"wornwood/pdfout/sign"
)

// summary is what summary.html and summary.txt tell.
type summary struct {
	Title, Serial    string
	Archive          string // its name
	Date             string // of the loss
	Reference        string
	Policy           []string // what is known of the policy, in sentences
	Remarks          []string // what a reader should know first
	Before, Since    []*summaryLook
	Words, Gaps      []string // of the last examination before, in paragraphs
	Marks            []summaryMark
	MarksLeft        int // that are not listed here
	Parts            []summaryPart
	Columns          []summaryColumn // of the tables of marks and parts
	Across           *summaryAcross  // what is otherwise since the loss; nil where one side is missing
	Views            []summaryView
	Held             []string
	Decisions        []string
	Contradictions   []string
	Head             TreeHead
	HeadTime, Signed string
}

// summaryLook is one examination.
type summaryLook struct {
	Date, By, Examiner, Number, Purpose string
	Index, Range, Class                 string
	Originality, Playing                string
	Marks                               int
	Filed, Proven, Logged               string
	Verdict, Now                        string
	NowOK                               bool
	Changes                             []string
	Told                                bool // the changes are told beside, across the loss
	Files                               []summaryFile
	Trouble                             string
}

// summaryColumn is an examination as the head of a column.
type summaryColumn struct {
	Date, When string // before, since
}

func (c summaryColumn) String() string { return c.Date + " " + c.When }

// summaryAcross sets the last examination before the loss and the first since
// side by side.
type summaryAcross struct {
	Before, Since *summaryLook
	Rows          []summaryRow
	Changes       []string
	Pictures      []summaryPicture // of the view that both have, before and since; may be empty
	View          string
}

type summaryRow struct {
	What, Before, Since string
	News                bool
}

type summaryFile struct{ Name, Hash, What string }

// summaryMark and summaryPart are rows of the tables, with a cell for each
// examination.
type summaryMark struct {
	Title, Where string
	Cells        []summaryCell
}

type summaryCell struct {
	Text string
	News bool // it is not what it was
}

type summaryPart struct {
	Part    string
	States  []string
	Changed bool
}

type summaryView struct {
	View     string
	Pictures []summaryPicture
}

type summaryPicture struct {
	Date string
	Data template.URL // "" where there is none
}

// The bounds of a summary.
const (
	maxSummaryMarks = 120
	maxColumns      = 5
	maxViews        = 3
	pictureSize     = 420 // pixels, the longer side
)

func (b *bundling) summary() (*summary, error) {
	inst := Instrument{Reports: b.rows}
	if one, err := b.a.Instrument(b.rows[0].Hash); err == nil {
		inst.Decisions = one.Decisions
	}
	h, err := b.a.History(inst)
	if err != nil {
		return nil, err
	}
	s := &summary{Title: b.out.Title, Serial: b.out.Serial, Archive: clean(b.a.Settings.Name, 120), Date: b.claim.Date, Reference: clean(b.opt.Reference, 120), Head: b.proof.Head, HeadTime: at(b.proof.Head.Time)}
	if b.opt.Signer != nil {
		s.Signed = fmt.Sprintf("%s, key %s", clean(b.opt.Signer.Certificate.Subject.CommonName, 80), b.opt.Signer.Fingerprint().Long())
	}
	for i := range h.Looks {
		l := b.look(&h.Looks[i])
		if h.Looks[i].Report.Date < b.claim.Date {
			s.Before = append(s.Before, l)
		} else {
			s.Since = append(s.Since, l)
		}
	}
	b.policy(s)
	b.remarks(s)
	s.tables(h, b.claim.Date)
	s.words(h, b.claim.Date)
	if err := b.views(s, h); err != nil {
		return nil, err
	}
	s.across()
	for _, x := range h.Held {
		s.Held = append(s.Held, strings.TrimSpace(x.Date+"  "+strings.TrimSpace(x.Who+" "+x.How)))
	}
	for _, c := range h.Contradictions {
		s.Contradictions = append(s.Contradictions, c.Text)
	}
	for _, d := range inst.Decisions {
		s.Decisions = append(s.Decisions, fmt.Sprintf("%s: %s said that reports are %s: %s", d.Time.UTC().Format(time.DateOnly), d.By, decided(d.Kind), d.Why))
	}
	return s, nil
}

func at(t time.Time) string { return t.UTC().Format("2006-01-02 15:04 MST") }

func decided(k EventKind) string {
	switch k {
	case Joined:
		return "of one instrument"
	case Parted:
		return "of another instrument than those they stood with"
	}
	return "of different instruments"
}

// look tells of one examination.
func (b *bundling) look(l *Look) *summaryLook {
	r := l.Report
	out := &summaryLook{Date: r.Date, By: l.By(), Examiner: clean(r.Examiner, 80), Number: clean(r.Number, 40), Purpose: clean(r.Purpose, 40), Index: "not graded", Class: "", Originality: "not judged", Playing: l.Playing(), Marks: l.Marks, Trouble: l.Trouble}
	if l.Index != nil {
		out.Index, out.Class = prose.Index(*l.Index), fmt.Sprintf("class %d, %s", l.Class, l.Word)
		if tenths(l.Low) != tenths(l.High) {
			out.Range = fmt.Sprintf("%s to %s, for what was not inspected", prose.Index(l.Low), prose.Index(l.High))
		}
	}
	if l.Originality != nil {
		out.Originality = fmt.Sprintf("%.1f %%", *l.Originality)
	}
	first := l.Versions[0]
	out.Filed = fmt.Sprintf("%s, line %d of the log", at(first.Filed), first.Seq)
	out.Proven = "not proven; the date is the examiner's word"
	if t := b.proven(r); t != nil {
		out.Proven = at(*t) + ", by a time-stamp in the report"
	}
	out.Logged = "no authority vouches for it; by the clock of whoever keeps the archive"
	if s := b.stamped(first); s != nil {
		out.Logged = fmt.Sprintf("by %s at the latest, as %s says", at(s.Time), clean(s.Authority, 80))
		if !s.Trusted {
			out.Logged += " (an authority that is not trusted where this bundle was made)"
		}
	}
	for _, line := range b.shown.Lines {
		if line.Seq == r.Seq {
			out.Verdict = line.Summary
		}
	}
	out.Now, out.NowOK = b.now[r.Hash].Headline(), b.now[r.Hash].OK
	for _, c := range l.Changes {
		out.Changes = append(out.Changes, c.Text)
	}
	for _, v := range l.Versions {
		what := "as issued"
		if v.Countersigned {
			what = "countersigned"
		}
		out.Files = append(out.Files, summaryFile{b.reportFile(v), v.Hash, what})
	}
	return out
}

// policy tells what the policy says, where the claim is against one.
func (b *bundling) policy(s *summary) {
	c := b.opt.Claim
	if c == nil {
		return
	}
	p := c.Policy
	s.Policy = append(s.Policy, fmt.Sprintf("Policy %s of %s, insured from %s to %s.", p.Number, p.Holder, p.From, p.Last()))
	if p.Sum != "" {
		s.Policy = append(s.Policy, fmt.Sprintf("Insured in all: %s %s.", p.Sum, p.Currency))
	}
	if c.Insured {
		s.Policy = append(s.Policy, "It insured the instrument on the day of the loss, by what the archive's log says now.")
	} else {
		s.Policy = append(s.Policy, "It did not insure the instrument on the day of the loss, by what the archive's log says now: "+c.Why+".")
	}
}

// remarks are what a reader should know before anything else.
func (b *bundling) remarks(s *summary) {
	say := func(format string, args ...any) { s.Remarks = append(s.Remarks, fmt.Sprintf(format, args...)) }
	day, err := time.Parse(time.DateOnly, b.claim.Date)
	if r := b.claim.Before; r == nil {
		say("No examination before %s is filed, so nothing here shows what the instrument was like before the loss.", b.claim.Date)
	} else if t, err2 := time.Parse(time.DateOnly, r.Date); err == nil && err2 == nil {
		if n := int(day.Sub(t).Hours() / 24); n > 365 {
			say("The last examination before the loss was %d days before it, more than a year.", n)
		}
	}
	if len(b.claim.Since) == 0 {
		say("No examination since the loss is filed.")
	}
	seen := map[string]bool{}
	var unknown []string
	for _, r := range b.rows {
		if seen[r.First] {
			continue
		}
		seen[r.First] = true
		filed := r.Filed.UTC().Format(time.DateOnly)
		if r.Date < b.claim.Date && filed >= b.claim.Date {
			say("The report %s is dated %s, before the loss, and was filed on %s, after it. %s", clean(r.Number, 40), r.Date, filed, b.early(r))
		}
		if v := b.now[r.Hash]; !v.OK {
			say("The report %s does not pass the check today: %s", clean(r.Number, 40), v.Headline())
		} else if len(v.Signatures) > 0 && !v.Signatures[0].Known && !v.Signatures[0].Trusted {
			unknown = append(unknown, fmt.Sprintf("%s (key %s)", clean(r.Number, 40), sign.Fingerprint(v.Signatures[0].Fingerprint).Short()))
		}
		if list, err := b.a.RemovedVersions(r.First); err == nil && len(list) > 0 {
			say("Another version of the report %s was removed from the archive on %s under %s: %s", clean(r.Number, 40), list[0].Removed.Format(time.DateOnly), list[0].Rule, list[0].Reason)
		}
	}
	if len(unknown) > 0 {
		say("Who holds the keys of these reports is not known where this bundle was made, so the names in them are what the signers wrote: %s.", strings.Join(unknown, ", "))
	}
}

// across sets the two examinations about the loss side by side.
func (s *summary) across() {
	if len(s.Before) == 0 || len(s.Since) == 0 {
		return
	}
	a, b := s.Before[len(s.Before)-1], s.Since[0]
	x := &summaryAcross{Before: a, Since: b, Changes: b.Changes}
	for _, r := range []summaryRow{{What: "Condition index", Before: a.Index, Since: b.Index}, {What: "Condition class", Before: a.Class, Since: b.Class}, {What: "Originality", Before: a.Originality, Since: b.Originality},
		{What: "Marks", Before: fmt.Sprint(a.Marks), Since: fmt.Sprint(b.Marks)}, {What: "Playing", Before: a.Playing, Since: b.Playing}} {
		r.News = r.Before != r.Since
		x.Rows = append(x.Rows, r)
	}
	for _, v := range s.Views {
		var two []summaryPicture
		for _, p := range v.Pictures {
			if p.Data != "" && (p.Date == a.Date || p.Date == b.Date) {
				two = append(two, p)
			}
		}
		if len(two) == 2 {
			x.View, x.Pictures = v.View, two
			break
		}
	}
	s.Across, b.Told = x, true
}

// early says what shows that a report was made before the loss.
func (b *bundling) early(r Row) string {
	if t := b.proven(r); t != nil && t.UTC().Format(time.DateOnly) < b.claim.Date {
		return "A trusted authority vouches that it was signed on " + at(*t) + "."
	}
	return "That it was made before is the word of whoever signed it."
}

// words tell the last examination before the loss, or the first since, in
// sentences.
func (s *summary) words(h *History, day string) {
	l := &h.Looks[0]
	for i := range h.Looks {
		if h.Looks[i].Report.Date < day {
			l = &h.Looks[i]
		}
	}
	if l.rec == nil || l.draw == nil || l.v.Grade == nil {
		return
	}
	rubric := grade.ByHash(l.v.Grade.RubricHash)
	if rubric == nil {
		return
	}
	defer func() {
		if recover() != nil { // the words of a stranger's record are no reason to have no bundle
			s.Words, s.Gaps = nil, nil
		}
	}()
	src := prose.Source{Record: l.rec, Grade: l.v.Grade, Drawing: l.draw, Rubric: rubric}
	for _, p := range prose.Paragraphs(prose.Full(src)) {
		s.Words = append(s.Words, prose.Text(p))
	}
	for _, g := range prose.Gaps(src) {
		s.Gaps = append(s.Gaps, g.Text)
	}
}
