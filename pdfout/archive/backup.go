package archive

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// BackupOptions say how to copy an archive.
type BackupOptions struct {
	Now      func() time.Time // nil takes the machine's clock
	Workers  int              // files copied at the same time; 0 is 4
	Progress func(line, lines int64, files int, bytes int64)
}

// BackupReport is what a copy came to.
type BackupReport struct {
	Before   Head      `json:"before"` // of the copy's log, before
	Head     Head      `json:"head"`   // and now
	Lines    int64     `json:"lines"`  // of the log copied
	Readings int64     `json:"readings"`
	Files    int       `json:"files"` // copied
	Bytes    int64     `json:"bytes"`
	Filled   int       `json:"filled"`  // of these, files that an earlier copy did not get
	Removed  int       `json:"removed"` // reports taken out of the copy, because they were removed from the archive
	Findings []Finding `json:"findings"`
}

// What there is to do about what cannot be copied.
const doCopy = "check the archive, and bring the file back from this or another copy made earlier: wornwood archive check DIR --copy COPY; then make the backup again"

// Backup copies an archive into another place, which is empty or holds an
// earlier copy of the same. Every file is held to the hash that the log names
// while it is copied; what is damaged or missing is told and not copied, and
// what the copy has is never replaced. The copy's log only ever names files
// that are there, so that it is whole after an end at any moment; given again,
// it goes on. Somebody may be filing meanwhile: the copy ends at a head of the
// log. What was removed from the archive is taken out of the copy too.
func Backup(ctx context.Context, from, to string, opt BackupOptions) (*BackupReport, error) {
	if opt.Now == nil {
		opt.Now = time.Now
	}
	if opt.Workers <= 0 {
		opt.Workers = 4
	}
	if opt.Progress == nil {
		opt.Progress = func(int64, int64, int, int64) {}
	}
	b := &backup{ctx: ctx, opt: opt, out: &BackupReport{Findings: []Finding{}}}
	err := b.open(from, to)
	if err == nil {
		err = b.run()
	}
	if err = errors.Join(err, b.close()); err != nil {
		return nil, fmt.Errorf("back up archive: %w", err)
	}
	return b.out, nil
}

// backup is one under way.
type backup struct {
	ctx  context.Context
	opt  BackupOptions
	out  *BackupReport
	from Store
	to   *Archive // store, lock and log of the copy; it has no index

	head    Head             // of the source, up to which is copied
	end     int64            // byte behind it
	removed map[string]int64 // hash to the last line that removed it
	have    map[uint64]bool  // files of the copy, by filesKey
	again   bool             // something was removed while it was copied
}

func (b *backup) open(from, to string) (err error) {
	if b.from, err = OpenPlace(b.ctx, from); err != nil {
		return err
	}
	settings, err := b.from.Settings()
	if err != nil {
		return err
	}
	if err := apart(from, to); err != nil {
		return err
	}
	store, was, err := makePlace(b.ctx, to, settings)
	if err != nil {
		return err
	}
	b.to = &Archive{dir: to, now: b.opt.Now, store: store, genesis: sum(settings)}
	if was {
		theirs, err := store.Settings()
		if err != nil {
			return err
		}
		if !bytes.Equal(theirs, settings) {
			return fmt.Errorf("in %s is another archive, or a copy of another; name a place of its own", to)
		}
	}
	if b.to.release, err = store.(Locker).Lock(b.opt.Now()); err != nil {
		return fmt.Errorf("%s: %w", to, err)
	}
	if err = b.to.readHead(); err == nil {
		err = b.to.recover()
	}
	b.out.Before, b.out.Head = b.to.at.Head, b.to.at.Head
	return err
}

func (b *backup) close() (err error) {
	if b.to != nil {
		err = b.to.Close()
	}
	if b.from != nil {
		err = errors.Join(err, closeStore(b.from))
	}
	return err
}

// apart refuses places of which one is in the other, and a copy in place of a
// shared archive.
func apart(from, to string) error {
	if !IsS3(to) {
		shared, err := readShared(to)
		if err != nil {
			return err
		}
		if shared != nil {
			return fmt.Errorf("%s is where a shared archive is opened; name another folder, or an s3:// address, for the copy", to)
		}
	}
	if shared, err := readShared(from); !IsS3(from) && err == nil && shared != nil {
		from = shared.Files
	}
	var places [2]string
	for i, p := range []string{from, to} {
		if IsS3(p) {
			at, err := ParseS3Place(p)
			if err != nil {
				return err
			}
			places[i] = at.Endpoint + "/" + at.Bucket + "/" + at.Prefix
			continue
		}
		abs, err := filepath.Abs(p)
		if err != nil {
			return err
		}
		if real, err := filepath.EvalSymlinks(abs); err == nil {
			abs = real
		} else if real, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
			abs = filepath.Join(real, filepath.Base(abs))
		}
		places[i] = strings.TrimSuffix(abs, string(os.PathSeparator)) + string(os.PathSeparator)
	}
	if strings.HasPrefix(places[0], places[1]) || strings.HasPrefix(places[1], places[0]) {
		return fmt.Errorf("the copy would lie in the archive or around it (%s); name another place, best on another disk or machine", to)
	}
	return nil
}

