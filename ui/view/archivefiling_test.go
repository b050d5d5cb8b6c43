package view

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
)

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestArchiveFiling counts everything and lists so much as the memory allows:
// what went wrong always before what went well.
func TestArchiveFiling(t *testing.T) {
	m := &ArchiveFiling{Paths: []string{"in"}}
	for i := range outcomesMost + 10 {
		m.Take(archive.Outcome{Result: archive.IsFiled, Source: fmt.Sprintf("r%d.pdf", i), Hash: "aa"})
	}
	m.Take(archive.Outcome{Result: archive.IsFiled, Linked: "bb"})
	m.Take(archive.Outcome{Result: archive.IsThere, Source: "r1.pdf"})
	m.Take(archive.Outcome{Result: archive.IsRefused, Source: "bad.pdf", Why: "it was altered"})
	m.Take(archive.Outcome{Result: archive.IsLeft, Source: "far.pdf", Why: "it cannot be read"})
	if got := m.Line(1); got.Source != "bad.pdf" || !got.Bad || got.Text != "it was altered" {
		t.Errorf("listed %+v", got)
	}
	if m.Count() != outcomesMost+2 || m.Done() != outcomesMost+14 || m.Line(-1).Source != "" || m.Line(m.Count()).Source != "" {
		t.Errorf("%d listed, %d done", m.Count(), m.Done())
	}
	want := "5 011 filed (1 of them later versions of filed ones), 1 there already, 1 refused, 1 left where they are. The list leaves out 12 of them."
	if got := m.Summary(); got != want {
		t.Errorf("says %q, want %q", got, want)
	}
	if m.Broken() || m.Trouble() != "" {
		t.Error("it is broken off before it ended")
	}
	m.End(archive.Tally{Passed: 3}, fmt.Errorf("file reports: %w", context.Canceled))
	if !m.Broken() || !strings.HasPrefix(m.Trouble(), "Cancelled. What is listed as filed stays filed") || !strings.Contains(m.Summary(), "3 passed over") {
		t.Errorf("after cancelling: %q %q", m.Trouble(), m.Summary())
	}
	full := &ArchiveFiling{}
	full.End(archive.Tally{}, errors.New("no space left on the device"))
	if !strings.Contains(full.Trouble(), "No space left on the device. What is listed") {
		t.Errorf("a full disk: %q", full.Trouble())
	}
	none := &ArchiveFiling{}
	none.End(archive.Tally{Passed: 2}, nil)
	if !strings.Contains(none.Summary(), "no PDF and no mail") {
		t.Errorf("nothing: %q", none.Summary())
	}
}

// TestArchiveFindings lists the graver first and says what to do here.
func TestArchiveFindings(t *testing.T) {
	hash := strings.Repeat("ab", 32)
	r := &archive.CheckReport{Reports: 1200, Refused: 1, Read: 3603, Bytes: 5_000_000, Findings: []archive.Finding{
		{Severity: archive.Remark, Text: "a key is not known", Do: "compare it"},
		{Severity: archive.Minor, Line: 4, Text: "the index is behind", Do: "make it anew"},
		{Severity: archive.Grave, Ref: &archive.Ref{Area: archive.Files, Hash: hash}, Text: "the file was altered", Do: "bring it back from a second copy: wornwood archive check DIR --copy COPY"},
	}}
	list := ArchiveFindings(r)
	if len(list) != 3 || !list[0].Grave || list[0].Where != "report "+hash[:16] || !strings.HasPrefix(list[0].Do, "Bring it back: name the folder") || list[1].Where != "line 4 of the log" || list[2].Severity != "Remark" {
		t.Errorf("%+v", list)
	}
	if got := CheckSummary(r); got != "1 200 reports and 1 refused file; 3 603 files read byte by byte, 5.0 MB. 2 findings ask for something to be done." {
		t.Errorf("says %q", got)
	}
	r.Findings = r.Findings[:1]
	if got := CheckSummary(r); !strings.HasSuffix(got, "Nothing is wrong; 1 remark.") {
		t.Errorf("says %q", got)
	}
	for _, p := range []struct {
		p    archive.Proof
		want string
	}{
		{archive.Proof{Holds: true, Since: archive.Head{Seq: 9}, After: 1}, "The log passes through the noted head: of its first 9 lines none was taken out or altered since. 1 line came after."},
		{archive.Proof{Why: "line 3 is another"}, "The log does not pass through the noted head: line 3 is another."},
	} {
		if got := ProofWords(&p.p); got != p.want {
			t.Errorf("says %q, want %q", got, p.want)
		}
	}
	if PileSummary(0, 0) != "Nothing was refused." || PileSummary(2, 2) != "2 files on the refused pile" || !strings.Contains(PileSummary(100, 2000), "2 000 files on the refused pile; the latest 100") {
		t.Error("the pile is not told right")
	}
}
