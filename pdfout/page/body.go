package page

// body lays out everything behind page 1.
func (l *layout) body() {
	steps := []func(){
		l.outlines, l.marksTable, l.closeUps, l.ledger, l.parts, l.extras, l.electronics, l.playing, l.intonation, l.dating, l.claims,
		func() {
			if l.identityOverflows() {
				l.fullIdentity()
			}
		},
		l.inWords, l.notExaminedSection, l.photos, l.photoList, l.documents, l.verifying, l.scaleWordsSection, l.cautions, l.signatures,
	}
	for _, s := range steps {
		if l.err != nil || l.d.Err() != nil {
			return
		}
		s()
	}
}
