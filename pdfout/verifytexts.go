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
	rows := slices.Concat(pages[1:]...)
	at := 0
	for i := range c.v.Record.Marks {
		number := c.v.Record.Marks[i].Number
		points := page.Points(g, number, c.text)
		next := row(rows[at:], fmt.Sprint(number), points)
		if next < 0 {
			c.v.say(MarksOther, Bad, fmt.Sprintf("The list of marks lacks mark %d of the record inside, or prints other points for it than %s.", number, points))
			return
		}
		at += next
	}
	c.v.say(MarksFit, Good, fmt.Sprintf("The pages list %s, as many as the record inside has, with the points that were computed again.", markCount(n)))
}

func markCount(n int) string {
	if n == 1 {
		return "1 mark"
	}
	return fmt.Sprintf("%d marks", n)
}

// row is where the first row that begins with a number and has a figure behind
// it ends, -1 for none.
func row(texts []string, number, figure string) int {
	for i, s := range texts {
		if bare(s) != number {
			continue
		}
		for k, s := range texts[i+1:] {
			if bare(s) == figure {
				return i + k + 2
			}
		}
		return -1
	}
	return -1
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
	if diff := makerDiffers(h, bare(strings.Join(texts[:at], ""))); diff != "" {
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

// makerDiffers looks at the line with maker and year, which is cut where it is
// too long.
func makerDiffers(h page.Head, line string) string {
	shown, _, cut := strings.Cut(line, "…")
	if maker := bare(h.Maker); !strings.Contains(line, maker) && (!cut || !shows(shown+"…", maker)) {
		return fmt.Sprintf("the maker “%s” is not in its head", h.Maker)
	}
	if !cut && !strings.Contains(line, bare(h.Year)) {
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
