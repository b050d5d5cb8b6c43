package grade

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func compileSchema(t *testing.T, b []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if s.DraftVersion != 2020 {
		t.Fatalf("draft %d", s.DraftVersion)
	}
	return s
}

func validate(t fataler, s *jsonschema.Schema, v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(doc)
}

// drawWhole fills in everything else that a record can hold.
func drawWhole(t *rapid.T) *record.Record {
	rec := drawRecord(t, false)
	text := rapid.StringN(0, 12, -1)
	size := func(label string) *record.Quantity {
		return &record.Quantity{Value: rapid.Float64Range(0, 500).Draw(t, label), Uncertainty: rapid.Float64Range(0, 3).Draw(t, label+" ±"), How: "calliper"}
	}
	rec.Examination = record.Examination{ID: text.Draw(t, "id"), Instrument: "i", Purpose: rapid.SampledFrom(record.Purposes()).Draw(t, "purpose"),
		Date: time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "date"), 0).In(time.FixedZone("", 3600)), Summary: text.Draw(t, "summary")}
	rec.Instrument.Maker, rec.Instrument.LeftHanded, rec.Instrument.Mass = text.Draw(t, "maker"), rapid.Bool().Draw(t, "left"), rapid.Float64Range(0, 9).Draw(t, "mass")
	id := strings.Repeat("0a", 32)
	rec.Photos = []record.Photo{{ID: id, Name: text.Draw(t, "file"), Size: 7, Format: "jpeg", Width: 3, Height: 4, Orientation: 6, Agreement: "one reader",
		Differences: []record.TwoRead{{Field: "Model", First: "a", Second: "b"}}, Remarks: []string{text.Draw(t, "remark")}}}
	for i := range rec.Marks {
		m := &rec.Marks[i]
		m.Length, m.Width, m.Note, m.Since = size("length"), size("width"), text.Draw(t, "note"), rapid.SampledFrom([]string{"", "unchanged", "grown", "new", "repaired"}).Draw(t, "since")
		m.Photos = []record.PhotoPlace{{Photo: id, Shape: record.PointShape, Points: []record.Point{{X: 1, Y: 2}}}}
	}
	for i := range rec.Parts {
		rec.Parts[i].Judged, rec.Parts[i].Reversible = record.Methods()[:2], rapid.SampledFrom([]string{"", "yes", "no"}).Draw(t, "reversible")
	}
	rec.Claims = []record.Claim{{ID: "1", About: "year", Text: text.Draw(t, "claim"), Standing: rapid.SampledFrom(record.Standings()).Draw(t, "standing")}}
	rec.Readings = []record.Reading{{ID: "relief", Value: *size("relief"), Unit: "mm"}}
	rec.Playing = record.Playing{Others: rapid.SampledFrom(record.Sounds()).Draw(t, "others"), Positions: []record.Position{{String: 1, Fret: 3, Sound: record.Choke}}}
	rec.NotExamined = []string{text.Draw(t, "not examined")}
	drawFurther(t, rec, size, id)
	return rec
}

// drawFurther fills in electronics, setup, dating and what is kept beside.
func drawFurther(t *rapid.T, rec *record.Record, size func(string) *record.Quantity, id string) {
	text := rapid.StringN(0, 12, -1)
	rec.Examination.NextDue, rec.Examination.Rubric = "2027-01-01", id
	rec.Components = []record.Component{
		{ID: "1", Kind: record.PickupComponent, Place: text.Draw(t, "place"), State: record.Original, Works: record.WorksWords()[0],
			Pickup: &record.Pickup{Type: rapid.SampledFrom(record.PickupTypes()).Draw(t, "pickup"), Resistance: size("resistance"), Ambient: &record.Quantity{Value: -3}}},
		{ID: "2", Kind: record.PotComponent, Code: "1139910", Pot: &record.Potentiometer{Role: "tone", Nominal: 250, Measured: size("pot"), Taper: "linear"}},
		{ID: "3", Kind: record.CapacitorComponent, Capacitor: &record.Capacitor{Role: "tone", Nominal: 22}},
		{ID: "4", Kind: record.ResistorComponent, Resistor: &record.Resistor{Nominal: 150}},
		{ID: "5", Kind: record.BatteryComponent, Battery: &record.Battery{Type: "9 V block", Number: 1, Voltage: size("volts"), Fitted: "2026-01-01", Every: 12, Current: size("mA")}},
		{ID: "6", Kind: record.SwitchComponent, Photos: []string{id}},
	}
	rec.Wiring = &record.Wiring{Seen: "seen", State: record.Altered, Files: []string{id}, CableCapacitance: 500, Load: 1000}
	rec.Setup = &record.Setup{TrussRod: record.TrussRodAnswers()[0], Capo: record.CapoAnswers()[0], A4: 440, Tuners: []record.Tuner{{String: 1, Backlash: size("backlash"), Feel: "smooth"}},
		Intonations: []record.Intonation{{String: 1, Open: size("open"), Stopped: size("stopped"), File: id}}}
	rec.Evidence = []record.Evidence{{ID: "1", Kind: record.CodeEvidence, What: text.Draw(t, "what"), Bound: rapid.SampledFrom(record.Bounds()).Draw(t, "bound"), From: 1974, Files: []string{id}}}
	rec.Attachments = []record.Attachment{{ID: id, Name: text.Draw(t, "name"), Kind: "document", Type: "application/pdf", Size: 3, Imported: "2026-01-01T00:00:00Z"}}
	rec.Extras = []record.Extra{{ID: "1", Kind: "case", What: text.Draw(t, "extra"), State: record.Original, Number: 2}}
	rec.Materials = []record.Material{{ID: "1", Name: "ebony", On: "fingerboard", Document: []string{id}}}
	if len(rec.Parts) > 0 {
		rec.Parts[0].Signs = []record.Sign{{ID: "overspray", Answer: "seen"}}
	}
}

