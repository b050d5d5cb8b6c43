package blob

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"
)

func newStore(t *testing.T) *Store {
	t.Helper()
	s, err := Open(filepath.Join(t.TempDir(), "originals"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// abc is the SHA-256 of "abc", FIPS 180-2 appendix B.1.
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func TestPutOnce(t *testing.T) {
	s := newStore(t)
	for i, known := range []bool{false, true} {
		id, n, was, err := s.Put(strings.NewReader("abc"), 3)
		if err != nil || id != abc || n != 3 || was != known {
			t.Fatalf("put %d: %s %d %v %v", i, id, n, was, err)
		}
	}
	st, err := os.Stat(s.Path(abc))
	if err != nil || st.Mode() != 0o444 || s.Path(abc) != filepath.Join(s.dir, "ba", abc) {
		t.Errorf("%v %v", st, err)
	}
	got, err := s.Bytes(abc, 10)
	if err != nil || string(got) != "abc" || !s.Has(abc) {
		t.Errorf("%q %v", got, err)
	}
	f, err := s.Open(abc)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if b, err := io.ReadAll(f); err != nil || string(b) != "abc" || f.Size != 3 {
		t.Errorf("%q %d %v", b, f.Size, err)
	}
	ids, strangers, err := s.List()
	if err != nil || len(ids) != 1 || ids[0] != abc || len(strangers) != 0 {
		t.Errorf("%v %v %v", ids, strangers, err)
	}
}

// counted gives zeros, up to a limit that no test should reach.
type counted struct{ n int64 }

func (c *counted) Read(p []byte) (int, error) {
	if c.n += int64(len(p)); c.n > 16<<20 {
		return 0, io.EOF
	}
	clear(p)
	return len(p), nil
}

func TestPutRefuses(t *testing.T) {
	s := newStore(t)
	if _, _, _, err := s.Put(strings.NewReader("abcd"), 3); !errors.Is(err, ErrTooLarge) {
		t.Error(err)
	}
	endless := &counted{}
	if _, _, _, err := s.Put(endless, 1000); !errors.Is(err, ErrTooLarge) || endless.n > 1<<20 {
		t.Errorf("%d bytes read, %v", endless.n, err)
	}
	broken := errors.New("the card was pulled out")
	if _, _, _, err := s.Put(io.MultiReader(strings.NewReader("ab"), iotest.ErrReader(broken)), 9); !errors.Is(err, broken) {
		t.Error(err)
	}
	if list, _ := os.ReadDir(s.dir); len(list) != 0 {
		t.Errorf("left behind: %v", list)
	}
}

func TestMissing(t *testing.T) {
	s := newStore(t)
	for _, id := range []string{abc, "", "../../etc/passwd", strings.ToUpper(abc), strings.Repeat("g", 64)} {
		_, openErr := s.Open(id)
		_, bytesErr := s.Bytes(id, 10)
		if s.Has(id) || !errors.Is(openErr, ErrMissing) || !errors.Is(bytesErr, ErrMissing) || !errors.Is(s.Verify(id), ErrMissing) {
			t.Errorf("%q: %v, %v", id, openErr, bytesErr)
		}
	}
}

// Damage of any kind is found by every way of reading, and storing the good
// content again mends it.
func TestDamage(t *testing.T) {
	for name, content := range map[string]string{"a bit": "abb", "cut": "ab", "longer": "abcd", "empty": ""} {
		t.Run(name, func(t *testing.T) {
			s := newStore(t)
			if _, _, err := s.PutBytes([]byte("abc")); err != nil {
				t.Fatal(err)
			}
			p := s.Path(abc)
			if err := os.Chmod(p, 0o644); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(p, []byte(content), 0o644); err != nil {
				t.Fatal(err)
			}
			_, openErr := s.Open(abc)
			_, bytesErr := s.Bytes(abc, 10)
			for _, err := range []error{openErr, bytesErr, s.Verify(abc)} {
				var d *DamagedError
				if !errors.As(err, &d) || d.ID != abc || d.Path != p {
					t.Errorf("%v", err)
				}
			}
			bad := 0
			if err := s.Check(context.Background(), func(done, total int, id string, err error) {
				if err != nil && done == 1 && total == 1 {
					bad++
				}
			}); err != nil || bad != 1 {
				t.Errorf("%d, %v", bad, err)
			}
			if _, known, err := s.PutBytes([]byte("abc")); err != nil || known || s.Verify(abc) != nil {
				t.Errorf("not mended: known %v, %v", known, err)
			}
		})
	}
}

func TestTornFilesAreCleaned(t *testing.T) {
	s := newStore(t)
	if _, _, err := s.PutBytes([]byte("abc")); err != nil {
		t.Fatal(err)
	}
	torn := filepath.Join(s.dir, tempPrefix+"123")
	if err := os.WriteFile(torn, []byte("half a pho"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(s.dir); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(torn); !errors.Is(err, fs.ErrNotExist) || !s.Has(abc) {
		t.Errorf("torn file: %v; whole one there: %v", err, s.Has(abc))
	}
}

func TestStrangersAreListed(t *testing.T) {
	s := newStore(t)
	p := filepath.Join(s.dir, "zz", abc)
	if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p, []byte("abc"), 0o644); err != nil {
		t.Fatal(err)
	}
	ids, strangers, err := s.List()
	if err != nil || len(ids) != 0 || len(strangers) != 1 || strangers[0] != p {
		t.Errorf("%v %v %v", ids, strangers, err)
	}
}

func TestManyAtOnce(t *testing.T) {
	s := newStore(t)
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			if _, _, err := s.PutBytes([]byte{byte(i % 3)}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if ids, _, err := s.List(); err != nil || len(ids) != 3 {
		t.Errorf("%v %v", ids, err)
	}
	if list, _ := filepath.Glob(filepath.Join(s.dir, tempPrefix+"*")); len(list) != 0 {
		t.Errorf("left behind: %v", list)
	}
}

func TestCheckStops(t *testing.T) {
	s := newStore(t)
	if _, _, err := s.PutBytes([]byte("abc")); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := s.Check(ctx, func(int, int, string, error) { t.Error("visited") }); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestAnyContentComesBack(t *testing.T) {
	s := newStore(t)
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOf(rapid.Byte()).Draw(t, "data")
		id, _, _, err := s.Put(iotest.OneByteReader(bytes.NewReader(data)), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Bytes(id, int64(len(data)))
		if err != nil || !bytes.Equal(got, data) {
			t.Fatalf("%v", err)
		}
	})
}

func TestWriteFileKeepsTheOldOne(t *testing.T) {
	p := filepath.Join(t.TempDir(), "settings")
	put := func(s string, fail error) error {
		return WriteFile(p, 0o600, func(w io.Writer) error {
			if _, err := io.WriteString(w, s); err != nil {
				return err
			}
			return fail
		})
	}
	broken := errors.New("no room")
	if err := put("one", nil); err != nil {
		t.Fatal(err)
	}
	if err := put("tw", broken); !errors.Is(err, broken) {
		t.Error(err)
	}
	if b, err := os.ReadFile(p); err != nil || string(b) != "one" {
		t.Errorf("%q %v", b, err)
	}
	if list, _ := os.ReadDir(filepath.Dir(p)); len(list) != 1 {
		t.Errorf("left behind: %v", list)
	}
}
