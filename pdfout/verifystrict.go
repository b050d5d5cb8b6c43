package pdfout

import (
	"fmt"
	"io"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// strict adds what an archive asks for beyond an unaltered report, one line for
// each demand: what is there, or what is missing.
func (v *Verdict) strict(rep *sign.Report, r io.ReaderAt, size int64, lim pdf.Limits) {
	v.Strict = StrictMet
	demand := func(c sign.Code, met bool, holds, lacks string) {
		if met {
			v.say(c, Good, "Asked for: "+holds)
			return
		}
		v.Strict = StrictMissed
		v.say(c, Bad, "Asked for and missing: "+lacks)
	}
	s := v.examiner()
	demand(StrictSigner, s.Intact && (s.Known || s.Trusted), "the signer is known here or certified by an authority that is trusted here.",
		"the signer is neither known here nor certified by an authority that is trusted here. Compare the key with its holder and list it ('wornwood know'), or trust the authority ('wornwood trust').")
	demand(StrictTime, timed(v, rep), "an authority that is trusted here vouches for the time.",
		"no authority that is trusted here vouches for the time. The report needs a time-stamp ('wornwood extend'), and its authority has to be trusted here ('wornwood trust').")
	ours := v.Grade != nil && grade.ByHash(v.Grade.RubricHash) != nil
	lacks := "the grade could not be computed again by a rubric of the program's."
	if v.Grade != nil {
		lacks = fmt.Sprintf("the rubric %q is not one of the program's.", v.Grade.Rubric)
	}
	demand(StrictRubric, ours, "the rubric is one of the program's.", lacks)
	missing, err := pdf.Missing(r, size, lim)
	lacks = "the PDF lacks marks of the archival form: " + strings.Join(missing, ", ") + "."
	if err != nil {
		lacks = "the PDF cannot be read."
	}
	demand(StrictForm, err == nil && len(missing) == 0, "the PDF bears the marks of the archival form (after ISO 19005-3); whether it keeps to it in every detail is not checked.", lacks)
}

// examiner is the examiner's signature, an empty one when there is none.
func (v *Verdict) examiner() Signed {
	for _, s := range v.Signatures {
		if s.Field == sign.FieldExaminer {
			return s
		}
	}
	return Signed{}
}

// timed says whether an authority vouches for the examiner's signature, by a
// stamp on it or by one over the whole file.
func timed(v *Verdict, rep *sign.Report) bool {
	if s := v.examiner(); s.Intact && s.Proven != nil {
		return true
	}
	for _, s := range rep.Signatures {
		if s.Document && s.Intact && !s.TrustedTime.IsZero() {
			return true
		}
	}
	return false
}
