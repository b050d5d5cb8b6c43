package cli

import (
	"fmt"
	"strings"

	"wornwood/ui/view"
)

// setupList is what the verb prints as JSON.
type setupList struct {
	Unit     string            `json:"unit"`
	Readings []setupReading    `json:"readings"`
	Crowns   []setupReading    `json:"crowns"`
	Answers  map[string]string `json:"answers"`
	Tuners   []setupTuner      `json:"tuners"`
}

type setupReading struct {
	ID      string `json:"id"`
	Value   string `json:"value"` // in Unit, "" while it was not read
	Unit    string `json:"unit"`
	Usual   string `json:"usual"`
	Outside bool   `json:"outside"`
	How     string `json:"how,omitempty"`
	Why     string `json:"why"` // where the usual range comes from
}

type setupTuner struct {
	String   int    `json:"string"`
	Note     string `json:"note,omitempty"`
	Backlash string `json:"backlash,omitempty"` // degrees
	Feel     string `json:"feel,omitempty"`
}

func setupOf(v *view.Setup) setupList {
	l := setupList{Unit: string(v.Unit()), Answers: map[string]string{}}
	one := func(r view.ReadingRow) setupReading {
		return setupReading{ID: r.ID, Value: r.Text, Unit: r.Unit, Usual: r.Usual, Outside: r.Outside, How: r.How, Why: r.Why}
	}
	for _, r := range v.Rows() {
		l.Readings = append(l.Readings, one(r))
	}
	for _, r := range v.Crowns(false) {
		l.Crowns = append(l.Crowns, one(r))
	}
	for i, f := range v.Answers() {
		if t := f.Get(); t != "" {
			l.Answers[answerFlags[i]] = t
		}
	}
	for _, t := range v.Tuners() {
		l.Tuners = append(l.Tuners, setupTuner(t))
	}
	return l
}

func (c *call) printSetup(v *view.Setup) {
	line := func(name string, r view.ReadingRow) {
		value := "–"
		if r.Text != "" {
			value = r.Text + " " + r.Unit
		}
		var beside []string
		if r.Outside {
			beside = append(beside, "OUTSIDE")
		}
		if r.Usual == "recorded, not judged" {
			beside = append(beside, r.Usual)
		} else {
			beside = append(beside, "usual "+r.Usual)
		}
		if r.How != "" {
			beside = append(beside, r.How)
		}
		c.print("  %-40s %10s  %s\n", name, value, strings.Join(beside, "; "))
	}
	group := ""
	for _, r := range v.Rows() {
		if r.Group != group {
			group = r.Group
			c.print("%s\n", group)
		}
		line(r.ID, r)
	}
	for _, r := range v.Crowns(false) {
		if r.Text != "" {
			line(r.ID, r)
		}
	}
	c.print("Answers\n")
	for i, f := range v.Answers() {
		c.print("  %-40s %s\n", answerFlags[i], orDash(strings.TrimSpace(f.Get()+" "+map[bool]string{true: f.Unit}[f.Get() != ""])))
	}
	c.print("Tuners\n")
	for _, t := range v.Tuners() {
		deg := ""
		if t.Backlash != "" {
			deg = ", backlash " + t.Backlash + "°"
		}
		c.print("  %-40s %s%s\n", strings.TrimSpace(fmt.Sprintf("string %d %s", t.String, t.Note)), orDash(t.Feel), deg)
	}
	for _, s := range view.SetupCautions() {
		c.print("caution: %s\n", s)
	}
}
