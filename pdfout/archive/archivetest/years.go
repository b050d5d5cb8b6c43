package archivetest

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// Years are the reports of one invented instrument: four examinations by three
// dealers over eight years, in which a ding grows, a crack opens and is glued,
// a chip is not listed any more, the tuners are replaced, and the front is called
// original first and refinished later though a mark of the old finish is still
// there. The first and the third are of one bench. photo gives the photo of a
// view, "front" or "back", at examination i from 0; nil takes bands like grain.
// The paths are in the order of the examinations.
func Years(dir string, photo func(i int, view string) ([]byte, error)) ([]string, error) {
	y := &years{dir: dir, photo: photo, dealers: map[string]*dealer{}}
	if y.photo == nil {
		y.photo = grain
	}
	defer y.close()
	var out []string
	for i, x := range []examined{
		{"Fen Street Instruments", "M. Oakhurst", "2018-05-02", record.Intake, "41873", y.first},
		{"Alder Lane Strings", "P. Thorne", "2020-03-17", record.OnReceipt, "4I 873", y.second},
		{"Fen Street Instruments", "M. Oakhurst", "2022-09-08", record.BeforeDispatch, "41873", y.third},
		{"Old Quay Guitars", "J. Merriden", "2026-06-30", record.Periodic, "41873", y.fourth},
	} {
		p, err := y.examine(i, x)
		if err != nil {
			return nil, fmt.Errorf("examination %d: %w", i+1, err)
		}
		out = append(out, p)
	}
	return out, nil
}

type examined struct {
	shop, examiner, day string
	purpose             record.Purpose
	serial              string
	find                func(*hand) error
}

type dealer struct {
	b          *bench.Bench
	id         *sign.Identity
	instrument string
}

type years struct {
	dir     string
	now     time.Time
	photo   func(i int, view string) ([]byte, error)
	dealers map[string]*dealer
}

func (y *years) close() {
	for _, d := range y.dealers {
		d.b.Close()
	}
}

func (y *years) dealer(x examined) (*dealer, error) {
	if d := y.dealers[x.shop]; d != nil {
		return d, nil
	}
	b, err := bench.Open(filepath.Join(y.dir, fmt.Sprintf("bench-%d", len(y.dealers)+1)), bench.Options{Now: func() time.Time { return y.now }, Create: true})
	if err != nil {
		return nil, err
	}
	d := &dealer{b: b}
	y.dealers[x.shop] = d
	if err := b.SetSettings(bench.Settings{Shop: x.shop, Examiner: x.examiner}); err != nil {
		return nil, err
	}
	d.id, err = sign.NewKey(sign.Subject{Name: x.examiner}, y.now, rand.Reader)
	return d, err
}

// examine makes one examination and issues its report.
func (y *years) examine(i int, x examined) (string, error) {
	day, err := time.Parse(time.DateOnly, x.day)
	if err != nil {
		return "", err
	}
	y.now = day.Add(10 * time.Hour)
	d, err := y.dealer(x)
	if err != nil {
		return "", err
	}
	var inst record.Instrument
	if d.instrument == "" {
		inst = record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: x.serial, Colour: "Sunburst", Coating: "nitrocellulose",
			ScaleLength: 648, Frets: 22, Strings: 6, Mass: 3.42 + 0.01*float64(i)}
	}
	ex, err := d.b.Begin(d.instrument, x.purpose, inst)
	if err != nil {
		return "", err
	}
	defer ex.Close()
	d.instrument = ex.Record().Examination.Instrument
	s, err := annotate.OpenFor(ex, d.b)
	if err != nil {
		return "", err
	}
	h := &hand{s: s}
	h.do(s.SetOtherSounds(record.Clean))
	h.do(s.SetAllParts(record.Original, true))
	h.do(y.photos(d.b, ex, s, i))
	h.do(x.find(h))
	if h.err != nil {
		return "", h.err
	}
	is, err := pdfout.Issue(context.Background(), d.b, ex, d.id, pdfout.IssueOptions{Now: y.now}, nil)
	if err != nil {
		return "", err
	}
	to := filepath.Join(y.dir, fmt.Sprintf("%s.pdf", x.day))
	data, err := os.ReadFile(d.b.ReportPath(is.File))
	if err != nil {
		return "", err
	}
	return to, os.WriteFile(to, data, 0o644)
}

