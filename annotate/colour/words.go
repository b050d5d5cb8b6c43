package colour

import (
	"fmt"
	"math"
	"strings"

	"wornwood/capture/record"
)

// unreliable begins the warning that marks a fade as not to be relied on.
const unreliable = "unreliable: "

// Record is the result as an examination keeps it: the mark's fade and the
// reading that its grade follows from.
func (r *Result) Record() (record.Fade, *record.MarkReading) {
	f := record.Fade{Reference: r.Ref.patch(), Faded: r.Faded.patch(), DE2000: r.DE2000, DEab: r.DEab, Step: r.Step, Floor: r.Floor}
	if r.Grey != nil {
		p := r.Grey.patch()
		f.Grey = &p
	}
	q := r.DEab
	if !r.Reliable {
		why := unreliable + strings.Join(r.Reasons, ", ")
		f.Warnings = append(f.Warnings, why)
		q.How += "; " + why
	}
	f.Warnings = append(f.Warnings, r.Warnings...)
	return f, &record.MarkReading{Kind: record.FadeReading, Quantity: q}
}

func (r *Reading) patch() record.Patch { return record.Patch{Photo: r.Photo, Ring: r.Ring} }

// Words says the result in one line, as Words does of a record.
func (r *Result) Words() string {
	f, _ := r.Record()
	return Words(&f)
}

// Words says a fade in one line: "ΔE00 4.2 ± 0.3, grey-scale step 3–4", "no
// change shown (ΔE00 0.8 ± 0.2)", each with why it is unreliable, if it is. The
// figure after ± is a standard uncertainty, rounded up.
func Words(f *record.Fade) string {
	s := "ΔE00 " + figure(f.DE2000)
	if f.Step == "" {
		s = "no change shown (" + s + ")"
	} else {
		s += ", grey-scale step " + strings.ReplaceAll(f.Step, "-", "–")
	}
	if f.Grey == nil {
		s += ", no grey card"
	}
	if why := Unreliable(f); why != "" {
		s += "; " + unreliable + why
	}
	return s
}

// Details are the lines below Words: dE*ab, what a tone curve may do, and the
// warnings.
func Details(f *record.Fade) []string {
	out := []string{"ΔE*ab " + figure(f.DEab)}
	for _, w := range f.Warnings {
		if !strings.HasPrefix(w, unreliable) {
			out = append(out, w)
		}
	}
	return out
}

// Unreliable is why a fade is not to be relied on, "" when it is.
func Unreliable(f *record.Fade) string {
	for _, w := range f.Warnings {
		if why, ok := strings.CutPrefix(w, unreliable); ok {
			return why
		}
	}
	return ""
}

func figure(q record.Quantity) string {
	s := fmt.Sprintf("%.1f", q.Value)
	if q.Uncertainty > 0 {
		s += fmt.Sprintf(" ± %.1f", math.Ceil(10*q.Uncertainty-1e-9)/10)
	}
	return s
}
