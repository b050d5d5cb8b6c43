package grade

import (
	"bytes"
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Every class has a profile and each sums to 100.
func TestShares(t *testing.T) {
	r := Default()
	for _, p := range r.profiles {
		sum := 0.0
		for _, s := range p.Shares {
			sum += s.Share
			if s.Share <= 0 || s.Part == "" {
				t.Errorf("%s: share %+v", p.Name, s)
			}
		}
		if sum != 100 {
			t.Errorf("%s sums to %v", p.Name, sum)
		}
	}
	for _, class := range outline.Classes() {
		if _, err := r.Shares(class); err != nil {
			t.Error(err)
		}
	}
	if _, err := r.Shares("solid-bodyguard"); err == nil {
		t.Error("half a word matched a class")
	}
	bass, err := r.Shares("solid-body bass")
	if err != nil || bass[0].Share != 17 {
		t.Errorf("the longest name must win: %v, %v", bass, err)
	}
}

// The solid body's shares as the product's description lists them.
func TestSharesOfTheSolidBody(t *testing.T) {
	want := []Share{{Part: record.FrontFinish, Share: 18}, {Part: record.BackFinish, Share: 12}, {Part: record.SidesFinish, Share: 7}, {Part: record.Neck, Share: 10},
		{Part: record.Headstock, Share: 7}, {Part: record.Fingerboard, Share: 8}, {Part: record.Frets, Share: 10}, {Part: record.Nut, Share: 1}, {Part: record.Binding, Share: 2},
		{Part: record.Bridge, Share: 6}, {Part: record.Tuners, Share: 5}, {Part: record.Guard, Share: 2}, {Part: record.Electronics, Share: 12}}
	got, err := Default().Shares("solid-body double-cutaway")
	if err != nil || len(got) != len(want) {
		t.Fatal(got, err)
	}
	for i, s := range got {
		counted := s.Part == record.Frets || s.Part == record.Tuners || s.Part == record.Electronics
		if s.Part != want[i].Part || s.Share != want[i].Share || s.Counted != counted {
			t.Errorf("%+v, want %+v", s, want[i])
		}
	}
}

// The description's starting list, and the importances that it fixes.
func TestKinds(t *testing.T) {
	fixed := map[record.Kind]int{"finish check": 0, "scratch": 0, "ding": 0, "wear-through": 1, "buckle rash": 1, "fret wear": 1, "headstock break": 2, "surface scratches": 0}
	for k, i := range fixed {
		if info, ok := Default().Kind(k); !ok || info.Importance != i {
			t.Errorf("%s: %+v, %v", k, info, ok)
		}
	}
	for _, k := range strings.Split("dent,chip,flaking,fade,discolouration,stand burn,cloudy finish,touch-up,overspray,open crack,closed crack,repaired crack,open seam,loose brace,"+
		"lifting bridge,neck-joint gap,warp,twist,added hole,added routing,binding crack,binding shrinkage,binding decay,fingerboard divot,dry crack,lifted inlay,lifted fret,flat spot,"+
		"tarnish,corrosion,plating wear,bent hardware,seized hardware,missing hardware,scratchy control,dead control,dead pickup,weak pickup,loose jack,battery leak,"+
		"belly crack,back crack,rib crack,sound-post crack,edge wear,varnish loss,worm,bushing,button damage", ",") {
		if _, ok := Default().Kind(record.Kind(k)); !ok {
			t.Errorf("the rubric does not know %q", k)
		}
	}
	parts := map[record.PartID]bool{}
	for _, p := range Default().profiles {
		for _, s := range p.Shares {
			parts[s.Part] = true
		}
	}
	for _, k := range Default().Kinds() {
		if k.Why == "" || k.Group == "" || slices.Contains(k.DepthWords[:], "") || !slices.Contains([]record.Shape{record.PointShape, record.LineShape, record.AreaShape}, k.Shape) {
			t.Errorf("kind %+v is incomplete", k)
		}
		for _, p := range k.Parts {
			if !parts[p] {
				t.Errorf("%s occurs on %q, which no class has", k.Kind, p)
			}
		}
	}
	if _, ok := Default().Kind("gnawing"); ok {
		t.Error("an unknown kind is known")
	}
}

func TestEveryStateHasAnAnswer(t *testing.T) {
	want := map[record.State]float64{record.Original: 1, record.PeriodReplacement: 0.7, record.LaterReplacement: 0.4, record.Refinished: 0.3, record.Altered: 0.3, record.Missing: 0}
	for _, s := range record.States() {
		o, ok := Default().Originality[s]
		w, known := want[s]
		if ok != known || o != w {
			t.Errorf("%s: %v, %v", s, o, ok)
		}
	}
}

// The hash follows the numbers and not the layout of the file.
func TestHash(t *testing.T) {
	r := Default()
	if !regexp.MustCompile(`^[0-9a-f]{64}$`).MatchString(r.Hash()) {
		t.Fatalf("hash %q", r.Hash())
	}
	var flat bytes.Buffer
	if err := json.Compact(&flat, RubricTable()); err != nil {
		t.Fatal(err)
	}
	if s, err := parseRubric(flat.Bytes()); err != nil || s.Hash() != r.Hash() {
		t.Errorf("white space changed the hash: %v", err)
	}
	changed := bytes.Replace(flat.Bytes(), []byte(`"haloMM":10`), []byte(`"haloMM":11`), 1)
	if s, err := parseRubric(changed); err != nil || s.Hash() == r.Hash() || math.Abs(s.HaloMM-11) > 0 {
		t.Errorf("another halo left the hash: %v", err)
	}
}

func TestBrokenTablesAreRefused(t *testing.T) {
	for name, change := range map[string][2]string{
		"depths":     {`"depths": "colour", "on"`, `"depths": "smell", "on"`},
		"places":     {`"on": "frets"`, `"on": "moon"`},
		"importance": {`"importance": 2`, `"importance": 3`},
		"reading":    {`"reading": "colour difference"`, `"reading": "smell"`},
		"twice":      {`"kind": "dent"`, `"kind": "ding"`},
		"not JSON":   {`{`, `[`},
		"a number":   {`"haloMM": 10`, `"haloMM": "10"`},
	} {
		b := bytes.Replace(RubricTable(), []byte(change[0]), []byte(change[1]), 1)
		if bytes.Equal(b, RubricTable()) {
			t.Fatalf("%s: nothing was changed", name)
		}
		if _, err := parseRubric(b); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}
