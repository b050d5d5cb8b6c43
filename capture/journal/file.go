package journal

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"wornwood/capture/blob"
)

// DamagedError says that a journal cannot be replayed. Nothing was changed.
type DamagedError struct {
	File string
	Line int // from 1
	Why  string
}

func (e *DamagedError) Error() string {
	return fmt.Sprintf("line %d of %s is damaged: %s; nothing was changed, bring the file back from a backup", e.Line, e.File, e.Why)
}

// Tail says where the sound part of a journal ends.
type Tail struct {
	Lines int    // sound lines
	Good  int64  // bytes of the sound lines
	Torn  int64  // bytes after them, of a line that was being written when the machine stopped
	Sum   string // sum of the last sound line
}

// Replay reads the journal of the examination id. A last line without its end,
// or one of which a sector was never written (it reads as zero bytes), is torn:
// it was never reported as saved, so it is left out and counted in Tail. Any
// other fault is a *DamagedError, whose File is name.
func Replay(r io.Reader, id, name string) (*State, Tail, error) {
	s, tail := &State{}, Tail{Sum: id}
	br := bufio.NewReaderSize(io.LimitReader(r, MaxFile+1), 64<<10)
	for {
		line, err := readLine(br)
		bad := func(why string) error { return &DamagedError{File: name, Line: tail.Lines + 1, Why: why} }
		switch {
		case err == nil:
		case errors.Is(err, io.EOF):
			tail.Torn += int64(len(line))
			return finish(s, tail, name)
		case errors.Is(err, errLongLine):
			return nil, tail, bad(err.Error())
		default:
			return nil, tail, fmt.Errorf("read %s: %w", name, err)
		}
		if tail.Good+int64(len(line)) > MaxFile {
			return nil, tail, bad(fmt.Sprintf("the journal is larger than %d MiB", MaxFile>>20))
		}
		e, sum, err := decode(tail.Sum, line)
		if err != nil {
			if _, peek := br.Peek(1); peek == io.EOF && unwritten(line) {
				tail.Torn += int64(len(line))
				return finish(s, tail, name)
			}
			return nil, tail, bad(err.Error())
		}
		next, err := s.Next(e)
		if err != nil {
			return nil, tail, bad(err.Error())
		}
		s = next
		tail.Sum, tail.Good, tail.Lines = sum, tail.Good+int64(len(line)), tail.Lines+1
	}
}

// sector is the least that a disk writes at once, in bytes.
const sector = 512

// unwritten tells whether a part of a line never reached the disk: its first
// sector, in which the line before ends, or a whole one further on. A few zero
// bytes elsewhere are damage.
func unwritten(line []byte) bool {
	return line[0] == 0 || bytes.Contains(line, make([]byte, sector))
}

func finish(s *State, tail Tail, name string) (*State, Tail, error) {
	if tail.Lines == 0 {
		return nil, tail, &DamagedError{File: name, Line: 1, Why: "it holds no whole line"}
	}
	if err := s.Record.Check(); err != nil {
		return nil, tail, &DamagedError{File: name, Line: tail.Lines, Why: err.Error()}
	}
	return s, tail, nil
}

var errLongLine = fmt.Errorf("it is longer than %d MiB", MaxLine>>20)

// readLine returns the next line with its end, or with io.EOF what is left.
func readLine(br *bufio.Reader) ([]byte, error) {
	var line []byte
	for {
		part, err := br.ReadSlice('\n')
		line = append(line, part...)
		if len(line) > MaxLine {
			return nil, errLongLine
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return line, err
		}
	}
}

// File is an open journal that entries are appended to. It is for one
// goroutine at a time.
type File struct {
	path   string
	f      *os.File
	tail   Tail
	broken error
}

