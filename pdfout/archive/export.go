package archive

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Columns are those of an export as CSV.
func Columns() []string {
	return []string{"sha256", "seq", "filed", "number", "maker", "model", "edition", "class", "year", "serial", "date", "purpose", "examiner", "shop", "index", "condition",
		"originality", "marks", "photos", "originals", "verdict", "key", "key name", "countersigned", "stamped", "linked", "source", "size"}
}

func cells(r Row) []string {
	num := func(f *float64) string {
		if f == nil {
			return ""
		}
		return strconv.FormatFloat(*f, 'f', 1, 64)
	}
	class := ""
	if r.Condition > 0 {
		class = strconv.Itoa(r.Condition)
	}
	yes := map[bool]string{true: "yes", false: "no"}
	return []string{r.Hash, strconv.FormatInt(r.Seq, 10), stamp(r.Filed), r.Number, r.Maker, r.Model, r.Edition, r.Class, r.Year, r.Serial, r.Date, r.Purpose, r.Examiner, r.Shop, num(r.Index), class,
		num(r.Originality), strconv.Itoa(len(r.Kinds)), strconv.Itoa(r.Photos), strconv.Itoa(r.Originals), r.Verdict, r.Key, r.KeyName, yes[r.Countersigned], yes[r.Stamped], r.Linked, r.Source, strconv.FormatInt(r.Size, 10)}
}

// Exporter writes reports one after the other; what it holds in memory does not
// grow with them. Close ends the file, and closes nothing beneath it.
type Exporter interface {
	Write(Row) error
	Close() error
}

// exportPage is how many rows an export holds at a time.
const exportPage = 2000

// Export gives all reports that answer a query to an exporter and closes it.
// Where somebody files meanwhile, those filed before are given each once; in an
// order other than that of filing, one that slips in before the place reached
// may have another given twice.
func (a *Archive) Export(ctx context.Context, q *Query, to Exporter) (n int, err error) {
	err = a.each(ctx, q, exportPage, func(r Row) error { n++; return to.Write(r) })
	if closed := to.Close(); err == nil {
		err = closed
	}
	return n, err
}

// each visits what answers a query, a page at a time.
func (a *Archive) each(ctx context.Context, q *Query, page int, visit func(Row) error) error {
	last := int64(math.MaxInt64)
	for from := 0; ; from += page {
		if err := ctx.Err(); err != nil {
			return err
		}
		f, err := a.Find(q, from, page)
		if err != nil {
			return err
		}
		for _, r := range f.Rows {
			if q.sort == "filed" && q.down {
				if r.Seq >= last {
					continue // pushed on by one that was filed since the last page
				}
				last = r.Seq
			}
			if err := visit(r); err != nil {
				return err
			}
		}
		if !f.More || len(f.Rows) == 0 {
			return nil
		}
	}
}

type csvExport struct{ c *csv.Writer }

// NewCSV writes rows after RFC 4180, with a line of column names. What a
// spreadsheet would take for a formula gets an apostrophe before it: everything
// here comes from reports that strangers wrote.
func NewCSV(w io.Writer) Exporter {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	_ = c.Write(Columns()) // kept by the writer; Close tells
	return csvExport{c}
}

func (e csvExport) Write(r Row) error {
	if err := e.c.Write(harmlessAll(cells(r))); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return nil
}

func (e csvExport) Close() error {
	if e.c.Flush(); e.c.Error() != nil {
		return fmt.Errorf("export: %w", e.c.Error())
	}
	return nil
}

func harmlessAll(cells []string) []string {
	for i, s := range cells {
		cells[i] = harmless(s)
	}
	return cells
}

// harmless keeps a cell from being taken for a formula, by what it begins with,
// and takes out control characters, which RFC 4180 has no place for, other than
// ends of lines and tabs.
func harmless(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\r' && r != '\t' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	// Blanks before the sign are passed over by some; the wide signs are the
	// narrow ones to others.
	begin, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(s, unicode.IsSpace))
	if s != "" && (strings.ContainsRune("=+-@＝＋－＠", begin) || strings.ContainsRune("\t\r\n", rune(s[0]))) {
		return "'" + s
	}
	return s
}

type linesExport struct{ e *json.Encoder }

// NewLines writes rows as JSON Lines, one object a line.
func NewLines(w io.Writer) Exporter {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return linesExport{e}
}

func (e linesExport) Write(r Row) error {
	if err := e.e.Encode(r); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return nil
}

func (linesExport) Close() error { return nil }

// writeAll gives rows that are at hand to an exporter.
func writeAll(e Exporter, rows []Row) error {
	for _, r := range rows {
		if err := e.Write(r); err != nil {
			return err
		}
	}
	return e.Close()
}

// WriteCSV writes rows as NewCSV does.
func WriteCSV(w io.Writer, rows []Row) error { return writeAll(NewCSV(w), rows) }

// WriteLines writes rows as NewLines does.
func WriteLines(w io.Writer, rows []Row) error { return writeAll(NewLines(w), rows) }
