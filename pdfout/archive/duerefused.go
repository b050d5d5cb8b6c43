package archive

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"regexp"
	"slices"
	"strconv"
)

// refusedDue are the insured instruments of which a file was refused later than
// the last version that is filed. A file belongs to a report when it begins with
// all bytes of it up to the end of its first signature: nobody can make one that
// does and is of another.
func (a *Archive) refusedDue(ctx context.Context, insured []Insured) ([]Due, error) {
	of := map[string][]int{} // first signature to the instruments
	for i, in := range insured {
		for _, r := range in.reports {
			if list := of[r.First]; len(list) == 0 || list[len(list)-1] != i {
				of[r.First] = append(list, i)
			}
		}
	}
	if len(of) == 0 {
		return nil, nil
	}
	first := map[string]string{} // refused file to the report it begins with
	err := a.store.List(Refused, func(hash string, _ int64, stranger string) error {
		if err := ctx.Err(); err != nil || stranger != "" {
			return err
		}
		f, err := a.beginsWith(hash, func(first string) bool { return of[first] != nil })
		if f != "" {
			first[hash] = f
		}
		return err
	})
	if err != nil || len(first) == 0 {
		return nil, err
	}
	lines, err := a.refusals(ctx, first)
	if err != nil {
		return nil, err
	}
	var out []Due
	done := map[string]bool{}
	for _, e := range slices.Backward(lines) { // of each instrument the last one
		for _, i := range of[first[e.File]] {
			in := insured[i]
			if done[in.one] {
				continue
			}
			done[in.one] = true
			if newest := slices.MaxFunc(in.reports, func(a, b Row) int { return int(a.Seq - b.Seq) }); newest.Seq > e.Seq {
				continue // something better came since
			}
			d := in.due(DueRefused, dayOf(e.Time), "a later version, "+e.Source+", was refused: "+e.Summary)
			d.Overdue = true
			out = append(out, d)
		}
	}
	return out, nil
}

// refusals are the lines of the log that refused these files.
func (a *Archive) refusals(ctx context.Context, files map[string]string) ([]Entry, error) {
	var out []Entry
	err := a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		if !bytes.Contains(line, []byte(`"kind":"refused"`)) {
			return ctx.Err()
		}
		var e Entry
		if json.Unmarshal(line, &e) == nil && e.Kind == Rejected && files[e.File] != "" {
			out = append(out, e)
		}
		return nil
	})
	return out, err
}

// byteRange is how a signature says which bytes it covers (ISO 32000-1, 12.8.1).
var byteRange = regexp.MustCompile(`/ByteRange\s{0,40}\[\s{0,40}0\s{1,40}(\d{1,12})\s{1,40}(\d{1,12})\s{1,40}(\d{1,12})`)

// maxRanges bounds how many signatures of a refused file are looked at.
const maxRanges = 16

// beginsWith is the report, among those wanted, that a refused file begins with:
// its Row.First; "" for none. A file that cannot be read any more is none, and
// for the check to tell.
func (a *Archive) beginsWith(file string, wanted func(first string) bool) (string, error) {
	sums, err := a.beginnings(file)
	if errors.Is(err, ErrMissing) {
		return "", nil
	}
	for _, s := range sums {
		if wanted(s) {
			return s, err
		}
	}
	return "", err
}

// beginnings are the SHA-256 of a refused file up to the end of each of its
// signatures. A file never changes, so they are kept.
func (a *Archive) beginnings(file string) ([]string, error) {
	if kept, is := a.begins.Load(file); is {
		return kept.([]string), nil
	}
	f, err := a.store.Open(Ref{Refused, file})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	ends, err := signatureEnds(f)
	if err != nil {
		return nil, err
	}
	h, at, sums := sha256.New(), int64(0), []string{}
	for _, end := range ends {
		if _, err := io.Copy(h, io.NewSectionReader(f, at, end-at)); err != nil {
			return nil, fmt.Errorf("read %s: %w", file[:12], err)
		}
		at, sums = end, append(sums, soFar(h))
	}
	a.begins.Store(file, sums)
	return sums, nil
}

// soFar is the sum of what went into a hash, which goes on afterwards.
func soFar(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil)) }

// signatureEnds are the ends of what the signatures of a file cover, the first
// to begin with, as far as the file says so in the open.
func signatureEnds(f Content) ([]int64, error) {
	const window, overlap = 1 << 20, 256
	buf := make([]byte, window)
	var ends []int64
	for at := int64(0); at < f.Size() && len(ends) < maxRanges; at += window - overlap {
		n, err := f.ReadAt(buf, at)
		if err != nil && err != io.EOF {
			return nil, err
		}
		for _, m := range byteRange.FindAllSubmatch(buf[:n], maxRanges) {
			begin, err1 := strconv.ParseInt(string(m[2]), 10, 64)
			length, err2 := strconv.ParseInt(string(m[3]), 10, 64)
			if end := begin + length; err1 == nil && err2 == nil && end > 0 && end <= f.Size() && !slices.Contains(ends, end) {
				ends = append(ends, end)
			}
		}
	}
	slices.Sort(ends)
	return ends[:min(len(ends), maxRanges)], nil
}
