package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/pdfout/archive"
)

// archivePage is how many rows of a list are read at once, and archivePages how
// many such pages are held: a list of any length takes a few megabytes.
const (
	archivePage  = 100
	archivePages = 60
)

// ArchiveFind is the list of filed reports that answer a query line, with the
// counts beside it. Asking is done beside the window: Ask and Want give a
// question, which answers itself in any goroutine, and Take takes the answer in
// where it is still wanted. The line is the truth: orders and counts that are
// clicked only change what stands in it.
type ArchiveFind struct {
	a     *archive.Archive
	line  string
	query *archive.Query
	wrong string
	asked int // number of the latest question

	pages   map[int][]ArchiveRow
	used    []int // the pages, that used last at the end
	asking  map[int]bool
	rows    int                        // known to be there
	total   int                        // -1 while it was not counted
	counts  map[string][]archive.Count // all of one question
	next    map[string][]archive.Count // those of this question as they come in
	chosen  string                     // SHA-256
	place   int                        // of the chosen one in the list, -1 where it is in none
	pending bool                       // nothing of this question was answered yet
}

// ArchiveRow is one report as the list shows it.
type ArchiveRow struct {
	Hash, Title, Serial, Index, Date, Dealer, Filed, Signer string
}

// NewArchiveFind makes the model with nothing asked yet.
func NewArchiveFind(a *archive.Archive) *ArchiveFind {
	return &ArchiveFind{a: a, total: -1, place: -1, pages: map[int][]ArchiveRow{}, asking: map[int]bool{}}
}

// ArchiveAsk is a question to the archive.
type ArchiveAsk struct {
	a     *archive.Archive
	query *archive.Query
	asked int
	page  int
}

// ArchiveAnswer is what one page of a list holds.
type ArchiveAnswer struct {
	asked, page int
	rows        []ArchiveRow
	more        bool
	err         error
}

// Line is the query line that was asked last.
func (m *ArchiveFind) Line() string { return m.line }

// Ask begins a new question; ok is false where the line cannot be understood,
// which Trouble then says. What stands at the end only half typed is left out.
func (m *ArchiveFind) Ask(line string) (ask ArchiveAsk, ok bool) {
	m.line = line
	m.asked++
	q, err := archive.ParseQuery(halfTyped(line))
	if err != nil {
		m.wrong = Capital(strings.TrimPrefix(err.Error(), "query: ")) + "."
		return ArchiveAsk{}, false
	}
	m.wrong, m.query, m.pending = "", q, true
	m.asking = map[int]bool{0: true}
	return ArchiveAsk{m.a, q, m.asked, 0}, true
}

// halfTyped is a line without the beginning of a term at its end.
func halfTyped(line string) string {
	terms := archive.LineTerms(line)
	if len(terms) == 0 {
		return line
	}
	last := terms[len(terms)-1]
	letters := []rune(line)
	switch {
	case last.To < len(letters): // a blank stands behind it
	case last.Open && len(archive.Words(last.Value)) > 0:
		return line + `"`
	case last.Open, last.Field != "" && strings.TrimSpace(last.Value) == "":
		return string(letters[:last.From])
	}
	return line
}

// Answer reads the page; it may run in any goroutine.
func (k ArchiveAsk) Answer() ArchiveAnswer {
	out := ArchiveAnswer{asked: k.asked, page: k.page}
	f, err := k.a.Find(k.query, k.page*archivePage, archivePage)
	if err != nil {
		out.err = err
		return out
	}
	out.more, out.rows = f.More, make([]ArchiveRow, 0, len(f.Rows))
	for i := range f.Rows {
		out.rows = append(out.rows, archiveRowOf(&f.Rows[i]))
	}
	return out
}

func archiveRowOf(r *archive.Row) ArchiveRow {
	title := r.Title()
	if r.Year != "" {
		title += ", " + r.Year
	}
	out := ArchiveRow{Hash: r.Hash, Title: title, Serial: r.Serial, Index: "–", Date: r.Date, Dealer: r.Shop, Filed: r.Filed.Format("2006-01-02"), Signer: r.Verdict}
	if r.Index != nil {
		out.Index = fmt.Sprintf("%.1f", *r.Index)
	}
	if out.Dealer == "" {
		out.Dealer = r.Examiner
	}
	return out
}

