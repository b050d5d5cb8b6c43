package archive

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"
)

// RefusedFile is one file of the refused pile.
type RefusedFile struct {
	Hash   string    `json:"sha256"`
	Time   time.Time `json:"time"`
	Source string    `json:"source"` // the name it came under
	Size   int64     `json:"size"`   // bytes
	Why    string    `json:"why"`
	Seq    int64     `json:"seq"`
}

// Pile lists what is on the refused pile, the latest first, at most as many as
// asked for; all is how many there are. It reads the log, so it takes as long as
// that is. A report that was refused once and filed later, under other trust,
// has left the pile only where it was removed from it.
func (a *Archive) Pile(ctx context.Context, most int) (list []RefusedFile, all int, err error) {
	gone, err := a.removedFiles()
	if err != nil {
		return nil, 0, err
	}
	kind := []byte(`"kind":"refused"`)
	err = a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		if !bytes.Contains(line, kind) {
			return ctx.Err()
		}
		var e Entry
		if json.Unmarshal(line, &e) != nil || e.Kind != Rejected || gone[e.File] > e.Seq {
			return nil
		}
		all++
		if list = append(list, RefusedFile{e.File, e.Time, e.Source, e.Size, e.Summary, e.Seq}); len(list) > 2*most {
			list = slices.Clone(list[len(list)-most:])
		}
		return nil
	})
	if err != nil {
		return nil, 0, fmt.Errorf("list what was refused: %w", err)
	}
	list = list[max(0, len(list)-most):]
	slices.Reverse(list)
	return list, all, nil
}

// removedFiles are the lines of the log that removed a file, by its hash.
func (a *Archive) removedFiles() (map[string]int64, error) {
	notes, err := a.Notes(Removed)
	if err != nil {
		return nil, err
	}
	out := map[string]int64{}
	for _, e := range notes {
		out[e.File] = max(out[e.File], e.Seq)
	}
	return out, nil
}

// Reason is the text that was kept beside a refused file.
func (a *Archive) Reason(hash string) (string, error) {
	b, err := a.bytes(Ref{Reasons, hash}, maxVerdict)
	if err != nil {
		return "", fmt.Errorf("why %s was refused: %w", hash, err)
	}
	return string(b), nil
}

// CopyTo writes a published file as it is.
func (a *Archive) CopyTo(w io.Writer, ref Ref) error {
	f, err := a.store.Open(ref)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := io.Copy(w, f); err != nil {
		return fmt.Errorf("copy %s: %w", ref.Hash, err)
	}
	return nil
}

// PathOf is where a published file lies, "" where it is no file of this machine.
func (a *Archive) PathOf(ref Ref) string {
	if s, is := a.store.(*folder); is {
		return s.path(ref)
	}
	return ""
}
