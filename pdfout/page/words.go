package page

import (
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// clean makes a text of the record fit for paper: composed characters, one
// space where there was any white space. Line ends become spaces.
func clean(s string) string { return strings.Join(strings.Fields(norm.NFC.String(s)), " ") }

func orDash(s string) string {
	if s = clean(s); s == "" {
		return "–"
	}
	return s
}

// upper gives a text a capital first letter.
func upper(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}

// fingerprint writes a key's fingerprint in groups of four, at most so many
// groups; 0 is all.
func fingerprint(hex string, groups int) string {
	hex = strings.ToLower(hex)
	var out []string
	for len(hex) > 0 && (groups == 0 || len(out) < groups) {
		n := min(4, len(hex))
		out = append(out, hex[:n])
		hex = hex[n:]
	}
	return strings.Join(out, " ")
}

func plain(v float64, decimals int) string { return paint.Minus(v, decimals) }

// TextError says which entry of the record cannot be printed.
type TextError struct {
	Entry string // what the entry is, such as "the note of mark 3"
	Text  string
	Err   error
}

func (e *TextError) Error() string {
	return fmt.Sprintf("print report: %s reads %q: %v", e.Entry, e.Text, e.Err)
}
func (e *TextError) Unwrap() error { return e.Err }

// checkTexts finds the first text of the record that the report's typefaces
// cannot print, before anything is drawn.
func checkTexts(r *record.Record) error {
	for i, m := range r.Marks {
		if err := checkValue(fmt.Sprintf("mark %d", m.Number), reflect.ValueOf(&r.Marks[i]).Elem()); err != nil {
			return err
		}
	}
	for i, p := range r.Photos {
		if err := checkValue(fmt.Sprintf("photo %s", ascii(p.Name)), reflect.ValueOf(&r.Photos[i]).Elem()); err != nil {
			return err
		}
	}
	v := reflect.ValueOf(r).Elem()
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		if name == "Marks" || name == "Photos" {
			continue
		}
		if err := checkValue("", v.Field(i)); err != nil {
			e := err.(*TextError)
			e.Entry = strings.TrimSpace("the entry " + strings.ToLower(name) + " " + e.Entry)
			return e
		}
	}
	return nil
}

// checkValue walks the strings of a value. A field's name in JSON, which is
// the name the entry has on the screen, becomes part of the entry's.
func checkValue(entry string, v reflect.Value) error {
	switch v.Kind() {
	case reflect.String:
		s := clean(v.String())
		if err := paint.CheckText(s); err != nil {
			return &TextError{Entry: entry, Text: ascii(s), Err: err}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return checkValue(entry, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			if err := checkValue(entry, v.Index(i)); err != nil {
				return err
			}
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return nil
		}
		for i := range v.NumField() {
			name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			if err := checkValue(strings.TrimSpace(entry+" "+name), v.Field(i)); err != nil {
				return err
			}
		}
	}
	return nil
}

// ascii shortens a text for an error message.
func ascii(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:59]) + "…"
	}
	return s
}
