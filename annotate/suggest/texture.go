package suggest

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// What the picture itself tells about the ground. The limits lie between the
// surfaces of the figures. Line energy along the grain: lacquered and plain ones
// and maple up to 0.008, open grain and brushed metal 0.0115 to 0.014, a weathered
// table 0.019. Bar across it: open grain up to 0.007, the table 0.0095. Spot
// energy: open grain up to 0.059, the table 0.105.
const (
	grainFrom   = 0.0095 // line energy along the strongest direction, log measure
	checksUpTo  = 0.0085 // bar across the grain, over which checks drown
	dingsUpTo   = 0.085  // spot energy, over which dings drown
	anisotropic = 1.6    // strongest direction over the middle one, from which texture is called grain
)

// texture is the middle of what the blocks of an area show.
type texture struct {
	along  float64 // line energy in each block's strongest direction
	middle float64 // in its middle direction
	spots  float64 // spot energy
}

func textureOf(b *bars, spots float64) texture {
	var along, middle []float64
	for i := 0; i < len(b.level); i += directions {
		if !b.filled[i/directions] {
			continue
		}
		level := slices.Clone(b.level[i:][:directions])
		slices.Sort(level)
		along, middle = append(along, float64(level[directions-1])), append(middle, float64(level[directions/2]))
	}
	return texture{median(along), median(middle), spots}
}

// median of the values, which it sorts; 0 of none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}

func (t texture) grainy() bool { return t.along > grainFrom }

// bar is what a line across the grain has to clear.
func (t texture) bar() float64 { return max(t.middle, pooled*t.along) }

// faintestCheck is about the contrast from which most checks are found, fitted
// to the figures; 0 where checks are not suggested. The bounds grow with k.
func (t texture) faintestCheck(k float64) float64 {
	if t.bar() > checksUpTo {
		return 0
	}
	return k * (0.06 + 32*t.bar())
}

// faintestDing is the same for dings.
func (t texture) faintestDing(k float64) float64 {
	if t.spots > dingsUpTo {
		return 0
	}
	return k * (0.02 + 6.8*t.spots)
}

// note puts a result into sentences.
func (s *Search) note(r *Result, all int, held bool) string {
	var out []string
	say := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	per := func(v float64) int { return int(math.Round(100 * v)) }
	word := "texture"
	if s.texture.along > anisotropic*s.texture.middle {
		word = "grain"
	}
	switch {
	case r.FaintestCheck == 0:
		say("The %s is so strong here that checks are not suggested: look for them by eye.", word)
	case r.Grainy:
		say("The %s hides checks that differ from the finish by less than about %d per cent.", word, per(r.FaintestCheck))
	case r.FaintestCheck > 0.2:
		say("Checks that differ from the finish by less than about %d per cent are not pointed at.", per(r.FaintestCheck))
	}
	switch {
	case r.FaintestDing == 0:
		say("The surface is so uneven here that dings are not suggested.")
	case r.FaintestDing > 0.2:
		say("Dings that differ from the finish by less than about %d per cent are not pointed at.", per(r.FaintestDing))
	}
	if held {
		say("On such a surface more sensitivity brings only wrong suggestions, so the slider works up to its middle.")
	}
	if r.Shrunk > 1 {
		say("The area is large and was reduced %.1f times; a smaller one shows finer checks.", r.Shrunk)
	}
	if s.ground.burnt > 0.05 {
		say("%d per cent of the area is burnt-out highlight and could not be searched.", per(s.ground.burnt))
	}
	if r.Ruled > 0 {
		say("Left out as too smooth for a check: %d (strings, binding, edges and reflections look like that).", r.Ruled)
	}
	if all > MostGhosts {
		say("The best %d of %d suggestions are shown; draw a smaller area for the others.", MostGhosts, all)
	}
	return strings.Join(out, " ")
}
