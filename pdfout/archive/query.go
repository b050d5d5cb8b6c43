package archive

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"wornwood/capture/record"
)

// QueryHelp explains the query line.
const QueryHelp = `A query is a line of words and fields; a report must answer all of them.

  WORD                  any word of the record, from its beginning; a word with a digit is also looked for in the serial number
  "TWO WORDS"           these words in this order
  maker: model: class: examiner: shop:   words of that field, from their beginning
  serial:L-41873        from its beginning; spaces and dashes aside, O is 0 and I is 1
  number:CR-2026        the report's number, from its beginning; small and capital letters are alike everywhere
  year:1970..1979       the claimed years touch these; 1974, 1970.., ..1979 as well
  date:2026-11..2027    date of the examination; filed: the date of filing (UTC); years, months or days
  index:80..            condition index; ..50, 61.3..80; 80 alone is 80 up to under 81
  condition:2           condition class 1 to 6
  kind:"headstock break"   a mark of this kind, from the kind's beginning
  part:tuners=replaced  a part and its state: original, period replacement, later replacement, refinished, altered,
                        missing, not seen, not fitted; "replaced" is both kinds of replacement
  purpose:intake        why it was examined
  key:0123 abcd         the fingerprint of the examiner's key, from its beginning; put it in quotes where it has blanks
  verdict:known         known, trusted, unknown: how well the signer was known when it was filed
  has:countersignature  has:timestamp, has:originals, has:photos, has:marks
  -TERM                 not that: -has:countersignature, -maker:halden, -crack
  sort:index            filed, date, index, maker, serial, year, number, size; sort:-index turns the order round;
                        the newest filed come first otherwise
`

// Op is what a term of a query compares.
type op int

const (
	opWords  op = iota // words from their beginning, in a column or anywhere
	opPhrase           // words in this order, anywhere
	opPrefix           // a column begins so
	opEqual            // a column is so
	opRange            // a column lies between two values
	opYears            // two spans of years touch
	opKind             // a mark of the kind
	opPart             // a part in one of the states
	opMore             // a number is more than zero
)

// term is one demand of a query.
type term struct {
	not      bool
	op       op
	column   string
	text     string   // folded or normalised already
	states   []string // opPart
	from, to any      // opRange, opYears: nil for an open end
	under    bool     // opRange: to is not part of it
}

// Query is a parsed query line.
type Query struct {
	terms []term
	sort  string
	down  bool
}

// maxTerms bounds a query.
const maxTerms = 32

// sorts gives the column of each order.
var sorts = map[string]string{"filed": "seq", "date": "date", "index": "cond", "maker": "maker", "serial": "serialkey", "year": "yearfrom", "number": "number", "size": "size"}

// ParseQuery reads a query line, see QueryHelp. An empty line asks for all.
func ParseQuery(line string) (*Query, error) {
	tokens, err := tokensOf(line)
	if err != nil {
		return nil, fmt.Errorf("query: %w", err)
	}
	if len(tokens) > maxTerms {
		return nil, fmt.Errorf("query: %d terms, more than %d", len(tokens), maxTerms)
	}
	q := &Query{sort: "filed", down: true}
	for _, t := range tokens {
		if t.field == "sort" && !t.not {
			name, down := strings.CutPrefix(fold(t.value), "-")
			if sorts[name] == "" {
				return nil, fmt.Errorf("query: reports cannot be sorted by %q; by filed, date, index, maker, serial, year, number or size", name)
			}
			q.sort, q.down = name, down
			continue
		}
		tm, err := t.term()
		if err != nil {
			return nil, fmt.Errorf("query: %w", err)
		}
		if tm != nil {
			tm.not = t.not
			q.terms = append(q.terms, *tm)
		}
	}
	return q, nil
}

// token is one term as typed.
type token struct {
	not, quoted  bool
	field, value string
}

func tokensOf(line string) ([]token, error) {
	var out []token
	for _, t := range LineTerms(line) {
		if t.Open {
			return nil, errors.New("a quotation mark is not closed")
		}
		out = append(out, token{t.Not, t.Quoted, t.Field, t.Value})
	}
	return out, nil
}

