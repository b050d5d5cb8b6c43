package signs

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Every part of every class that can be drawn has signs: at least one that
// speaks against an original part, one for it, three in all.
func TestEveryPartHasSigns(t *testing.T) {
	used := map[string]bool{}
	for _, class := range outline.Classes() {
		shares, err := grade.Default().Shares(class)
		if err != nil {
			t.Fatal(err)
		}
		for _, sh := range shares {
			list := For(class, sh.Part)
			kinds := map[Speaks]int{}
			for _, s := range list {
				kinds[s.Speaks]++
				used[s.ID] = true
			}
			if len(list) < 3 || kinds[Original] == 0 || kinds[Original] == len(list) {
				t.Errorf("%s, %s: %d signs, %v", class, sh.Part, len(list), kinds)
			}
			if len(list) > 14 {
				t.Errorf("%s, %s: %d signs, more than a panel holds", class, sh.Part, len(list))
			}
		}
	}
	for _, s := range Default().Signs {
		if !used[s.ID] {
			t.Errorf("sign %q belongs to no part of any class", s.ID)
		}
	}
}

// Texts fit the panel and are written as the others are.
func TestTexts(t *testing.T) {
	asked := map[string]string{}
	for _, s := range Default().Signs {
		if n := utf8.RuneCountInString(s.Ask); n > 52 {
			t.Errorf("%s asks in %d characters", s.ID, n)
		}
		if n := utf8.RuneCountInString(s.Look); n > 64 {
			t.Errorf("%s says how to look in %d characters", s.ID, n)
		}
		if strings.HasSuffix(s.Ask, ".") || strings.HasSuffix(s.Look, ".") || strings.TrimSpace(s.Ask) != s.Ask {
			t.Errorf("%s is not written as the others are: %q, %q", s.ID, s.Ask, s.Look)
		}
		for _, p := range s.Parts {
			for _, f := range append(s.Families, "") {
				key := fmt.Sprint(s.Ask, p, f)
				if f != "" && asked[key] != "" {
					t.Errorf("%s and %s ask the same of %s", s.ID, asked[key], p)
				}
				asked[key] = s.ID
			}
		}
		if s.By == "ultraviolet light" && s.Caution != "uv" {
			t.Errorf("%s is looked for under ultraviolet light without its caution", s.ID)
		}
		if s.By == "solder" && s.Caution != "lead" && s.Caution != "strings" {
			t.Errorf("%s is about solder without a caution", s.ID)
		}
		if strings.Contains(s.Look, "strings slack") && s.Caution != "strings" {
			t.Errorf("%s slackens the strings without a caution", s.ID)
		}
		if strings.Contains(s.Look, "neck off") && s.Caution != "strings" {
			t.Errorf("%s takes the neck off without a caution", s.ID)
		}
		if strings.Contains(s.Look, "ultraviolet") && s.Caution != "uv" {
			t.Errorf("%s has ultraviolet light without its caution", s.ID)
		}
	}
	for k, c := range Default().Cautions {
		if c.Short == "" || utf8.RuneCountInString(c.Short) > 30 || !strings.HasSuffix(c.Text, ".") {
			t.Errorf("the caution %q is not written as the others are: %+v", k, c)
		}
	}
	if !strings.Contains(Default().Note, "common practice") {
		t.Error("the table does not say that it is common practice")
	}
}

// The limit of UV-A for the unprotected eye is 10 000 J/m2 within 8 hours
// (ICNIRP, as the project's list of outside facts has it), which is 1000 s at
// 1 mW/cm2 = 10 W/m2.
func TestUltravioletLimit(t *testing.T) {
	const limit = 10_000.0 // J/m2
	uv := Default().Cautions["uv"].Text
	for mW, text := range map[float64]string{1: "1000 s at 1 mW/cm²", 5: "200 s at 5 mW/cm²"} {
		seconds := limit / (mW * 10) // 1 mW/cm2 = 10 W/m2
		if want := fmt.Sprintf("%.0f s at %.0f mW/cm²", seconds, mW); want != text || !strings.Contains(uv, want) {
			t.Errorf("the caution does not say %q: %s", want, uv)
		}
	}
	for _, w := range []string{"ICNIRP", "10 000 J/m²", "8 hours", "glasses"} {
		if !strings.Contains(uv, w) {
			t.Errorf("the caution does not say %q", w)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	const sign = `{"id":"a","parts":["nut"],"families":["f"],"speaks":"refinish","ask":"A","look":"B","by":"seen"}`
	const frame = `{"name":"x","note":"n","families":{"f":["violin"]},"cautions":{},"signs":[%s]}`
	if _, err := read([]byte(fmt.Sprintf(frame, sign))); err != nil {
		t.Fatal(err)
	}
	for name, list := range map[string]string{
		"twice": sign + "," + sign, "kind": strings.Replace(sign, "refinish", "fake", 1), "method": strings.Replace(sign, `"seen"`, `"x-ray"`, 1),
		"family": strings.Replace(sign, `["f"]`, `["g"]`, 1), "field": strings.Replace(sign, `"ask"`, `"asks"`, 1),
		"caution": strings.Replace(sign, `"by"`, `"caution":"fire","by"`, 1), "no parts": strings.Replace(sign, `["nut"]`, `[]`, 1),
	} {
		if _, err := read([]byte(fmt.Sprintf(frame, list))); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestForOthers(t *testing.T) {
	if n := len(For("violin", record.Skin)); n != 0 {
		t.Errorf("a violin has a skin with %d signs", n)
	}
	if n := len(For("nothing known", record.Frets)); n != 0 {
		t.Errorf("an unknown class has %d signs for frets", n)
	}
	if _, ok := ByID("finish-uv"); !ok {
		t.Error("no sign finish-uv")
	}
	if _, ok := ByID("nothing"); ok {
		t.Error("a sign called nothing")
	}
	if w := Warnings(For("violin", record.Belly)); len(w) != 1 || !strings.HasPrefix(w[0].Text, "Ultraviolet") {
		t.Errorf("warnings of a belly: %q", w)
	}
}