// Take takes an answer in; false for one that is not wanted any more.
func (m *ArchiveFind) Take(n ArchiveAnswer) bool {
	if n.asked != m.asked {
		return false
	}
	delete(m.asking, n.page)
	if n.err != nil {
		m.wrong, m.pending = Words(n.err), false
		return true
	}
	if m.pending {
		m.pending, m.total, m.rows, m.next, m.place = false, -1, 0, map[string][]archive.Count{}, -1
		m.pages, m.used = map[int][]ArchiveRow{}, nil
	}
	m.pages[n.page] = n.rows
	m.used = append(slices.DeleteFunc(m.used, func(p int) bool { return p == n.page }), n.page)
	for len(m.used) > archivePages {
		delete(m.pages, m.used[0])
		m.used = m.used[1:]
	}
	end := n.page*archivePage + len(n.rows)
	m.rows = max(m.rows, end)
	if n.more {
		m.rows = max(m.rows, end+1)
	} else if len(n.rows) > 0 || n.page == 0 {
		m.total, m.rows = end, end
	}
	for i, r := range n.rows {
		if r.Hash == m.chosen {
			m.place = n.page*archivePage + i
		}
	}
	return true
}

// Count is how long the list is, as far as it is known.
func (m *ArchiveFind) Count() int {
	if m.total >= 0 {
		return m.total
	}
	return m.rows
}

// Row is a row of the list; false for one that was not read yet, which Want then
// asks for.
func (m *ArchiveFind) Row(i int) (ArchiveRow, bool) {
	p := m.pages[i/archivePage]
	if at := i % archivePage; i >= 0 && at < len(p) {
		return p[at], true
	}
	return ArchiveRow{}, false
}

// Want is the question for the page of a row, where it has to be asked.
func (m *ArchiveFind) Want(row int) (ArchiveAsk, bool) {
	page := row / archivePage
	if _, there := m.pages[page]; there || row < 0 || row >= m.Count() || m.asking[page] || m.pending || m.query == nil {
		return ArchiveAsk{}, false
	}
	m.asking[page] = true
	return ArchiveAsk{m.a, m.query, m.asked, page}, true
}

// Trouble says what is wrong with the line, or with the archive; "" for nothing.
func (m *ArchiveFind) Trouble() string { return m.wrong }

// Hits says how many reports answer the line.
func (m *ArchiveFind) Hits() string {
	switch n := m.Count(); {
	case m.asked == 0 || (m.pending && n == 0):
		return ""
	case m.total < 0:
		return fmt.Sprintf("more than %d reports", n-1)
	default:
		return Grouped(n) + " " + strings.TrimPrefix(count(n, "report", "reports"), fmt.Sprint(n)+" ")
	}
}

// Grouped is a number with thin gaps between its thousands.
func Grouped(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// Empty says why the list is empty, "" where it is not.
func (m *ArchiveFind) Empty() string {
	switch {
	case m.pending || m.asked == 0 || m.Count() > 0:
		return ""
	case m.query != nil && len(archive.LineTerms(m.line)) == 0:
		return "Nothing is filed here yet. Drop reports on the window, or folders and mailboxes that hold some."
	}
	return "No filed report answers this line. F1 explains what can stand in it."
}

// Choose chooses a row of the list; its SHA-256 is returned, "" where it was not
// read yet.
func (m *ArchiveFind) Choose(i int) string {
	r, ok := m.Row(i)
	if !ok {
		return ""
	}
	m.chosen, m.place = r.Hash, i
	return r.Hash
}

// Chosen is the chosen report and its place in the list, -1 where it stands in
// none that was read.
func (m *ArchiveFind) Chosen() (hash string, place int) { return m.chosen, m.place }

// Step chooses a row further down, or up; the first where none is chosen.
func (m *ArchiveFind) Step(by int) (hash string) {
	if m.Count() == 0 {
		return ""
	}
	at := 0
	if m.place >= 0 {
		at = max(0, min(m.place+by, m.Count()-1))
	}
	return m.Choose(at)
}
