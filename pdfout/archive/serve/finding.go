package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wornwood/pdfout/archive"
)

const (
	pageRows  = 50
	facetMost = 6
)

// facets are the fields that are counted beside the list.
var facets = []struct{ field, title string }{{"maker", "Maker"}, {"class", "Class"}, {"condition", "Condition"}, {"verdict", "Signer"}, {"purpose", "Examined for"}}

type facet struct {
	Title  string
	Values []facetValue
	More   int
}

type facetValue struct {
	Text string
	N    int
	Href string
	On   bool // the line asks for it
}

// find lists what answers the query line. The list shows a line of each report
// and is no reading.
func (s *Server) find(v *visit) error {
	line := strings.TrimSpace(v.r.URL.Query().Get("q"))
	from, err := strconv.Atoi(v.r.URL.Query().Get("from"))
	if err != nil || from < 0 {
		from = 0
	}
	data := map[string]any{"Line": line}
	q, err := archive.ParseQuery(line)
	if err != nil {
		data["Text"] = strings.TrimPrefix(err.Error(), "query: ")
		return s.show(v, http.StatusBadRequest, "find", "Find", data)
	}
	return s.shelf.use(func(a *archive.Archive) error {
		found, err := a.Find(q, from, pageRows)
		if err != nil {
			return err
		}
		sides, total, err := countsOf(a, q, line)
		if err != nil {
			return err
		}
		data["Rows"], data["Facets"], data["Total"], data["First"], data["Last"] = found.Rows, sides, total, from+1, from+len(found.Rows)
		if from > 0 {
			data["Earlier"] = address(line, max(0, from-pageRows))
		}
		if found.More {
			data["Later"] = address(line, from+pageRows)
		}
		return s.show(v, http.StatusOK, "find", "Find", data)
	})
}

func address(line string, from int) string {
	v := url.Values{"q": {line}}
	if from > 0 {
		v.Set("from", strconv.Itoa(from))
	}
	return "/?" + v.Encode()
}

// countsOf counts what answers the query by each of the fields. Every report has
// one verdict: their counts together are all of them.
func countsOf(a *archive.Archive, q *archive.Query, line string) (out []facet, total int, err error) {
	terms := archive.LineTerms(line)
	for _, f := range facets {
		list, err := a.Counts(q, f.field)
		if err != nil {
			return nil, 0, err
		}
		side := facet{Title: f.title}
		for _, c := range list {
			if f.field == "verdict" {
				total += c.N
			}
			if len(archive.Words(c.Value)) == 0 || f.field == "condition" && c.Value == "0" {
				continue
			}
			if len(side.Values) == facetMost {
				side.More++
				continue
			}
			side.Values = append(side.Values, narrowed(line, terms, f.field, c))
		}
		if len(side.Values) > 0 {
			out = append(out, side)
		}
	}
	return out, total, nil
}

// narrowed is the line with the value asked for, or without where it was.
func narrowed(line string, terms []archive.LineTerm, field string, c archive.Count) facetValue {
	fv := facetValue{Text: c.Value, N: c.N}
	if field == "condition" {
		fv.Text = "Class " + c.Value
	}
	i := archive.TermAt(terms, field, c.Value)
	if fv.On = i >= 0; fv.On {
		line = archive.WithoutTerm(line, terms[i])
	} else {
		line += " " + archive.TermText(field, c.Value)
	}
	fv.Href = address(strings.TrimSpace(line), 0)
	return fv
}

func (s *Server) help(v *visit) error {
	return s.show(v, http.StatusOK, "help", "How to search", map[string]any{"Help": archive.QueryHelp})
}

// logHead shows the head of the log, for anybody to note: a later log can be
// proven to go on from it.
func (s *Server) logHead(v *visit) error {
	return s.shelf.use(func(a *archive.Archive) error {
		return s.show(v, http.StatusOK, "log", "The log", map[string]any{"Head": fmt.Sprint(a.Head()), "Lines": int(a.Head().Seq)})
	})
}
