package dating

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// TestSerialPatterns: spaces, dashes and the case of letters do not matter, the
// number of # does.
func TestSerialPatterns(t *testing.T) {
	for _, c := range []struct {
		pattern, first, last, serial string
		has                          bool
	}{
		{"#####", "40000", "44999", "41873", true},
		{"#####", "40000", "44999", "45000", false},
		{"#####", "40000", "44999", "041873", false},
		{"#####", "40000", "44999", "4187", false},
		{"#", "40000", "44999", "041873", true},
		{"L#####", "10000", "19999", "l 12 345", true},
		{"L#####", "L10000", "l-19999", "L-12345", true},
		{"L#####", "10000", "19999", "M12345", false},
		{"L#####", "10000", "19999", "12345", false},
		{"L ##-### R", "100", "", "L12345R", true},
		{"L ##-### R", "100", "", "L12345", false},
		{"72####", "", "", "721234", true},
		{"72####", "", "", "731234", false},
		{"#####", "", "", "41873 (neck plate)", true},
		{"#####", "", "", "", false},
		{"#", "", "", strings.Repeat("9", 18), true},
		{"#", "", "", strings.Repeat("9", 19), false},
		{"é##", "", "", "É12", true},
	} {
		s := Serial{Pattern: c.pattern, First: c.first, Last: c.last, From: 1970}
		if err := s.ready(); err != nil {
			t.Errorf("%s %s to %s: %v", c.pattern, c.first, c.last, err)
			continue
		}
		if got := s.has(plainSerial(c.serial)); got != c.has {
			t.Errorf("%s from %s to %s has %q: %v", c.pattern, c.first, c.last, c.serial, got)
		}
	}
}

// TestHostileTables: lines that cannot be used are named with file and line, and
// the others stay.
func TestHostileTables(t *testing.T) {
	const head = "pattern,first,last,from year,to year\n"
	for _, c := range []struct {
		name, data string
		good       int
		says       []string
	}{
		{"good", head + "#####,1,9,1970,1971\n", 1, nil},
		{"empty", "", 0, []string{"serials.csv, line 1: there is no line that names the columns"}},
		{"only names", head, 0, nil},
		{"byte order mark, CRLF, blank lines", "\ufeff" + strings.ReplaceAll(head+"\n#####,1,9,1970,1971\n\n,,,,\n", "\n", "\r\n"), 1, nil},
		{"semicolons", "Pattern;First;Last;From;To_Year\n#####;1;9;1970;1971\n", 1, nil},
		{"tabs", "pattern\tfrom year\n#####\t1970\n", 1, nil},
		{"other order, fewer columns", "from-year,PATTERN\n1970,#####\n", 1, nil},
		{"short lines", head + "#####,1,9,1970\n", 1, nil},
		{"unknown column", "pattern,frist\n#####,1\n", 0, []string{`line 1: there is no column "frist"`}},
		{"column twice", "pattern,pattern\n#####,#####\n", 0, []string{`the column "pattern" stands there twice`}},
		{"no pattern", "first,from year\n1,1970\n", 0, []string{`the column "pattern" is missing`}},
		{"bad lines between good ones", head + "#####,1,9,1970,1971\nL####,1,9,1970,1971\n#####,9,1,1970,\n12345,,,1970,\n#x#,,,1970,\n#####,x,,1970,\n#####,,,,\n#####,,,1971,1970\n#####,,,70,\n#####,,,1970.5,\nL##,L100,,1970,\n#####,,,1970,1971\n", 3,
			[]string{"serials.csv, line 4: the numbers run from 9 back to 1", "line 5: the pattern \"12345\" has no #", "line 6: the pattern \"#x#\"", "line 7: the number \"x\" does not fit",
				"line 8: it gives no year", "line 9: the years run from 1971 back to 1970", `line 10: "70" in the column "from year" is no year`, `line 11: "1970.5"`, `line 12: the number "L100" does not fit`}},
		{"too many cells", head + "#####,1,9,1970,1971,what\n", 0, []string{"line 2: it has 6 cells and the first line names 5 columns"}},
		{"open quotation mark", head + "#####,1,9,1970,1971\n\"#####,1,9,1970,1971\n#####,1,9,1970,1971\n", 1, []string{"line 3: a quotation mark is not closed"}},
		{"bare quotation mark", head + "##\"###,1,9,1970,1971\n", 0, []string{"line 2: a quotation mark"}},
		{"not UTF-8", head + "\xff\xfe,1,9,1970,1971\n", 0, []string{"not in UTF-8"}},
		{"control characters", head + "#####\x00,1,9,1970,1971\n", 0, []string{"line 2", "control characters"}},
		{"a formula", head + "=1+#,1,9,1970,1971\n", 1, nil}, // text like any other; nothing is ever reckoned
		{"long cell", head + strings.Repeat("#", 600) + ",1,9,1970,1971\n", 0, []string{"longer than 500 bytes"}},
		{"too many digits", head + "###################,1,9,1970,1971\n", 0, []string{"counts more than 18 digits"}},
		{"overlap", head + "#####,1,9,1970,1971\n#####,5,19,1974,1975\n", 2, nil},
		{"JSON", `[{"pattern":"#####","first":40000,"last":"44999","from year":1973}, {"pattern":"L##","fromYear":1980,"note":null}]`, 2, nil},
		{"JSON with bad entries", "[\n{\"pattern\":\"#####\",\"from year\":1973},\n{\"pattern\":\"#####\",\"year\":1},\n{\"pattern\":\"#####\"},\n{\"pattern\":[1],\"from year\":1970}\n]", 1,
			[]string{`line 3: there is no column "year"`, "line 4: it gives no year", `line 5: "pattern" is neither text nor a number`}},
		{"JSON cut off", `[{"pattern":"#####","from year":1973}, {"patt`, 1, []string{"this entry and all below it were left out"}},
		{"JSON list open", `[{"pattern":"#####","from year":1973}`, 1, []string{"the list does not end"}},
		{"JSON of other things", `[1, 2]`, 0, []string{"is no JSON object"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			tab := ReadSerials("serials.csv", []byte(c.data))
			if len(tab.Serials) != c.good {
				t.Errorf("%d lines are good, want %d", len(tab.Serials), c.good)
			}
			var all []string
			for _, b := range tab.Bad {
				all = append(all, b.Error())
			}
			text := strings.Join(all, "\n")
			if len(c.says) != len(tab.Bad) && len(c.says) != 2 {
				t.Errorf("%d lines are named, want %d:\n%s", len(tab.Bad), len(c.says), text)
			}
			for _, s := range c.says {
				if !strings.Contains(text, s) {
					t.Errorf("not said: %q\n%s", s, text)
				}
			}
		})
	}
}

