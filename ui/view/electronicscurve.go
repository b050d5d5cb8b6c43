package view

import (
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/circuit"
	"wornwood/capture/record"
)

// Response is the frequency response of the passive part of the electronics:
// which way through it, and how its controls stand.
type Response struct {
	s            *annotate.Session
	Chain        int     // of Names
	Volume, Tone float64 // 0 to 10

	seen   *record.Record // what chains was made from
	chains []circuit.Chain
	notes  []string
}

// Settings are the places of the controls that a screen offers.
var Settings = []float64{10, 7, 5, 2, 0}

// ResponseCurve is one line of the curve.
type ResponseCurve struct {
	Name   string
	Hz, DB []float64
}

// curvePoints are enough for a smooth line on the widest screen.
const curvePoints = 240

// NewResponse makes the model with all controls at 10.
func NewResponse(s *annotate.Session) *Response { return &Response{s: s, Volume: 10, Tone: 10} }

func (v *Response) follow() {
	if rec := v.s.Scene().Record; rec != v.seen {
		v.seen = rec
		v.chains, v.notes = circuit.FromRecord(rec)
	}
	if v.Chain >= len(v.chains) {
		v.Chain = 0
	}
}

// Names are the ways through the electronics: each pickup, and neighbours
// together.
func (v *Response) Names() []string {
	v.follow()
	var out []string
	for _, c := range v.chains {
		out = append(out, Capital(c.Name))
	}
	return out
}

// Curves are the lines to draw: the settings chosen, and all at 10 beside them
// where they are others.
func (v *Response) Curves() []ResponseCurve {
	v.follow()
	if len(v.chains) == 0 {
		return nil
	}
	hz := circuit.Frequencies(curvePoints)
	c := v.chains[v.Chain]
	out := []ResponseCurve{{settingWords(v.Volume, v.Tone), hz, c.At(v.Volume, v.Tone).Response(hz)}}
	if v.Volume != 10 || v.Tone != 10 {
		out = append(out, ResponseCurve{settingWords(10, 10), hz, c.At(10, 10).Response(hz)})
	}
	return out
}

func settingWords(volume, tone float64) string {
	return fmt.Sprintf("volume %.0f, tone %.0f", volume, tone)
}

// Words say the chosen curve in a sentence.
func (v *Response) Words() string {
	v.follow()
	if len(v.chains) == 0 {
		return ""
	}
	return Capital(v.chains[v.Chain].At(v.Volume, v.Tone).Words()) + ", from the level of the lowest notes."
}

// Notes name what was assumed for the chosen curve; where there is none, why.
func (v *Response) Notes() []string {
	v.follow()
	if len(v.chains) == 0 {
		return v.notes
	}
	return v.chains[v.Chain].Assumed
}
