package journal

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
)

// example is the journal that FORMAT.md shows.
func example(t *testing.T) []byte {
	t.Helper()
	change := func(target, value string) record.Change {
		return record.Change{Target: target, Value: json.RawMessage(value)}
	}
	p := filepath.Join(t.TempDir(), "j")
	f, s, err := Create(p, id, Entry{Seq: 1, At: start, Op: Begin, Changes: []record.Change{
		change("examination", `{"id":"`+id+`","instrument":"i","purpose":"intake","date":"2026-03-14T09:00:00+01:00"}`),
		change("instrument", `{"class":"","maker":"Halden & Rowe","model":"Larkfoot <Standard>"}`),
	}})
	if err != nil {
		t.Fatal(err)
	}
	b := &bed{t, p, f, s}
	b.must(Entry{Op: Do, Name: "Mark 1", Changes: []record.Change{
		change("mark/1", `{"number":1,"kind":"ding","depth":"through the finish"}`),
	}})
	return b.bytes()
}

// The document and the program agree to the byte.
func TestFormatDocumentExample(t *testing.T) {
	doc, err := os.ReadFile("../bench/FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	if want := "```\n" + string(example(t)) + "```\n"; !strings.Contains(string(doc), want) {
		t.Errorf("FORMAT.md does not show these lines:\n%s", want)
	}
}

// The sums are what sha256sum (GNU coreutils) makes by the rule in FORMAT.md.
func TestSumsAgainstSha256sum(t *testing.T) {
	before := id
	for _, line := range strings.Split(strings.TrimSpace(string(example(t))), "\n") {
		entry := line[len(linePrefix)+sumLen+len(lineMiddle) : len(line)-1]
		cmd := exec.Command("sha256sum")
		cmd.Stdin = strings.NewReader(before + entry)
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		sum := line[len(linePrefix):][:sumLen]
		if got := string(out[:sumLen]); got != sum {
			t.Errorf("sha256sum gives %s, the line has %s", got, sum)
		}
		before = sum
	}
}

// A journal of version 1 that was written once and is kept: programs to come
// must replay it to the same record.
func TestKeptJournal(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "version1.journal"))
	if err != nil {
		t.Fatal(err)
	}
	s, tail, err := Replay(bytes.NewReader(data), id, "version1.journal")
	if err != nil {
		t.Fatal(err)
	}
	wantJSON, err := os.ReadFile(filepath.Join("testdata", "version1.json"))
	if err != nil {
		t.Fatal(err)
	}
	var want struct {
		Record record.Record
		Issued *record.Issued
	}
	if err := json.Unmarshal(wantJSON, &want); err != nil {
		t.Fatal(err)
	}
	got := view(t, s)
	if w := view(t, &State{Record: want.Record, Issued: want.Issued, Seq: 9, At: s.At}); got != w || tail.Lines != 9 {
		t.Errorf("%d lines\ngot  %s\nwant %s", tail.Lines, got, w)
	}
	if at := s.At.Format(time.RFC3339); at != "2026-03-14T09:00:08+01:00" {
		t.Error(at)
	}
}
