package view

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
)

// RowAnswers are the three answers as a row of the list has room for them:
// figure and what stands under it.
type RowAnswers [3]RowAnswer

// RowAnswer is one of them.
type RowAnswer struct {
	Figure string `json:"figure"`
	Under  string `json:"under,omitempty"`
}

// Text is the answer in a line: "130 of 132", "78 (honestly worn)".
func (a RowAnswer) Text() string {
	switch {
	case a.Under == "":
		return a.Figure
	case strings.HasPrefix(a.Under, "of "):
		return a.Figure + " " + a.Under
	}
	return a.Figure + " (" + a.Under + ")"
}

// kept is how answers lie in the index: with the rubric that the bench had then,
// so that a program or a shop with another grades anew.
type kept struct {
	Rubric  string     `json:"rubric"`
	Answers RowAnswers `json:"answers"`
}

// Grader finds the answers of a list's rows.
//
// Grading an examination replays its journal and takes ten to fifty
// milliseconds, so a list cannot grade its rows while it is drawn. It cannot be
// left to the index either, which must not know the rules. So the answers of a row
// are computed when the row comes into sight, beside the window, and kept with
// the row in the index, which lets go of them when the examination changes. The
// second look at a bench finds all that were looked at before, and a bench of
// 2000 instruments is listed as fast as an empty one.
type Grader struct {
	b      *bench.Bench
	rubric string // hash of the one for examinations that name none
}

// NewGrader makes a grader for a bench's list.
func NewGrader(b *bench.Bench) *Grader {
	g := &Grader{b, b.ChosenRubric()}
	if g.rubric == "" {
		g.rubric = grade.Default().Hash()
	}
	return g
}

// Known are the answers kept with a row; ok is false when there are none that
// still hold.
func (g *Grader) Known(r bench.Row) (a RowAnswers, ok bool) {
	var k kept
	if r.Answers == "" || json.Unmarshal([]byte(r.Answers), &k) != nil || k.Rubric != g.rubric {
		return RowAnswers{}, false
	}
	return k.Answers, true
}

// Find grades the examination of a row and keeps the answers with it. It may run
// beside the window. An examination that cannot be graded has dashes.
func (g *Grader) Find(r bench.Row) (RowAnswers, error) {
	ex, err := g.b.OpenExam(r.Exam)
	if err != nil {
		return RowAnswers{}, fmt.Errorf("grade for the list: %w", err)
	}
	s, err := annotate.OpenFor(ex, g.b)
	var res *grade.Result
	if err == nil {
		res = s.Scene().Grade
	}
	a := rowAnswers(res)
	text, err := json.Marshal(kept{Rubric: g.rubric, Answers: a})
	if err == nil {
		err = g.b.KeepAnswers(r, string(text))
	}
	if err = errors.Join(err, ex.Close()); err != nil {
		return a, fmt.Errorf("grade for the list: %w", err)
	}
	return a, nil
}

// rowAnswers shortens the header's answers to what a row has room for.
func rowAnswers(r *grade.Result) RowAnswers {
	if r == nil {
		return RowAnswers{{"–", "not graded"}, {"–", ""}, {"–", ""}}
	}
	var out RowAnswers
	for i, a := range Answers(r) {
		out[i].Figure = a.Figure
		out[i].Under = a.Beside
	}
	if r.Index != nil {
		out[0].Under = r.Word
		if r.Provisional {
			out[0].Under = "provisional"
		}
	}
	if r.Playing.Tried > 0 {
		out[2].Under = fmt.Sprintf("of %d", r.Playing.Total)
	}
	return out
}
