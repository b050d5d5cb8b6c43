package prose

import (
	"fmt"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

func (t *teller) plays(short bool) {
	of := fact(OfGrade, "playing")
	if t.Drawing.Fretless {
		t.say(Playing, 2, "It has no frets, so positions were not tried one by one.", of)
		return
	}
	t.say(Playing, 0, playingSentence(&t.Grade.Playing), of)
	if !short {
		t.say(Playing, 1, faultsOfPlaying(&t.Grade.Playing), of)
	}
}

func playingSentence(g *grade.Playing) string {
	switch {
	case g.Tried == 0:
		return "It was not played."
	case g.Clean == g.Total:
		return fmt.Sprintf("It plays clean at all %d positions.", g.Total)
	case g.Clean == g.Tried:
		return fmt.Sprintf("It plays clean at all %d positions tried, of %d.", g.Tried, g.Total)
	}
	return fmt.Sprintf("It plays clean at %d of %d positions tried.", g.Clean, g.Tried)
}

// faultsOfPlaying counts the positions that do not speak cleanly, by sound.
func faultsOfPlaying(g *grade.Playing) string {
	n := map[record.Sound]int{}
	for _, f := range g.Faults {
		n[f.Sound]++
	}
	words := map[record.Sound][2]string{record.Buzz: {"buzzes", "buzz"}, record.Choke: {"chokes", "choke"}, record.Dead: {"is dead", "are dead"}}
	var out []string
	for _, s := range record.Sounds() {
		if w, ok := words[s]; ok && n[s] > 0 {
			out = append(out, number(n[s])+" "+verb(n[s] > 1, w[0], w[1]))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Of the others " + list(out) + "."
}

// setup tells the readings and the answers beside them.
func (t *teller) setup() {
	var told []string
	var rests []Fact
	for _, r := range t.Grade.Playing.Readings {
		if strings.HasPrefix(r.Reading, "string height") || r.Reading == "relief" {
			told = append(told, lower(clean(r.Reading))+": "+clean(r.Text))
			rests = append(rests, fact(OfReading, r.Reading))
		}
	}
	t.say(Playing, 3, readingsSentence(told), rests...)
	t.outside()
	s := t.Record.Setup
	if s == nil {
		return
	}
	t.say(Playing, 3, trussRodSentence(s.TrussRod), fact(OfEntry, "truss rod"))
	t.say(Playing, 3, neckAngleSentence(s.NeckAngle), fact(OfEntry, "neck angle"))
	t.say(Playing, 3, nutSentence(s.Nut), fact(OfEntry, "nut"))
	t.say(Playing, 3, tunersSentence(s.Tuners), fact(OfEntry, "tuners"))
}

func readingsSentence(told []string) string {
	if len(told) == 0 {
		return ""
	}
	return "Measured: " + strings.Join(told, "; ") + "."
}

// outside tells the readings outside the rubric's usual range.
func (t *teller) outside() {
	var told []string
	var rests []Fact
	for _, r := range t.Grade.Playing.Readings {
		if r.Outside {
			told = append(told, fmt.Sprintf("%s: %s (usual %s)", lower(clean(r.Reading)), clean(r.Text), clean(r.Usual)))
			rests = append(rests, fact(OfReading, r.Reading))
		}
	}
	if len(told) > 0 {
		t.say(Playing, 2, "Outside the usual range: "+strings.Join(told, "; ")+".", rests...)
	}
}

func trussRodSentence(answer string) string {
	switch answer {
	case "":
		return ""
	case "works both ways", "works":
		return "The truss rod " + answer + "."
	case "none fitted":
		return "It has no truss rod."
	case "not tried":
		return "The truss rod was not tried."
	}
	return "The truss rod is " + clean(answer) + "."
}

func neckAngleSentence(answer string) string {
	switch answer {
	case "":
		return ""
	case "meets the top of the bridge":
		return "A straightedge along the frets meets the top of the bridge."
	case "not checked":
		return "The neck's angle was not checked."
	}
	return "A straightedge along the frets ends " + strings.Replace(clean(answer), "far below, a reset", "far below the top of the bridge, so a reset", 1) + "."
}

func nutSentence(answer string) string {
	switch answer {
	case "", "not checked":
		return ""
	case "slots right":
		return "The nut's slots are right."
	}
	return "The nut has " + clean(answer) + "."
}

// tunersSentence names the strings whose tuners do not turn as they should.
func tunersSentence(all []record.Tuner) string {
	by := map[string][]int{}
	for _, u := range all {
		by[u.Feel] = append(by[u.Feel], u.String)
	}
	var out []string
	for _, f := range record.TunerAnswers() {
		if n := by[f]; len(n) > 0 && f != "smooth" && f != "not tried" {
			out = append(out, f+" at "+verb(len(n) > 1, "string ", "strings ")+Runs(n))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Tuners: " + strings.Join(out, "; ") + "."
}
