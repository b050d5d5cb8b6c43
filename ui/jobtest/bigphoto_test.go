package jobtest

import (
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// TestBigPhotoJob carries a job out on whole photos as cameras and phones wrote
// them, one of 24 megapixels among them.
func TestBigPhotoJob(t *testing.T) {
	dir := npmPhotos(t)
	big := largest(t, dir)
	j := begin(t)
	res := j.take(dir)
	if len(res.Added) != 10 || len(res.Refused)+len(res.Known) > 0 {
		t.Fatalf("%d photos taken in, ten are there; refused: %v", len(res.Added), res.Refused)
	}
	p := j.ex.Record().PhotoByID(sumOf(t, big))
	if p == nil || p.Width != 6000 || p.Height != 4000 || p.Taken == "" || p.Camera == "" || p.Agreement != "two readers agree" {
		t.Fatalf("the photo of 24 megapixels is entered as %+v", p)
	}
	j.checkThumbnail(p.ID)
	j.record()
	j.checkRecord(10)
	text := j.checkReport(j.issue())
	if !strings.Contains(text, "6000 × 4000 pixels") {
		t.Error("the report does not print the size of the photo of 24 megapixels")
	}
	j.checkOriginals()
	for _, p := range j.ex.Record().Photos {
		if max(p.Width, p.Height) > 1 { // one file is a picture of a single pixel
			j.checkPreviews(p, 5)
		}
	}
	if n := checkCameras(t, j.ex.Record(), filesIn(t, dir)); n < 7 {
		t.Errorf("only %d dates were compared", n)
	}
	j.checkSecondExamination(big)
	j.checkTampering(p.ID)
}

// checkThumbnail: the camera's own small picture is there at once.
func (j *job) checkThumbnail(id string) {
	j.t.Helper()
	small, orientation, err := j.b.Thumbnail(id)
	if err != nil || len(small) < 1000 || orientation != 1 {
		j.t.Errorf("thumbnail of %d bytes, orientation %d, %v", len(small), orientation, err)
	}
}

// checkSecondExamination: an issued examination takes in nothing more; the same
// instrument's next one takes the same file again, stored once.
func (j *job) checkSecondExamination(file string) {
	j.t.Helper()
	before := len(filesIn(j.t, filepath.Join(j.b.Dir(), "originals")))
	if _, err := j.b.Import(j.t.Context(), j.ex, []string{file}, nil); err == nil || !strings.Contains(err.Error(), "issued") {
		j.t.Errorf("import into an issued examination: %v", err)
	}
	if err := j.ex.Do("Note", record.Remove(record.MarkTarget(1))); err == nil {
		j.t.Error("a mark was taken out of an issued examination")
	}
	next, err := j.b.Begin(j.ex.Record().Examination.Instrument, record.OnReceipt, record.Instrument{})
	if err != nil {
		j.t.Fatal(err)
	}
	res, err := j.b.Import(j.t.Context(), next, []string{file, file}, nil)
	if err != nil || len(res.Added) != 1 || len(res.Known) != 1 {
		j.t.Errorf("the same file twice into the next examination: %+v, %v", res, err)
	}
	if after := len(filesIn(j.t, filepath.Join(j.b.Dir(), "originals"))); after != before {
		j.t.Errorf("%d originals, %d before the same file came again", after, before)
	}
	if _, err := j.b.Preview(res.Added[0].ID, bench.LargePreview); err != nil {
		j.t.Error(err)
	}
	if err := next.Close(); err != nil {
		j.t.Error(err)
	}
}
