package catalogue

import (
	"encoding/json"
	"strings"
	"testing"
	"time"
	"unicode"

	"golang.org/x/text/language"

	"wornwood/pdfout/paint"
)

// Every language that is shipped says everything and nothing else. To see what
// one lacks while it is written: go run testdata/texts.go LANGUAGE.
func TestShippedLanguagesAreComplete(t *testing.T) {
	for _, lang := range Languages()[1:] {
		missing, err := Lacks(lang)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range missing {
			t.Errorf("%s %s", lang, line)
		}
	}
}

// A file that lacks a text, has one too many, or says one with other places is
// found out.
func TestLacks(t *testing.T) {
	src := &source{Messages: map[string]message{"a": {other: "{0} of {1}"}, "n": {"one": "one", other: "{0} marks"}},
		Words: map[string][]string{"part": {"neck"}}, Phrases: map[string][]string{"p": {"{x:part} is {y}"}}}
	good := func() *translation {
		return &translation{Messages: map[string]message{"a": {other: "{1}: {0}"}, "n": {"one": "eine", "few": "{0} x", other: "{0} Stellen"}},
			Words: map[string]map[string]string{"part": {"neck": "Hals"}}, Phrases: map[string]map[string]string{"p": {"{x:part} is {y}": "{y}: {x}"}}}
	}
	if got := compare(src, good()); len(got) != 0 {
		t.Errorf("a complete file: %q", got)
	}
	for want, spoil := range map[string]func(*translation){
		"lacks the message a":                     func(f *translation) { delete(f.Messages, "a") },
		"has the message b":                       func(f *translation) { f.Messages["b"] = message{other: "x"} },
		"message a, form other has the place {2}": func(f *translation) { f.Messages["a"] = message{other: "{2} {1} {0}"} },
		"message a never says the place {1}":      func(f *translation) { f.Messages["a"] = message{other: "{0}"} },
		"lacks the word of part":                  func(f *translation) { f.Words["part"]["neck"] = "" },
		"has the word of part \"nose\"":           func(f *translation) { f.Words["part"]["nose"] = "Nase" },
		"other places than the English":           func(f *translation) { f.Phrases["p"]["{x:part} is {y}"] = "{y}" },
		"lacks the phrase of p":                   func(f *translation) { f.Phrases = nil },
	} {
		f := good()
		spoil(f)
		if got := strings.Join(compare(src, f), "\n"); !strings.Contains(got, want) {
			t.Errorf("%q is not among: %q", want, got)
		}
	}
}

// The letters of French and Spanish are in the typefaces; those of Japanese are
// not, and the refusal names the first of them.
func TestLettersOfLanguagesToCome(t *testing.T) {
	for _, s := range []string{"Œuvre à côté, « ça » coûte 1,5 €", "¿Dónde? ¡Mástil, clavijero y señal!"} {
		if err := paint.CheckText(s); err != nil {
			t.Errorf("%q: %v", s, err)
		}
	}
	if err := paint.CheckText("Zustand 状態"); err == nil || !strings.Contains(err.Error(), "状") {
		t.Errorf("%v", err)
	}
}

// The file that a translation begins with lacks nothing, and says what English
// does.
func TestSkeleton(t *testing.T) {
	b, err := Skeleton()
	if err != nil {
		t.Fatal(err)
	}
	var f translation
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	src, err := readSource()
	if err != nil {
		t.Fatal(err)
	}
	if got := compare(src, &f); len(got) > 0 {
		t.Errorf("%q", got)
	}
	w := &Text{tag: language.French}
	w.overlay(src, &f)
	for group, s := range map[string]string{"place": "front, lower bass bout", "ledger": "Finish check, in the finish", "prose": "It was not played."} {
		if got := w.Phrase(group, s); got != s {
			t.Errorf("%q became %q", s, got)
		}
	}
}

// What a file lacks is said in English, and told.
func TestFallsBackToEnglish(t *testing.T) {
	src := &source{Messages: map[string]message{"a": {other: "English {0}"}, "b": {other: "two"}}}
	w := &Text{tag: language.German}
	w.overlay(src, &translation{Messages: map[string]message{"b": {other: "zwei"}}, Words: map[string]map[string]string{"part": {"neck": "Hals"}}})
	var told []string
	w = w.Watched(func(group, english string) { told = append(told, group+" "+english) })
	if got := w.Say("a", 1) + w.Say("b") + w.Word("part", "nose") + w.Phrase("part", "Neck"); got != "English 1zwei"+"nose"+"Hals" {
		t.Errorf("%q", got)
	}
	if strings.Join(told, ",") != "part nose" {
		t.Errorf("told: %q", told)
	}
}

// The forms of a number are those of CLDR: German has one and other, Polish one,
// few and many, Japanese other only.
func TestPluralForms(t *testing.T) {
	m := message{"=0": "zero", "one": "one {0}", "few": "few {0}", "many": "many {0}", other: "other {0}"}
	for tag, want := range map[string]map[int]string{
		"de": {0: "zero", 1: "one 1", 2: "other 2", 21: "other 21"},
		"fr": {0: "zero", 1: "one 1", 2: "other 2"},
		"pl": {1: "one 1", 3: "few 3", 5: "many 5", 22: "few 22", 112: "many 112"},
		"ja": {1: "other 1", 2: "other 2"},
	} {
		text := &Text{tag: language.MustParse(tag), messages: map[string]message{"m": m}}
		for n, w := range want {
			if got := text.Say("m", n); got != w {
				t.Errorf("%s %d: %q, want %q", tag, n, got, w)
			}
		}
	}
}

