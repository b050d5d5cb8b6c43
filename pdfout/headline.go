package pdfout

// Headline is the verdict in one sentence, for the top of a screen or an
// answer in a terminal.
func (v *Verdict) Headline() string {
	switch {
	case !v.OK:
		return "Do not rely on this report: it is altered, incomplete, or does not hold together."
	case len(v.Signatures) > 0 && v.Signatures[0].Known:
		return "Complete and unaltered, signed with a key known here as " + v.Signatures[0].KnownAs + "."
	}
	return "Complete and unaltered since it was signed; who holds the signing key is not known here."
}
