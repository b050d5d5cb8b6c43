package archive

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
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

// WriteCSV writes rows after RFC 4180, with a line of column names. What a
// spreadsheet would take for a formula gets an apostrophe before it: everything
// here comes from reports that strangers wrote.
func WriteCSV(w io.Writer, rows []Row) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	if err := c.Write(Columns()); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	for _, r := range rows {
		list := cells(r)
		for i, s := range list {
			list[i] = harmless(s)
		}
		if err := c.Write(list); err != nil {
			return fmt.Errorf("export: %w", err)
		}
	}
	if c.Flush(); c.Error() != nil {
		return fmt.Errorf("export: %w", c.Error())
	}
	return nil
}

// harmless keeps a cell from being taken for a formula.
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// WriteLines writes rows as JSON Lines, one object a line.
func WriteLines(w io.Writer, rows []Row) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	for _, r := range rows {
		if err := e.Encode(r); err != nil {
			return fmt.Errorf("export: %w", err)
		}
	}
	return nil
}
