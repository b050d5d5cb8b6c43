// Package pitch hears a recording of an instrument: the notes in it, the pitch
// of each in Hz with its uncertainty, how far a stopped string is from the
// octave of the open one, and the hum of the mains beside the note.
//
// Start with Listen for the notes, Assign for a proposal which string each is,
// Octave for the intonation of a string, and HumOf. Pitches are cents against
// twelve-tone equal temperament. What it does not promise: chords, more than
// one string at a time, or absolute pitch to better than the clock of whatever
// recorded it, usually 0.1 cent; an intonation compares two notes of one
// recording, from which the clock drops out.
package pitch

import (
	"context"
	"math"
	"slices"

	"wornwood/capture/sound"
)

// Heard is one note of a recording.
type Heard struct {
	Start, End  float64 // seconds: its onset, and where it is gone or the next begins
	From, To    float64 // seconds: the steady part that was read
	Hz          float64 // of the first partial, heard or not
	Uncertainty float64 // Hz, standard, from the spread over the steady part
	Stiffness   float64 // B of the partials n F sqrt(1 + B n²)
	Level       float64 // dB, RMS of its loudest steady second below full scale, which is that of a full sine
	Partials    []HeardPartial
	Doubt       string // why it should not be trusted, "" where it may
}

// HeardPartial is one partial of a note as it was found.
type HeardPartial struct {
	N     int
	Hz    float64
	Level float64 // dB full scale, RMS
}

// Partial is where a partial of the note lies, heard or not.
func (h *Heard) Partial(n int) float64 {
	k := float64(n)
	return k * h.Hz * math.Sqrt((1+h.Stiffness*k*k)/(1+h.Stiffness))
}

// Cents is how far the note lies above a frequency, with its standard
// uncertainty.
func (h *Heard) Cents(of float64) (cents, uncertainty float64) {
	return Cents(h.Hz, of), centsOf(h.Uncertainty / h.Hz)
}

// centsOf turns a small relative difference into cents.
func centsOf(share float64) float64 { return 1200 / math.Ln2 * share }

// analysisRate is the least rate that is listened at: half of it holds the
// partials that count.
const analysisRate = 11000

// Listen finds the notes of a recording and reads the pitch of each. A
// recording in which nothing sounds has no notes and no error.
func Listen(ctx context.Context, clip *sound.Clip) ([]Heard, error) {
	c := clip.Reduced(analysisRate)
	var out []Heard
	for _, sp := range segments(c.Samples, c.Rate) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if h, ok := hear(c, sp); ok {
			out = append(out, h)
		}
	}
	least := loudestOf(out) - faint
	return slices.DeleteFunc(out, func(h Heard) bool { return h.Level < least }), nil
}

// faint is how far below the loudest note another is no note any more: what is
// left when a string was damped, the hum for one. A judgement.
const faint = 30.0 // dB

// loudestOf is the level of the loudest note.
func loudestOf(hs []Heard) float64 {
	top := math.Inf(-1)
	for _, h := range hs {
		top = max(top, h.Level)
	}
	return top
}

// The steady part of a note begins when the attack is over and lasts two
// seconds at most: a string settles within some tenths of a second, and what is
// left later is weak.
const (
	attackShare   = 0.15
	shortAttack   = 0.05 // s
	longAttack    = 0.2
	longestSteady = 2.0
	leastSteady   = 0.2 // s; below it a low note has too few periods
)

// hear reads one stretch; false where no string is heard in it.
func hear(c *sound.Clip, sp span) (Heard, bool) {
	rate := float64(c.Rate)
	h := Heard{Start: float64(sp.from) / rate, End: float64(sp.to) / rate}
	length := h.End - h.Start
	h.From = h.Start + max(shortAttack, min(longAttack, attackShare*length))
	h.To = min(h.End-0.02, h.From+longestSteady)
	if h.To-h.From < leastSteady {
		return h, false
	}
	part := c.Samples[int(h.From*rate):int(h.To*rate)]
	s := spectrumOf(part, c.Rate)
	t := find(s, lowest, highest)
	if t == nil {
		return h, false
	}
	h.Hz, h.Stiffness = t.first(), t.b
	for _, p := range t.partials {
		h.Partials = append(h.Partials, HeardPartial{p.n, p.hz, db(p.amp / math.Sqrt2)})
	}
	h.Level = db(loudest(c.Samples[int(h.From*rate):int(h.End*rate)], c.Rate))
	h.Uncertainty, h.Doubt = steadiness(part, c.Rate, t)
	switch {
	case h.Doubt != "":
	case t.paired(s):
		h.Doubt = "two strings sound nearly alike; damp one of the course"
	case t.share(s) < leastShare:
		h.Doubt = "more than one string sounds, or it is no string"
	}
	return h, true
}

