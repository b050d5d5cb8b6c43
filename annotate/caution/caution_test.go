package caution

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func names(list []Material) string {
	var out []string
	for _, m := range list {
		out = append(out, m.Name)
	}
	return strings.Join(out, ", ")
}

// Names of woods and materials as the trade writes them, and what only sounds
// like one: common practice, no published source.
func TestFind(t *testing.T) {
	for text, want := range map[string]string{
		"":                                      "",
		"maple":                                 "",
		"Rosewood":                              "Rosewood",
		"appears to be rosewood":                "Rosewood",
		"Brazilian Rosewood":                    "Brazilian rosewood",
		"rosewood, Brazilian":                   "Brazilian rosewood",
		"D. nigra, pale sapwood":                "Brazilian rosewood",
		"East Indian rosewood":                  "Rosewood",
		"Bolivian rosewood":                     "",
		"African rosewood":                      "Bubinga",
		"Dalbergia cochinchinensis":             "Rosewood",
		"ebony with mother-of-pearl dots":       "Mother-of-pearl, Ebony",
		"Mother of  Pearl and abalone":          "Abalone, Mother-of-pearl",
		"pearloid blocks":                       "Tortoise-pattern celluloid",
		"pearl white":                           "",
		"ebonised maple":                        "",
		"ebony-stained pear":                    "",
		"ivory nut buttons":                     "", // of a palm; a nut made of ivory is written the next way
		"nut of ivory":                          "Ivory",
		"ivoroid binding":                       "Tortoise-pattern celluloid",
		"imitation ivory":                       "",
		"faux tortoiseshell":                    "",
		"no ivory":                              "",
		"ivory-coloured plastic":                "",
		"vegetable ivory buttons":               "",
		"tortoiseshell frog":                    "Sea-turtle shell",
		"tortoise-shell guard":                  "Sea-turtle shell",
		"tortoiseshell celluloid guard":         "Tortoise-pattern celluloid",
		"tortoise guard":                        "Tortoise-pattern celluloid",
		"pernambuco stick, ebony frog, baleen":  "Pernambuco, Ebony, Whalebone or baleen",
		"mahogany back and sides":               "Mahogany",
		"African mahogany":                      "",
		"a snakewood bow":                       "",
		"livorya, ebonyx, rosewoodish":          "",
		"Abalones on the rim; tortoiseshells":   "Sea-turtle shell, Abalone",
		"ROSEWOOD/EBONY":                        "Rosewood, Ebony",
		"rosewood-style plastic, ray skin grip": "Ray or reptile skin",
	} {
		if got := names(Find(text)); got != want {
			t.Errorf("%q: found %q, want %q", text, got, want)
		}
	}
}

// The lines of the table against the outside: CITES notices as reported by
// trade bodies (read), as the project's facts name them.
func TestTableAgainstCITES(t *testing.T) {
	for name, words := range map[string][]string{
		"Brazilian rosewood": {"Appendix I:", "Dalbergia nigra"},
		"Rosewood":           {"other than D. nigra", "exempt from CITES papers since 26 November 2019", "annotation #15"},
		"Pernambuco":         {"Appendix II", "annotation #10", "CoP20"},
		"Ivory":              {"Elephant ivory is in CITES Appendix I"},
		"Sea-turtle shell":   {"Appendix I"},
	} {
		m := ByName(name)
		if m == nil {
			t.Fatalf("there is no %s", name)
		}
		for _, w := range words {
			if !strings.Contains(m.Text, w) {
				t.Errorf("%s does not say %q: %s", name, w, m.Text)
			}
		}
		if !m.Legal || m.Sources[0].How != "read" {
			t.Errorf("%s: legal %v, source %+v", name, m.Legal, m.Sources[0])
		}
	}
	// Appendix II must not be read as Appendix I, or the other way round.
	if strings.Contains(ByName("Pernambuco").Text, "Appendix I.") || strings.Contains(ByName("Brazilian rosewood").Text, "Appendix II") {
		t.Error("an appendix is wrong")
	}
	// Abalone and mother-of-pearl: no appendix was read, so none is named.
	for _, name := range []string{"Abalone", "Mother-of-pearl"} {
		if strings.Contains(ByName(name).Text, "Appendix") {
			t.Errorf("%s names an appendix that nobody read", name)
		}
	}
}

func TestTableHoldsTogether(t *testing.T) {
	seen := map[string]string{}
	for _, m := range All() {
		if m.Name == "" || m.Group == "" || m.Look == "" || m.Text == "" || len(m.Words) == 0 || len(m.Sources) == 0 {
			t.Errorf("%+v lacks something", m)
		}
		if _, err := time.Parse("2006-01", m.AsOf); err != nil || m.AsOfWords() == m.AsOf {
			t.Errorf("%s: as of %q", m.Name, m.AsOf)
		}
		for _, s := range m.Sources {
			if s.Text == "" || !slices.Contains([]string{"read", "memory"}, s.How) {
				t.Errorf("%s: source %+v", m.Name, s)
			}
		}
		for _, s := range []string{m.Look, m.Text} {
			if !strings.HasSuffix(s, ".") || len(s) > 260 {
				t.Errorf("%s: not a short sentence: %q", m.Name, s)
			}
		}
		for _, w := range m.Words {
			if other, ok := seen[w]; ok {
				t.Errorf("%q is both %s and %s", w, other, m.Name)
			}
			seen[w] = m.Name
			if got := names(Find(w)); got != m.Name {
				t.Errorf("%q is found as %q, not as %s", w, got, m.Name)
			}
		}
		if ByName(strings.ToUpper(m.Name)) == nil {
			t.Errorf("%s is not found by its name", m.Name)
		}
	}
	if ByName("plywood") != nil || len(Names()) != len(All()) {
		t.Error("names")
	}
}

