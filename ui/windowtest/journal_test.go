//go:build window

package windowtest

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// entry is one line of a journal, as capture/bench/FORMAT.md describes it, as
// far as the tests read it.
type entry struct {
	Seq     int    `json:"seq"`
	Op      string `json:"op"`
	Name    string `json:"name"`
	Changes []struct {
		Target string          `json:"target"`
		Value  json.RawMessage `json:"value"`
	} `json:"changes"`
}

// mark is a mark as it stands in a journal.
type mark struct {
	Number int    `json:"number"`
	Kind   string `json:"kind"`
	Note   string `json:"note"`
	On     []struct {
		Side   string       `json:"side"`
		Points [][2]float64 `json:"points"`
	} `json:"on"`
	Photos []struct {
		Photo  string       `json:"photo"`
		Points [][2]float64 `json:"points"`
	} `json:"photos"`
}

// journal reads the whole lines of the bench's one journal. The file can be
// read while the window has the bench; a line without its end is not saved yet.
func (w *window) journal() []entry {
	w.t.Helper()
	names, err := filepath.Glob(filepath.Join(w.bench, "examinations", "*.journal"))
	if err != nil || len(names) != 1 {
		w.t.Fatalf("the bench has the journals %v, expected one (%v)", names, err)
	}
	b, err := os.ReadFile(names[0])
	if err != nil {
		w.t.Fatal(err)
	}
	lines := strings.Split(string(b), "\n")
	var out []entry
	for i, l := range lines[:len(lines)-1] {
		var line struct{ Entry entry }
		if err := json.Unmarshal([]byte(l), &line); err != nil || line.Entry.Seq != i+1 {
			w.t.Fatalf("line %d of the journal: %v: %.200s", i+1, err, l)
		}
		out = append(out, line.Entry)
	}
	return out
}

// saved waits until the journal has grown beyond n entries and its last one
// satisfies ok; it returns the number of entries.
func (w *window) saved(what string, n int, ok func(e entry) bool) int {
	w.t.Helper()
	var es []entry
	w.until("the journal has: "+what, func() bool {
		es = w.journal()
		return len(es) > n && ok(es[len(es)-1])
	})
	return len(es)
}

// savedMark waits for a change of a mark and returns the mark as saved.
func (w *window) savedMark(what string, n, number int, ok func(m mark) bool) (mark, int) {
	w.t.Helper()
	var m mark
	n = w.saved(what, n, func(e entry) bool {
		m = mark{}
		return e.Op == "do" && len(e.Changes) == 1 && e.Changes[0].Target == fmt.Sprintf("mark/%d", number) &&
			json.Unmarshal(e.Changes[0].Value, &m) == nil && ok(m)
	})
	return m, n
}
