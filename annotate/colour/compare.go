package colour

import (
	"errors"
	"fmt"
	"math"

	"wornwood/capture/record"
)

// Options of Compare.
type Options struct {
	// GreyReflectance is what the grey card reflects, 0..1; 0 takes
	// GreyReflectance. Colour differences go about with its cube root: a card
	// that is a tenth lighter than said makes them 3 per cent too small.
	GreyReflectance float64
	// Flat says that the files were developed from raw without a tone curve,
	// although their numbers are not linear. No floor is stated then.
	Flat bool
}

// ToneShare is what part of a CIEDE2000 a camera's tone curve may hide or add:
// 95 of 100 differences read through nine curves, soft shoulders and contrast
// as of cameras, at three exposures and with a grey card, were off by less.
// One grey patch cannot mend a curve.
const ToneShare = 0.30

// Result is what two patches say.
type Result struct {
	Ref, Faded Reading
	Grey       *Reading // nil without a grey card

	RefLab, FadedLab Lab             // after balance and exposure by the grey card
	DE2000, DEab     record.Quantity // with standard uncertainties; see Compare
	Step             string          // of the grey scale: "4", "3-4"; "" when no change is shown
	NoChange         bool            // DEab is under Limit(Repeatability)
	Repeatability    float64         // dE*ab by which the difference moves, in any direction of colour, when it is read again
	Floor            float64         // CIEDE2000 that a tone curve may hide or add; 0 for files without one
	Reliable         bool
	Reasons          []string // why it is not reliable, a word or two each
	Warnings         []string // a sentence each
}

var errReadings = errors.New("a fade needs two readings: a patch as it was and a patch as it is")

// Compare sets a faded patch against a reference patch. With a grey patch both
// are first put into white light (a Bradford adaptation) and the exposure in
// which the card reflects what it should. The stated uncertainties are the
// spread of the differences of patches drawn anew; without a grey patch the pair
// is taken as it is and they are widened by what half a stop and 15 per cent of
// white balance do to this very pair (loose).
//
// The error is one sentence: readings that Read did not make, or a grey patch
// that is too dark.
func Compare(ref, faded Reading, grey *Reading, o Options) (Result, error) {
	if len(ref.means) == 0 || len(faded.means) == 0 || grey != nil && len(grey.means) == 0 {
		return Result{}, errReadings
	}
	if o.GreyReflectance <= 0 {
		o.GreyReflectance = GreyReflectance
	}
	r := Result{Ref: ref, Faded: faded, Grey: grey}
	p, q, err := r.balanced(o)
	if err != nil {
		return Result{}, err
	}
	r.RefLab, r.FadedLab = p.Lab(), q.Lab()
	u, err := r.spread(o)
	if err != nil {
		return Result{}, err
	}
	how := "two patches, grey card"
	if grey == nil {
		how = "two patches, no grey card"
		lab := loose(ref.Mean, faded.Mean, DEab)
		u = spread{math.Hypot(u.de2000, loose(ref.Mean, faded.Mean, DE2000)), math.Hypot(u.deAB, lab), math.Hypot(u.vector, lab)}
	}
	r.DE2000 = record.Quantity{Value: DE2000(r.RefLab, r.FadedLab), Uncertainty: u.de2000, How: how}
	r.DEab = record.Quantity{Value: DEab(r.RefLab, r.FadedLab), Uncertainty: u.deAB, How: how}
	r.Repeatability = u.vector
	r.NoChange = r.DEab.Value < Limit(u.vector)
	if !r.NoChange {
		r.Step = GreyStep(r.DEab.Value)
	}
	r.judge(o)
	return r, nil
}

// balanced are the two patches' means in the light of the grey card.
func (r *Result) balanced(o Options) (p, q Linear, err error) {
	if r.Grey == nil {
		return r.Ref.Mean, r.Faded.Mean, nil
	}
	b, err := balanceOn(r.Grey.Mean, o.GreyReflectance)
	return b.of(r.Ref.Mean), b.of(r.Faded.Mean), err
}

