package bench

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/capture/blob"
	"wornwood/capture/record"
)

// Check reads everything on the bench: it hashes every original, attachment and
// report and replays every journal. Findings are faults, in the order met; none
// means that all is as it was saved. Photos and attachments of no examination
// are no fault: their import may have been undone. progress may be nil.
func (b *Bench) Check(ctx context.Context, progress func(done, total int, what string)) ([]Finding, error) {
	if progress == nil {
		progress = func(int, int, string) {}
	}
	ids, strangers, err := b.blobs.List()
	if err != nil {
		return nil, err
	}
	exams, err := b.examIDs()
	if err != nil {
		return nil, err
	}
	attached, others, err := b.attachments.List()
	if err != nil {
		return nil, err
	}
	c := &checker{b: b, total: len(ids) + len(attached) + len(exams), progress: progress, photos: map[string]bool{}, attached: map[string]bool{}}
	for _, p := range strangers {
		c.find(b.rel(p), "does not belong among the originals")
	}
	for _, p := range others {
		c.find(b.rel(p), "does not belong among the attachments")
	}
	for _, id := range ids {
		if err := ctx.Err(); err != nil {
			return c.found, err
		}
		c.original(id)
	}
	for _, id := range attached {
		if err := ctx.Err(); err != nil {
			return c.found, err
		}
		c.attachment(id)
	}
	for _, id := range exams {
		if err := ctx.Err(); err != nil {
			return c.found, err
		}
		c.examination(id)
	}
	if err := c.rubrics(); err != nil {
		return c.found, err
	}
	return c.found, c.reports()
}

type checker struct {
	b           *Bench
	done, total int
	progress    func(done, total int, what string)
	photos      map[string]bool // originals that are there, whether sound
	attached    map[string]bool // attachments that are there, whether sound
	issued      []string        // file names of issued reports
	found       []Finding
}

func (c *checker) find(file, text string) {
	c.found = append(c.found, Finding{File: file, Text: file + " " + text + "."})
}

func (c *checker) step(what string) {
	c.done++
	c.progress(c.done, c.total, what)
}

func (c *checker) original(id string) {
	err := c.b.blobs.Verify(id)
	c.photos[id] = err == nil
	if err != nil {
		c.find(c.b.rel(c.b.blobs.Path(id)), "is damaged: "+why(err)+"; bring it back from a backup or import the photo again")
	}
	c.step(id)
}

func (c *checker) attachment(id string) {
	err := c.b.attachments.Verify(id)
	c.attached[id] = err == nil
	if err != nil {
		c.find(c.b.rel(c.b.attachments.Path(id)), "is damaged: "+why(err)+"; bring it back from a backup or attach the file again")
	}
	c.step(id)
}

func why(err error) string {
	var d *blob.DamagedError
	if errors.As(err, &d) {
		return d.Why
	}
	return err.Error()
}

func (c *checker) examination(id string) {
	defer c.step(id)
	file := c.b.rel(c.b.examPath(id))
	s, _, err := c.b.replay(id)
	if err != nil {
		var d *DamagedError
		text := err.Error()
		if errors.As(err, &d) {
			text = d.Why
		}
		c.find(file, "cannot be replayed: "+text+"; bring it back from a backup")
		return
	}
	for _, p := range s.Record.Photos {
		if _, there := c.photos[p.ID]; !there {
			c.find(file, fmt.Sprintf("lists the photo %s (%s), whose original is missing; import it again", p.Name, p.ID))
		}
	}
	for _, a := range s.Record.Attachments {
		if _, there := c.attached[a.ID]; !there {
			c.find(file, fmt.Sprintf("lists the attachment %s (%s), whose file is missing; attach it again", a.Name, a.ID))
		}
	}
	if s.Issued != nil {
		c.report(file, *s.Issued)
	}
}

func (c *checker) report(file string, is record.Issued) {
	p := c.b.ReportPath(is.File)
	c.issued = append(c.issued, filepath.Base(p))
	got, err := hashFile(p)
	switch {
	case err != nil:
		c.find(file, fmt.Sprintf("names the issued report %s, which cannot be read: %v", is.File, err))
	case got != is.SHA256:
		c.find(is.File, "is not as it was issued: its SHA-256 is now "+got+"; bring it back from a backup")
	}
}

// reports looks for reports that no journal names, as when the program was
// stopped between writing one and freezing its examination.
func (c *checker) reports() error {
	list, err := os.ReadDir(filepath.Join(c.b.dir, reportsDir))
	if err != nil {
		return fmt.Errorf("list reports: %w", err)
	}
	for _, d := range list {
		if n, ok := strings.CutSuffix(d.Name(), countersignedSuffix); ok {
			c.countersigned(d.Name(), n+reportSuffix)
			continue
		}
		if m := receiptName.FindStringSubmatch(d.Name()); m != nil {
			c.receipt(d.Name(), m)
			continue
		}
		if strings.HasSuffix(d.Name(), reportSuffix) && !slices.Contains(c.issued, d.Name()) {
			c.find(reportsDir+"/"+d.Name(), "is named by no examination; its issuing was interrupted, so do not hand it out")
		}
	}
	return nil
}

// countersigned sees that a copy that came back still begins with the report it
// belongs to.
func (c *checker) countersigned(name, report string) {
	file := reportsDir + "/" + name
	if !slices.Contains(c.issued, report) {
		c.find(file, "belongs to no issued report")
		return
	}
	issued, err := os.Open(c.b.ReportPath(report))
	if err != nil {
		return // its examination has said so
	}
	defer issued.Close()
	kept, err := os.Open(c.b.ReportPath(name))
	if err == nil {
		err = errors.Join(begins(kept, issued), kept.Close())
	}
	switch {
	case errors.Is(err, ErrNotOurReport):
		c.find(file, "does not begin with the report as it was issued; bring it back from a backup")
	case err != nil:
		c.find(file, fmt.Sprintf("cannot be read: %v", err))
	}
}

func hashFile(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