// fields gives the term of each field.
var fields = map[string]func(value string) (*term, error){
	"maker": wordsIn("maker"), "model": wordsIn("model"), "class": wordsIn("class"), "examiner": wordsIn("examiner"), "shop": wordsIn("shop"),
	"serial": func(v string) (*term, error) {
		return &term{op: opPrefix, column: "serialkey", text: SerialKey(v)}, nil
	},
	"number": func(v string) (*term, error) {
		return &term{op: opPrefix, column: "number", text: fold(v)}, nil
	},
	"purpose":   func(v string) (*term, error) { return &term{op: opEqual, column: "purpose", text: fold(v)}, nil },
	"key":       keyTerm,
	"kind":      func(v string) (*term, error) { return &term{op: opKind, text: fold(v)}, nil },
	"part":      partTerm,
	"year":      yearTerm,
	"date":      dateTerm("date"),
	"filed":     dateTerm("filed"),
	"index":     indexTerm,
	"condition": conditionTerm,
	"verdict":   verdictTerm,
	"has":       hasTerm,
}

func (t token) term() (*term, error) {
	if t.field == "" {
		switch {
		case len(split(t.value)) == 0:
			return nil, nil // only signs
		case t.quoted:
			return &term{op: opPhrase, text: t.value}, nil
		}
		return &term{op: opWords, text: t.value}, nil
	}
	f := fields[t.field]
	if f == nil {
		names := []string{"sort"}
		for n := range fields {
			names = append(names, n)
		}
		slices.Sort(names)
		return nil, fmt.Errorf("there is no field %q; there are %s. Put a word with a colon in quotation marks", t.field, strings.Join(names, ", "))
	}
	tm, err := f(t.value)
	if err == nil && (tm.op == opPrefix || tm.op == opKind || tm.op == opEqual) && tm.text == "" {
		err = fmt.Errorf("%s: is followed by nothing", t.field)
	}
	return tm, err
}

func wordsIn(column string) func(string) (*term, error) {
	return func(v string) (*term, error) {
		if len(split(v)) == 0 {
			return nil, fmt.Errorf("%s: is followed by no word", column)
		}
		return &term{op: opWords, column: column, text: v}, nil
	}
}

// split are the words of a term.
func split(s string) []string {
	w := Words(s)
	return w[:min(len(w), maxTerms)]
}

func keyTerm(v string) (*term, error) {
	hex := strings.Map(func(r rune) rune {
		if r == ' ' || r == ':' {
			return -1
		}
		return unicode.ToLower(r)
	}, v)
	if hex == "" || strings.Trim(hex, "0123456789abcdef") != "" {
		return nil, fmt.Errorf("key:%s is no beginning of a fingerprint (digits and the letters a to f)", v)
	}
	return &term{op: opPrefix, column: "keyprint", text: hex}, nil
}

func partTerm(v string) (*term, error) {
	part, state, has := strings.Cut(v, "=")
	t := &term{op: opPart, text: fold(part)}
	if t.text == "" {
		return nil, errors.New("part: is followed by no part")
	}
	if !has {
		return t, nil
	}
	if state = fold(state); state == "replaced" {
		t.states = []string{string(record.PeriodReplacement), string(record.LaterReplacement)}
		return t, nil
	}
	var all []string
	for _, s := range record.States() {
		all = append(all, string(s))
	}
	if !slices.Contains(all, state) {
		return nil, fmt.Errorf("a part is never %q; it is %s, or replaced", state, strings.Join(all, ", "))
	}
	t.states = []string{state}
	return t, nil
}

func verdictTerm(v string) (*term, error) {
	if v = fold(v); !slices.Contains([]string{KnownKey, TrustedKey, UnknownKey}, v) {
		return nil, fmt.Errorf("verdict:%s is none; it is known, trusted or unknown", v)
	}
	return &term{op: opEqual, column: "verdict", text: v}, nil
}

func hasTerm(v string) (*term, error) {
	column := map[string]string{"countersignature": "countersigned", "timestamp": "stamped", "originals": "originals", "photos": "photos", "marks": "marks"}[fold(v)]
	if column == "" {
		return nil, fmt.Errorf("has:%s is not known; there are has:countersignature, has:timestamp, has:originals, has:photos, has:marks", v)
	}
	return &term{op: opMore, column: column}, nil
}

func conditionTerm(v string) (*term, error) {
	from, to, _, err := span(v)
	if err != nil {
		return nil, err
	}
	t := &term{op: opRange, column: "class6"}
	for _, end := range []struct {
		text string
		into *any
	}{{from, &t.from}, {to, &t.to}} {
		if end.text == "" {
			continue
		}
		n, err := strconv.Atoi(end.text)
		if err != nil || n < 1 || n > 6 {
			return nil, fmt.Errorf("condition:%s is none; it is a class from 1 to 6", v)
		}
		*end.into = n
	}
	if t.from == nil {
		t.from = 1 // 0 is "nothing was inspected"
	}
	return t, nil
}
