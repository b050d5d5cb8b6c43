package due

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// heard is what the parsers of testdata/read.py found in a calendar.
type heard struct {
	Name, Version, Product string
	Events                 []struct {
		UID, On, Stamp, Summary, Description, Category string
		AllDay                                         bool
		Alarms                                         []float64
	}
}

// read has two independent parsers read a calendar: Debian's python3-icalendar
// and python3-vobject.
func read(t testing.TB, calendar []byte) heard {
	t.Helper()
	script, err := os.ReadFile("testdata/read.py")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "-c", string(script)) // Debian's packages belong to the system's own Python
	cmd.Stdin = bytes.NewReader(calendar)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3-icalendar, python3-vobject: %v\n%s\n%s", err, errs.String(), calendar)
	}
	var h heard
	if err := json.Unmarshal(out, &h); err != nil {
		t.Fatal(err)
	}
	return h
}

func written(t testing.TB, list []Due, shop string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Calendar(&b, list, stamp, shop); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var stamp = time.Date(2026, 11, 14, 15, 4, 5, 0, time.FixedZone("", 3600))

// wild are names that need escaping, folding and cleaning.
var wild = []string{
	"Halden & Rowe Larkfoot Standard, 1974",
	"Comma, semicolon; colon: back\\slash \"quoted\" 'n' so on",
	"Änderung · Größe · ſtraße · 製作 · 🎸",
	"two\nlines and\r\na third",
	"tab\tand bell\a and nul\x00 and half \xff a rune",
	strings.Repeat("ö", 200),
	strings.Repeat("word ", 60),
	`\n \, \; ends in a backslash\`,
	" blanks  within and around ",
	"BEGIN:VEVENT",
}

// Two independent parsers read the same from the calendar as was written.
func TestCalendarIsReadByOthers(t *testing.T) {
	var list []Due
	for i, n := range wild {
		list = append(list, Due{Instrument: "i", Title: n, Serial: "41873", What: []What{Battery, Examine, Countersign}[i%3], Place: n, Number: "CR-2026-0001",
			On: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i), Text: n + " and why"})
	}
	h := read(t, written(t, list, "Fen Street; Instruments, Ltd"))
	if h.Name != "Due at Fen Street; Instruments, Ltd" || h.Version != "2.0" || h.Product != product || len(h.Events) != len(list) {
		t.Fatalf("%+v", h)
	}
	for i, e := range h.Events {
		d := list[i]
		if e.Summary != d.Summary() || e.Description != d.description() {
			t.Errorf("event %d: summary %q, description %q; written %q, %q", i, e.Summary, e.Description, d.Summary(), d.description())
		}
		if e.On != d.On.Format(time.DateOnly) || !e.AllDay || e.Stamp != "2026-11-14T14:04:05+00:00" || e.Category != string(d.What) {
			t.Errorf("event %d: %+v", i, e)
		}
		if len(e.Alarms) != 1 || e.Alarms[0] != -15*3600 {
			t.Errorf("event %d: reminders %v", i, e.Alarms)
		}
	}
	if h := read(t, written(t, nil, "")); len(h.Events) != 0 || h.Name != "Due on the bench" {
		t.Errorf("an empty calendar: %+v", h)
	}
}

// RFC 5545, section 3.1: lines end with CRLF and have at most 75 octets; a line
// that goes on begins with a blank, and no line is cut within a character.
func checkLines(t interface{ Errorf(string, ...any) }, calendar []byte) {
	if !bytes.HasSuffix(calendar, []byte("END:VCALENDAR\r\n")) {
		t.Errorf("the calendar ends with %q", calendar[max(0, len(calendar)-20):])
	}
	for _, l := range strings.Split(strings.TrimSuffix(string(calendar), "\r\n"), "\r\n") {
		if len(l) > 75 || l == "" || strings.ContainsAny(l, "\r\n") || !utf8.ValidString(l) {
			t.Errorf("the line %q has %d octets", l, len(l))
		}
		for _, r := range l {
			if r < ' ' && r != '\t' || r == 0x7f {
				t.Errorf("a control character in %q", l)
			}
		}
	}
}

func TestAnyTextKeepsTheForm(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.SampledFrom(wild)).Draw(rt, "title")
		var b bytes.Buffer
		if err := Calendar(&b, []Due{{Instrument: "i", Title: s, What: Battery, On: Day(stamp), Text: "x" + s, Place: s}}, stamp, s); err != nil {
			rt.Fatal(err)
		}
		checkLines(rt, b.Bytes())
		unfolded := strings.ReplaceAll(b.String(), "\r\n ", "")
		if n := strings.Count(unfolded, "\r\nBEGIN:VEVENT\r\n"); n != 1 {
			rt.Fatalf("%d events", n)
		}
	})
}

// The identity of a thing due stays when its day and words change, and differs
// from every other's.
func TestIdentities(t *testing.T) {
	a := []Due{
		{Instrument: "i", What: Battery, Place: "preamplifier"}, {Instrument: "i", What: Battery, Place: "preamplifier"}, {Instrument: "i", What: Battery, Place: "case"},
		{Instrument: "i", What: Examine}, {Instrument: "j", What: Examine}, {Instrument: "i", What: Countersign, Number: "CR-2026-0001"}, {Instrument: "i", What: Countersign, Number: "CR-2026-0002"},
	}
	ids := identities(a)
	seen := map[string]bool{}
	for _, id := range ids {
		if len(id) != 36 || seen[id] {
			t.Errorf("identity %q", id)
		}
		seen[id] = true
	}
	for i := range a {
		a[i].On, a[i].Text, a[i].Exam, a[i].Title = stamp, "later", "another", "renamed"
	}
	a[0].Place = " Preamplifier "
	for i, id := range identities(a) {
		if id != ids[i] {
			t.Errorf("identity %d changed", i)
		}
	}
	// Held, so that calendars already exported stay the same.
	if ids[3] != "6cfd7cee-e461-57e8-abcf-b9e345388bd2" {
		t.Errorf("the identity of an examination of %q is %s", "i", ids[3])
	}
}
