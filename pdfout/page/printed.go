package page

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/grade"
)

// Printed are the texts of page 1 by which a check finds the three answers:
// each label with the figure that is drawn right behind it.
type Printed struct{ Label, Figure string }

// Answers are the three answers as page 1 prints them.
func Answers(g *grade.Result) []Printed {
	out := []Printed{{"CONDITION", "–"}, {"ORIGINALITY", "–"}, {"PLAYS CLEAN", "–"}}
	if g.Index != nil {
		out[0] = Printed{"CONDITION: " + strings.ToUpper(g.Word), PrintedIndex(g)}
	}
	if g.Originality != nil {
		out[1].Figure = trimZero(plain(*g.Originality, 1))
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
func Footer(recordHash string) string { return footerDigest + recordHash }

const footerDigest = "record sha-256  "

// FooterDigest is the digest that a text of the foot names, "" for any other
// text.
func FooterDigest(s string) string {
	if d, ok := strings.CutPrefix(s, footerDigest); ok {
		return d
	}
	return ""
}
