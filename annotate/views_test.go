package annotate

import (
	"testing"

	"wornwood/annotate/outline"
)

// Every class has views, none twice, all with a hint; what a class cannot
// show is not asked for.
func TestPhotoViews(t *testing.T) {
	for _, class := range append(outline.Classes(), "violin", "banjo", "flat-top parlour", "lap steel", "thinline", "ukulele tenor") {
		seen := map[string]bool{}
		for _, v := range PhotoViews(class) {
			if seen[v.ID] || v.ID == "" || v.Hint == "" {
				t.Errorf("%s: view %+v is listed twice or says nothing", class, v)
			}
			seen[v.ID] = true
		}
		for _, need := range []string{"whole", "front", "back", "bass side", "treble side", "head back", "board", "neck back", "bridge", "ultraviolet front"} {
			if !seen[need] {
				t.Errorf("%s: %q is missing", class, need)
			}
		}
	}
	for class, not := range map[string]string{"violin": "frets", "lap steel": "frets", "flat-top parlour": "pickups", "thinline": "neck pocket", "solid-body angular": "label"} {
		for _, v := range PhotoViews(class) {
			if v.ID == not {
				t.Errorf("%s asks for %q", class, not)
			}
		}
	}
	if n := len(PhotoViews("solid-body double-cutaway")); n != 21 {
		t.Errorf("a solid body has %d views", n)
	}
}
