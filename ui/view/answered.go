package view

import (
	"context"
	"fmt"
	"strings"

	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
)

// ReceiptFindings are the lines of the sheet that shows a receipt: what speaks
// against it, then what it says with every difference, then what holds. What a
// receipt that does not pass its check says is not shown.
func ReceiptFindings(v *receive.Verdict) []Finding {
	var bad, says, rest []Finding
	for _, l := range v.Lines {
		f := Finding{l.Standing == pdfout.Good, l.Standing == pdfout.Bad, l.Text}
		switch {
		case f.Bad:
			bad = append(bad, f)
		case l.Code == receive.ReceiptSays && v.OK:
			says = append(says, f)
			for _, d := range (receive.Answered{Receipt: v.Receipt}).Details() {
				says = append(says, Finding{Text: d})
			}
		case l.Code != receive.ReceiptSays:
			rest = append(rest, f)
		}
	}
	return append(append(bad, says...), rest...)
}

// Kept says in sentences what was kept of what came back.
func Kept(r *receive.Done) []string {
	what := "countersigned by"
	if strings.Contains(r.File, "-receipt-") {
		what = "with a receipt by"
	}
	s := fmt.Sprintf("%s came back %s %s", r.Number, what, r.By)
	if r.Words != "" {
		s += ": " + r.Words
	}
	out := []string{s + ".", fmt.Sprintf("It is kept as %s beside the report, which stays as it was issued.", r.File)}
	if r.Beside != "" {
		out = append(out, "The answers that belong to it are kept as "+r.Beside+".")
	}
	return out
}

// AnsweredRow is one thing that came back for a report, with what it says.
type AnsweredRow struct {
	Line    string
	Details []string
	File    string
}

// Answered lists what came back for a report of the bench, the oldest first.
func Answered(b *bench.Bench, number string) ([]AnsweredRow, error) {
	list, err := receive.Answers(context.Background(), b, number)
	if err != nil {
		return nil, err
	}
	var out []AnsweredRow
	for _, a := range list {
		out = append(out, AnsweredRow{Capital(a.Line()) + ".", a.Details(), a.File})
	}
	return out, nil
}

// AnsweredShort is what came back last, for a row of the list of instruments:
// "countersigned", "2 differences, 1 new"; "" for nothing.
func AnsweredShort(b *bench.Bench, number string) string {
	list, err := receive.Answers(context.Background(), b, number)
	if err != nil {
		return "answer unreadable" // the bench's check names the file
	}
	if len(list) == 0 {
		return ""
	}
	return list[len(list)-1].Short()
}
