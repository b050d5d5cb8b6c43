package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/pdfout/archive"
)

// ArchiveFinding is one thing that a check found, for reading.
type ArchiveFinding struct {
	Severity string // "Grave", "Minor", "Remark"
	Grave    bool
	Where    string
	Text, Do string
}

// areaWords say what the files of an area are.
var areaWords = map[archive.Area]string{archive.Files: "report", archive.Verdicts: "verdict on", archive.Records: "record of", archive.Refused: "refused file", archive.Reasons: "reason for refusing"}

// ArchiveFindings are the findings of a check, the graver first.
func ArchiveFindings(r *archive.CheckReport) []ArchiveFinding {
	rank := map[archive.Severity]int{archive.Grave: 0, archive.Minor: 1, archive.Remark: 2}
	list := slices.Clone(r.Findings)
	slices.SortStableFunc(list, func(a, b archive.Finding) int { return rank[a.Severity] - rank[b.Severity] })
	var out []ArchiveFinding
	for _, f := range list {
		a := ArchiveFinding{Severity: Capital(string(f.Severity)), Grave: f.Severity == archive.Grave, Where: "the archive", Text: Capital(f.Text), Do: windowWords(f.Do)}
		switch {
		case f.Ref != nil && f.Ref.Hash != "":
			a.Where = areaWords[f.Ref.Area] + " " + f.Ref.Hash[:min(16, len(f.Ref.Hash))]
		case f.Line > 0:
			a.Where = fmt.Sprintf("line %d of the log", f.Line)
		}
		out = append(out, a)
	}
	return out
}

// windowWords says of what there is to do by a verb how it is done here.
func windowWords(s string) string {
	if strings.HasPrefix(s, "bring it back from a second copy") {
		return "Bring it back: name the folder of a second copy above and check again."
	}
	return Capital(s)
}

// CheckSummary says in a sentence or two what a check read and found.
func CheckSummary(r *archive.CheckReport) string {
	s := fmt.Sprintf("%s and %s; %s read byte by byte, %.1f MB. ", many(r.Reports, "report", "reports"), many(r.Refused, "refused file", "refused files"), many(r.Read, "file", "files"), float64(r.Bytes)/1e6)
	wrong := 0
	for _, f := range r.Findings {
		if f.Severity != archive.Remark {
			wrong++
		}
	}
	switch {
	case wrong > 0:
		s += many(wrong, "finding asks", "findings ask") + " for something to be done."
	case len(r.Findings) > 0:
		s += "Nothing is wrong; " + many(len(r.Findings), "remark", "remarks") + "."
	default:
		s += "Nothing is wrong."
	}
	if n := len(r.Restored); n > 0 {
		s += " " + many(n, "file was", "files were") + " brought back from the copy."
	}
	return s
}

func many(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return Grouped(n) + " " + more
}

// LastCheck says when the archive was checked last and what was found.
func LastCheck(a *archive.Archive) string {
	notes, err := a.Notes(archive.Checked)
	if err != nil || len(notes) == 0 {
		return "Not checked yet."
	}
	e := notes[len(notes)-1]
	return fmt.Sprintf("Checked last on %s: %s.", e.Time.Format("2006-01-02 15:04 UTC"), e.Summary)
}

// ProofWords says whether the log still goes on from a head that was noted.
func ProofWords(p *archive.Proof) string {
	if !p.Holds {
		return "The log does not pass through the noted head: " + p.Why + "."
	}
	return fmt.Sprintf("The log passes through the noted head: of its first %s none was taken out or altered since. %s came after.", many(int(p.Since.Seq), "line", "lines"), Capital(many(int(p.After), "line", "lines")))
}

// ArchivePileRow is one refused file as it is listed.
type ArchivePileRow struct{ Hash, Date, Source, Why, Size string }

// PileRows are the refused files as they are listed.
func PileRows(list []archive.RefusedFile) []ArchivePileRow {
	out := make([]ArchivePileRow, 0, len(list))
	for _, f := range list {
		out = append(out, ArchivePileRow{f.Hash, f.Time.Format("2006-01-02 15:04"), f.Source, f.Why, fmt.Sprintf("%.1f MB", float64(f.Size)/1e6)})
	}
	return out
}

// PileSummary says how many files are on the pile, and how many of them are
// listed where that is not all.
func PileSummary(listed, all int) string {
	switch {
	case all == 0:
		return "Nothing was refused."
	case listed < all:
		return fmt.Sprintf("%s on the refused pile; the latest %s are listed", many(all, "file", "files"), Grouped(listed))
	}
	return many(all, "file", "files") + " on the refused pile"
}