func TestRecordsAndResultsValidate(t *testing.T) {
	recs, results, d := compileSchema(t, Schema()), compileSchema(t, ResultSchema()), testDrawing()
	check := func(t fataler, rec *record.Record) {
		if err := rec.Check(); err != nil {
			t.Fatal(err)
		}
		if err := validate(t, recs, rec); err != nil {
			t.Fatal(err)
		}
		if err := validate(t, results, mustGrade(t, rec, d)); err != nil {
			t.Fatal(err)
		}
	}
	rapid.Check(t, func(t *rapid.T) { check(t, drawWhole(t)) })
	check(t, &record.Record{Schema: record.Schema})
	for _, row := range handRows() {
		check(t, inspectedRecord(t, row.drawn...))
	}
}

// tree decodes JSON into maps that a test can damage.
func tree(t *testing.T, v any) map[string]any {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// step goes into maps by name and into lists by place.
func step(t *testing.T, v any, path ...any) map[string]any {
	t.Helper()
	for _, p := range path {
		switch p := p.(type) {
		case string:
			v = v.(map[string]any)[p]
		case int:
			v = v.([]any)[p]
		}
	}
	m, ok := v.(map[string]any)
	if !ok {
		t.Fatalf("%v leads to %T", path, v)
	}
	return m
}

func TestDamagedRecordsDoNotValidate(t *testing.T) {
	s := compileSchema(t, Schema())
	gen := rapid.Custom(drawWhole)
	rec := gen.Example(1)
	drawn := areaOn("front", "front/body", rect(1, 2, 3, 4))
	rec.Marks = []record.Mark{at("ding", record.InFinish, drawn, statedOn(record.Neck, 0.5), piecesOn(record.Frets, 1, 2))}
	rec.Marks[0].Number, rec.Marks[0].Length = 1, &record.Quantity{Value: 3}
	rec.Marks[0].Reading = &record.MarkReading{Kind: record.FadeReading, Quantity: record.Quantity{Value: 2}}
	rec.Marks[0].Photos = []record.PhotoPlace{{Photo: "x", Shape: record.PointShape, Points: []record.Point{{X: 1, Y: 2}}}}
	if err := validate(t, s, rec); err != nil {
		t.Fatal(err)
	}
	two := []any{[]any{1, 2}, []any{3, 4}}
	for name, c := range map[string]struct {
		path []any
		key  string
		to   any // nil takes the key away
	}{
		"no schema":              {nil, "schema", nil},
		"another schema":         {nil, "schema", "wornwood.examination/9"},
		"no instrument":          {nil, "instrument", nil},
		"a stranger":             {nil, "price", 100},
		"date in words":          {[]any{"examination"}, "date", "yesterday"},
		"purpose":                {[]any{"examination"}, "purpose", "boredom"},
		"frets in words":         {[]any{"instrument"}, "frets", "many"},
		"photo digest":           {[]any{"photos", 0}, "id", "0A"},
		"mark 0":                 {[]any{"marks", 0}, "number", 0},
		"mark 1.5":               {[]any{"marks", 0}, "number", 1.5},
		"no kind":                {[]any{"marks", 0}, "kind", ""},
		"depth":                  {[]any{"marks", 0}, "depth", "bottomless"},
		"reading kind":           {[]any{"marks", 0, "reading"}, "kind", "smell"},
		"reading below nothing":  {[]any{"marks", 0, "reading"}, "value", -1},
		"length below nothing":   {[]any{"marks", 0, "length"}, "value", -1},
		"area of two points":     {[]any{"marks", 0, "on", 0}, "points", two},
		"point of two points":    {[]any{"marks", 0, "photos", 0}, "points", two},
		"point in space":         {[]any{"marks", 0, "photos", 0}, "points", []any{[]any{1, 2, 3}}},
		"point far away":         {[]any{"marks", 0, "photos", 0}, "points", []any{[]any{1e9, 2}}},
		"no shape":               {[]any{"marks", 0, "on", 0}, "shape", nil},
		"shape":                  {[]any{"marks", 0, "on", 0}, "shape", "blob"},
		"coverage over 1":        {[]any{"marks", 0, "on", 1}, "coverage", 1.5},
		"neither drawn nor said": {[]any{"marks", 0, "on", 1}, "coverage", nil},
		"no part":                {[]any{"marks", 0, "on", 1}, "part", nil},
		"piece 0":                {[]any{"marks", 0, "on", 2}, "pieces", []any{0}},
		"no pieces":              {[]any{"marks", 0, "on", 2}, "pieces", []any{}},
		"state":                  {[]any{"parts", 0}, "state", "fine"},
		"inspected in words":     {[]any{"parts", 0}, "inspected", "yes"},
		"sound":                  {[]any{"playing", "positions", 0}, "sound", "lovely"},
		"fret 0":                 {[]any{"playing", "positions", 0}, "fret", 0},
		"reading without unit":   {[]any{"readings", 0}, "unit", nil},
		"standing":               {[]any{"claims", 0}, "standing", 3},
	} {
		t.Run(name, func(t *testing.T) { damage(t, s, tree(t, rec), c.path, c.key, c.to) })
	}
}

func damage(t *testing.T, s *jsonschema.Schema, doc map[string]any, path []any, key string, to any) {
	t.Helper()
	m := step(t, doc, path...)
	if to == nil {
		if _, ok := m[key]; !ok {
			t.Fatalf("there is no %q to take away", key)
		}
		delete(m, key)
	} else {
		m[key] = to
	}
	if err := validate(t, s, doc); err == nil {
		t.Error("still validates")
	}
}

func TestDamagedResultsDoNotValidate(t *testing.T) {
	s := compileSchema(t, ResultSchema())
	rec := inspectedRecord(t, handRows()[5].drawn...)
	res := mustGrade(t, rec, testDrawing())
	for name, c := range map[string]struct {
		path []any
		key  string
		to   any
	}{
		"index over 100":       {nil, "index", 101},
		"no index":             {nil, "index", nil},
		"class 7":              {nil, "class", 7},
		"class 0 with index":   {nil, "class", 0},
		"hash":                 {nil, "rubricHash", "abc"},
		"negative points":      {[]any{"ledger", 0}, "points", -1},
		"no text":              {[]any{"ledger", 0}, "text", ""},
		"a stranger":           {[]any{"ledger", 0}, "price", 1},
		"part state":           {[]any{"parts", 0}, "state", ""},
		"R below 1":            {[]any{"parts", 0}, "r", 0.9},
		"extent over 1":        {[]any{"cap"}, "extent", 1.1},
		"cap without mark":     {[]any{"cap"}, "mark", nil},
		"playing in fractions": {[]any{"playing"}, "clean", 0.5},
	} {
		t.Run(name, func(t *testing.T) { damage(t, s, tree(t, res), c.path, c.key, c.to) })
	}
	doc := tree(t, mustGrade(t, &record.Record{}, testDrawing()))
	doc["index"] = 50
	if validate(t, s, doc) == nil {
		t.Error("an index without anything inspected still validates")
	}
}

// The schemas name exactly the keys that the Go types write.
func TestSchemasFollowTheTypes(t *testing.T) {
	for name, c := range map[string]struct {
		schema []byte
		types  map[string]any
	}{
		"record": {Schema(), map[string]any{"": record.Record{}, "examination": record.Examination{}, "instrument": record.Instrument{}, "photo": record.Photo{}, "mark": record.Mark{},
			"place": record.Place{}, "photoPlace": record.PhotoPlace{}, "size": record.Quantity{}, "part": record.Part{}, "claim": record.Claim{}, "reading": record.Reading{}, "playing": record.Playing{},
			"component": record.Component{}, "wiring": record.Wiring{}, "setup": record.Setup{}, "evidence": record.Evidence{}, "attachment": record.Attachment{}, "extra": record.Extra{}, "material": record.Material{}, "sign": record.Sign{}}},
		"result": {ResultSchema(), map[string]any{"": Result{}, "cap": Cap{}, "line": Line{}, "part": PartResult{}, "playing": Playing{}}},
	} {
		var doc map[string]any
		if err := json.Unmarshal(c.schema, &doc); err != nil {
			t.Fatal(err)
		}
		for def, v := range c.types {
			at := doc
			if def != "" {
				at = step(t, doc, "$defs", def)
			}
			want := slices.Sorted(maps.Keys(step(t, at, "properties")))
			if got := jsonKeys(reflect.TypeOf(v)); !slices.Equal(got, want) {
				t.Errorf("%s %s: the type writes %v, the schema has %v", name, def, got, want)
			}
		}
	}
}

func jsonKeys(t reflect.Type) []string {
	var out []string
	for i := range t.NumField() {
		key, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		out = append(out, key)
	}
	slices.Sort(out)
	return out
}
