package pdfout

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/page"
)

// texts compares what the pages print of the identity, of who examined when,
// and of the marks with the record inside. An issuer who signs pages that say
// something else than the record is found out by it. It looks at values and at
// the order in which they stand, not at the labels between them, so that later
// versions may word those anew.
func (c *checker) texts(rec *record.Record, pages [][]string) {
	if diff := headDiffers(page.HeadOf(rec, c.text), pages[0]); diff != "" {
		c.v.say(TextsOther, Bad, "Page 1 does not print the identity of the record inside: "+diff+".")
		return
	}
	c.v.say(TextsFit, Good, "Page 1 prints the maker, model, year, serial number, number, day and examiner of the record inside.")
}

// marks compares the list of marks, each by its number and what it costs.
func (c *checker) marks(g *grade.Result, pages [][]string) {
	n := len(c.v.Record.Marks)
	if !says(pages[0], page.MarksListed(n, len(pages), c.text)) {
		c.v.say(MarksOther, Bad, fmt.Sprintf("The record inside has %s, and page 1 speaks of another number of them.", markCount(n)))
		return
	}
	l := listed{dead: map[[3]int]bool{}}
	for _, texts := range pages {
		l.pages = append(l.pages, bareAll(texts))
	}
	for i := range c.v.Record.Marks {
		number := c.v.Record.Marks[i].Number
		l.rows = append(l.rows, [2]string{fmt.Sprint(number), page.Points(g, number, c.text)})
	}
	if most := l.find(); most < n {
		c.v.say(MarksOther, Bad, fmt.Sprintf("The list of marks lacks mark %s of the record inside at its place, or prints other points for it than %s.", l.rows[most][0], l.rows[most][1]))
		return
	}
	c.v.say(MarksFit, Good, fmt.Sprintf("The pages list %s, as many as the record inside has, with the points that were computed again.", markCount(n)))
}

// listed looks for a list of marks: rows that begin with a number, end with a
// figure, and follow upon one another.
type listed struct {
	pages [][]string // without white space
	rows  [][2]string
	most  int             // rows of the list that goes furthest
	dead  map[[3]int]bool // beginnings from which nothing follows: the pages may be anybody's
}

const (
	maxRow    = 400 // texts of one row: a note may have many lines
	maxOnward = 16  // texts on top of a page before a list goes on: what is said again
	maxFoot   = 6   // texts at the foot of a page behind a list that goes on
)

// find is how many rows the first such list has, one behind the other. The
// ledger is another one further on, and what is missing here may stand there.
func (l *listed) find() int {
	for p := 1; p < len(l.pages); p++ {
		for i := range l.pages[p] {
			if l.follow(0, p, i); l.most >= min(2, len(l.rows)) {
				return l.most
			}
		}
	}
	return l.most
}

// follow reads on from row n, which is to begin at text i of page p, and says
// whether all that follow were found.
func (l *listed) follow(n, p, i int) bool {
	l.most = max(l.most, n)
	if n == len(l.rows) {
		return true
	}
	texts, at := l.pages[p], [3]int{n, p, i}
	if i >= len(texts) || texts[i] != l.rows[n][0] || l.dead[at] {
		return false
	}
	end, last := i+1, min(len(texts), i+maxRow)
	for end < last && texts[end] != l.rows[n][1] {
		end++
	}
	// A size that is not known looks like points that are none.
	for ; end < last && texts[end] == l.rows[n][1]; end++ {
		if l.follow(n+1, p, end+1) || (len(texts)-end <= maxFoot+1 && l.onward(n+1, p+1)) {
			return true
		}
	}
	l.dead[at] = true
	return false
}

// onward looks for row n near the top of page p.
func (l *listed) onward(n, p int) bool {
	if n == len(l.rows) || p >= len(l.pages) {
		return n == len(l.rows)
	}
	for i := range min(len(l.pages[p]), maxOnward) {
		if l.follow(n, p, i) {
			return true
		}
	}
	return false
}

