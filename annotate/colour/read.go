// Package colour reads colours from photographs and says how far two patches
// are apart: for fade, from a patch as it was and a patch as it is.
//
// Start with Open, which opens an original; Read reads one patch of it;
// Compare sets two patches against each other, in the light of a grey card
// where one was photographed. Result has the words for a screen and a report,
// and Result.Record what is kept. Help says what the readings can and cannot do,
// with the figures that the tests of this package measure.
//
// All means are taken in linear light, from the original and by its colour
// profile, never from a preview. The package does not see what a camera did to
// its tones (Floor states how much that may be), whether both patches had the
// same light, or a sheen that lies evenly over a whole patch. A stated
// uncertainty is repeatability: it knows nothing of bias.
package colour

import (
	"fmt"
	"slices"

	"wornwood/annotate/shape"
)

// Reading is the colour of one patch of a photo.
type Reading struct {
	Photo string     // Image.ID
	Ring  []shape.Pt // as given: pixels of the upright photo
	Mean  Linear     // trimmed mean in linear light
	Lab   Lab        // of Mean, as the file has it: no white balance, no exposure

	// Repeatability is the standard error of the mean as dE*ab, from drawing
	// the patch anew from its own blocks.
	Repeatability float64

	// What became of the pixels looked at; Used are those in the mean. On large
	// patches only every Step-th pixel of every Step-th row is looked at.
	Pixels, Used, Clipped, Outliers, Glare, Step int

	Quarters float64 // largest CIEDE2000 between two quarters of the patch
	Trend    float64 // dE*ab that the colour drifts across the patch, apart from grain
	Grain    float64 // standard deviation of L* from place to place; Grained says what it means
	Sheen    bool    // a broad sheen is suspected
	Profile  string  // Image.Profile
	Linear   bool    // Image.Linear
	Remarks  []string

	means []Linear // drawn anew
}

// Shares of a patch's pixels from which on a sentence is due.
const (
	clippedShare    = 0.05
	clippedTooMuch  = 0.25
	glareShare      = 0.25
	outliersTooMany = 0.35
)

// Read reads the pixels of an image inside a ring, in pixels of the upright
// photo. It leaves out clipped pixels, outliers and mirrored lights and takes
// the trimmed mean of the rest in linear light. The error is one sentence: a
// ring that is none, outside the photo, or with fewer than MinPixels usable
// pixels.
func Read(m *Image, ring []shape.Pt) (Reading, error) {
	usable, seen, step, err := gather(m, ring)
	if err != nil {
		return Reading{}, err
	}
	r := Reading{Photo: m.ID, Ring: slices.Clone(ring), Pixels: seen, Clipped: seen - len(usable), Step: step,
		Profile: m.Profile, Linear: m.Linear, Remarks: slices.Clone(m.Remarks)}
	if len(usable) < MinPixels {
		return Reading{}, tooFew(len(usable), r.Pixels, r.Clipped)
	}
	rest := reject(usable)
	r.Outliers, r.Glare = rest.outliers, rest.glare
	if len(rest.kept) < MinPixels {
		return Reading{}, tooFew(len(rest.kept), r.Pixels, r.Clipped)
	}
	mean, used, pulled := trimmedMean(rest.kept)
	r.Mean, r.Lab, r.Used = mean, mean.Lab(), used
	r.means = blockMeans(pulled, step, mean)
	r.Repeatability = spreadOf(r.means, mean)
	e := evennessOf(usable)
	r.Quarters, r.Trend, r.Grain, r.Sheen = e.quarters, e.trend, e.grain, e.broadSheen()
	return r, nil
}

// Grained tells whether the patch shows the grain of the wood.
func (r *Reading) Grained() bool { return r.Grain >= grained }

// share is what part of the pixels looked at n are.
func (r *Reading) share(n int) float64 { return float64(n) / float64(max(1, r.Pixels)) }

// doubts are sentences about a patch that is called by the name, and reasons
// not to rely on it in a word or two.
func (r *Reading) doubts(name string) (sentences, reasons []string) {
	if r.Sheen {
		s := fmt.Sprintf("the %s changes across its area as under a broad sheen; turn the instrument or the light and photograph it again", name)
		if r.Grained() {
			s = fmt.Sprintf("the %s changes across its area: a broad sheen, or wood of more than one hue; look at it, and choose an even place", name)
		}
		sentences, reasons = append(sentences, s), append(reasons, "broad sheen")
	}
	if c := r.share(r.Clipped); c > clippedShare {
		sentences = append(sentences, fmt.Sprintf("%.0f %% of the %s is clipped, too bright or too dark for the file", 100*c, name))
		if c > clippedTooMuch {
			reasons = append(reasons, "clipped")
		}
	}
	if g := r.share(r.Glare); g > glareShare {
		sentences, reasons = append(sentences, fmt.Sprintf("a light is mirrored on %.0f %% of the %s", 100*g, name)), append(reasons, "glare")
	}
	if o := r.share(r.Outliers); o > outliersTooMany {
		sentences, reasons = append(sentences, fmt.Sprintf("the %s is of more than one colour: %.0f %% of it was left out", name, 100*o)), append(reasons, "more than one colour")
	}
	return sentences, reasons
}
