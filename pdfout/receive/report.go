package receive

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// ErrAltered says that a report does not pass its check and cannot be received.
var ErrAltered = errors.New("the report does not pass its check, so there is nothing to receive the instrument against; ask the sender for the file as it was issued")

// Report is a checked report that an instrument is received against.
type Report struct {
	Path    string
	Data    []byte // the file
	Verdict *pdfout.Verdict
	Record  *record.Record
	Rubric  *grade.Rubric // for its words only: the newest where the report's own is not known
	Drawing *outline.Drawing
	Of      record.ReceiptOf
}

// Read checks the report at path and takes from it what receiving needs. A
// report that is altered is refused with ErrAltered, wrapped.
func Read(ctx context.Context, path string, opt pdfout.VerifyOptions) (*Report, error) {
	data, err := readFile(path, maxFile)
	if err != nil {
		return nil, fmt.Errorf("read report: %w", err)
	}
	r, err := readData(ctx, data, opt)
	if err != nil {
		return nil, fmt.Errorf("receive against %s: %w", filepath.Base(path), err)
	}
	r.Path = path
	return r, nil
}

func readData(ctx context.Context, data []byte, opt pdfout.VerifyOptions) (*Report, error) {
	in, size := bytes.NewReader(data), int64(len(data))
	rep, err := sign.Verify(ctx, in, size, sign.VerifyOptions{Limits: opt.Limits})
	if err != nil {
		return nil, err
	}
	if _, ok := rep.Attachment(Name); ok {
		return nil, errors.New("it is a receipt, not a report; an instrument is received against the report")
	}
	v, err := pdfout.VerifyReader(ctx, in, size, opt)
	if err != nil {
		return nil, err
	}
	if !v.OK || v.Record == nil || len(v.Signatures) == 0 {
		return nil, fmt.Errorf("%w (%s)", ErrAltered, v.Worst())
	}
	// The report as issued ends with the first signature's revision; what came
	// after is a countersignature or data for later checking.
	end := rep.Coverage.Signed
	if end < 1 || end > size {
		return nil, fmt.Errorf("%w (the signature names no end)", ErrAltered)
	}
	rec := v.Record
	r := &Report{Data: data, Verdict: v, Record: rec, Of: record.ReceiptOf{Number: rec.Examination.Number, Title: clip(rec.Instrument.Title()),
		Serial: clip(rec.Instrument.Serial), SHA256: sum(data[:end]), Size: end, RecordHash: v.RecordHash, Key: v.Signatures[0].Fingerprint}}
	if r.Rubric, err = annotate.RubricOf(nil, rec.Examination.Rubric); err != nil {
		r.Rubric = grade.Default()
	}
	if r.Drawing, err = grade.DrawingFor(rec.Instrument); err != nil {
		return nil, err
	}
	return r, nil
}

// clip shortens a text to what a receipt takes, and makes one line of it.
func clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 240 {
		s = string(r[:239]) + "…"
	}
	return s
}

// Items lists the entries to go through, with what the report says of each.
func (r *Report) Items() []record.Checked {
	list := r.Record.ToCheck()
	for i := range list {
		list[i].Says = clip(r.says(list[i]))
	}
	return list
}

func (r *Report) says(c record.Checked) string {
	switch c.What {
	case record.OfMark:
		n, _ := strconv.Atoi(c.ID)
		if m := r.Record.MarkByNumber(n); m != nil {
			return r.markWords(m)
		}
	case record.OfPart:
		if p := r.Record.PartByID(record.PartID(c.ID)); p != nil {
			return partWords(p)
		}
	case record.OfExtra:
		for _, e := range r.Record.Extras {
			if e.ID == c.ID {
				return extraWords(e)
			}
		}
	}
	return ""
}

func (r *Report) markWords(m *record.Mark) string {
	out := []string{capital(string(m.Kind))}
	if m.Kind == "" {
		out[0] = "Mark"
	}
	if k, ok := r.Rubric.Kind(m.Kind); ok && m.Reading == nil && m.Depth != "" {
		out = append(out, k.DepthWord(m.Depth))
	} else if m.Reading != nil {
		if w := grade.ReadingWords(*m); w != "" {
			out = append(out, w)
		}
	}
	if w := r.Where(m); w != "" {
		out = append(out, w)
	}
	if s := m.Size(); s != "" {
		out = append(out, s)
	}
	s := strings.Join(out, ", ")
	if m.Note != "" {
		s += ". " + capital(m.Note)
	}
	return s
}

// Where says in words where a mark is, "" where it is not drawn.
func (r *Report) Where(m *record.Mark) string {
	var out []string
	for _, p := range m.On {
		w := string(p.Part)
		if len(p.Points) > 0 {
			w = r.Drawing.Span(outline.Side(p.Side), p.Points)
		}
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, "; ")
}

func partWords(p *record.Part) string {
	state := p.State
	if state == "" {
		state = record.NotSeen
	}
	s := capital(string(p.ID)) + ": " + string(state)
	if p.Note != "" {
		s += ". " + capital(p.Note)
	}
	return s
}

func extraWords(e record.Extra) string {
	s := capital(e.What)
	if s == "" {
		s = capital(e.Kind)
	}
	if e.Number > 1 {
		s += fmt.Sprintf(", %d of them", e.Number)
	}
	if e.State != "" {
		s += ", " + string(e.State)
	}
	if e.Note != "" {
		s += ". " + capital(e.Note)
	}
	return s
}

func capital(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) == 0 {
		return ""
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
