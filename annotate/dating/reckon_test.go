package dating

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

var noon = time.Date(2026, 11, 14, 12, 0, 0, 0, time.UTC)

func pot(id, code string, st record.State) record.Component {
	return record.Component{ID: id, Kind: record.PotComponent, Place: "tone", Code: code, State: st}
}

func receipt(year int) record.Evidence {
	return record.Evidence{ID: "r", Kind: record.DocumentEvidence, What: "receipt", To: year}
}

// TestReckonCases are worked by hand.
func TestReckonCases(t *testing.T) {
	for _, c := range []struct {
		name    string
		rec     record.Record
		allows  string
		verdict Verdict
		says    string
	}{
		{"nothing", record.Record{Instrument: record.Instrument{Year: "1974"}}, "any year", NotCompared, "Nothing with a date is listed"},
		{"a code allows in or after", record.Record{Instrument: record.Instrument{Year: "1974"}, Components: []record.Component{pot("a", "137-7412", record.Original)}},
			"week 12 of 1974 or later", PartAllowed, "The dated parts allow week 12 of 1974 or later."},
		{"an open decade allows from its first", record.Record{Instrument: record.Instrument{Year: "1960"}, Components: []record.Component{pot("a", "137634", record.Original)}},
			"week 34 of 1956 or later", Allowed, "and so are other years"},
		{"a receipt ends it", record.Record{Instrument: record.Instrument{Year: "1974 or 1975"}, Components: []record.Component{pot("a", "137-7401", record.Original)}, Evidence: []record.Evidence{receipt(1975)}},
			"1974 to 1975", Supported, "is supported"},
		{"the claim is refuted", record.Record{Instrument: record.Instrument{Year: "1974"}, Components: []record.Component{pot("a", "137-7612", record.Original)}},
			"week 12 of 1976 or later", Contradicted, "contradicted by the tone potentiometer (137-7612), which allows week 12 of 1976 or later; unless what is dated there was changed later"},
		{"a replaced part does not count", record.Record{Instrument: record.Instrument{Year: "1974"}, Components: []record.Component{pot("a", "137-7612", record.LaterReplacement)}},
			"any year", NotCompared, "No piece of the evidence counts"},
		{"evidence that contradicts itself", record.Record{Instrument: record.Instrument{Year: "1977"}, Components: []record.Component{pot("a", "137-7612", record.Original)}, Evidence: []record.Evidence{receipt(1975)}},
			"no year", Contradicted, "these cannot all hold"},
		{"a claim that cannot be read", record.Record{Instrument: record.Instrument{Year: "old"}, Components: []record.Component{pot("a", "137-7612", record.Original)}},
			"week 12 of 1976 or later", NotCompared, "could not be read as years"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Reckon(&c.rec, nil, noon)
			if got := r.Allows.Words(); got != c.allows {
				t.Errorf("allows %s, want %s", got, c.allows)
			}
			if r.Claims[0].Verdict != c.verdict {
				t.Errorf("verdict %s, want %s", r.Claims[0].Verdict, c.verdict)
			}
			if all := strings.Join(r.Sentences(), "\n"); !strings.Contains(all, c.says) {
				t.Errorf("says\n%s\nwant %q", all, c.says)
			}
		})
	}
}

// TestStanding says which components count: only those that are not known to be
// replaced, and one that was not judged counts with a remark.
func TestStanding(t *testing.T) {
	for _, c := range []struct {
		own, electronics record.State
		counts           bool
		says             string
	}{
		{record.Original, "", true, ""},
		{record.Original, record.Altered, true, ""},
		{"", "", true, "was not judged; it is counted as though it were"},
		{"", record.Original, true, "was not judged"},
		{"", record.Altered, false, "the electronics are called altered and the potentiometer was not judged by itself"},
		{record.PeriodReplacement, "", false, "the potentiometer is called a period replacement"},
		{record.LaterReplacement, record.Original, false, "the potentiometer is called a later replacement"},
		{record.Refinished, "", false, "called refinished"},
		{record.Altered, "", false, "called altered"},
		{record.Missing, "", false, "called missing"},
		{record.NotFitted, "", false, "called not fitted"},
		{record.NotSeen, "", true, "was not judged"},
	} {
		rec := &record.Record{Components: []record.Component{pot("a", "137-7412", c.own)}}
		if c.electronics != "" {
			rec.Parts = []record.Part{{ID: record.Electronics, State: c.electronics}}
		}
		r := Reckon(rec, nil, noon)
		p := &r.Pieces[0]
		if p.Counts() != c.counts || !strings.Contains(r.Told(0), c.says) {
			t.Errorf("%q in %q electronics: counts %v, %q", c.own, c.electronics, p.Counts(), r.Told(0))
		}
		if !p.Counts() && len(p.Allows) == 0 {
			t.Errorf("%q: a piece that does not count is not shown with its years", c.own)
		}
	}
}