// TestTableLimits: a table of any size is bounded.
func TestTableLimits(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("pattern,from year\n")
	for range maxTableRows + 10 {
		b.WriteString("#####,1970\n")
	}
	tab := ReadSerials("s.csv", b.Bytes())
	if len(tab.Serials) != maxTableRows || len(tab.Bad) != 1 || !strings.Contains(tab.Bad[0].Error(), "at most 50000 lines") {
		t.Errorf("%d lines, %v", len(tab.Serials), tab.Bad)
	}
	began := time.Now()
	r := Reckon(&record.Record{Instrument: record.Instrument{Serial: "41873"}}, []Table{tab}, noon)
	t.Logf("a serial number that stands in %d lines: %v", maxTableRows, time.Since(began))
	if r.Allows.Words() != "1970 or later" || !strings.Contains(r.Pieces[0].Source, "and 49995 more") {
		t.Errorf("%s by %s", r.Allows.Words(), r.Pieces[0].Source)
	}
	b.Reset()
	b.WriteString("pattern,from year\n" + strings.Repeat("x,1970\n", 1000))
	if tab = ReadSerials("s.csv", b.Bytes()); len(tab.Bad) != maxBad+1 {
		t.Errorf("%d bad lines are named", len(tab.Bad))
	}
	if tab = ReadSerials("s.csv", make([]byte, MaxTableBytes+1)); len(tab.Bad) != 1 || !strings.Contains(tab.Bad[0].Why, "larger than 8 MiB") {
		t.Errorf("%v", tab.Bad)
	}
}

func TestFeatures(t *testing.T) {
	tab := ReadFeatures("features.csv", []byte("for,feature,in or after,in or before,source\nHalden,three-ply guard,1971,1978,day book\nMerrow,round soundhole,,1960,\n,plastic nut,1965,,\nx,,1970,,\ny,no year,,,\n"))
	if len(tab.Features) != 3 || len(tab.Bad) != 2 {
		t.Fatalf("%d good, bad %v", len(tab.Features), tab.Bad)
	}
	var got []string
	for _, f := range FeaturesFor([]Table{tab}, "HALDEN & Rowe", "Larkfoot Standard", "solid-body double-cutaway") {
		got = append(got, f.Feature)
	}
	if strings.Join(got, ", ") != "three-ply guard, plastic nut" {
		t.Errorf("offered: %q", got)
	}
}

