package page

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/pdfout/catalogue"
)

// Printed are the texts of page 1 by which a check finds the three answers:
// each label with the figure that is drawn right behind it.
type Printed struct{ Label, Figure string }

// Answers are the three answers as page 1 prints them in a language.
func Answers(g *grade.Result, t *catalogue.Text) []Printed {
	out := []Printed{{t.Say("answers.condition"), "–"}, {t.Say("answers.originality"), "–"}, {t.Say("answers.plays"), "–"}}
	if g.Index != nil {
		out[0] = Printed{out[0].Label + ": " + strings.ToUpper(t.Word("scale", g.Word)), t.Figures(PrintedIndex(g))}
	}
	if g.Originality != nil {
		out[1].Figure = t.Figures(trimZero(plain(*g.Originality, 1)))
	}
	if g.Playing.Tried > 0 {
		out[2].Figure = fmt.Sprint(g.Playing.Clean)
	}
	return out
}

// PrintedIndex is the index as the ledger ends: 100 less the printed points, so
// that what is printed adds up wherever it is printed. It is "–" without an
// index.
func PrintedIndex(g *grade.Result) string {
	if g.Index == nil {
		return "–"
	}
	sum := 0.0
	for _, line := range g.Ledger {
		sum += math.Round(line.Shown * 10)
	}
	return plain((1000-sum)/10, 1)
}

// Footer is the text at the foot of every page that names the attached record.
func Footer(recordHash string, t *catalogue.Text) string { return t.Say("footer.digest", recordHash) }

// FooterDigest is the digest that a text of the foot names, "" for any other
// text.
func FooterDigest(s string, t *catalogue.Text) string {
	if d, ok := strings.CutPrefix(s, Footer("", t)); ok {
		return d
	}
	return ""
}
