//go:build ci

package ui

import (
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// bareWindow is demoWindow with the examination as it was after the marks: parts
// judged without signs, the electronics not opened, nothing of setup, dating and
// papers. Tests that fill these in begin with it.
func bareWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	return openDemo(t, size, dark, strip)
}

func strip(ex *bench.Exam) error {
	s, err := annotate.Open(ex, grade.Default())
	if err != nil {
		return err
	}
	rec := ex.Record()
	var targets []string
	for _, c := range rec.Components {
		targets = append(targets, record.ComponentTarget(c.ID))
	}
	for _, e := range rec.Evidence {
		targets = append(targets, record.EvidenceTarget(e.ID))
	}
	for _, e := range rec.Extras {
		targets = append(targets, record.ExtraTarget(e.ID))
	}
	for _, m := range rec.Materials {
		targets = append(targets, record.MaterialTarget(m.ID))
	}
	for _, c := range rec.Claims {
		if c.ID != "edition" && c.ID != "year" {
			targets = append(targets, record.ClaimTarget(c.ID))
		}
	}
	for _, r := range rec.Readings {
		if r.ID != "string height, bass, fret 12" && r.ID != "string height, treble, fret 12" {
			targets = append(targets, record.ReadingTarget(r.ID))
		}
	}
	for _, a := range rec.Attachments {
		targets = append(targets, record.AttachmentTarget(a.ID))
	}
	cs := []record.Change{record.Remove("wiring"), record.Remove("setup")}
	for _, target := range targets {
		cs = append(cs, record.Remove(target))
	}
	for _, p := range rec.Parts {
		p.Signs, p.Photos, p.Reversible = nil, nil, ""
		if p.ID == record.Electronics {
			p.State, p.Inspected, p.Judged = record.NotSeen, false, nil
		}
		c, err := record.Set(record.PartTarget(p.ID), p)
		if err != nil {
			return err
		}
		cs = append(cs, c)
	}
	e := rec.Examination
	e.NextDue = ""
	c, err := record.Set("examination", e)
	if err != nil {
		return err
	}
	return s.Do("Bare", append(cs, c)...)
}