func markCount(n int) string {
	if n == 1 {
		return "1 mark"
	}
	return fmt.Sprintf("%d marks", n)
}

// says tells whether the texts say one of some sentences, over the ends of
// lines.
func says(texts, any []string) bool {
	all := bare(strings.Join(texts, ""))
	return slices.ContainsFunc(any, func(s string) bool { return strings.Contains(all, bare(s)) })
}

// bare is a text without white space: lines are broken at it, and a text whose
// characters need several typefaces is drawn in pieces.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s)
}

func bareAll(texts []string) []string {
	out := make([]string, len(texts))
	for i, s := range texts {
		out[i] = bare(s)
	}
	return out
}

// maxPieces is how many pieces a text of one line may be drawn in.
const maxPieces = 64

// leastShown is how many letters of a text are shown at least when it is too
// long for its place and cut; the narrowest place holds more than twice that.
const leastShown = 12

// shows says that a printed text is another one, or its beginning when it was
// too long for its place and ends in an ellipsis.
func shows(printed, want string) bool {
	short, cut := strings.CutSuffix(printed, "…")
	return printed == want || (cut && utf8.RuneCountInString(short) >= leastShown && strings.HasPrefix(want, short))
}

// taken reads a text that begins with the piece at i and says where the next
// one begins, 0 when another text stands there.
func taken(texts []string, i int, want string) (next int) {
	got := ""
	for k := i; k < min(len(texts), i+maxPieces); k++ {
		got += bare(texts[k])
		switch {
		case shows(got, bare(want)):
			return k + 1
		case !strings.HasPrefix(bare(want), got):
			return 0
		}
	}
	return 0
}

// headDiffers says what the head of page 1 prints else than the record, "" for
// nothing.
func headDiffers(h page.Head, first []string) string {
	diff := fmt.Sprintf("“%s” is not its title", h.Title)
	for i := range first {
		at := taken(first, i, h.Title)
		if at == 0 {
			continue
		}
		if diff = behindTitle(h, first[at:]); diff == "" {
			return ""
		}
	}
	return diff
}

// behindTitle looks at the head without its title: a line with maker and year,
// then number, serial number, day and examiner, each behind one label.
func behindTitle(h page.Head, texts []string) string {
	at := -1
	for i := range min(len(texts), maxPieces) {
		if taken(texts, i, h.Number) > 0 {
			at = i
			break
		}
	}
	if at < 0 {
		return fmt.Sprintf("the report's number “%s” is not in its head", h.Number)
	}
	if diff := makerDiffers(h, texts[:at]); diff != "" {
		return diff
	}
	at = taken(texts, at, h.Number) + 1
	next := taken(texts, at, h.Serial)
	if next == 0 {
		return otherThan("serial number", h.Serial, texts, at)
	}
	if at = next + 1; at >= len(texts) || !strings.HasPrefix(bare(texts[at]), bare(h.Day)) {
		return otherThan("day", h.Day, texts, at)
	}
	if at += 2; taken(texts, at, h.Examiner) == 0 {
		return otherThan("examiner", h.Examiner, texts, at)
	}
	return ""
}

// makerDiffers looks at the line with maker and year. It is cut where it is too
// long; one that is not cut may say with other words which year is claimed.
func makerDiffers(h page.Head, texts []string) string {
	if h.Line == "" || taken(texts, 0, h.Line) > 0 {
		return ""
	}
	line := bare(strings.Join(texts, ""))
	if !strings.Contains(line, bare(h.Maker)) {
		return fmt.Sprintf("the maker “%s” is not in its head", h.Maker)
	}
	if !strings.Contains(line, bare(h.Year)) {
		return fmt.Sprintf("the year “%s” is not in its head", h.Year)
	}
	return ""
}

func otherThan(what, want string, texts []string, i int) string {
	printed := "nothing"
	if i < len(texts) {
		printed = "“" + strings.TrimSpace(texts[i]) + "”"
	}
	return fmt.Sprintf("the %s is “%s” in the record and %s on it", what, want, printed)
}
