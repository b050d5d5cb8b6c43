package due

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/google/uuid"
)

// product names this program to whoever reads the calendar (RFC 5545, section
// 3.7.3).
const product = "-//Wornwood//What is due//EN"

// family is the name space of the events' identities (RFC 9562, section 6.6): a
// random UUID, made once.
var family = uuid.MustParse("5f0c1f5e-6f0b-4a53-9d5b-3d9f7c9a1a64")

// Calendar writes what is due as an iCalendar (after RFC 5545): one all-day
// event each, with a reminder at nine in the morning of the day before. Events
// keep their identity from one export to the next, so a calendar that reads them
// again moves them instead of adding more. stamp is the time of the export;
// shop names the calendar.
func Calendar(w io.Writer, list []Due, stamp time.Time, shop string) error {
	cal := ics.NewCalendar()
	cal.SetProductId(product)
	cal.SetMethod(ics.MethodPublish)
	name := "Due on the bench"
	if shop = oneLine(shop); shop != "" {
		name = "Due at " + shop
	}
	cal.SetXWRCalName(name)
	for i, id := range identities(list) {
		d := list[i]
		ev := cal.AddEvent(id)
		ev.SetDtStampTime(stamp)
		ev.SetAllDayStartAt(d.On)
		ev.SetSummary(d.Summary())
		ev.SetDescription(d.description())
		ev.SetTimeTransparency(ics.TransparencyTransparent) // the day stays free for other things
		ev.AddProperty(ics.ComponentPropertyCategories, oneLine(string(d.What)))
		a := ev.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetTrigger("-PT15H")
		a.SetDescription(d.Summary())
	}
	// The library ends lines as the system does; RFC 5545 wants CRLF everywhere.
	if err := cal.SerializeTo(w, ics.WithNewLine("\r\n")); err != nil {
		return fmt.Errorf("write calendar: %w", err)
	}
	return nil
}

// Summary is a thing due in a line: "Battery change: Halden & Rowe Larkfoot
// Standard, 1974, No. 41873".
func (d Due) Summary() string {
	s := capital(string(d.What)) + ": " + d.Title
	if d.Serial != "" {
		s += ", No. " + d.Serial
	}
	return oneLine(s)
}

func (d Due) description() string {
	lines := []string{capital(d.Text) + "."}
	switch d.What {
	case Battery:
		lines = append(lines, "Enter the change in the next examination.")
	case Countersign:
		lines = append(lines, "Keep the copy that comes back with the bench.")
	}
	return clean(strings.Join(lines, "\n"))
}

// identities are the events' UIDs, in the order of the list: of the instrument
// and of what is due there, not of when. Things alike on one instrument, such as
// two batteries in one place, are counted.
func identities(list []Due) []string {
	seen := map[string]int{}
	out := make([]string, len(list))
	for i, d := range list {
		of := strings.Join([]string{d.Instrument, string(d.What), strings.ToLower(strings.Join(strings.Fields(d.Place), " "))}, "\x00")
		if d.What == Countersign {
			of += "\x00" + d.Number
		}
		seen[of]++
		out[i] = uuid.NewSHA1(family, []byte(fmt.Sprintf("%s\x00%d", of, seen[of]))).String()
	}
	return out
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

func oneLine(s string) string { return strings.Join(strings.Fields(clean(s)), " ") }

// clean takes out what no text of a calendar may hold: control characters other
// than the ends of lines, and bytes that are no UTF-8.
func clean(s string) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, "\ufffd"), "\r\n", "\n")
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < ' ' || r == 0x7f:
			return ' '
		}
		return r
	}, s)
}