// scan goes along the source's log, sees that it is one chain that passes
// through the copy's head, and finds what is removed later on.
func (b *backup) scan() error {
	genesis := Head{0, b.to.genesis}
	since, met := b.to.at.Head, b.to.at.Head == genesis
	b.removed = map[string]int64{}
	var end int64
	head, err := walk(b.from, genesis, 0, func(e Entry, h Head, at int64) error {
		met, end = met || h == since, at
		if e.Kind == Removed {
			b.removed[e.File] = e.Seq
		}
		return b.ctx.Err()
	})
	b.head, b.end = head, end
	var broken *ChainError
	if errors.As(err, &broken) && met {
		b.found(Finding{Severity: Grave, Line: broken.Line, Text: fmt.Sprintf("the line %s; what comes from it on is not copied", broken.Why), Do: doLog})
		err = nil
	}
	switch {
	case errors.As(err, &broken):
		return err
	case err != nil:
		return err
	case head.Seq < since.Seq:
		return fmt.Errorf("the log ends with line %d and that of the copy goes on to line %d: lines were taken out at the end of the archive, or the copy was filed into; nothing was copied, and the copy is to be kept", head.Seq, since.Seq)
	case !met:
		return fmt.Errorf("the log is another than that of the copy at line %d or before: one of the two was altered; nothing was copied, and both are to be kept until that is cleared up", since.Seq)
	}
	return nil
}

func (b *backup) found(f Finding) { b.out.Findings = append(b.out.Findings, f) }

// fileKey stands for a file of the copy in 8 bytes: of a hundred million, two
// meet with a chance of 1 in 3000, and then a gap at most stays one.
func fileKey(ref Ref) uint64 {
	raw, err := hex.DecodeString(ref.Hash)
	if err != nil || len(raw) != sha256.Size {
		return 0
	}
	var area uint64
	for i, a := range Areas() {
		if a == ref.Area {
			area = uint64(i+1) << 56
		}
	}
	return binary.BigEndian.Uint64(raw) ^ area
}

// listed notes what the copy has.
func (b *backup) listed() error {
	b.have = map[uint64]bool{}
	if b.to.at.Seq == 0 {
		return nil
	}
	for _, area := range Areas() {
		err := b.to.store.List(area, func(hash string, _ int64, stranger string) error {
			if stranger == "" {
				b.have[fileKey(Ref{area, hash})] = true
			}
			return b.ctx.Err()
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (b *backup) run() error {
	for range 5 {
		b.again, b.out.Findings = false, []Finding{} // what is still missing is met again
		if err := b.scan(); err != nil {
			return err
		}
		if err := b.listed(); err != nil {
			return err
		}
		if err := b.lines(); err != nil {
			return err
		}
		if !b.again {
			break
		}
	}
	return b.readings()
}

// A chunk is full with so many lines, bytes of them, or bytes of reports.
const (
	chunkLines = 64
	chunkLog   = 1 << 20
	chunkBytes = 64 << 20
)

// lines goes along the log: up to the copy's head it fills gaps, behind it
// copies files and lines in chunks.
func (b *backup) lines() error {
	before := b.to.at.Seq
	c := chunk{b: b}
	head := Head{0, b.to.genesis}
	err := b.from.Log(MainLog, 0, func(line []byte, end int64) error {
		if end > b.end {
			return errEnough
		}
		var e Entry
		if err := json.Unmarshal(line, &e); err != nil {
			return &ChainError{head.Seq + 1, "cannot be read"}
		}
		head = Head{e.Seq, sum(line)}
		b.opt.Progress(e.Seq, b.head.Seq, b.out.Files, b.out.Bytes)
		if e.Seq <= before {
			for _, w := range b.gaps(e) {
				if err := b.fill(w, e.Seq); err != nil {
					return err
				}
			}
			return b.ctx.Err()
		}
		c.add(e, line, Position{head, end})
		if !c.full() {
			return nil
		}
		return c.commit()
	})
	if err != nil && !errors.Is(err, errEnough) {
		return err
	}
	return c.commit()
}

// belonging are the files that a line names, but for those removed later.
func (b *backup) belonging(e Entry) []wanted {
	if b.removed[e.File] > e.Seq {
		return nil
	}
	switch e.Kind {
	case Filed:
		return []wanted{{Ref{Files, e.File}, e.File, e.Size}, {Ref{Verdicts, e.File}, e.Verdict, -1}, {Ref{Records, e.File}, e.Record, -1}}
	case Rejected:
		return []wanted{{Ref{Refused, e.File}, e.File, e.Size}, {Ref{Reasons, e.File}, e.Verdict, -1}}
	}
	return nil
}

// gaps are the files of a line that the copy lacks.
func (b *backup) gaps(e Entry) (out []wanted) {
	for _, w := range b.belonging(e) {
		if !b.have[fileKey(w.ref)] {
			out = append(out, w)
		}
	}
	return out
}