// leastShare is the share of a note's power that must lie in its partials. A
// string alone has 0.99, one over others that sound along 20 dB below still
// 0.9, one of two strings of a course a half, noise less than a third.
const leastShare = 0.75

// paired says whether a second string sounds nearly alike: beside a third of the
// partials, and three at least, stands another tone, not 15 dB weaker and the
// same number of cents away.
func (t *stringTone) paired(s *spectrum) bool {
	ps := s.peaks(20, topPartial, 0)
	var off []float64
	strong := 0
	for _, p := range t.partials {
		if p.amp < 0.01*t.loud {
			continue
		}
		strong++
		for _, q := range ps {
			if c := Cents(q.hz, p.hz); q.hz != p.hz && math.Abs(c) < 60 && q.amp > 0.18*p.amp {
				off = append(off, c)
			}
		}
	}
	slices.Sort(off)
	least := max(3, strong/3)
	for i := least - 1; i < len(off); i++ {
		if off[i]-off[i-least+1] < 2 {
			return true
		}
	}
	return false
}

// share is the part of the power between 20 Hz and the highest partial that
// counts that lies within reach of the string's partials.
func (t *stringTone) share(s *spectrum) float64 {
	own, all := 0.0, 0.0
	next := 0
	for i := max(1, int(20/s.step)); i < min(len(s.mag), int(topPartial/s.step)); i++ {
		hz, p := float64(i)*s.step, s.mag[i]*s.mag[i]
		all += p
		for next < len(t.partials) && t.partials[next].hz+3*s.width < hz {
			next++
		}
		if next < len(t.partials) && hz > t.partials[next].hz-3*s.width {
			own += p
		}
	}
	return own / max(all, 1e-30)
}

// frames is how many overlapping stretches, each half as long as the steady
// part, the pitch is read in again.
const frames = 5

// leastUncertain is the least share that is stated: 0.05 cent, about what the
// way of reading itself is worth on a clean tone.
const leastUncertain = 2.9e-5

// steadiness is the standard uncertainty of the pitch in Hz, from its spread
// over the frames, and a doubt where it wanders.
func steadiness(x []float32, rate int, t *stringTone) (float64, string) {
	n := len(x) / 2
	var fs []float64
	for i := range frames {
		a := i * (len(x) - n) / (frames - 1)
		f := again(spectrumOf(x[a:a+n], rate), t)
		if f > 0 {
			fs = append(fs, f)
		}
	}
	if len(fs) < 3 {
		return t.first() * 5.8e-3, "it is too weak or too short to be read twice"
	}
	mean, sum := 0.0, 0.0
	for _, f := range fs {
		mean += f / float64(len(fs))
	}
	for _, f := range fs {
		sum += (f - mean) * (f - mean)
	}
	// The frames overlap; a half-length reading strays 2^1.5 times as much from
	// noise as the whole does, but a wandering pitch strays alike in both. The
	// plain spread is kept, which is on the safe side of both.
	sd := math.Sqrt(sum / float64(len(fs)-1))
	u := math.Hypot(sd, leastUncertain*t.first())
	if c := centsOf(u / t.first()); c > wanders {
		return u, "its pitch wanders"
	}
	return u, ""
}

// wanders is the spread in cents from which a note is doubted.
const wanders = 3.0

// again reads the pitch of a known string in another stretch.
func again(s *spectrum, t *stringTone) float64 {
	ps := s.peaks(20, topPartial, 0)
	u := &stringTone{f: t.f, b: t.b}
	for _, p := range ps {
		u.loud = max(u.loud, p.amp)
	}
	for _, q := range t.partials {
		at := t.at(q.n)
		if p, ok := nearest(ps, at, min(0.22*t.f, max(1.6*s.width, 0.006*at))); ok {
			u.partials = append(u.partials, partial{q.n, p})
		}
	}
	if len(u.partials) == 0 {
		return 0
	}
	u.fit(s)
	return u.first()
}

// db is a ratio of amplitudes in decibels; nothing is far below everything.
func db(ratio float64) float64 { return 20 * math.Log10(math.Max(ratio, 1e-12)) }

// loudest is the RMS of the loudest second, or of the whole where there is
// less.
func loudest(x []float32, rate int) float64 {
	n := min(len(x), rate)
	if n == 0 {
		return 0
	}
	sum, best := 0.0, 0.0
	for i, v := range x {
		sum += float64(v) * float64(v)
		if i >= n {
			sum -= float64(x[i-n]) * float64(x[i-n])
		}
		if i >= n-1 {
			best = max(best, sum)
		}
	}
	return math.Sqrt(max(0, best) / float64(n))
}
