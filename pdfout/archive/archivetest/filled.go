package archivetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
)

// Filled makes an archive in a folder, of n reports as far as an index needs it:
// log, verdicts and records as filing writes them, each another by the seed. The
// reports themselves are not there.
func Filled(dir string, n int, seed uint64) error {
	first, err := filedOne(dir)
	if err != nil {
		return err
	}
	settings, err := os.ReadFile(filepath.Join(dir, "archive.json"))
	if err != nil {
		return err
	}
	var log strings.Builder
	random := rand.New(rand.NewPCG(seed, 1))
	for i := range n {
		previous := sum(settings)
		if i > 0 {
			previous = first.last
		}
		line, err := first.another(dir, i, previous, random)
		if err != nil {
			return err
		}
		first.last = sum(line)
		log.Write(append(line, '\n'))
	}
	return os.WriteFile(filepath.Join(dir, "log.jsonl"), []byte(log.String()), 0o644)
}

// model is a filed report of which others are made.
type model struct {
	verdict pdfout.Verdict
	entry   archive.Entry
	last    string // the hash of the last line
}

// filedOne files a real report and takes it away again.
func filedOne(dir string) (*model, error) {
	tmp, err := os.MkdirTemp("", "filled")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(tmp)
	id, err := NewKey("R. Calloway")
	if err != nil {
		return nil, err
	}
	files, err := Write(tmp, id, 1)
	if err != nil {
		return nil, err
	}
	if err := archive.Make(dir, "Filled", false, When); err != nil {
		return nil, err
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: func() time.Time { return When }})
	if err != nil {
		return nil, err
	}
	_, err = a.File(context.Background(), files, archive.FileOptions{})
	if err := errors.Join(err, a.Close()); err != nil {
		return nil, err
	}
	out := &model{}
	line, err := os.ReadFile(filepath.Join(dir, "log.jsonl"))
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(line, &out.entry); err != nil {
		return nil, err
	}
	b, err := os.ReadFile(jsonPath(dir, "verdicts", out.entry.File))
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(b, &out.verdict); err != nil {
		return nil, err
	}
	for _, gone := range []string{jsonPath(dir, "verdicts", out.entry.File), jsonPath(dir, "records", out.entry.File), filepath.Join(dir, "files", out.entry.File[:2], out.entry.File+".pdf"), filepath.Join(dir, "index.db")} {
		if err := os.Remove(gone); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func jsonPath(dir, area, hash string) string {
	return filepath.Join(dir, area, hash[:2], hash+".json")
}

// said are words that notes are made of.
var said = strings.Fields("light wear on the edge under strong light old repair filled level gloss matt touched up lacquer checked fine along grain near bridge neck heel lower bout upper seam open closed glued cleat inside label faint stamp pencil date replaced later screw hole plugged plate bent tarnish polish worn through to wood bare rim binding shrunk crack hairline sound tight loose string tree slot nut bone")

// another writes verdict and record of a further report, and gives its line.
func (m *model) another(dir string, i int, previous string, random *rand.Rand) ([]byte, error) {
	v := m.verdict
	rec := *v.Record
	rec.Examination.Number = fmt.Sprintf("CR-2026-%06d", i)
	rec.Instrument.Serial = fmt.Sprintf("L-%d", 10_000+random.IntN(9_000_000))
	rec.Instrument.Maker = []string{"Halden & Rowe", "Merrow & Finch", "Anselm Tarry", "Osterby Works", "Tolle and Sons"}[random.IntN(5)]
	rec.Marks = append(rec.Marks[:0:0], rec.Marks...)
	for k := range rec.Marks {
		var note []string
		for range 6 + random.IntN(12) {
			note = append(note, said[random.IntN(len(said))])
		}
		rec.Marks[k].Note = strings.Join(note, " ")
	}
	v.Record = &rec
	e := m.entry
	e.File = sum(fmt.Appendf(nil, "filled %d", i))
	e.First, e.Seq, e.Previous = sum(fmt.Appendf(nil, "first %d", i)), int64(i+1), previous
	for area, what := range map[string]struct {
		of  any
		sum *string
	}{"verdicts": {v, &e.Verdict}, "records": {rec, &e.Record}} {
		b, err := pdfout.Canonical(what.of)
		if err != nil {
			return nil, err
		}
		*what.sum = sum(b)
		p := jsonPath(dir, area, e.File)
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			return nil, err
		}
		if err := os.WriteFile(p, b, 0o444); err != nil {
			return nil, err
		}
	}
	return pdfout.Canonical(e)
}
