// Package catalogue holds every text that a report prints, in each language it
// can be printed in.
//
// en.json is the source: messages by ID, the words of lists (kinds of mark,
// parts, states) by group, and phrases, which are the sentences that packages
// below compose in English, written as patterns. One file of the same shape for
// each further language says what stands for them; a text that it lacks is
// printed in English and named by Lacks.
//
// Start with For, then Say, Word and Phrase. Text of the user's is never
// translated: it goes in as an argument.
//
// golang.org/x/text gives the plural categories (CLDR) and compares language
// tags. Its message printer is not used: it groups digits as it likes, names
// nothing that is missing, and knows no text the packages below compose.
package catalogue

import (
	"embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/language"
)

//go:embed *.json
var files embed.FS

// Source is the language of the texts in the program itself.
const Source = "en"

// shipped lists the languages that have a file, the source first.
var shipped = []string{Source, "de"}

// Languages lists the tags of the languages that a report can be printed in.
func Languages() []string { return slices.Clone(shipped) }

// Names are what the languages call themselves, in the order of Languages.
func Names() []string {
	var out []string
	for _, lang := range shipped {
		t, err := load(lang)
		if err != nil {
			panic(err) // the files are part of the program, and a test reads them
		}
		out = append(out, t.Say("language.name"))
	}
	return out
}

// Text says the report's texts in one language. A nil Text says them in
// English. It may be used by several goroutines at once.
type Text struct {
	tag      language.Tag
	messages map[string]message
	words    map[string]map[string]string
	phrases  map[string][]phrase
	missing  func(group, english string)
}

// For is the text in a language: a tag such as "de" or "de-AT"; "" is English.
// A language without a file is an error that names those that have one.
func For(lang string) (*Text, error) {
	if lang = strings.TrimSpace(lang); lang == "" {
		lang = Source
	}
	tag, err := language.Parse(lang)
	if err == nil {
		base, _ := tag.Base()
		if slices.Contains(shipped, base.String()) {
			return load(base.String())
		}
	}
	return nil, fmt.Errorf("a report cannot be printed in %q; the languages are %s", lang, strings.Join(shipped, ", "))
}

var (
	loading sync.Mutex
	loaded  = map[string]*Text{}
)

// load reads a language once; what it lacks is English.
func load(lang string) (*Text, error) {
	loading.Lock()
	defer loading.Unlock()
	if t := loaded[lang]; t != nil {
		return t, nil
	}
	src, err := readSource()
	if err != nil {
		return nil, err
	}
	t := &Text{tag: language.Make(lang), messages: src.Messages}
	if lang != Source {
		f, err := readFile(lang)
		if err != nil {
			return nil, err
		}
		t.overlay(src, f)
	}
	loaded[lang] = t
	return t, nil
}

func (t *Text) overlay(src *source, f *translation) {
	t.messages = map[string]message{}
	for id, m := range src.Messages {
		if own, ok := f.Messages[id]; ok {
			m = own
		}
		t.messages[id] = m
	}
	t.words, t.phrases = f.Words, map[string][]phrase{}
	for group, list := range src.Phrases {
		for _, p := range list {
			if own := f.Phrases[group][p]; own != "" {
				t.phrases[group] = append(t.phrases[group], compile(p, own))
			}
		}
		sorted(t.phrases[group])
	}
}

// source is the shape of en.json.
type source struct {
	Messages map[string]message  `json:"messages"`
	Words    map[string][]string `json:"words"`
	Phrases  map[string][]string `json:"phrases"`
}

// translation is the shape of every other file. Words and phrases stand under
// the English ones.
type translation struct {
	Messages map[string]message           `json:"messages"`
	Words    map[string]map[string]string `json:"words"`
	Phrases  map[string]map[string]string `json:"phrases"`
}

func readSource() (*source, error) {
	var s source
	return &s, readJSON(Source, &s)
}

func readFile(lang string) (*translation, error) {
	var f translation
	return &f, readJSON(lang, &f)
}

func readJSON(lang string, into any) error {
	b, err := files.ReadFile(lang + ".json")
	if err != nil {
		return err
	}
	d := json.NewDecoder(strings.NewReader(string(b)))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return fmt.Errorf("texts in %s: %w", lang, err)
	}
	return nil
}

// english is what a nil Text says.
var english = sync.OnceValue(func() *Text {
	t, err := load(Source)
	if err != nil {
		panic(err) // the file is part of the program, and a test reads it
	}
	return t
})

func (t *Text) or() *Text {
	if t == nil {
		return english()
	}
	return t
}

// Lang is the language as a PDF names it (BCP 47).
func (t *Text) Lang() string {
	if t.IsEnglish() {
		return "en-GB"
	}
	return t.tag.String()
}

// IsEnglish says whether t is the source language.
func (t *Text) IsEnglish() bool { return t == nil || t.tag.String() == Source }

// Watched is t, which also tells of every word and sentence of the program that
// it has to leave in English.
func (t *Text) Watched(missing func(group, english string)) *Text {
	w := *t.or()
	w.missing = missing
	return &w
}

func (t *Text) lacks(group, english string) string {
	if t.missing != nil {
		t.missing(group, english)
	}
	return english
}