// TestSerialInTables: ranges that overlap are joined, and a table for another
// maker says nothing.
func TestSerialInTables(t *testing.T) {
	tab := ReadSerials("serials.csv", []byte("pattern,first,last,from year,to year,for,source,note\n#####,40000,44999,1973,1975,halden,day book,\n#,41000,42000,1979,1980,,list,second series\n#####,,,1900,1901,Merrow,,\n"))
	rec := &record.Record{Instrument: record.Instrument{Maker: "Halden & Rowe", Serial: "41873", Year: "1977"}}
	r := Reckon(rec, []Table{tab}, noon)
	if got := r.Allows.Words(); got != "1973 to 1975 or 1979 to 1980" {
		t.Errorf("allows %s", got)
	}
	p := r.Pieces[0]
	if p.Origin != FromTable || p.ID != "serials.csv:2" || p.Source != "own table serials.csv, line 2 (day book); serials.csv, line 3 (list)" || p.Note != "second series" {
		t.Errorf("%+v", p)
	}
	if r.Claims[0].Verdict != Contradicted {
		t.Errorf("1977 is %s", r.Claims[0].Verdict)
	}
	rec.Evidence = []record.Evidence{{ID: "e1", Kind: record.SerialEvidence, Code: "44 999"}}
	if got := Reckon(rec, []Table{tab}, noon).Pieces[0].Allows.Words(); got != "1973 to 1975" {
		t.Errorf("a listed serial number allows %s", got)
	}
	if r := Reckon(rec, nil, noon); len(r.Pieces) != 1 || r.Pieces[0].Undone == "" {
		t.Errorf("without tables: %+v", r.Pieces)
	}
}

// What is written is read back as it was.
func TestTablesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []Serial
		text := rapid.StringMatching(`[A-Za-z"',; é\-]{0,12}`)
		for i := range rapid.IntRange(0, 8).Draw(t, "lines") {
			s := Serial{Pattern: rapid.SampledFrom([]string{"#####", "L#####", "#", "A-##"}).Draw(t, "pattern"), From: 1900 + i,
				For: strings.TrimSpace(text.Draw(t, "for")), Source: strings.TrimSpace(text.Draw(t, "source")), Note: strings.TrimSpace(text.Draw(t, "note"))}
			if rapid.Bool().Draw(t, "bounded") {
				s.First, s.Last, s.To = "10", fmt.Sprint(10+i), 2000
			}
			list = append(list, s)
		}
		data, err := WriteSerials(list)
		if err != nil {
			t.Fatal(err)
		}
		tab := ReadSerials("s.csv", data)
		if len(tab.Bad) > 0 || len(tab.Serials) != len(list) {
			t.Fatalf("%d of %d lines, %v\n%s", len(tab.Serials), len(list), tab.Bad, data)
		}
		for i, s := range tab.Serials {
			w := list[i]
			if s.Pattern != w.Pattern || s.First != w.First || s.Last != w.Last || s.From != w.From || s.To != w.To || s.For != w.For || s.Source != w.Source || s.Note != w.Note {
				t.Fatalf("%+v became %+v", w, s)
			}
		}
	})
	data, err := WriteFeatures([]Feature{{Feature: "three-ply guard, the first", InOrAfter: 1971}})
	if tab := ReadFeatures("f.csv", data); err != nil || len(tab.Features) != 1 || tab.Features[0].Feature != "three-ply guard, the first" || tab.Features[0].InOrAfter != 1971 {
		t.Errorf("%v %+v", err, tab)
	}
}

func FuzzReadSerials(f *testing.F) {
	for _, s := range []string{"pattern,from year\n#####,1970\n", "pattern;first\n#;1\n", `[{"pattern":"#","from year":1970}]`, "\ufeffpattern\n", "\"", "[[", "pattern,from year\n\"#####,1970"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		tab := ReadSerials("s.csv", data)
		for i := range tab.Serials {
			s := &tab.Serials[i]
			if len(s.Pattern) > maxCell || (s.From == 0 && s.To == 0) || s.Line < 1 {
				t.Fatalf("%+v", s)
			}
			s.has(plainSerial("L41873"))
		}
		for _, b := range tab.Bad {
			if b.Why == "" || !utf8.ValidString(b.Error()) {
				t.Fatalf("%+v", b)
			}
		}
		ReadFeatures("f.csv", data)
	})
}
