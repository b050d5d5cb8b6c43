// Package view holds what the screens show and allow, in plain Go: no drawing,
// no toolkit, no rules of the trade. A screen asks its model for text and rows
// and hands intentions to it; the model asks the editing session.
//
// Start with Shell, the open examination with its header and rail, and the
// model of each screen: Identity, Photos, Marks, Parts, Grade, Report, Bench.
// Models are used from the goroutine that owns the screen.
package view

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// Answer is one of the three answers in the header: a caption, the figure, and
// what stands beside it.
type Answer struct{ Caption, Figure, Beside string }

// Answers gives condition, originality and playing as the header shows them.
func Answers(r *grade.Result) [3]Answer {
	a := [3]Answer{{"Condition", "–", "nothing inspected"}, {"Originality", "–", "no part judged"}, {"Plays clean", "–", "not tried"}}
	if r == nil {
		return a
	}
	if r.Index != nil {
		a[0] = Answer{"Condition · " + r.Word, fmt.Sprintf("%.0f", *r.Index), "of 100"}
		if low, high := fmt.Sprintf("%.0f", r.Low), fmt.Sprintf("%.0f", r.High); low != high {
			a[0].Beside = low + "–" + high + " of 100"
		}
		if r.Provisional {
			a[0].Caption += ", provisional"
		}
	}
	if r.Originality != nil {
		a[1].Figure, a[1].Beside = fmt.Sprintf("%.0f", *r.Originality), count(len(r.NotOriginal), "part changed", "parts changed")
	}
	if r.Playing.Tried > 0 {
		a[2].Figure, a[2].Beside = fmt.Sprint(r.Playing.Clean), fmt.Sprintf("of %d positions", r.Playing.Total)
	}
	return a
}

// Headline is the header's title: what it is and the claimed year.
func Headline(r *record.Record) string {
	t := r.Instrument.Title()
	if r.Instrument.Year != "" {
		t += ", " + r.Instrument.Year
	}
	return t
}

// Subline is the header's second line: number, finish, purpose and date, state.
func Subline(r *record.Record, issued *record.Issued) string {
	in := r.Instrument
	var p []string
	if in.Serial != "" {
		p = append(p, "No. "+in.Serial)
	}
	if f := join(", ", in.Colour, in.Coating); f != "" {
		p = append(p, f)
	}
	p = append(p, fmt.Sprintf("examined %s, %s", r.Examination.Purpose, day(r.Examination.Date)))
	if issued != nil {
		p = append(p, "issued as "+issued.Number)
	} else {
		p = append(p, "draft")
	}
	return strings.Join(p, " · ")
}

// Status is the line at the foot of the window.
func Status(sc sceneCounts) string {
	return join("     ",
		fmt.Sprintf("%d of %d views photographed", sc.Views-sc.Missing, sc.Views),
		count(sc.NotInspected, "part not inspected", "parts not inspected"),
		count(sc.Marks, "mark", "marks"))
}

type sceneCounts struct{ Views, Missing, NotInspected, Marks int }

// Saved says when the last change was safe on disk.
func Saved(at time.Time) string {
	if at.IsZero() {
		return "every change is saved as it is made"
	}
	return "every change saved · " + at.Format("15:04:05")
}

// Words turns an error into one sentence for a person. It is the one place of
// the window that does.
func Words(err error) string {
	switch {
	case err == nil:
		return ""
	case errors.Is(err, context.Canceled):
		return "Cancelled. Nothing was left half done."
	}
	return Capital(err.Error()) + "."
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func join(sep string, parts ...string) string {
	var keep []string
	for _, p := range parts {
		if p != "" {
			keep = append(keep, p)
		}
	}
	return strings.Join(keep, sep)
}

func day(t time.Time) string { return t.Format("2 Jan 2006") }

// cents rounds to hundredths.
func cents(x float64) float64 { return math.Round(x*100) / 100 }
