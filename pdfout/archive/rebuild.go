package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"wornwood/pdfout"
)

// maxVerdict bounds a verdict that is read back, in bytes.
const maxVerdict = 256 << 20

// Rebuilt says what a new index was made from.
type Rebuilt struct {
	Reports int       `json:"reports"`
	Damaged []Finding `json:"damaged,omitempty"` // left out
}

// Rebuild makes the index anew from files and log.
func (a *Archive) Rebuild(ctx context.Context) (*Rebuilt, error) {
	if a.readOnly {
		return nil, errors.New("rebuild index: the archive is open for reading only")
	}
	if err := a.index.Reset(); err != nil {
		return nil, err
	}
	return a.follow(ctx, Position{})
}

// perTransaction is how many lines an index takes in at once.
const perTransaction = 256

// follow brings the index from a position up to the log's end.
func (a *Archive) follow(ctx context.Context, from Position) (*Rebuilt, error) {
	out := &Rebuilt{}
	if from.Seq == 0 {
		from = Position{Head{0, a.genesis}, 0}
	}
	at := from
	var events []Event
	flush := func() error {
		err := a.index.Apply(events, at)
		events = events[:0]
		return err
	}
	_, err := walk(a.store, from.Head, from.End, func(e Entry, h Head, end int64) error {
		ev := Event{Entry: e}
		if e.Kind == Filed {
			row, err := a.rowOf(e)
			if err != nil {
				out.Damaged = append(out.Damaged, Finding{Severity: Grave, Ref: &Ref{Verdicts, e.File}, Text: err.Error(), Do: doRestore})
			} else {
				ev.Row = row
				out.Reports++
			}
		}
		if e.Kind == Removed { // its verdict is gone by right
			out.Damaged = slices.DeleteFunc(out.Damaged, func(f Finding) bool { return f.Ref.Hash == e.File })
		}
		events, at = append(events, ev), Position{h, end}
		if len(events) < perTransaction {
			return nil
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		return flush()
	})
	if err != nil {
		return nil, err
	}
	return out, flush()
}

// rowOf reads the row of a filed report from its verdict.
func (a *Archive) rowOf(e Entry) (*Row, error) {
	v, err := a.verdict(e)
	if err != nil {
		return nil, err
	}
	row := rowOf(e, v)
	return &row, nil
}

func (a *Archive) verdict(e Entry) (*pdfout.Verdict, error) {
	b, err := a.bytes(Ref{Verdicts, e.File}, maxVerdict)
	if err != nil {
		return nil, err
	}
	if sum(b) != e.Verdict {
		return nil, errors.New("the verdict is not the one that the log names")
	}
	var v pdfout.Verdict
	if err := json.Unmarshal(b, &v); err != nil || v.Record == nil {
		return nil, fmt.Errorf("the verdict cannot be read (%v)", err)
	}
	return &v, nil
}

// bytes reads a small file of the store.
func (a *Archive) bytes(ref Ref, most int64) ([]byte, error) {
	f, err := a.store.Open(ref)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if f.Size() > most {
		return nil, fmt.Errorf("%s of %d MiB: %w", ref.Area, f.Size()>>20, ErrTooLarge)
	}
	b, err := io.ReadAll(io.LimitReader(f, most))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", ref.Area, err)
	}
	return b, nil
}

// Shown is one filed report with everything kept of it.
type Shown struct {
	Row      Row             `json:"report"`
	Path     string          `json:"path"` // of the PDF; its s3:// address in an object store
	Verdict  *pdfout.Verdict `json:"verdict"`
	Versions []Row           `json:"versions"` // of the same first signature, this one among them, the earliest filed first
}

// ErrAmbiguous says that several reports begin so.
var ErrAmbiguous = errors.New("several reports begin so; give more of it")

// Show finds one report by its SHA-256 or a beginning of it, eight digits or
// more, and reads what is kept of it.
func (a *Archive) Show(hash string) (*Shown, error) {
	hash = strings.ToLower(strings.TrimSpace(hash))
	if len(hash) < 8 || len(hash) > 64 || strings.Trim(hash, "0123456789abcdef") != "" {
		return nil, fmt.Errorf("%.70q is no beginning of a SHA-256: it takes 8 to 64 of the digits 0 to 9 and a to f", hash)
	}
	found, err := a.Find(&Query{terms: []term{{op: opPrefix, column: "hash", text: hash}}, sort: "filed"}, 0, 2)
	if err != nil {
		return nil, err
	}
	switch {
	case len(found.Rows) == 0:
		return nil, fmt.Errorf("report %s: %w", hash, ErrMissing)
	case len(found.Rows) > 1:
		return nil, fmt.Errorf("report %s: %w", hash, ErrAmbiguous)
	}
	out := &Shown{Row: found.Rows[0]}
	if out.Versions, err = a.index.Versions(out.Row.First); err != nil {
		return nil, err
	}
	if b, err := a.bytes(Ref{Verdicts, out.Row.Hash}, maxVerdict); err != nil {
		return nil, err
	} else if err := json.Unmarshal(b, &out.Verdict); err != nil {
		return nil, fmt.Errorf("the verdict on %s cannot be read (%w); 'wornwood archive check' says more", out.Row.Hash, err)
	}
	switch s := a.store.(type) {
	case *folder:
		out.Path = s.path(Ref{Files, out.Row.Hash})
	case *s3:
		out.Path = s.at.name() + "/" + s3Path(Ref{Files, out.Row.Hash})
	}
	return out, nil
}
