package archive

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"unicode/utf8"
)

//go:embed bundle.html
var bundlePage string

var bundleTemplate = template.Must(template.New("bundle").Parse(bundlePage))

// html is summary.html: it needs nothing but itself.
func (s *summary) html() ([]byte, error) {
	var b bytes.Buffer
	if err := bundleTemplate.Execute(&b, s); err != nil {
		return nil, fmt.Errorf("write summary: %w", err)
	}
	return b.Bytes(), nil
}

// text is summary.txt, in lines of at most 96 letters.
func (s *summary) text() string {
	t := &plain{}
	t.line("", s.Title)
	if s.Serial != "" {
		t.line("", "Serial number "+s.Serial)
	}
	t.line("", "Date of the loss: "+s.Date)
	if s.Reference != "" {
		t.line("", "Reference: "+s.Reference)
	}
	t.list("", s.Policy)
	t.section("To know first", s.Remarks)
	if x := s.Across; x != nil {
		t.head("Across the loss: " + x.Before.Date + ", the last examination before | " + x.Since.Date + ", the first since")
		for _, r := range x.Rows {
			t.line("- ", r.What+": "+orLine(r.Before)+" | "+orLine(r.Since))
		}
		t.list("- ", x.Changes)
	}
	t.looks("The last examination before the loss", s.Before)
	t.looks("Since the loss", s.Since)
	t.section("What the reports contradict each other in", s.Contradictions)
	t.section("The last examination before the loss, in words", s.Words)
	t.section("Not examined", s.Gaps)
	if len(s.Marks) > 0 {
		t.head("Marks, by examination: " + s.columns())
		for _, m := range s.Marks {
			var cells []string
			for _, c := range m.Cells {
				cells = append(cells, orLine(c.Text))
			}
			t.line("- ", strings.TrimSuffix(m.Title+", "+m.Where, ", ")+": "+strings.Join(cells, " | "))
		}
		if s.MarksLeft > 0 {
			t.line("- ", fmt.Sprintf("%d more in the reports", s.MarksLeft))
		}
	}
	if len(s.Parts) > 0 {
		t.head("Parts that are not original, or not said the same, by examination: " + s.columns())
		for _, p := range s.Parts {
			states := make([]string, len(p.States))
			for i, st := range p.States {
				states[i] = orLine(st)
			}
			t.line("- ", p.Part+": "+strings.Join(states, " | "))
		}
	}
	t.section("Who had it, as far as the reports say", s.Held)
	t.section("What people decided about which reports are of one instrument", s.Decisions)
	t.section("What proves it", []string{
		fmt.Sprintf("The reports stand in the log of the archive %q, of which each line is bound to the one before. Its head when this was made: %s, of %s; root of the tree over its lines: %s.", s.Archive, s.Head.Head(), s.HeadTime, s.Head.Root),
		signedBy(s.Signed), "HOW-TO-CHECK.txt says how to check everything here without the program that made it.",
		"This bundle says what the reports say. It values nothing and decides nothing.",
	})
	return t.b.String()
}

// columns names the examinations of the tables.
func (s *summary) columns() string {
	var list []string
	for _, c := range s.Columns {
		list = append(list, c.String())
	}
	return strings.Join(list, " | ")
}

func orLine(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

func signedBy(who string) string {
	if who == "" {
		return "Nobody signed the bundle."
	}
	return "Signed by " + who + "."
}

// plain writes paragraphs in lines of a bounded length.
type plain struct{ b strings.Builder }

const textWidth = 96

func (p *plain) line(mark, s string) {
	indent := strings.Repeat(" ", len(mark))
	line := mark
	for i, w := range strings.Fields(s) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) > textWidth {
			p.b.WriteString(line + "\n")
			line = indent
		} else if i > 0 {
			line += " "
		}
		line += w
	}
	p.b.WriteString(line + "\n")
}

func (p *plain) list(mark string, list []string) {
	for _, s := range list {
		p.line(mark, s)
	}
}

// section writes a heading and a list; nothing where the list is empty.
func (p *plain) section(title string, list []string) {
	if len(list) > 0 {
		p.head(title)
		p.list("- ", list)
	}
}

func (p *plain) head(title string) {
	p.b.WriteString("\n")
	p.line("", title)
	p.b.WriteString(strings.Repeat("-", min(textWidth, utf8.RuneCountInString(title))) + "\n")
}

func (p *plain) looks(title string, list []*summaryLook) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	for i, l := range list {
		if i > 0 {
			p.b.WriteString("\n")
		}
		p.line("", strings.TrimSuffix(fmt.Sprintf("%s  %s, report %s, %s", l.Date, l.By, orLine(l.Number), l.Purpose), ", "))
		rows := [][2]string{{"Condition index", strings.TrimSuffix(l.Index+", "+l.Class, ", ")}, {"Range", l.Range}, {"Originality", l.Originality}, {"Playing", l.Playing}, {"Marks", fmt.Sprint(l.Marks)},
			{"Examiner", l.Examiner}, {"Time of signing", l.Proven}, {"Filed", l.Filed}, {"In the log", l.Logged}, {"When filed", l.Verdict}, {"Checked again", l.Now}, {"Not read", l.Trouble}}
		for _, r := range rows {
			if r[1] != "" {
				p.line(fmt.Sprintf("  %-16s ", r[0]), r[1])
			}
		}
		for _, c := range l.Changes {
			if !l.Told {
				p.line("  - ", c)
			}
		}
		for _, f := range l.Files {
			p.line("  ", f.Name+", "+f.What)
			p.line("  ", "SHA-256 "+f.Hash)
		}
	}
}
