package archive

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"

	"wornwood/capture/blob"
)

// maxLine bounds a line of the log, in bytes.
const maxLine = 64 << 10

func logName(l Ledger) string { return string(l) + ".jsonl" }

func (s *folder) logPath(l Ledger) string { return filepath.Join(s.dir, logName(l)) }

func (s *folder) Append(to Ledger, at int64, lines [][]byte) error {
	if len(lines) == 0 {
		return nil
	}
	// The names of what the lines tell of must be durable before the lines.
	if err := blob.SyncDir(filepath.Join(s.dir, stageDir)); err != nil {
		return err
	}
	f, size, err := s.openLedger(to)
	if err != nil {
		return fmt.Errorf("write log: %w", err)
	}
	if size != at {
		return errors.Join(fmt.Errorf("write log: it ends at byte %d and not %d: %w", size, at, ErrConflict), f.Close())
	}
	_, err = f.Write(append(bytes.Join(lines, []byte("\n")), '\n'))
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		// Back to what was promised before; where even that fails, the next
		// Tail finds at worst whole lines that nobody was told of, or a torn one.
		return errors.Join(fmt.Errorf("write log: %w", err), f.Truncate(size), f.Close())
	}
	return f.Close()
}

// openLedger opens a ledger to write at its end, and locks it until it is
// closed: readings are written by several processes. Those begin when there is
// one; a log that is gone is not begun anew.
func (s *folder) openLedger(l Ledger) (*os.File, int64, error) {
	flags := os.O_WRONLY | os.O_APPEND
	if l != MainLog {
		flags |= os.O_CREATE
	}
	f, err := os.OpenFile(s.logPath(l), flags, 0o644)
	if err != nil {
		return nil, 0, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX); err != nil {
		return nil, 0, errors.Join(err, f.Close())
	}
	st, err := f.Stat()
	if err != nil {
		return nil, 0, errors.Join(err, f.Close())
	}
	return f, st.Size(), nil
}

func (s *folder) Tail(of Ledger, mend bool) ([]byte, int64, error) {
	line, end, torn, err := s.tail(of)
	if errors.Is(err, fs.ErrNotExist) && of != MainLog {
		return nil, 0, nil
	}
	if err == nil && mend && len(torn) > 0 {
		err = s.mend(of, end, torn)
	}
	if err != nil {
		return nil, 0, fmt.Errorf("read log: %w", err)
	}
	return line, end, nil
}

// tail reads the end of the log backwards far enough for its last whole line.
func (s *folder) tail(of Ledger) (line []byte, end int64, torn []byte, err error) {
	f, err := os.Open(s.logPath(of))
	if err != nil {
		return nil, 0, nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, 0, nil, err
	}
	from := max(0, st.Size()-2*maxLine)
	b := make([]byte, st.Size()-from)
	if _, err := f.ReadAt(b, from); err != nil && err != io.EOF {
		return nil, 0, nil, err
	}
	i := bytes.LastIndexByte(b, '\n')
	if i < 0 && from > 0 {
		return nil, 0, nil, errors.New("its last line has no end; bring the log back from a copy")
	}
	if i < 0 {
		return nil, 0, b, nil
	}
	start := bytes.LastIndexByte(b[:i], '\n') + 1
	if start == 0 && from > 0 {
		return nil, 0, nil, errors.New("its last line has no beginning; bring the log back from a copy")
	}
	return b[start:i], from + int64(i) + 1, b[i+1:], nil
}

// mend cuts a torn line off; it was never confirmed to anybody. Under the lock
// of the ledger, and only where it still ends as it was read: what looked torn
// may have been somebody's line on its way.
func (s *folder) mend(of Ledger, end int64, torn []byte) (err error) {
	l, size, err := s.openLedger(of)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	if size != end+int64(len(torn)) {
		return nil
	}
	f, err := os.OpenFile(filepath.Join(s.dir, string(of)+".torn"), os.O_WRONLY|os.O_APPEND|os.O_CREATE, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(append(bytes.Clone(torn), '\n'))
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Truncate(s.logPath(of), end)
}

func (s *folder) Log(of Ledger, from int64, visit func([]byte, int64) error) error {
	f, err := os.Open(s.logPath(of))
	if errors.Is(err, fs.ErrNotExist) && of != MainLog {
		return nil
	}
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("read log: %w", ErrMissing)
	}
	if err != nil {
		return fmt.Errorf("read log: %w", err)
	}
	defer f.Close()
	if _, err := f.Seek(from, io.SeekStart); err != nil {
		return fmt.Errorf("read log: %w", err)
	}
	r := bufio.NewReaderSize(f, maxLine)
	for {
		line, err := r.ReadSlice('\n')
		switch {
		case err == io.EOF:
			return nil // whatever is left is torn, and nobody was told of it
		case errors.Is(err, bufio.ErrBufferFull):
			return fmt.Errorf("read log: a line of more than %d KiB from byte %d on; bring the log back from a copy", maxLine>>10, from)
		case err != nil:
			return fmt.Errorf("read log: %w", err)
		}
		from += int64(len(line))
		if err := visit(line[:len(line)-1], from); err != nil {
			return err
		}
	}
}
