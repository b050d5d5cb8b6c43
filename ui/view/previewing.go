package view

import (
	"context"
	"fmt"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/annotate/units"
	"wornwood/pdfout"
)

// PreviewJob lays the report out for the screen; it may run beside the window.
type PreviewJob struct {
	in       pdfout.Input
	pictures *pdfout.Pictures
	laid     *pdfout.Preview
}

// Preview makes the job for the examination as it is now. An issued one is shown
// with its number, time and key; a draft as it would look, unsigned. It is nil
// where there is no grade and so no report.
func (v *Report) Preview(from pdfout.Source, paper string, now time.Time, pictures *pdfout.Pictures) *PreviewJob {
	return newPreviewJob(v.s.Scene(), from, paper, now, pictures)
}

func newPreviewJob(sc *annotate.Scene, from pdfout.Source, paper string, now time.Time, pictures *pdfout.Pictures) *PreviewJob {
	if sc.Grade == nil {
		return nil
	}
	in := pdfout.Input{Record: sc.Record, Grade: sc.Grade, Drawing: sc.Drawing, Rubric: sc.Rubric, Photos: from, Paper: paper, Created: now}
	if k, ok := from.(UnitKeeper); ok { // a bench
		in.Inches, in.Language = k.Settings().Units == string(units.Inch), k.Settings().Language
	}
	if k, ok := from.(dating.TableKeeper); ok {
		in.Tables = dating.Load(k)
	}
	if is := sc.Issued; is != nil {
		ex := sc.Record.Examination
		in.Language = is.Language // as it was issued, whatever the bench says now
		in.Created, in.Signer = is.At, pdfout.Signer{Name: join(", ", ex.Examiner, ex.Shop), Key: is.Key}
	}
	return &PreviewJob{in: in, pictures: pictures}
}

// Run lays it out.
func (j *PreviewJob) Run(ctx context.Context) (err error) {
	j.laid, err = pdfout.NewPreview(ctx, j.in, j.pictures)
	return err
}

// Pages is what was laid out, nil before Run has ended well.
func (j *PreviewJob) Pages() *pdfout.Preview { return j.laid }

// PreviewCaption says what is shown.
func (v *Report) PreviewCaption(pages int) string {
	t := count(pages, "page", "pages")
	if is := v.Issued(); is != nil {
		return fmt.Sprintf("%s, as issued", t)
	}
	return t + ", as they will look; number, time and signature come when it is issued"
}
