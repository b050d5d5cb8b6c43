package catalogue

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Lacks says, a line each, what the file of a language lacks, has too much of,
// or says with other places than the source. A complete file has no lines.
func Lacks(lang string) ([]string, error) {
	src, err := readSource()
	if err != nil {
		return nil, err
	}
	f, err := readFile(lang)
	if err != nil {
		return nil, err
	}
	return compare(src, f), nil
}

func compare(src *source, f *translation) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for id, m := range src.Messages {
		own, ok := f.Messages[id]
		if !ok {
			say("lacks the message %s: %q", id, m[other])
			continue
		}
		for form, s := range own {
			if extra := surplus(s, m); extra != "" {
				say("message %s, form %s has the place %s, which the English has not", id, form, extra)
			}
		}
		if lost := surplus(m[other], own); lost != "" {
			say("message %s never says the place %s of the English", id, lost)
		}
	}
	for id := range f.Messages {
		if _, ok := src.Messages[id]; !ok {
			say("has the message %s, which is in no use", id)
		}
	}
	out = append(out, compareLists("word", src.Words, f.Words, false)...)
	out = append(out, compareLists("phrase", src.Phrases, f.Phrases, true)...)
	slices.Sort(out)
	return out
}

// surplus is the first argument in a text that no form of a message has.
func surplus(s string, m message) string {
	for _, a := range argument.FindAllString(s, -1) {
		found := false
		for _, form := range m {
			found = found || strings.Contains(form, a)
		}
		if !found {
			return a
		}
	}
	return ""
}

func compareLists(what string, src map[string][]string, own map[string]map[string]string, places bool) []string {
	var out []string
	for group, list := range src {
		for _, s := range list {
			t := own[group][s]
			switch {
			case t == "":
				out = append(out, fmt.Sprintf("lacks the %s of %s: %q", what, group, s))
			case places && !samePlaces(s, t):
				out = append(out, fmt.Sprintf("%s of %s: %q has other places than the English", what, group, s))
			}
		}
	}
	for group, list := range own {
		for s := range list {
			if !slices.Contains(src[group], s) {
				out = append(out, fmt.Sprintf("has the %s of %s %q, which is in no use", what, group, s))
			}
		}
	}
	return out
}

func samePlaces(a, b string) bool {
	names := func(s string) []string {
		var out []string
		for _, m := range place.FindAllStringSubmatch(s, -1) {
			out = append(out, m[1])
		}
		slices.Sort(out)
		return slices.Compact(out)
	}
	return slices.Equal(names(a), names(b))
}

// Skeleton is the file of a language not yet translated: every text in English,
// words and phrases under themselves.
func Skeleton() ([]byte, error) {
	src, err := readSource()
	if err != nil {
		return nil, err
	}
	f := translation{Messages: src.Messages, Words: themselves(src.Words), Phrases: themselves(src.Phrases)}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err = e.Encode(f)
	return b.Bytes(), err
}

func themselves(lists map[string][]string) map[string]map[string]string {
	out := map[string]map[string]string{}
	for group, list := range lists {
		out[group] = map[string]string{}
		for _, s := range list {
			out[group][s] = s
		}
	}
	return out
}
