package view

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// RubricInfo is the rubric in use, as the Grade screen names it.
type RubricInfo struct {
	Name   string
	Hash   string // whole
	Origin string // "" for one that came with the program
	Usual  bool   // the examination names none, so it is the shop's usual one
}

// Rubric says what the examination is graded by.
func (v *Grade) Rubric() RubricInfo {
	sc := v.s.Scene()
	r := sc.Rubric
	return RubricInfo{Name: r.Name, Hash: r.Hash(), Origin: r.Origin(), Usual: sc.Record.Examination.Rubric == ""}
}

// RubricWords says in sentences whose the rubric is.
func (v *Grade) RubricWords() []string {
	sc := v.s.Scene()
	if sc.GradeError != nil && sc.Grade == nil {
		return []string{Words(sc.GradeError)}
	}
	out := []string{sc.Rubric.Note}
	if o := sc.Rubric.Origin(); o != "" {
		out = append([]string{Capital(o) + ". Every report says so and carries the table."}, out...)
	}
	return append(out, "Examinations that were issued keep the rubric they were issued by.")
}

// CopyOfRubric is the rubric in use as a file to change.
func (v *Grade) CopyOfRubric() ([]byte, error) {
	sc := v.s.Scene()
	return sc.Rubric.Copy(sc.Rubric.CopyName(sc.Record.Examination.Shop))
}

// UseRubric keeps a rubric on the shelf and grades the examination by it, and
// new examinations too where asked.
func (v *Grade) UseRubric(sh RubricShelf, data []byte, forNew bool) (*grade.Rubric, error) {
	r, err := annotate.KeepRubric(sh, data)
	if err != nil {
		return nil, err
	}
	if forNew {
		if err := sh.ChooseRubric(ChoiceOf(r)); err != nil {
			return nil, err
		}
	}
	return r, v.s.UseRubric(r)
}

// UseUsual grades the examination by the newest rubric that came with the
// program.
func (v *Grade) UseUsual() error { return v.s.UseRubric(grade.Default()) }

// ChoiceOf is how a bench keeps the choice of a rubric: the newest of the
// program as "", so that a newer program grades by its own newest.
func ChoiceOf(r *grade.Rubric) string {
	if r == grade.Default() {
		return ""
	}
	return r.Hash()
}

// RubricShelf is where rubrics are kept and one is chosen; a bench is one.
type RubricShelf interface {
	annotate.Shelf
	ChooseRubric(hash string) error
}

// ReadRubric reads a rubric's file, bounded.
func ReadRubric(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	defer f.Close()
	if st, err := f.Stat(); err == nil && !st.Mode().IsRegular() {
		return nil, fmt.Errorf("read rubric: %s is not a file", path)
	}
	b, err := io.ReadAll(io.LimitReader(f, grade.MaxTable+1))
	if err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	if _, err := grade.Load(b); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return b, nil
}

// SaveRubric writes a rubric to a new file; one that is there is left alone.
func SaveRubric(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("save rubric: %s is there already; choose another name", path)
	}
	if err != nil {
		return fmt.Errorf("save rubric: %w", err)
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// RubricPart is one part of a rubric's table as text.
type RubricPart struct {
	Name string
	Head []string
	Rows [][]string
}

// RubricTable is a rubric for people to read, its shares those of one class.
func RubricTable(r *grade.Rubric, class string) []RubricPart {
	kinds := RubricPart{Name: "Kinds", Head: []string{"Kind", "Importance", "Depths", "Why"}}
	for _, k := range r.Kinds() {
		depths := strings.Join(k.DepthWords[:], " / ")
		if k.Reading != "" {
			depths += ", or " + string(k.Reading)
		}
		why := k.Why
		if k.Reach > 0 {
			why += fmt.Sprintf(" Counts for at least %s of its part in the cap.", percent(k.Reach))
		}
		kinds.Rows = append(kinds.Rows, []string{string(k.Kind), fmt.Sprintf("%d", k.Importance), depths, why})
	}
	limits := RubricPart{Name: "Factors and limits", Head: []string{"What", "Value", "Meaning", "Source"}}
	add := func(what, value, meaning, source string) {
		limits.Rows = append(limits.Rows, []string{what, value, meaning, source})
	}
	for i, f := range r.Factors {
		add(fmt.Sprintf("Factor of score %d", i+1), fmt.Sprintf("%.2f", f), "score = importance + intensity + 2, at least 1", "")
	}
	for _, c := range r.Scale() {
		add(fmt.Sprintf("Class %d", c.Class), fmt.Sprintf("%.1f to %.1f", c.To, c.From), c.Word, "")
	}
	for i, e := range r.ExtentLimits {
		add(fmt.Sprintf("Extent %d", i+1), percent(e)+" and more", "of a part, for the cap of a structural flaw", "")
	}
	for _, s := range r.Scales {
		add(Capital(string(s.Kind)), fmt.Sprintf("%s and %s %s", short2(s.Limits[0]), short2(s.Limits[1]), s.Unit), "parts intensity 0 from 1 and 1 from 2; a limit is the "+s.AtLimit+" side's", s.After)
	}
	add("Halo", short(r.HaloMM)+" mm", "by which points and lines are grown", "")
	add("Not inspected", fmt.Sprintf("R %.2f", r.UninspectedR), "at worst", "")
	add("Provisional", "below "+percent(r.ProvisionalBelow), "of the shares inspected", "")
	out := []RubricPart{kinds, limits}
	if shares, err := r.Shares(class); err == nil {
		p := RubricPart{Name: "Shares", Head: []string{"Part", "Share", "Coverage", "Of the class " + class}}
		for _, s := range shares {
			p.Rows = append(p.Rows, []string{Capital(string(s.Part)), short(s.Share) + " %", coverageWords(s), map[bool]string{true: "counts once something was said of it"}[s.Optional]})
		}
		out = append(out, p)
	}
	states := RubricPart{Name: "Originality", Head: []string{"State", "Counts", "", ""}}
	for _, s := range record.States() {
		if o, ok := r.Originality[s]; ok {
			states.Rows = append(states.Rows, []string{Capital(string(s)), short2(o), "", ""})
		}
	}
	return append(out, states)
}

func coverageWords(s grade.Share) string {
	switch {
	case !s.Counted:
		return "by area"
	case s.Per != "":
		return "by pieces, one for each " + s.Per
	}
	return "by pieces"
}

// short2 is a number with up to two places.
func short2(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}
