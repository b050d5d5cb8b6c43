package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/sign"
)

// ArchiveDetail is one filed report in full.
type ArchiveDetail struct {
	Hash, Path string
	Title, Sub string
	Answers    [3]Answer
	Facts      [][2]string
	Verdict    string // its headline
	OK         bool
	Findings   []Finding
	Versions   []ArchiveVersion // the others with the same first signature
	Marks      string
	Parts      []string // that are not as made
}

// ArchiveVersion is another version of the same report.
type ArchiveVersion struct{ Hash, Text string }

// ReadArchiveDetail reads what is kept of a report; it may run in any goroutine.
func ReadArchiveDetail(a *archive.Archive, hash string) (*ArchiveDetail, error) {
	s, err := a.Show(hash)
	if err != nil {
		return nil, err
	}
	r := s.Row
	d := &ArchiveDetail{Hash: r.Hash, Path: a.PathOf(archive.Ref{Area: archive.Files, Hash: r.Hash}), Title: r.Title()}
	if r.Year != "" {
		d.Title += ", " + r.Year
	}
	serial := "no serial number"
	if r.Serial != "" {
		serial = "serial " + r.Serial
	}
	d.Sub = join(", ", serial, r.Class)
	var g *grade.Result
	if v := s.Verdict; v != nil {
		g, d.OK = v.Grade, v.OK
		d.Verdict, d.Findings = Verdict(v)
	}
	d.Answers = Answers(g)
	d.Facts = archiveFacts(r)
	for _, v := range s.Versions {
		if v.Hash == r.Hash {
			continue
		}
		how := "as issued"
		if v.Countersigned {
			how = "countersigned"
		}
		d.Versions = append(d.Versions, ArchiveVersion{v.Hash, fmt.Sprintf("%s, filed %s", Capital(how), v.Filed.Format("2006-01-02"))})
	}
	d.Marks = kindsCounted(r.Kinds)
	for _, p := range r.Parts {
		if p.State != string(record.Original) && p.State != string(record.NotFitted) && p.State != string(record.NotSeen) {
			d.Parts = append(d.Parts, Capital(p.Part)+": "+p.State)
		}
	}
	return d, nil
}

func archiveFacts(r archive.Row) [][2]string {
	state := map[string]string{archive.KnownKey: "known when it was filed", archive.TrustedKey: "certified by a trusted authority when it was filed", archive.UnknownKey: "not known when it was filed"}[r.Verdict]
	signs := join(", ", map[bool]string{true: "countersigned", false: "not countersigned"}[r.Countersigned], map[bool]string{true: "time-stamped"}[r.Stamped])
	facts := [][2]string{
		{"Report", join(", ", r.Number, r.Purpose)},
		{"Examined", join(", ", r.Date, r.Examiner, r.Shop)},
		{"Filed", fmt.Sprintf("%s, line %d of the log", r.Filed.UTC().Format("2006-01-02 15:04 UTC"), r.Seq)},
		{"Came as", r.Source},
		{"Signer", join(", ", r.KeyName, state)},
		{"Key", string(sign.Fingerprint(r.Key).Short())},
		{"Signatures", signs},
		{"Inside", join(", ", count(r.Photos, "photo", "photos"), count(r.Originals, "original photo", "original photos"), fmt.Sprintf("%.1f MB", float64(r.Size)/1e6))},
	}
	return slices.DeleteFunc(facts, func(f [2]string) bool { return f[1] == "" })
}

// kindsCounted lists kinds of marks with their numbers, the most frequent first.
func kindsCounted(kinds []string) string {
	n := map[string]int{}
	var order []string
	for _, k := range kinds {
		if n[k] == 0 {
			order = append(order, k)
		}
		n[k]++
	}
	slices.SortStableFunc(order, func(a, b string) int { return n[b] - n[a] })
	for i, k := range order {
		if n[k] > 1 {
			order[i] = fmt.Sprintf("%s × %d", k, n[k])
		}
	}
	return Capital(strings.Join(order, ", "))
}
