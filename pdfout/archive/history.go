package archive

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/compare"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// History is what the filed reports say of one instrument over time. It is
// computed from them each time; nothing of it is stored.
type History struct {
	Title          string          `json:"title"`
	Serial         string          `json:"serial"` // as the latest examination gives it
	Looks          []Look          `json:"examinations"`
	Marks          []MarkStory     `json:"marks"`
	Parts          []PartStory     `json:"parts"`
	Held           []Holding       `json:"held"` // who held it when, as far as the reports say
	Contradictions []Contradiction `json:"contradictions"`
	Decisions      []Decision      `json:"decisions"`
	More           bool            `json:"more"`      // there are more examinations than are shown, the latest ones
	MoreMarks      bool            `json:"moreMarks"` // there are more marks than were followed
}

// maxLooks bounds the examinations of one history; of more, the latest are taken.
const maxLooks = 60

// Look is one examination in a history. The figures are those found when the
// report was checked on filing.
type Look struct {
	Report   Row   `json:"report"`
	Versions []Row `json:"versions"` // of the same report, as they were filed
	// Trouble says why nothing but the report's line is known, "" where all is.
	Trouble string `json:"trouble,omitempty"`

	Index           *float64     `json:"index"` // condition 0..100
	Low             float64      `json:"low"`
	High            float64      `json:"high"`
	Class           int          `json:"class"`
	Word            string       `json:"word"`
	Originality     *float64     `json:"originality"`
	OriginalityLow  float64      `json:"originalityLow"`
	OriginalityHigh float64      `json:"originalityHigh"`
	Clean           int          `json:"clean"` // positions that play clean
	Tried           int          `json:"tried"`
	Positions       int          `json:"positions"` // strings times frets
	Rubric          string       `json:"rubric"`
	Marks           int          `json:"marks"`
	Photos          []LookPhoto  `json:"photos"`
	Changes         []LookChange `json:"changes"` // since the examination before

	v    *pdfout.Verdict
	rec  *record.Record
	draw *outline.Drawing
}

// Playing says how it plays: "131 of 132 clean".
func (l *Look) Playing() string {
	switch {
	case l.Tried == 0:
		return "not played"
	case l.Tried < l.Positions:
		return fmt.Sprintf("%d clean of %d tried", l.Clean, l.Tried)
	}
	return fmt.Sprintf("%d clean of %d", l.Clean, l.Positions)
}

// Where names the examination in sentences: "the examination of 2026-11-14 by
// Fen Street Instruments".
func (l *Look) Where() string {
	return "the examination of " + l.Report.Date + " by " + l.By()
}

// By is the shop of the examination, or the examiner, or whoever signed it.
func (l *Look) By() string {
	for _, s := range []string{l.Report.Shop, l.Report.Examiner, l.Report.KeyName} {
		if s = clean(s, 80); s != "" {
			return s
		}
	}
	return "somebody who is not named"
}

// LookPhoto is a photo that a record lists. Whether its picture can be shown is
// found when it is asked for.
type LookPhoto struct {
	ID      string `json:"id"` // SHA-256 of the original
	View    string `json:"view"`
	Caption string `json:"caption,omitempty"`
}

// LookChange is one thing that an examination says otherwise than the one
// before.
type LookChange struct {
	What string `json:"what"` // mark, part, index, originality, playing
	Text string `json:"text"` // a sentence
}

// Contradiction is something that two reports cannot both be right about, or
// that only an event between them explains.
type Contradiction struct {
	Text string `json:"text"`
	// Looks are the examinations concerned, as places in the history.
	Looks []int `json:"examinations"`
	// Certain says that one of them must be wrong, whatever happened between.
	Certain bool `json:"certain"`
}

// History tells what the reports say of the instrument over time. A record that
// is damaged is named and left out; an error means that the archive cannot be
// read.
func (a *Archive) History(i Instrument) (*History, error) {
	h := &History{Title: i.Title(), Looks: []Look{}, Marks: []MarkStory{}, Parts: []PartStory{}, Held: []Holding{}, Contradictions: []Contradiction{}, Decisions: i.Decisions, More: i.More}
	rows := i.Examinations()
	if len(rows) > maxLooks {
		rows, h.More = rows[len(rows)-maxLooks:], true
	}
	for _, r := range rows {
		l := Look{Report: r, Versions: []Row{}, Photos: []LookPhoto{}, Changes: []LookChange{}}
		for _, v := range i.Reports {
			if v.First == r.First {
				l.Versions = append(l.Versions, v)
			}
		}
		if err := a.fill(&l); err != nil {
			l.Trouble = sentence(err)
		}
		h.Looks = append(h.Looks, l)
		h.Serial = r.Serial
	}
	h.follow()
	return h, nil
}