// spread is how much differences change when patches are drawn anew, each the
// root mean square about the difference of the patches as they are: the two
// figures, and the difference as a vector in CIELAB, which counts for whether
// there is a difference at all.
type spread struct{ de2000, deAB, vector float64 }

// spread draws anew. The same draw of two patches takes the same of their
// blocks, so each patch is taken at another place of its draws.
func (r *Result) spread(o Options) (u spread, err error) {
	d00, dab := DE2000(r.RefLab, r.FadedLab), DEab(r.RefLab, r.FadedLab)
	off := r.RefLab.minus(r.FadedLab)
	for i := range resamples {
		s := Result{Ref: Reading{Mean: r.Ref.means[i]}, Faded: Reading{Mean: r.Faded.means[(i+67)%resamples]}}
		if r.Grey != nil {
			s.Grey = &Reading{Mean: r.Grey.means[(i+131)%resamples]}
		}
		p, q, err := s.balanced(o)
		if err != nil {
			return spread{}, err
		}
		a, b, v := DE2000(p.Lab(), q.Lab())-d00, DEab(p.Lab(), q.Lab())-dab, DEab(p.Lab().minus(q.Lab()), off)
		u.de2000, u.deAB, u.vector = u.de2000+a*a/resamples, u.deAB+b*b/resamples, u.vector+v*v/resamples
	}
	return spread{math.Sqrt(u.de2000), math.Sqrt(u.deAB), math.Sqrt(u.vector)}, nil
}

// judge gathers what is to be said about the comparison.
func (r *Result) judge(o Options) {
	say := func(s string) {
		for _, have := range r.Warnings {
			if have == s {
				return
			}
		}
		r.Warnings = append(r.Warnings, s)
	}
	patches := []struct {
		name string
		r    *Reading
	}{{"reference patch", &r.Ref}, {"faded patch", &r.Faded}, {"grey patch", r.Grey}}
	for _, p := range patches {
		if p.r == nil {
			continue
		}
		sentences, reasons := p.r.doubts(p.name)
		for _, s := range append(sentences, p.r.Remarks...) {
			say(s)
		}
		for _, w := range reasons {
			r.doubt(w)
		}
	}
	r.judgeLight(say)
	if !o.Flat && !(r.Ref.Linear && r.Faded.Linear) {
		r.Floor = ToneShare * r.DE2000.Value
		if !r.NoChange {
			say(fmt.Sprintf("the camera's tone curve may hide or add up to ΔE00 %.1f; a file developed from raw without one has no such limit", r.Floor))
		}
	}
	r.Reliable = len(r.Reasons) == 0
}

// judgeLight is about photos and the grey card.
func (r *Result) judgeLight(say func(string)) {
	if r.Ref.Photo != r.Faded.Photo {
		say("the two patches are in different photos, and one grey card cannot put both into the same light; take both from one photo")
		r.doubt("two photos")
	}
	if r.Grey == nil {
		say("without a grey card exposure and white balance are the camera's; the uncertainty allows for that")
		return
	}
	if r.Grey.Photo != r.Ref.Photo && r.Grey.Photo != r.Faded.Photo {
		say("the grey patch is in another photo; it counts only if light, exposure and white balance were the same")
	}
	if c := r.Grey.Lab.Chroma(); c > 20 {
		say(fmt.Sprintf("the grey patch has a strong colour (C* %.0f): is it the grey card?", c))
		r.doubt("grey patch is coloured")
	}
	if l := r.Grey.Lab.L; l < 25 || l > 80 {
		say(fmt.Sprintf("the grey patch has L* %.0f where a grey card has about 50: is it the grey card, and is the photo well exposed?", l))
		r.doubt("grey patch too dark or too bright")
	}
}

// doubt adds a reason once.
func (r *Result) doubt(reason string) {
	for _, have := range r.Reasons {
		if have == reason {
			return
		}
	}
	r.Reasons = append(r.Reasons, reason)
}
