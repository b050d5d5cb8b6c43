package pdfout

import (
	"strings"

	"wornwood/pdfout/sign"
)

// Headline is the verdict in one sentence, for the top of a screen or an
// answer in a terminal.
func (v *Verdict) Headline() string {
	s := v.examiner()
	switch {
	case !v.OK && v.onlyStrict():
		return "Complete and unaltered, but it lacks what strict checking asks for."
	case !v.OK:
		return "Do not rely on this report: it is altered, incomplete, or does not hold together."
	case s.Known:
		return "Complete and unaltered, signed with a key known here as " + s.KnownAs + "."
	case s.Trusted:
		return "Complete and unaltered, signed by " + s.Signer + ", whom an authority that is trusted here has certified."
	}
	return "Complete and unaltered since it was signed; who holds the signing key is not known here."
}

// onlyStrict says that nothing speaks against the report but demands of strict
// checking.
func (v *Verdict) onlyStrict() bool {
	for _, l := range v.Lines {
		if l.Standing == Bad && !strings.HasPrefix(string(l.Code), "strict-") {
			return false
		}
	}
	return v.Strict == StrictMissed && v.Has(sign.Unaltered)
}