func (y *years) photos(b *bench.Bench, ex *bench.Exam, s *annotate.Session, i int) error {
	for _, view := range []string{"front", "back"} {
		data, err := y.photo(i, view)
		if err != nil {
			return err
		}
		p := filepath.Join(y.dir, fmt.Sprintf("%s-%d.jpg", view, i))
		if err := os.WriteFile(p, data, 0o644); err != nil {
			return err
		}
		if _, err := b.Import(context.Background(), ex, []string{p}, nil); err != nil {
			return err
		}
		s.Refresh()
		list := ex.Record().Photos
		if err := s.SetPhotoView(list[len(list)-1].ID, view); err != nil {
			return err
		}
	}
	return nil
}

func grain(i int, view string) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, reporttest.Wood(900, 600, fmt.Sprint(view, i)), nil)
	return b.Bytes(), err
}

// hand makes entries until the first that fails.
type hand struct {
	s   *annotate.Session
	err error
}

func (h *hand) do(err error) {
	if h.err == nil {
		h.err = err
	}
}

// mark pins a mark; a length of 0 is none.
func (h *hand) mark(side string, shape record.Shape, k record.Kind, d record.Depth, length float64, pts ...record.Point) {
	if h.err != nil {
		return
	}
	n, err := h.s.AddMark(annotate.Surface{Side: outline.Side(side)}, shape, pts)
	h.do(err)
	if h.err != nil {
		return
	}
	h.do(h.s.SetKind(n, k))
	h.do(h.s.EditMark(n, "Size", func(m *record.Mark) {
		m.Depth = d
		if length > 0 {
			m.Length = &record.Quantity{Value: length, Uncertainty: 0.3, How: "calliper"}
		}
	}))
}

func (h *hand) part(id record.PartID, st record.State) {
	h.do(h.s.SetPart(id, "State", func(p *record.Part) { p.State, p.Inspected = st, true }))
}

func at(x, y float64) record.Point { return record.Point{X: x, Y: y} }

func (y *years) first(h *hand) error {
	h.mark("front", record.PointShape, "ding", record.InFinish, 3, at(-60, 720))
	h.mark("front", record.PointShape, "chip", record.Through, 5, at(70, 735))
	h.mark("front", record.LineShape, "finish check", record.InFinish, 0, at(-90, 600), at(-130, 650))
	h.do(h.s.SetClaim(record.Claim{ID: "c1", About: "owners", Text: "One owner from new", By: "the seller", Standing: record.Stated}))
	return h.err
}

func (y *years) second(h *hand) error {
	h.mark("front", record.PointShape, "dent", record.InFinish, 3.2, at(-58, 722))
	h.mark("front", record.LineShape, "finish check", record.InFinish, 0, at(-88, 601), at(-129, 653))
	h.mark("back", record.LineShape, "closed crack", record.Through, 40, at(-20, 600), at(-20, 640))
	h.part(record.FrontFinish, record.Refinished)
	for _, id := range []record.PartID{record.Electronics, record.Neck} { // not opened, not looked at
		h.do(h.s.SetPart(id, "State", func(p *record.Part) { p.State, p.Inspected = record.NotSeen, false }))
	}
	h.do(h.s.SetClaim(record.Claim{ID: "c1", About: "provenance", Text: "Bought from an estate", By: "the seller", Standing: record.Stated}))
	return h.err
}

func (y *years) third(h *hand) error {
	h.mark("back", record.LineShape, "repaired crack", record.InFinish, 41, at(-21, 598), at(-20, 641))
	h.mark("front", record.PointShape, "ding", record.InFinish, 5.5, at(-61, 719))
	h.mark("front", record.LineShape, "finish check", record.InFinish, 0, at(-90, 600), at(-130, 650))
	h.part(record.FrontFinish, record.Refinished)
	h.part(record.Tuners, record.LaterReplacement)
	return h.err
}

func (y *years) fourth(h *hand) error {
	h.mark("front", record.PointShape, "ding", record.InFinish, 5.4, at(-59, 721))
	h.mark("front", record.LineShape, "finish check", record.InFinish, 0, at(-92, 598), at(-131, 652))
	h.mark("back", record.LineShape, "repaired crack", record.InFinish, 40.5, at(-19, 601), at(-20, 639))
	h.mark("back", record.PointShape, "ding", record.Through, 2, at(50, 700))
	h.part(record.FrontFinish, record.Refinished)
	h.part(record.Tuners, record.LaterReplacement)
	h.do(h.s.SetSounds([]record.Position{{String: 1, Fret: 19, Sound: record.Buzz}}))
	return h.err
}
