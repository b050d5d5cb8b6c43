package pitch

import (
	"context"
	"fmt"
	"math"

	"wornwood/capture/sound"
)

// Hum is the hum of the mains in a recording, beside a note of it.
type Hum struct {
	Mains    float64 // Hz as found, near 50 or 60
	Nominal  int     // 50 or 60
	From, To float64 // seconds: the stretch it was read in
	Where    string  // what that stretch is, in words
	Note     float64 // dB full scale: RMS of the note in its loudest steady second
	Lines    []HumLine
	All      float64 // dB that all heard lines together are below the note; +Inf where none is heard
}

// HumLine is the mains frequency or a harmonic of it.
type HumLine struct {
	Harmonic int
	Hz       float64 // nominal
	Below    float64 // dB that its RMS is below that of the note
	State    HumState
	Why      string // of Mixed: which partial lies beside it
}

// HumState says what a line is worth.
type HumState int

// The states of a line: heard; not above the noise, so that Below is at least
// that; or not to be told apart from what a string sounds.
const (
	HumHeard HumState = iota
	HumBuried
	HumMixed
)

// HumOptions say what is looked for.
type HumOptions struct {
	Mains   int         // 50 or 60; 0 takes the stronger
	Silence *sound.Clip // a recording of its own with the controls up and no note; nil looks within the recording
}

// The hum is looked for up to 1 kHz, where the lines of a rectifier's buzz have
// mostly died away. The mains keeps within 1 % of its nominal frequency.
const (
	humTop     = 1000.0
	humStray   = 0.01
	leastQuiet = 0.4 // s
	mostQuiet  = 8.0 // s
	heardAbove = 3.0 // a line's amplitude over the noise beside it: noise alone gets there once in eight thousand
)