// TestOtherComponents: six digits on a capacitor may be a value beside a
// voltage, so only seven count.
func TestOtherComponents(t *testing.T) {
	for _, c := range []struct {
		kind record.ComponentKind
		code string
		want int // pieces
	}{
		{record.PotComponent, "no code", 1}, {record.PotComponent, "", 0}, {record.SpeakerComponent, "220634", 1},
		{record.CapacitorComponent, "223 630", 0}, {record.CapacitorComponent, "104", 0}, {record.CapacitorComponent, "0.022", 0},
		{record.CapacitorComponent, "235-7412", 1}, {record.PickupComponent, "A1234", 0},
	} {
		r := Reckon(&record.Record{Components: []record.Component{{ID: "a", Kind: c.kind, Code: c.code}}}, nil, noon)
		if len(r.Pieces) != c.want {
			t.Errorf("%s %q: %d pieces", c.kind, c.code, len(r.Pieces))
		}
	}
}

// TestListed follows the evidence an examiner lists into what it allows.
func TestListed(t *testing.T) {
	for _, c := range []struct {
		e    record.Evidence
		want string
	}{
		{record.Evidence{Kind: record.DocumentEvidence, From: 1975}, "1975 or earlier"},
		{record.Evidence{Kind: record.DocumentEvidence, From: 1974, To: 1975}, "1975 or earlier"},
		{record.Evidence{Kind: record.DocumentEvidence, Bound: record.Within, From: 1974, To: 1975}, "1974 to 1975"},
		{record.Evidence{Kind: record.InscribedDate, To: 1975}, "1975 or earlier"},
		{record.Evidence{Kind: record.InscribedDate, Bound: record.InOrAfter, To: 1975}, "1975 or later"},
		{record.Evidence{Kind: record.FeatureEvidence, From: 1971}, "1971 or later"},
		{record.Evidence{Kind: record.FeatureEvidence, To: 1978}, "1978 or earlier"},
		{record.Evidence{Kind: record.FeatureEvidence, From: 1971, To: 1978}, "1971 to 1978"},
		{record.Evidence{Kind: record.SerialEvidence, From: 1973, To: 1975}, "1973 to 1975"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "137634"}, "week 34 of 1956 or later"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "137634", From: 1960}, "week 34 of 1966 or later"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "137634", To: 1949}, "week 34 of 1946 or later"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "137634", From: 1985}, "week 34 of 1986 or later"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "137634", Bound: record.Within}, "week 34 of 1956, week 34 of 1966 or week 34 of 1976"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "scratched", From: 1974}, "1974 or later"},
		{record.Evidence{Kind: record.CodeEvidence, Code: "scratched"}, "no year"},
		{record.Evidence{Kind: record.DocumentEvidence}, "no year"},
		{record.Evidence{Kind: record.SerialEvidence}, "no year"},
	} {
		c.e.ID = "x"
		r := Reckon(&record.Record{Evidence: []record.Evidence{c.e}}, nil, noon)
		if got := r.Pieces[0].Allows.Words(); got != c.want {
			t.Errorf("%+v: %s, want %s", c.e, got, c.want)
		}
		if undated := r.Pieces[0].Undone != ""; undated != (c.want == "no year") {
			t.Errorf("%+v: without a date: %v (%s)", c.e, undated, r.Pieces[0].Undone)
		}
		again := Normal(Normal(c.e))
		if fmt.Sprint(again) != fmt.Sprint(Normal(c.e)) {
			t.Errorf("%+v: made normal twice differs: %+v", c.e, again)
		}
	}
}

// TestDecadeIsNarrowed: with a receipt, an open decade can only be an early one.
func TestDecadeIsNarrowed(t *testing.T) {
	r := Reckon(&record.Record{Components: []record.Component{pot("a", "137634", record.Original)}, Evidence: []record.Evidence{receipt(1970)}}, nil, noon)
	if got := r.Told(1); !strings.Contains(got, "the other evidence leaves it week 34 of 1956 or 1966.") {
		t.Errorf("told as %q", got)
	}
}

var words = []string{"receipt", "three-ply guard", "tone potentiometer", "pencilled date", "serial plate", ""}

func drawEvidence(t *rapid.T, id int) record.Evidence {
	e := record.Evidence{ID: fmt.Sprint("e", id), Kind: rapid.SampledFrom(record.EvidenceKinds()).Draw(t, "kind"), What: rapid.SampledFrom(words).Draw(t, "what")}
	e.Bound = rapid.SampledFrom(append(record.Bounds(), "")).Draw(t, "bound")
	if rapid.Bool().Draw(t, "from") {
		e.From = rapid.IntRange(1950, 1990).Draw(t, "year")
	}
	if rapid.Bool().Draw(t, "to") {
		e.To = rapid.IntRange(max(1950, e.From), 1995).Draw(t, "year")
	}
	if rapid.Bool().Draw(t, "coded") {
		e.Code = rapid.SampledFrom([]string{"137634", "137-7412", "304 8122", "scratched", "41873", "0.022"}).Draw(t, "code")
	}
	if rapid.IntRange(0, 4).Draw(t, "aside") == 0 {
		e.SetAside = "another hand"
	}
	return e
}

