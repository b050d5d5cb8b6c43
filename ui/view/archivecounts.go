package view

import (
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/archive"
)

// archiveFacets are the fields that are counted beside the list, in the order in
// which they are shown; that of the total comes first.
var archiveFacets = []struct{ field, title string }{
	{"verdict", "Signer's key"}, {"maker", "Maker"}, {"condition", "Condition class"}, {"class", "Class"}, {"kind", "Marks"}, {"part", "Parts not as made"}, {"shop", "Dealer"}, {"purpose", "Examined for"},
}

// facetMost is how many values of a field are shown.
const facetMost = 6

// ArchiveFacet is a field with its most frequent values.
type ArchiveFacet struct {
	Title  string
	Values []ArchiveValue
	More   int // further values
}

// ArchiveValue is one value with how many reports have it. On says that the line
// asks for it.
type ArchiveValue struct {
	Field, Value, Text string
	N                  string
	On                 bool
}

// ArchiveCounted is the answer to how often each value of a field is there.
type ArchiveCounted struct {
	asked int
	field string
	list  []archive.Count
	err   error
}

// CountFields are the fields to count for a question, in order.
func CountFields() []string {
	var out []string
	for _, f := range archiveFacets {
		out = append(out, f.field)
	}
	return out
}

// Counted counts by a field; it may run in any goroutine.
func (k ArchiveAsk) Counted(field string) ArchiveCounted {
	list, err := k.a.Counts(k.query, field)
	return ArchiveCounted{k.asked, field, list, err}
}

// TakeCounted takes counts in; false for those that are not wanted any more.
// Every report has one verdict, so these are also the total.
func (m *ArchiveFind) TakeCounted(c ArchiveCounted) bool {
	if c.asked != m.asked || m.pending {
		return false
	}
	if c.err != nil {
		m.wrong = Words(c.err)
		return true
	}
	m.next[c.field] = c.list
	if len(m.next) == len(archiveFacets) { // all at once: the side does not flicker
		m.counts = m.next
	}
	if c.field == "verdict" {
		n := 0
		for _, v := range c.list {
			n += v.N
		}
		m.total, m.rows = n, min(m.rows, n)
	}
	return true
}

// Facets are the counts beside the list; those of the question before until all
// of the new ones are there.
func (m *ArchiveFind) Facets() []ArchiveFacet {
	terms := archive.LineTerms(m.line)
	var out []ArchiveFacet
	for _, f := range archiveFacets {
		list, is := m.counts[f.field]
		if !is {
			continue
		}
		facet := ArchiveFacet{Title: f.title}
		for _, c := range list {
			value := facetTerm(f.field, c.Value)
			if value == "" {
				continue
			}
			if len(facet.Values) == facetMost {
				facet.More++
				continue
			}
			facet.Values = append(facet.Values, ArchiveValue{f.field, value, facetText(f.field, c.Value), Grouped(c.N), archive.TermAt(terms, f.field, value) >= 0})
		}
		if len(facet.Values) > 0 {
			out = append(out, facet)
		}
	}
	return out
}

// facetTerm is the value as the line names it; "" for one that it cannot name.
func facetTerm(field, value string) string {
	switch {
	case field == "condition" && value == "0":
		return ""
	case len(archive.Words(value)) == 0:
		return ""
	case field == "part" && (strings.HasSuffix(value, "="+string(record.Original)) || strings.HasSuffix(value, "="+string(record.NotSeen)) || strings.HasSuffix(value, "="+string(record.NotFitted))):
		return "" // there for nearly every report, and nobody looks for it
	}
	return value
}

func facetText(field, value string) string {
	switch field {
	case "condition":
		return "Class " + value
	case "part":
		part, state, _ := strings.Cut(value, "=")
		return Capital(part) + ": " + state
	case "verdict", "kind", "purpose":
		return Capital(value)
	}
	return value
}

// Toggle is the line with a value asked for, or no longer where it was.
func (m *ArchiveFind) Toggle(field, value string) string {
	terms := archive.LineTerms(m.line)
	if i := archive.TermAt(terms, field, value); i >= 0 {
		return withoutTerm(m.line, terms[i])
	}
	return withTerm(m.line, archive.TermText(field, value))
}

func withTerm(line, term string) string {
	return strings.TrimSpace(strings.TrimSpace(halfTyped(line))+" "+term) + " "
}

func withoutTerm(line string, t archive.LineTerm) string {
	if out := archive.WithoutTerm(line, t); out != "" {
		return out + " "
	}
	return ""
}

// ArchiveColumn is a column of the list; Sort is the order behind its title, ""
// for none.
type ArchiveColumn struct{ Title, Sort string }

// ArchiveColumns are the columns of the list.
func ArchiveColumns() []ArchiveColumn {
	return []ArchiveColumn{{"Instrument", "maker"}, {"Serial", "serial"}, {"Condition", "index"}, {"Examined", "date"}, {"Dealer", ""}, {"Filed", "filed"}}
}

// Cell is a column of a row.
func (r ArchiveRow) Cell(column int) string {
	return [...]string{r.Title, r.Serial, r.Index, r.Date, r.Dealer, r.Filed}[column]
}

// Sorted is the order that the line asks for: a column, -1 for another, and
// whether it runs down. Without one the newest filed come first.
func (m *ArchiveFind) Sorted() (column int, down bool) {
	name, down := "filed", true
	for _, t := range archive.LineTerms(m.line) {
		if t.Field == "sort" && !t.Not {
			name, down = strings.CutPrefix(strings.ToLower(t.Value), "-")
		}
	}
	for i, c := range ArchiveColumns() {
		if c.Sort == name {
			return i, down
		}
	}
	return -1, down
}

// SortBy is the line with the order of a column, turned round where it has it
// already. Texts begin with A, figures and days with the highest.
func (m *ArchiveFind) SortBy(column int) string {
	name := ArchiveColumns()[column].Sort
	if name == "" {
		return m.line
	}
	at, down := m.Sorted()
	want := name == "index" || name == "date" || name == "filed"
	if at == column {
		want = !down
	}
	line := m.line
	for terms := archive.LineTerms(line); ; terms = archive.LineTerms(line) {
		i := 0
		for i < len(terms) && (terms[i].Field != "sort" || terms[i].Not) {
			i++
		}
		if i == len(terms) {
			break
		}
		line = withoutTerm(line, terms[i])
	}
	switch {
	case name == "filed" && want:
		return line // as it is without a word
	case want:
		name = "-" + name
	}
	return withTerm(line, "sort:"+name)
}
