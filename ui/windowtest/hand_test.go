//go:build window

package windowtest

import (
	"encoding/json"
	"fmt"
	"image"
	"strings"
)

// hand drives a window and counts what a person does, by screen. A click, a drag,
// a step of the wheel and each key pressed is one action. What is typed into one
// field is one action however long it is, because it is one thing that a person
// enters; the Enter or Tab that ends it is another.
type hand struct {
	*window
	now    string
	order  []string
	counts map[string]int
}

func newHand(w *window) *hand { return &hand{window: w, counts: map[string]int{}} }

// on says on which screen the next actions are.
func (h *hand) on(screen string) {
	if h.counts[screen] == 0 {
		h.order = append(h.order, screen)
	}
	h.now = screen
}

func (h *hand) click(at image.Point) {
	h.counts[h.now]++
	h.window.click(at)
}

func (h *hand) key(keys ...string) {
	h.counts[h.now] += len(keys)
	h.window.key(keys...)
}

func (h *hand) write(text string) {
	h.counts[h.now]++
	h.window.write(text)
}

// to goes to a screen of the rail, from 0, by its key.
func (h *hand) to(item int, screen string) {
	h.on(screen)
	h.counts[screen]++
	h.toScreen(item)
	h.settled(wholePic)
}

// fields types into one field after another, each ended by a key; "" leaves one
// as it is.
func (h *hand) fields(end string, texts ...string) {
	for _, t := range texts {
		if t != "" {
			h.write(t)
		}
		h.key(end)
	}
}

// total prints the count of each screen and returns the sum.
func (h *hand) total() int {
	sum := 0
	var out []string
	for _, s := range h.order {
		out = append(out, fmt.Sprintf("%s %d", s, h.counts[s]))
		sum += h.counts[s]
	}
	h.t.Logf("%d actions: %s", sum, strings.Join(out, ", "))
	return sum
}

// targets are the values that the journal has for its targets now. Nothing here
// was taken back, so the last one counts.
func (h *hand) targets() map[string]json.RawMessage {
	out := map[string]json.RawMessage{}
	for _, e := range h.journal() {
		for _, c := range e.Changes {
			out[c.Target] = c.Value
		}
	}
	return out
}

// has waits until the journal's value of a target says all of some words.
func (h *hand) has(target string, words ...string) {
	h.t.Helper()
	h.until(fmt.Sprintf("the journal has of %s: %s", target, strings.Join(words, ", ")), func() bool {
		v := strings.ReplaceAll(string(h.targets()[target]), `\u0026`, "&")
		for _, w := range words {
			if !strings.Contains(v, w) {
				return false
			}
		}
		return v != ""
	})
}

// number waits until the journal has so many targets that begin with a word.
func (h *hand) number(prefix string, n int) {
	h.t.Helper()
	h.until(fmt.Sprintf("the journal has %d of %s", n, prefix), func() bool {
		got := 0
		for t, v := range h.targets() {
			if strings.HasPrefix(t, prefix) && len(v) > 0 && string(v) != "null" {
				got++
			}
		}
		return got == n
	})
}