func drawRecord(t *rapid.T) *record.Record {
	r := &record.Record{Instrument: record.Instrument{Year: rapid.SampledFrom([]string{"", "1974", "about 1966", "1970s", "before 1960", "old"}).Draw(t, "claim"),
		Serial: rapid.SampledFrom([]string{"", "41873", "L 12345"}).Draw(t, "serial")}}
	for i := range rapid.IntRange(0, 5).Draw(t, "listed") {
		r.Evidence = append(r.Evidence, drawEvidence(t, i))
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "components") {
		r.Components = append(r.Components, pot(fmt.Sprint("c", i), rapid.SampledFrom([]string{"137634", "137-7412", "3048122", "no", ""}).Draw(t, "code"),
			rapid.SampledFrom(append(record.States(), "")).Draw(t, "state")))
	}
	if rapid.Bool().Draw(t, "claimed twice") {
		r.Claims = []record.Claim{{ID: "k", About: "year", Text: "1968", Standing: record.Stated}}
	}
	return r
}

var ownTables = []Table{ReadSerials("serials.csv", []byte("pattern,first,last,from year,to year\n#,40000,44999,1973,1975\n#,41000,42000,1979,1980\nL#####,,,1960,\n"))}

// madeIn finds what is never said: a year that an instrument was made in.
var madeIn = regexp.MustCompile(`(?i)\b(made|built|manufactured|finished|dates?) (in|from|to) \d|\b(made|built|manufactured) in\b`)

// TestNeverMadeIn reads every sentence about random records: none gives the
// instrument a year, all of them end with what they are worth.
func TestNeverMadeIn(t *testing.T) {
	for _, s := range []string{"It was made in 1974.", "Built in the sixties", "manufactured in week 3", "dates from 1974", "made from 1974"} {
		if !madeIn.MatchString(s) {
			t.Errorf("%q is not found", s)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		r := Reckon(drawRecord(t), ownTables, noon)
		all := r.Sentences()
		if all[len(all)-1] != Hedge {
			t.Fatal("the hedge is missing")
		}
		chart := r.Chart()
		for i := range r.Pieces {
			all = append(all, r.Told(i), r.SignWords(&chart.Rows[i]), r.Pieces[i].Brief())
		}
		for _, s := range all {
			if madeIn.MatchString(s) {
				t.Fatalf("said: %q", s)
			}
			if strings.Contains(s, "  ") || strings.Contains(s, "..") || strings.Contains(s, " .") {
				t.Fatalf("ill set: %q", s)
			}
		}
	})
}

// More evidence never widens what is allowed; what is told follows from the
// pieces.
func TestReckonIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rec := drawRecord(t)
		before := Reckon(rec, ownTables, noon)
		check(t, before)
		more := *rec
		more.Evidence = append(slices.Clone(rec.Evidence), drawEvidence(t, 77))
		after := Reckon(&more, ownTables, noon)
		check(t, after)
		if !after.Allows.Within(before.Allows) {
			t.Fatalf("%v became %v", before.Allows, after.Allows)
		}
		if len(before.Claims) > 0 && before.Claims[0].Verdict == Contradicted && after.Claims[0].Verdict != Contradicted && after.Claims[0].Verdict != Undecided {
			t.Fatalf("a contradicted claim became %s by more evidence", after.Claims[0].Verdict)
		}
		// Setting the new piece aside undoes it.
		more.Evidence[len(more.Evidence)-1].SetAside = "a test"
		if got := Reckon(&more, ownTables, noon); !slices.Equal(got.Allows, before.Allows) {
			t.Fatalf("set aside it still counts: %v, not %v", got.Allows, before.Allows)
		}
	})
}

func check(t *rapid.T, r *Result) {
	if (len(r.Allows) == 0) != (len(r.Contradictions) > 0) {
		t.Fatalf("allows %v with contradictions %v", r.Allows, r.Contradictions)
	}
	for _, set := range r.Contradictions {
		left := All()
		for _, i := range set {
			if !r.Pieces[i].Counts() {
				t.Fatalf("piece %d does not count and contradicts", i)
			}
			left = left.And(r.Pieces[i].Allows)
		}
		if len(left) > 0 {
			t.Fatalf("%v is called a contradiction and leaves %v", set, left)
		}
	}
	for i := range r.Pieces {
		if p := &r.Pieces[i]; p.Counts() && (len(p.Allows) == 0 || !r.Allows.Within(p.Allows)) {
			t.Fatalf("piece %d allows %v, all allow %v", i, p.Allows, r.Allows)
		}
	}
	for _, c := range r.Claims {
		for _, set := range c.Against {
			left := c.Years
			for _, i := range set {
				left = left.And(r.Pieces[i].Allows)
			}
			if len(left) > 0 {
				t.Fatalf("%v is called against %v and leaves %v", set, c.Years, left)
			}
		}
		if c.Verdict == Contradicted && len(r.Allows) > 0 && len(c.Years.And(r.Allows)) > 0 {
			t.Fatalf("the claim %v is called contradicted and %v is allowed", c.Years, r.Allows)
		}
		if c.Verdict == Supported && !r.Allows.Within(c.Years) {
			t.Fatalf("the claim %v is called supported, %v is allowed", c.Years, r.Allows)
		}
	}
}
