package view

import (
	"wornwood/annotate"
)

// Screen names a screen of an open examination, in the order of the rail.
type Screen string

// The screens of an examination.
const (
	IdentityScreen    Screen = "Identity"
	PhotosScreen      Screen = "Photos"
	MarksScreen       Screen = "Marks"
	PartsScreen       Screen = "Parts"
	ElectronicsScreen Screen = "Electronics"
	SetupScreen       Screen = "Setup"
	DatingScreen      Screen = "Dating"
	GradeScreen       Screen = "Grade"
	ReportScreen      Screen = "Report"
)

// Screens lists the screens in the order of the rail.
func Screens() []Screen {
	return []Screen{IdentityScreen, PhotosScreen, MarksScreen, PartsScreen, ElectronicsScreen, SetupScreen, DatingScreen, GradeScreen, ReportScreen}
}

// Progress is the dot of a rail item.
type Progress int

// The states of a screen's data.
const (
	NotStarted Progress = iota
	SomethingMissing
	Complete
)

// RailItem is one item of the rail.
type RailItem struct {
	Screen   Screen
	Icon     string
	Progress Progress
	Why      string // what is missing, shown on hovering
}

// Shell is an open examination: header, rail and foot.
type Shell struct{ s *annotate.Session }

// NewShell makes the model on a session.
func NewShell(s *annotate.Session) *Shell { return &Shell{s} }

// Header gives title, second line and the three answers.
func (v *Shell) Header() (title, sub string, answers [3]Answer) {
	sc := v.s.Scene()
	return Headline(sc.Record), Subline(sc.Record, sc.Issued), Answers(sc.Grade)
}

// Foot gives the left and the right half of the line at the foot.
func (v *Shell) Foot() (left, right string) {
	sc := v.s.Scene()
	views := annotate.PhotoViews(sc.Record.Instrument.Class)
	c := sceneCounts{Views: len(views), Missing: len(annotate.MissingViews(sc.Record)), Marks: len(sc.Record.Marks)}
	if sc.Grade != nil {
		c.NotInspected = len(sc.Grade.NotInspected)
	}
	return Status(c), Saved(sc.SavedAt)
}

// Frozen tells whether the examination was issued and cannot change any more.
func (v *Shell) Frozen() bool { return v.s.Scene().Issued != nil }

// Rail lists the screens with what is missing on each.
func (v *Shell) Rail() []RailItem {
	sc := v.s.Scene()
	return []RailItem{
		v.identityItem(sc), v.photosItem(sc), v.marksItem(sc), v.partsItem(sc),
		electronicsItem(sc), setupItem(sc), datingItem(sc),
		{GradeScreen, "grade", gradeProgress(sc), gradeWhy(sc)},
		v.reportItem(sc),
	}
}

func (v *Shell) photosItem(sc *annotate.Scene) RailItem {
	it := RailItem{PhotosScreen, "photos", Complete, "every view is photographed"}
	if n := len(annotate.MissingViews(sc.Record)); n > 0 {
		it.Progress, it.Why = SomethingMissing, count(n, "view has no photo", "views have no photo")
	}
	if len(sc.Record.Photos) == 0 {
		it.Progress, it.Why = NotStarted, "no photo yet"
	}
	return it
}

func (v *Shell) marksItem(sc *annotate.Scene) RailItem {
	it := RailItem{MarksScreen, "marks", Complete, ""}
	loose := 0
	for _, m := range sc.Record.Marks {
		if len(m.On) == 0 {
			loose++
		}
	}
	if loose > 0 {
		it.Progress, it.Why = SomethingMissing, count(loose, "mark has no place on the outline", "marks have no place on the outline")
	}
	if len(sc.Record.Marks) == 0 {
		it.Progress, it.Why = NotStarted, "no mark yet"
	}
	return it
}

func (v *Shell) partsItem(sc *annotate.Scene) RailItem {
	it := RailItem{PartsScreen, "parts", NotStarted, "no part judged yet"}
	if sc.Grade == nil || len(sc.Record.Parts) == 0 {
		return it
	}
	if n := len(sc.Grade.NotInspected); n > 0 {
		return RailItem{PartsScreen, "parts", SomethingMissing, count(n, "part not inspected", "parts not inspected")}
	}
	return RailItem{PartsScreen, "parts", Complete, "every part inspected"}
}

func gradeProgress(sc *annotate.Scene) Progress {
	switch {
	case sc.Grade == nil || sc.Grade.Index == nil:
		return NotStarted
	case sc.Grade.Provisional || sc.Grade.Playing.Tried < sc.Grade.Playing.Total:
		return SomethingMissing
	}
	return Complete
}

func gradeWhy(sc *annotate.Scene) string {
	switch {
	case sc.GradeError != nil:
		return Words(sc.GradeError)
	case sc.Grade.Index == nil:
		return "nothing inspected yet"
	case sc.Grade.Provisional:
		return "provisional: below 80 % of the shares inspected"
	case sc.Grade.Playing.Tried < sc.Grade.Playing.Total:
		return count(sc.Grade.Playing.Total-sc.Grade.Playing.Tried, "playing position not tried", "playing positions not tried")
	}
	return ""
}

func (v *Shell) reportItem(sc *annotate.Scene) RailItem {
	if sc.Issued != nil {
		return RailItem{ReportScreen, "report", Complete, "issued as " + sc.Issued.Number}
	}
	return RailItem{ReportScreen, "report", NotStarted, "not issued yet"}
}