// HumOf reads the hum beside the loudest note of a recording. It returns nil
// where there is no note to compare with.
func HumOf(ctx context.Context, clip *sound.Clip, notes []Heard, o HumOptions) (*Hum, error) {
	if o.Mains != 0 && o.Mains != 50 && o.Mains != 60 {
		return nil, fmt.Errorf("read hum: the mains has 50 or 60 Hz, not %d", o.Mains)
	}
	if len(notes) == 0 {
		return nil, nil
	}
	loud := notes[0]
	for _, n := range notes {
		if n.Level > loud.Level {
			loud = n
		}
	}
	q := quietStretch(clip, notes, loud)
	if o.Silence != nil {
		q = stretch{clip: o.Silence, to: min(o.Silence.Seconds(), mostQuiet), where: "in a recording of its own without a note"}
		if q.to < leastQuiet {
			return nil, fmt.Errorf("read hum: the recording without a note lasts %.1f s; give one of a second or more", q.to)
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c := q.clip.Reduced(4000)
	x := c.Samples[int(q.from*float64(c.Rate)):min(len(c.Samples), int(q.to*float64(c.Rate)))]
	best := q.read(x, c.Rate, 50, loud.Level)
	if other := q.read(x, c.Rate, 60, loud.Level); o.Mains == 60 || (o.Mains == 0 && other.power() > best.power()) {
		best = other
	}
	best.total()
	return best, nil
}

// stretch is where the hum is read, with the notes that may ring there.
type stretch struct {
	clip     *sound.Clip
	from, to float64
	where    string
	ringing  []Heard // notes whose partials may still sound
	under    bool    // a note sounds all through it
}

// quietStretch is the best stretch of the recording itself: before the first
// note, else the longest between or after notes, else under the loudest note.
func quietStretch(clip *sound.Clip, notes []Heard, loud Heard) stretch {
	const margin = 0.05
	best := stretch{clip: clip, from: margin, to: notes[0].Start - margin, where: "before the first note"}
	if best.to-best.from < 2*leastQuiet {
		for i, n := range notes {
			s := stretch{clip: clip, from: n.End + margin, to: clip.Seconds() - margin, where: "after the last note", ringing: notes[:i+1]}
			if i+1 < len(notes) {
				s.to, s.where = notes[i+1].Start-margin, "between two notes"
			}
			if s.to-s.from > best.to-best.from {
				best = s
			}
		}
	}
	if best.to-best.from < leastQuiet {
		return stretch{clip: clip, from: loud.From, to: loud.End, where: "under the note", ringing: []Heard{loud}, under: true}
	}
	best.to = min(best.to, best.from+mostQuiet)
	return best
}

// read measures every line of a mains frequency.
func (q stretch) read(x []float32, rate, nominal int, note float64) *Hum {
	s := spectrumOf(x, rate)
	h := &Hum{Nominal: nominal, From: q.from, To: q.to, Where: q.where, Note: note}
	h.Mains = q.mainsIn(s, float64(nominal))
	for k := 1; float64(k*nominal) <= humTop; k++ {
		at := float64(k) * h.Mains
		amp, noise := s.height(at), s.beside(at)
		l := HumLine{Harmonic: k, Hz: float64(k * nominal), Below: note - db(amp/math.Sqrt2)}
		if amp < heardAbove*noise {
			l.State = HumBuried
			l.Below = note - db(heardAbove*noise/math.Sqrt2)
		}
		if why := q.mixed(x, rate, at, s.width); why != "" {
			l.State, l.Why = HumMixed, why
		}
		h.Lines = append(h.Lines, l)
	}
	return h
}

// mainsIn is the mains frequency in a spectrum: that of the strongest of its
// lines, divided by its number, else the nominal one. Lines beside which a note
// sounds do not count.
func (q stretch) mainsIn(s *spectrum, nominal float64) float64 {
	best, at := 0.0, nominal
	for k := 1; float64(k)*nominal <= humTop; k++ {
		if _, _, near := q.partialNear(float64(k)*nominal, float64(k)*nominal*humStray+5*s.width); near {
			continue
		}
		a, b := int(float64(k)*nominal*(1-humStray)/s.step), int(float64(k)*nominal*(1+humStray)/s.step)+1
		top := a
		for i := a; i <= min(b, len(s.mag)-2); i++ {
			if s.mag[i] > s.mag[top] {
				top = i
			}
		}
		hz, amp := s.top(top)
		if f := hz / float64(k); amp > best && math.Abs(f/nominal-1) < humStray && amp > 2*heardAbove*s.beside(hz) {
			best, at = amp, f
		}
	}
	return at
}

// height is the amplitude of a tone of a known frequency: that of the nearest
// bins, put onto the top of the window's own peak.
func (s *spectrum) height(hz float64) float64 {
	i := int(math.Round(hz / s.step))
	if i < 1 || i > len(s.mag)-2 {
		return 0
	}
	d := (float64(i)*s.step - hz) / s.width
	return s.mag[i] * math.Exp(d*d/2)
}

// beside is the mean amplitude of the noise to both sides of a frequency, out
// of reach of a tone that stands there.
func (s *spectrum) beside(hz float64) float64 {
	sum, n := 0.0, 0
	near, far := 5*s.width, min(20.0, max(12, 10*s.width))
	for i := int((hz - far) / s.step); i <= int((hz+far)/s.step); i++ {
		if d := math.Abs(float64(i)*s.step - hz); i > 0 && i < len(s.mag) && d > near {
			sum, n = sum+s.mag[i]*s.mag[i], n+1
		}
	}
	if n == 0 {
		return 1e-9
	}
	return math.Sqrt(sum/float64(n)) + 1e-12
}

// partialNear finds a partial of a note that sounds, or may still ring, within
// a tolerance of a frequency: its number and the note's pitch.
func (q stretch) partialNear(hz, tol float64) (n int, of Heard, ok bool) {
	for _, h := range q.ringing {
		for k := 1; k <= mostPartials && h.Partial(k) < hz+tol; k++ {
			if math.Abs(h.Partial(k)-hz) <= tol {
				return k, h, true
			}
		}
	}
	return 0, Heard{}, false
}

// mixed says which partial of a note cannot be told apart from a line: one that
// lies within reach of it in a stretch in which the note sounds or may still
// ring. Hum keeps its level; what rings loses some, and so a line that is
// steady is counted.
func (q stretch) mixed(x []float32, rate int, at, width float64) string {
	k, n, near := q.partialNear(at, 5*width)
	if !near || (!q.under && steadyLine(x, rate, at)) {
		return ""
	}
	return fmt.Sprintf("partial %d of the note at %.1f Hz lies beside it, at %.1f Hz", k, n.Hz, n.Partial(k))
}

// steadyLine compares a line's level in the two halves of a stretch.
func steadyLine(x []float32, rate int, at float64) bool {
	n := len(x) / 2
	a, b := spectrumOf(x[:n], rate).height(at), spectrumOf(x[n:], rate).height(at)
	return math.Abs(db(a)-db(b)) < 0.4
}

// power is that of all heard lines that tell 50 and 60 Hz apart; they share 300,
// 600 and 900 Hz.
func (h *Hum) power() float64 {
	sum := 0.0
	for _, l := range h.Lines {
		if l.State == HumHeard && int(l.Hz)%300 != 0 {
			sum += math.Pow(10, -l.Below/10)
		}
	}
	return sum
}

// total adds up the heard lines.
func (h *Hum) total() {
	sum := 0.0
	for _, l := range h.Lines {
		if l.State == HumHeard {
			sum += math.Pow(10, -l.Below/10)
		}
	}
	h.All = -10 * math.Log10(sum)
}

// Heard lists the lines that are heard.
func (h *Hum) Heard() []HumLine {
	var out []HumLine
	for _, l := range h.Lines {
		if l.State == HumHeard {
			out = append(out, l)
		}
	}
	return out
}

// Words is the line's level as it is read.
func (l HumLine) Words() string {
	switch l.State {
	case HumBuried:
		return fmt.Sprintf("not heard; more than %.0f dB below the note", math.Floor(l.Below))
	case HumMixed:
		return "cannot be told apart: " + l.Why
	}
	return fmt.Sprintf("%.1f dB below the note", l.Below)
}
