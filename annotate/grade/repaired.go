package grade

import (
	"fmt"

	"wornwood/capture/record"
)

// A mark that was repaired since the last examination stays listed and is
// judged by what is there now: by its kind and depth, as any other. There is no
// factor for having been repaired. A dealer looks at the repair and not at the
// word: a crack that was glued is a repaired crack, a chip that was filled is a
// touch-up, a break that was glued is still a break, glued and sound; each is
// in the list with its own importance. A factor on top would pay for the word
// and count the repair twice, and nobody could check it. What left no trace is
// gone, and its mark with it.

// AfterRepair is the kind that a flaw of the given kind usually is once it was
// repaired; false where it keeps its kind (a break) or disappears (a loose
// wire).
func AfterRepair(k record.Kind) (record.Kind, bool) {
	switch k {
	case "open crack", "closed crack", "belly crack", "back crack", "rib crack", "sound-post crack", "bass-bar crack":
		return "repaired crack", true
	case "chip", "flaking", "wear-through", "scratch", "ding", "dent", "stand burn", "varnish loss":
		return "touch-up", true
	}
	return "", false
}

// RepairedMark is the sentence for a mark that was repaired since the last
// examination, "" for any other.
func RepairedMark(m record.Mark) string {
	if m.Since != "repaired" {
		return ""
	}
	s := fmt.Sprintf("Mark %d was repaired since the last examination. It counts by what is there now", m.Number)
	if k, ok := AfterRepair(m.Kind); ok {
		return s + fmt.Sprintf(": if all that is left is a %s, choose that kind; if nothing shows, it is gone.", k)
	}
	if m.Kind == "repaired crack" || m.Kind == "touch-up" {
		return s + "."
	}
	return s + ", so see that its depth says so; if nothing shows, it is gone."
}

// Repaired says of each mark that was repaired since the last examination how
// it counts.
func Repaired(rec *record.Record) []string {
	var out []string
	for _, m := range rec.Marks {
		if s := RepairedMark(m); s != "" {
			out = append(out, s)
		}
	}
	return out
}
