package journal

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"wornwood/capture/record"
)

// three is a journal of three lines and where each of them ends.
func three(t testing.TB) (data []byte, ends []int) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	b.must(Entry{Op: Do, Name: "one", Changes: []record.Change{mark(t, 1, "first")}})
	b.must(Entry{Op: Do, Name: "two", Changes: []record.Change{mark(t, 2, "second")}})
	data = b.bytes()
	for i, c := range data {
		if c == '\n' {
			ends = append(ends, i+1)
		}
	}
	return data, ends
}

// A last line cut at every one of its bytes: the lines before it are there, the
// user is told, and the next edit keeps the torn bytes in a file beside it.
func TestTornAtEveryByte(t *testing.T) {
	data, ends := three(t)
	whole := ends[1]
	for cut := whole + 1; cut < len(data); cut++ {
		dir := t.TempDir()
		p := filepath.Join(dir, "j")
		if err := os.WriteFile(p, data[:cut], 0o644); err != nil {
			t.Fatal(err)
		}
		f, s, note, err := Open(p, id)
		if err != nil {
			t.Fatalf("cut at %d: %v", cut, err)
		}
		if s.Seq != 2 || len(s.Record.Marks) != 1 || !strings.Contains(note, "cut off") {
			t.Fatalf("cut at %d: line %d, note %q", cut, s.Seq, note)
		}
		if got, _ := os.ReadFile(p); !bytes.Equal(got, data[:cut]) {
			t.Fatalf("cut at %d: opening changed the file", cut)
		}
		b := &bed{t, p, f, s}
		b.must(Entry{Op: Do, Name: "again", Changes: []record.Change{mark(t, 7, "")}})
		b.must(Entry{Op: Do, Name: "and again", Changes: []record.Change{mark(t, 8, "")}})
		if list, _ := os.ReadDir(dir); len(list) != 2 {
			t.Fatalf("cut at %d: %v", cut, list)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		torn, err := os.ReadFile(p + ".torn-" + strconv.Itoa(whole))
		if err != nil || !bytes.Equal(torn, data[whole:cut]) {
			t.Fatalf("cut at %d: torn bytes %q, %v", cut, torn, err)
		}
		f, s, note, err = Open(p, id)
		if err != nil || note != "" || s.Seq != 4 || s.Record.MarkByNumber(7) == nil {
			t.Fatalf("cut at %d: %v, note %q", cut, err, note)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// The same place torn twice keeps both.
func TestTornTwice(t *testing.T) {
	data, ends := three(t)
	p := filepath.Join(t.TempDir(), "j")
	for _, cut := range []int{ends[1] + 5, ends[1] + 9} {
		if err := os.WriteFile(p, data[:cut], 0o644); err != nil {
			t.Fatal(err)
		}
		f, s, _, err := Open(p, id)
		if err != nil {
			t.Fatal(err)
		}
		b := &bed{t, p, f, s}
		b.must(Entry{Op: Undo})
	}
	for name, n := range map[string]int{".torn-" + strconv.Itoa(ends[1]): 5, ".torn-" + strconv.Itoa(ends[1]) + "-2": 9} {
		if torn, err := os.ReadFile(p + name); err != nil || len(torn) != n {
			t.Errorf("%s: %q %v", name, torn, err)
		}
	}
}

// A sector of the last line that never reached the disk reads as zeros.
func TestUnwrittenSector(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	b.must(Entry{Op: Do, Name: "one", Changes: []record.Change{mark(t, 1, "first")}})
	end := len(b.bytes())
	b.must(Entry{Op: Do, Name: "two", Changes: []record.Change{mark(t, 2, strings.Repeat("long ", 400))}})
	data := b.bytes()
	zeroed := func(from, to int) []byte {
		d := bytes.Clone(data)
		clear(d[from:to])
		return d
	}
	for name, d := range map[string][]byte{
		"a sector inside":    zeroed(end+300, end+300+sector),
		"the beginning":      zeroed(end, end+7),
		"behind a whole one": append(bytes.Clone(data[:end]), make([]byte, 4096)...),
	} {
		s, tail, err := Replay(bytes.NewReader(d), id, "j")
		if err != nil || s.Seq != 2 || tail.Torn != int64(len(d)-end) {
			t.Errorf("%s: %+v %v", name, tail, err)
		}
	}
	if _, _, err := Replay(bytes.NewReader(zeroed(end+300, end+310)), id, "j"); err == nil {
		t.Error("ten zeros were taken for an unwritten sector")
	}
}

// Any other byte changed in any line is damage, and says which line.
func TestDamagedAnywhere(t *testing.T) {
	data, ends := three(t)
	for i := range data {
		for _, flip := range []byte{0x01, 0x20, 0x80} {
			bad := bytes.Clone(data)
			bad[i] ^= flip
			line := 1
			for line < 3 && i >= ends[line-1] {
				line++
			}
			_, tail, err := Replay(bytes.NewReader(bad), id, "j")
			var d *DamagedError
			switch {
			case i == len(data)-1: // without its end the last line counts as torn
				if err != nil || tail.Lines != 2 {
					t.Fatalf("byte %d: %v", i, err)
				}
			case !errors.As(err, &d) || d.Line != line || d.File != "j":
				t.Fatalf("byte %d of line %d: %v", i, line, err)
			}
		}
	}
}

func TestDamagedFileIsNotTouched(t *testing.T) {
	data, ends := three(t)
	data[ends[0]+90] ^= 1
	p := filepath.Join(t.TempDir(), "j")
	if err := os.WriteFile(p, data, 0o644); err != nil {
		t.Fatal(err)
	}
	_, _, _, err := Open(p, id)
	var d *DamagedError
	if !errors.As(err, &d) || d.Line != 2 || !strings.Contains(err.Error(), p) {
		t.Fatal(err)
	}
	got, _ := os.ReadFile(p)
	list, _ := os.ReadDir(filepath.Dir(p))
	if !bytes.Equal(got, data) || len(list) != 1 {
		t.Error("something was written")
	}
}

func TestWrongJournals(t *testing.T) {
	data, ends := three(t)
	lines := [][]byte{data[:ends[0]], data[ends[0]:ends[1]], data[ends[1]:]}
	for name, c := range map[string]struct {
		id   string
		data []byte
		line int
	}{
		"empty":                 {id, nil, 1},
		"only a torn line":      {id, data[:20], 1},
		"another examination's": {"bbbbbbbbbbbbbbbbbbbbbbbbbb", data, 1},
		"first line missing":    {id, data[ends[0]:], 1},
		"middle line missing":   {id, append(bytes.Clone(lines[0]), lines[2]...), 2},
		"lines swapped":         {id, bytes.Join([][]byte{lines[0], lines[2], lines[1]}, nil), 2},
		"line doubled":          {id, bytes.Join([][]byte{lines[0], lines[1], lines[1], lines[2]}, nil), 3},
		"text":                  {id, []byte("hello\nworld\n"), 1},
		"line without end":      {id, append(bytes.Clone(data), bytes.Repeat([]byte("x"), MaxLine+1)...), 4},
		"blank line":            {id, append(bytes.Clone(data), '\n', '\n'), 4},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := Replay(bytes.NewReader(c.data), c.id, "j")
			var d *DamagedError
			if !errors.As(err, &d) || d.Line != c.line {
				t.Errorf("got %v, want damage in line %d", err, c.line)
			}
		})
	}
}

// endless gives the same line for ever.
type endless struct{ line []byte }

func (e endless) Read(p []byte) (int, error) { return copy(p, e.line), nil }

func TestJournalIsBounded(t *testing.T) {
	if _, _, err := Replay(endless{bytes.Repeat([]byte("x"), 4096)}, id, "j"); err == nil {
		t.Error("an endless line was read")
	}
	if _, _, err := Replay(endless{[]byte("\n")}, id, "j"); err == nil {
		t.Error("endless lines were read")
	}
}

// A write that fails leaves the journal as it was.
func TestFailedWrite(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	before := b.bytes()
	if err := b.f.f.Close(); err != nil {
		t.Fatal(err)
	}
	e := Entry{Op: Do, Name: "one", Changes: []record.Change{mark(t, 1, "")}}
	if err := b.add(e); err == nil {
		t.Fatal("written to a closed file")
	}
	if err := b.add(e); err == nil || !strings.Contains(err.Error(), "opened again") {
		t.Errorf("%v", err)
	}
	if !bytes.Equal(b.bytes(), before) {
		t.Error("the file changed")
	}
	f, s, note, err := Open(b.path, id)
	if err != nil || note != "" {
		t.Fatal(err, note)
	}
	b.f, b.s = f, s
	b.must(e)
}

func FuzzReplay(f *testing.F) {
	data, ends := three(f)
	f.Add(data)
	f.Add(data[:ends[1]+20])
	f.Add([]byte("hello\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, tail, err := Replay(bytes.NewReader(data), id, "j")
		var d *DamagedError
		if err != nil && !errors.As(err, &d) {
			t.Fatal(err)
		}
		if err == nil && (tail.Good+tail.Torn != int64(len(data)) || s.Seq != tail.Lines) {
			t.Errorf("%+v of %d bytes, line %d", tail, len(data), s.Seq)
		}
	})
}

// FuzzEntries goes behind the checksum: every line of the input is taken for an
// entry and given a sum that fits.
func FuzzEntries(f *testing.F) {
	f.Add([]byte(`{"seq":1,"op":"begin","changes":[{"target":"examination","value":{}}]}` + "\n" +
		`{"seq":2,"op":"do","group":"g","changes":[{"target":"mark/1","value":{"number":1,"kind":"ding"}},{"target":"photo/a","value":{"id":"a"}}]}` + "\n" +
		`{"seq":3,"op":"undo"}` + "\n" + `{"seq":4,"op":"redo"}`))
	f.Add([]byte(`{"seq":1,"op":"begin"}` + "\n" + `{"seq":2,"op":"issue","issued":{"number":"1","file":"f"}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var file bytes.Buffer
		sum := id
		for _, e := range bytes.Split(data, []byte("\n")) {
			sum = sumOf(sum, e)
			file.WriteString(linePrefix + sum + lineMiddle)
			file.Write(e)
			file.WriteString(lineEnd)
		}
		s, _, err := Replay(&file, id, "j")
		if err == nil {
			if err := s.Record.Check(); err != nil {
				t.Fatal(err)
			}
		}
	})
}