func german(t testing.TB) *Text {
	t.Helper()
	g, err := For("de-AT")
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// Numbers, dates and lists as German writes them, after DIN 5008 (decimal comma,
// day before month with a full stop).
func TestGermanForms(t *testing.T) {
	g, at := german(t), time.Date(2026, 3, 4, 15, 20, 0, 0, time.FixedZone("", 3600))
	for got, want := range map[string]string{
		g.Figures("0.95 ± 0.05 mm"):                                "0,95 ± 0,05 mm",
		g.Figures("−1.25, 12.5 × 3 mm (.077 in)."):                 "−1,25, 12,5 × 3 mm (0,077 in).",
		g.Figures("1.2.3 and 4 and 5."):                            "1.2.3 and 4 and 5.",
		g.Figures("1.5 1.5 1.5"):                                   "1,5 1,5 1,5",
		g.Date(at):                                                 "4. März 2026",
		g.DateTime(at):                                             "4. März 2026 15:20 +01:00",
		g.Short(at):                                                "4. März 2026, 15:20",
		g.Date(time.Time{}):                                        "",
		g.List([]string{"a", "b", "c"}):                            "a, b und c",
		g.Choice([]string{"a", "b"}):                               "a oder b",
		g.Number(7):                                                "sieben",
		g.Number(13):                                               "13",
		g.Say("scale.frets", InWords(1)):                           "ein Bund",
		g.Say("scale.frets", InWords(22)):                          "22 Bünde",
		g.Lower("Delle"):                                           "Delle",
		g.Lang():                                                   "de",
		g.Word("part", "Frets"):                                    "Bundstäbchen",
		g.Usual("subject", "a word of the user's"):                 "a word of the user's",
		g.Phrase("place", "front, lower bass bout"):                "Vorderseite, Unterbug, Bassseite",
		g.Phrase("place", "fingerboard, frets 9–10"):               "Griffbrett, Bünde 9–10",
		g.Phrase("weeks", "week 34 of 1956, 1966 or 1976"):         "Woche 34 von 1956, 1966 oder 1976",
		g.Phrase("ledger", "Finish check, in the finish"):          "Lackriss, im Lack",
		g.Phrase("why", "The field takes kilohms: 250 for 250 kΩ"): "Das Feld erwartet Kiloohm: 250 für 250 kΩ",
		g.Phrase("finding", "Larry's pickup: dead"):                "Tonabnehmer Larry's: ohne Funktion",
		g.Phrase("prose", "One mark was made: ding (front, bass horn)."):   "Eine Stelle wurde verzeichnet: Delle (Vorderseite, Basshorn).",
		(*Text)(nil).Phrase("prose", "One mark was made."):                 "One mark was made.",
		(*Text)(nil).Say("date.day", 1, "May", 2026) + (*Text)(nil).Lang(): "1 May 2026en-GB",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A text made to be hard to match costs bounded time and stays as it is.
func TestHostileTextIsBounded(t *testing.T) {
	g := german(t)
	for _, s := range []string{strings.Repeat("front, ", 3000), strings.Repeat("the x and the y, ", 2000), "Of the others " + strings.Repeat("one buzzes and ", 500), strings.Repeat("“", 9000)} {
		began := time.Now()
		for _, group := range []string{"prose", "dating", "ledger", "caution", "finding"} {
			g.Phrase(group, s)
		}
		if d := time.Since(began); d > 5*time.Second {
			t.Errorf("%.20q took %s", s, d)
		}
	}
}

// A language that is not there is refused by its name, with those that are.
func TestUnknownLanguages(t *testing.T) {
	for _, lang := range []string{"fr", "xx-yy-zz", "not a tag", "zz", "../de"} {
		if _, err := For(lang); err == nil || !strings.Contains(err.Error(), "en, de") {
			t.Errorf("%q: %v", lang, err)
		}
	}
	for _, lang := range []string{"", "en", "en-US", "de", "DE"} {
		if _, err := For(lang); err != nil {
			t.Errorf("%q: %v", lang, err)
		}
	}
	if len(Names()) != len(Languages()) {
		t.Error("a language has no name")
	}
}

// Every text can be printed with the report's typefaces, and has no blanks at
// its ends where a pattern would miss them.
func TestTextsCanBePrinted(t *testing.T) {
	check := func(where, s string) {
		if err := paint.CheckText(s); err != nil {
			t.Errorf("%s: %q: %v", where, s, err)
		}
	}
	for _, lang := range Languages()[1:] {
		f, err := readFile(lang)
		if err != nil {
			t.Fatal(err)
		}
		for id, m := range f.Messages {
			for _, s := range m {
				check(lang+" "+id, s)
			}
		}
		for group, list := range f.Words {
			for _, s := range list {
				check(lang+" "+group, s)
			}
		}
		for group, list := range f.Phrases {
			for english, s := range list {
				check(lang+" "+group, s)
				if left := place.ReplaceAllString(english, ""); strings.ContainsAny(left, "{}") || strings.TrimFunc(english, unicode.IsSpace) != english {
					t.Errorf("%s: the pattern %q has a place that is none", group, english)
				}
			}
		}
	}
}
