package pdfout

import (
	"io"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// SignedVerdict is a verdict of what the signatures of a file prove, and of
// nothing else: what package receive begins the verdict on a receipt with. The
// line that nobody has countersigned is left out; a receipt has no field for it.
func SignedVerdict(rep *sign.Report, size int64) *Verdict {
	v := &Verdict{Size: size, Pages: rep.Pages, Lines: []Line{}, Signatures: []Signed{}}
	v.signatures(rep)
	kept := v.Lines[:0]
	for _, l := range v.Lines {
		if l.Code != NotCountersigned {
			kept = append(kept, l)
		}
	}
	v.Lines = kept
	v.OK = rep.OK && !v.bad()
	return v
}

// PageTexts are the strings that each page shows, in the order in which they
// are drawn. It reads pages of this program only.
func PageTexts(r io.ReaderAt, size int64, lim pdf.Limits) ([][]string, error) {
	return pageTexts(r, size, lim)
}