// maxHistoryVerdict bounds what is read of one report for a history, in bytes.
const maxHistoryVerdict = 32 << 20

// The marks of one record that are followed, and of all together: strangers
// wrote the records, and every mark is compared with every other.
const (
	maxHistoryMarks = 600
	maxStories      = 2000
)

// fill reads what was found when the report was filed.
func (a *Archive) fill(l *Look) error {
	b, err := a.bytes(Ref{Verdicts, l.Report.Hash}, maxHistoryVerdict)
	if err != nil {
		return err
	}
	var v pdfout.Verdict
	if err := json.Unmarshal(b, &v); err != nil || v.Record == nil {
		return fmt.Errorf("the verdict on %s cannot be read; 'wornwood archive check' says more", l.Report.Hash)
	}
	l.v, l.rec = &v, v.Record
	l.Marks = len(l.rec.Marks)
	if len(l.rec.Marks) > maxHistoryMarks {
		l.rec.Marks = l.rec.Marks[:maxHistoryMarks]
	}
	if l.draw, err = grade.DrawingFor(l.rec.Instrument); err != nil {
		l.draw = nil // a class of a newer program: places are compared all the same
	}
	for _, p := range l.rec.Photos {
		l.Photos = append(l.Photos, LookPhoto{p.ID, p.View, clean(p.Caption, 200)})
	}
	if g := v.Grade; g != nil {
		l.Index, l.Low, l.High, l.Class, l.Word = g.Index, g.Low, g.High, g.Class, g.Word
		l.Originality, l.OriginalityLow, l.OriginalityHigh = g.Originality, g.OriginalityLow, g.OriginalityHigh
		l.Clean, l.Tried, l.Positions, l.Rubric = g.Playing.Clean, g.Playing.Tried, g.Playing.Total, g.Rubric
	}
	return nil
}

func (l *Look) look() compare.Look { return compare.Look{Record: l.rec, Drawing: l.draw} }

// follow fills in everything that several examinations say together.
func (h *History) follow() {
	marks := followMarks(h.Looks)
	h.Marks, h.MoreMarks = marks.told(), marks.more
	h.Contradictions = append(h.Contradictions, marks.contradictions...)
	h.partsOver()
	h.figures()
	h.facts()
	h.held()
}

// before is the last examination before look i whose record is known, -1 for
// none.
func (h *History) before(i int) int {
	for i--; i >= 0; i-- {
		if h.Looks[i].rec != nil {
			return i
		}
	}
	return -1
}

func (h *History) say(i int, what, text string) {
	h.Looks[i].Changes = append(h.Looks[i].Changes, LookChange{what, text})
}

// figures says how index, originality and playing moved. Figures of two rubrics
// are not set against each other without saying so.
func (h *History) figures() {
	for i := range h.Looks {
		p := h.before(i)
		if p < 0 || h.Looks[i].rec == nil {
			continue
		}
		a, b := &h.Looks[p], &h.Looks[i]
		by := ""
		if a.Rubric != b.Rubric {
			by = " They are graded by different rubrics."
		}
		seen, known := by, by
		if ga, gb := a.v.Grade, b.v.Grade; ga != nil && gb != nil {
			if !slices.Equal(ga.NotInspected, gb.NotInspected) {
				seen += " Not the same parts were inspected."
			}
			if !slices.Equal(ga.UnknownState, gb.UnknownState) {
				known += " Not the same parts were judged."
			}
		}
		if a.Index != nil && b.Index != nil && tenths(*a.Index) != tenths(*b.Index) {
			h.say(i, "index", fmt.Sprintf("Index %.1f, %.1f before.%s", *b.Index, *a.Index, seen))
		}
		if a.Originality != nil && b.Originality != nil && tenths(*a.Originality) != tenths(*b.Originality) {
			h.say(i, "originality", fmt.Sprintf("Originality %.1f %%, %.1f %% before.%s", *b.Originality, *a.Originality, known))
		}
		if was, is := a.Playing(), b.Playing(); was != is {
			h.say(i, "playing", fmt.Sprintf("Playing: %s; %s before.", is, was))
		}
	}
}

func tenths(v float64) float64 { return math.Round(v * 10) }
