package pdf

import (
	"testing"

	"wornwood/pdfout/pdf/pdfxtest"
)

func TestOutsideTools(t *testing.T) {
	path := pdfxtest.Write(t, "report.pdf", rewriteSample(t, sampleOptions()))
	pdfxtest.Check(t, path)
	opt := sampleOptions()
	opt.Probe = true
	probe := pdfxtest.Write(t, "probe.pdf", rewriteSample(t, opt))
	pdfxtest.Check(t, probe)
	pdfxtest.Preflight(t, probe)
}