const paper = "1f"

func TestCaution(t *testing.T) {
	s := strings.Join(Caution(record.Material{Name: "Brazilian rosewood", On: "fingerboard"}, false), " ")
	for _, w := range []string{"The fingerboard appears to be Brazilian rosewood (Dalbergia nigra); no document", "Its wood looks much like", "Appendix I", "As known in December 2025", "national CITES authority", "not legal advice"} {
		if !strings.Contains(s, w) {
			t.Errorf("%q is missing in: %s", w, s)
		}
	}
	s = strings.Join(Caution(record.Material{Name: "ebony", On: "pegs"}, true), " ")
	if !strings.HasPrefix(s, "The pegs are named as ebony (Diospyros) by a document attached") || strings.Contains(s, "appear") {
		t.Error(s)
	}
	s = strings.Join(Caution(record.Material{Name: "celluloid of a kind"}, false), " ")
	if !strings.HasPrefix(s, "A piece appears to be celluloid of a kind;") || !strings.Contains(s, Ask) {
		t.Error(s)
	}
	s = strings.Join(Caution(record.Material{Name: "Tortoise-pattern celluloid", On: "guard and covers"}, false), " ")
	if strings.Contains(s, "authority") || !strings.Contains(s, "burns") {
		t.Error(s)
	}
}

func TestProposalsAndCautions(t *testing.T) {
	rec := &record.Record{
		Instrument: record.Instrument{Body: "mahogany", Neck: "mahogany", Fingerboard: "Rosewood", Inlays: "abalone", Hardware: "nickel, ivory buttons", WithIt: "case, pernambuco bow"},
		Claims:     []record.Claim{{ID: "c1", About: "materials", Text: "Brazilian rosewood throughout"}},
		Parts:      []record.Part{{ID: record.Binding, Note: "celluloid"}},
		Extras:     []record.Extra{{ID: "1", What: "bow", Note: "pernambuco"}},
	}
	var got []string
	for _, p := range Proposals(rec) {
		got = append(got, p.Material.Name+" on "+p.On)
	}
	want := "Mahogany on body; Mahogany on neck; Rosewood on fingerboard; Ivory on hardware; Abalone on inlays; Pernambuco on what comes with it; Tortoise-pattern celluloid on binding; Brazilian rosewood on "
	if strings.Join(got, "; ") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, "; "), want)
	}
	if s := Proposals(rec)[2].Sentence(); s != "The fingerboard's entry names rosewood (Dalbergia). List it?" {
		t.Error(s)
	}
	// Somebody decided which rosewood it is: rosewood is not proposed there again,
	// and the claim is not either.
	rec.Materials = []record.Material{{ID: "m1", Name: "Brazilian rosewood", On: "Fingerboard", Document: []string{paper}}}
	for _, p := range Proposals(rec) {
		if p.Material.Group == "dalbergia" {
			t.Errorf("still proposed: %+v", p)
		}
	}
	all := Cautions(rec)
	text := strings.Join(all, "\n")
	for _, w := range []string{"The Fingerboard appears to be Brazilian rosewood", "The body and the neck appear to be mahogany", "A piece of the hardware appears to be ivory", "A piece of what comes with it appears to be pernambuco", "The inlays appear to be abalone"} {
		if !strings.Contains(text, w) {
			t.Errorf("%q is missing in:\n%s", w, text)
		}
	}
	if strings.Count(text, Ask) != 1 || all[len(all)-1] != Ask {
		t.Errorf("whom to ask is said %d times", strings.Count(text, Ask))
	}
	// The paper is named but not attached; attached, nothing "appears".
	rec.Attachments = []record.Attachment{{ID: paper}}
	if text = strings.Join(Cautions(rec), "\n"); !strings.Contains(text, "The Fingerboard is named as Brazilian rosewood (Dalbergia nigra) by a document") {
		t.Error(text)
	}
	if got := Cautions(&record.Record{Instrument: record.Instrument{Fingerboard: "maple"}}); len(got) != 0 {
		t.Errorf("maple has cautions: %q", got)
	}
}

// Whatever a record holds, listing a proposal takes it off the list, no material
// is told twice, and hostile texts do no harm.
func TestProposalsEnd(t *testing.T) {
	word := rapid.SampledFrom([]string{"rosewood", "Brazilian", "ebony", "tortoise", "shell", "celluloid", "ivory", "no", "like", "pearl", "of", "mother", "\xff", "Ø", "jacaranda"})
	say := rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(word, 0, 8).Draw(t, "words"), " ")
	})
	rapid.Check(t, func(t *rapid.T) {
		rec := &record.Record{Instrument: record.Instrument{Body: say.Draw(t, "body"), Fingerboard: say.Draw(t, "board"), Material: say.Draw(t, "remark"), Inlays: say.Draw(t, "inlays")}}
		before := len(Proposals(rec))
		for n := 0; len(Proposals(rec)) > 0; n++ {
			if n > before {
				t.Fatalf("%d proposals do not come to an end", before)
			}
			m := Proposals(rec)[0].As()
			m.ID = fmt.Sprint(n)
			rec.Materials = append(rec.Materials, m)
		}
		seen := map[string]bool{}
		for _, s := range Cautions(rec) {
			if seen[s] {
				t.Errorf("told twice: %s", s)
			}
			seen[s] = true
		}
	})
	if len(Find(strings.Repeat("ebony ", 1<<20))) != 1 {
		t.Error("a long text")
	}
}
