package record

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func drawChange(t *rapid.T) Change {
	n := rapid.IntRange(1, 5).Draw(t, "n")
	var c Change
	var err error
	switch rapid.IntRange(0, 4).Draw(t, "what") {
	case 0:
		c, err = Set(MarkTarget(n), Mark{Number: n, Kind: Kind(rapid.SampledFrom([]string{"ding", "chip"}).Draw(t, "kind"))})
	case 1:
		c = Remove(MarkTarget(n))
	case 2:
		c, err = Set(PartTarget(Frets), Part{ID: Frets, State: rapid.SampledFrom(States()).Draw(t, "state")})
	case 3:
		c, err = Set("instrument", Instrument{Serial: rapid.StringN(0, 8, 20).Draw(t, "serial")})
	case 4:
		c, err = Set("playing", Playing{}.With(n, 3, Buzz))
	}
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func asJSON(t interface{ Fatal(...any) }, v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestInverseRestores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var r Record
		for range rapid.IntRange(0, 6).Draw(t, "before") {
			if _, err := r.Apply(drawChange(t)); err != nil {
				t.Fatal(err)
			}
		}
		before := asJSON(t, r)
		cs := []Change{drawChange(t), drawChange(t), drawChange(t)}
		inv, err := r.ApplyAll(cs)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := r.ApplyAll(inv); err != nil {
			t.Fatal(err)
		}
		if after := asJSON(t, r); after != before {
			t.Fatalf("undone record differs:\n%s\n%s", before, after)
		}
	})
}

func TestApplyTwiceIsApplyOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var r Record
		c := drawChange(t)
		for range 2 {
			if _, err := r.Apply(c); err != nil {
				t.Fatal(err)
			}
		}
		once := Record{}
		if _, err := once.Apply(c); err != nil {
			t.Fatal(err)
		}
		if asJSON(t, r) != asJSON(t, once) {
			t.Fatal("a change made twice is not the change made once")
		}
	})
}

func TestApplyAllOrNone(t *testing.T) {
	var r Record
	good, _ := Set(MarkTarget(1), Mark{Number: 1, Kind: "ding"})
	bad := Change{Target: "mark/2", Value: json.RawMessage(`{"number":3,"kind":"ding"}`)}
	if _, err := r.ApplyAll([]Change{good, bad}); err == nil {
		t.Fatal("a value with another number was accepted")
	}
	if len(r.Marks) != 0 {
		t.Fatalf("half of the changes stayed: %v", r.Marks)
	}
}

func TestApplyRefuses(t *testing.T) {
	for _, target := range []string{"", "marks", "mark/x", "mark/0", "part", "nothing/1"} {
		var r Record
		if _, err := r.Apply(Change{Target: target, Value: json.RawMessage(`{}`)}); err == nil {
			t.Errorf("target %q was accepted", target)
		}
	}
}

func TestSnapshotsStay(t *testing.T) {
	var r Record
	for n := 1; n <= 3; n++ {
		c, _ := Set(MarkTarget(n), Mark{Number: n, Kind: "ding"})
		if _, err := r.Apply(c); err != nil {
			t.Fatal(err)
		}
	}
	snap := r
	want := asJSON(t, snap)
	c, _ := Set(MarkTarget(2), Mark{Number: 2, Kind: "chip"})
	for _, ch := range []Change{c, Remove(MarkTarget(1))} {
		if _, err := r.Apply(ch); err != nil {
			t.Fatal(err)
		}
	}
	if got := asJSON(t, snap); got != want {
		t.Fatalf("an earlier snapshot changed:\n%s\n%s", want, got)
	}
}

func TestReadRefuses(t *testing.T) {
	cases := map[string]string{
		"not JSON":            `{`,
		"other schema":        `{"schema":"other/9"}`,
		"mark twice":          `{"marks":[{"number":1,"kind":"ding"},{"number":1,"kind":"chip"}]}`,
		"mark without kind":   `{"marks":[{"number":1}]}`,
		"point of one number": `{"marks":[{"number":1,"kind":"ding","on":[{"side":"front","shape":"point","points":[[1]]}]}]}`,
		"line of one point":   `{"marks":[{"number":1,"kind":"ding","on":[{"side":"front","shape":"line","points":[[1,2]]}]}]}`,
		"coverage over one":   `{"marks":[{"number":1,"kind":"ding","on":[{"part":"frets","coverage":1.5}]}]}`,
		"place without place": `{"marks":[{"number":1,"kind":"ding","on":[{}]}]}`,
		"far away":            `{"marks":[{"number":1,"kind":"ding","on":[{"side":"front","shape":"point","points":[[1e300,0]]}]}]}`,
		"unknown depth":       `{"marks":[{"number":1,"kind":"ding","depth":"deep"}]}`,
		"unknown state":       `{"parts":[{"id":"frets","state":"fine"}]}`,
		"position twice":      `{"playing":{"positions":[{"string":1,"fret":2,"sound":"buzz"},{"string":1,"fret":2,"sound":"dead"}]}}`,
	}
	for name, in := range cases {
		t.Run(name, func(t *testing.T) {
			if _, err := Read(strings.NewReader(in)); err == nil {
				t.Fatal("accepted")
			}
		})
	}
}

func TestReadWrites(t *testing.T) {
	v := 0.3
	r := Record{Schema: Schema, Instrument: Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe"},
		Marks: []Mark{{Number: 1, Kind: "ding", Depth: Through, On: []Place{{Part: Frets, Coverage: &v}, {Side: "front", Shape: AreaShape,
			Points: []Point{{1, 2}, {3, 4.5}, {5, -6}}}}}}, Playing: Playing{Others: Clean}.With(1, 19, Buzz)}
	got, err := Read(strings.NewReader(asJSON(t, r)))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(*got, r) {
		t.Fatalf("read back differs:\n%+v\n%+v", r, *got)
	}
}

func TestPlayingWith(t *testing.T) {
	p := Playing{Others: Clean}.With(1, 19, Buzz).With(1, 20, Dead).With(1, 19, Clean)
	if len(p.Positions) != 1 || p.At(1, 19) != Clean || p.At(1, 20) != Dead || p.At(2, 2) != Clean {
		t.Fatalf("got %+v", p)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`{"schema":"wornwood.examination/1","marks":[{"number":1,"kind":"ding","on":[{"side":"front","shape":"point","points":[[1,2]]}]}]}`)
	f.Add(`{"playing":{"others":"clean","positions":[{"string":1,"fret":2,"sound":"buzz"}]}}`)
	f.Fuzz(func(t *testing.T, s string) {
		r, err := Read(strings.NewReader(s))
		if err != nil {
			return
		}
		if _, err := Read(strings.NewReader(asJSON(t, r))); err != nil {
			t.Fatalf("a record that was read cannot be read again: %v", err)
		}
	})
}