// Create makes a journal with its first line and never an empty file: the file
// appears whole or not at all.
func Create(path, id string, first Entry) (*File, *State, error) {
	s, err := (&State{}).Next(first)
	if err != nil {
		return nil, nil, err
	}
	if err := s.Record.Check(); err != nil {
		return nil, nil, err
	}
	line, _, err := encode(id, first)
	if err != nil {
		return nil, nil, err
	}
	if _, err := os.Lstat(path); err == nil {
		return nil, nil, fmt.Errorf("create journal: %s is there already", path)
	}
	if err := blob.WriteFile(path, 0o644, func(w io.Writer) error { _, err := w.Write(line); return err }); err != nil {
		return nil, nil, fmt.Errorf("create journal: %w", err)
	}
	f, s, _, err := Open(path, id)
	return f, s, err
}

// Open replays a journal and makes it ready for appending. The note is a
// sentence for the user when a torn line was left out, else "".
func Open(path, id string) (f *File, s *State, note string, err error) {
	h, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return nil, nil, "", fmt.Errorf("open journal: %w", err)
	}
	s, tail, err := Replay(h, id, path)
	if err != nil {
		return nil, nil, "", errors.Join(err, h.Close())
	}
	if tail.Torn > 0 {
		note = fmt.Sprintf("The last line of %s was cut off when the program or the machine stopped; that edit had not been saved and is left out. Everything before it is there.", filepath.Base(path))
	}
	return &File{path: path, f: h, tail: tail}, s, note, nil
}

// Append writes one entry and syncs it. When it returns nil the entry is on
// the disk. After an error the journal is as it was; where that cannot be made
// sure of, every later Append fails until the journal is opened again.
func (f *File) Append(e Entry) error {
	if f.broken != nil {
		return fmt.Errorf("append to journal: it failed earlier and must be opened again: %w", f.broken)
	}
	line, sum, err := encode(f.tail.Sum, e)
	if err != nil {
		return err
	}
	if f.tail.Good+int64(len(line)) > MaxFile {
		return fmt.Errorf("append to journal: it has reached %d MiB: %w", MaxFile>>20, ErrTooLarge)
	}
	if f.tail.Torn > 0 {
		if err := f.setTornAside(); err != nil {
			return fmt.Errorf("append to journal: %w", err)
		}
	}
	if _, err := f.f.WriteAt(line, f.tail.Good); err != nil {
		if terr := f.f.Truncate(f.tail.Good); terr != nil {
			f.broken = errors.Join(err, terr)
		}
		return fmt.Errorf("append to journal: %w", err)
	}
	if err := f.f.Sync(); err != nil {
		// After a failed sync nobody knows what is on the disk.
		f.broken = err
		return fmt.Errorf("append to journal: %w", err)
	}
	f.tail.Good += int64(len(line))
	f.tail.Lines++
	f.tail.Sum = sum
	return nil
}

// setTornAside keeps the bytes of a torn line in a file beside the journal and
// then cuts them off. The bytes are read again from the disk.
func (f *File) setTornAside() error {
	torn := io.NewSectionReader(f.f, f.tail.Good, f.tail.Torn)
	name := fmt.Sprintf("%s.torn-%d", f.path, f.tail.Good)
	for i := 2; exists(name); i++ {
		name = fmt.Sprintf("%s.torn-%d-%d", f.path, f.tail.Good, i)
	}
	if err := blob.WriteFile(name, 0o444, func(w io.Writer) error { _, err := io.Copy(w, torn); return err }); err != nil {
		return err
	}
	if err := f.f.Truncate(f.tail.Good); err != nil {
		return err
	}
	f.tail.Torn = 0
	return nil
}

func exists(path string) bool { _, err := os.Lstat(path); return err == nil }

// Size is the number of bytes of sound lines; it changes with every Append.
func (f *File) Size() int64 { return f.tail.Good }

// Path is where the journal lies.
func (f *File) Path() string { return f.path }

// Close closes the file. Nothing is left to be written.
func (f *File) Close() error { return f.f.Close() }
