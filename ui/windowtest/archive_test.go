//go:build window

package windowtest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// Places of the archive, at the window's first size: the page begins under header
// and hairline at 80, the counts are 200 wide, the chosen report 344, and the foot
// is 33 high.
var (
	foundList   = image.Rect(300, 160, 1080, 420)
	chosenPane  = image.Rect(1097, 85, 1440, 760)
	saveACopy   = image.Pt(1141, 825)
	chooseAFile = image.Pt(334, 229)
)

// filedReports makes an archive by the verbs, with some reports in it, and keeps
// one report back.
func filedReports(s *screen) (dir, kept string) {
	s.t.Helper()
	id, err := archivetest.NewKey("R. Calloway")
	if err != nil {
		s.t.Fatal(err)
	}
	in := filepath.Join(s.t.TempDir(), "reports")
	list, err := archivetest.Write(in, id, 6)
	if err != nil {
		s.t.Fatal(err)
	}
	kept = filepath.Join(s.t.TempDir(), "later.pdf")
	if err := os.Rename(list[5], kept); err != nil {
		s.t.Fatal(err)
	}
	dir = filepath.Join(s.t.TempDir(), "kept")
	s.must("archive", "make", dir, "--name", "Reports of Fen Street")
	s.must("archive", "file", dir, in)
	return dir, kept
}

// rows are what the verb finds, looking while the window has the archive.
func (s *screen) rows(dir string, query ...string) []archive.Row {
	s.t.Helper()
	code, out, errs := s.verb(append([]string{"archive", "find", dir, "--json"}, query...)...)
	var f archive.Found
	if err := json.Unmarshal([]byte(out), &f); err != nil {
		s.t.Fatalf("find %v: exit code %d, %q, %s", query, code, out, errs)
	}
	return f.Rows
}

// sumOf is the SHA-256 of a file; "" while it is not there.
func sumOf(path string) string {
	b, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// TestArchive opens an archive that the verbs made, finds a report by typing,
// looks at it, saves a copy, files one more, and finds that.
func TestArchive(t *testing.T) {
	s := newScreen(t, 1600, 1000)
	dir, kept := filedReports(s)
	w := s.open(newBench(s))
	w.ground = w.shot().at(ground.X, ground.Y)
	w.key("ctrl+shift+a")
	w.sheet(true)
	w.write(dir)
	w.key("Return")
	s.until("the window names the archive", func() bool {
		return s.tool("xdotool", "search", "--onlyvisible", "--name", "^Wornwood: Reports of Fen Street$") == w.id
	})
	s.until("Find is shown", func() bool { return w.shot().here(0) })
	w.ground = w.shot().at(ground.X, ground.Y)
	all := w.settled(wholePic)
	w.step("opened")
	if code, _, errs := s.verb("archive", "file", dir, kept); code != 4 || !strings.Contains(errs, "somebody is at work in the archive") {
		t.Errorf("a verb that files beside the window: exit code %d, %s", code, errs)
	}

	w.write("serial:41-OO3")
	one := w.differs("the list follows what is typed", all, foundList)
	w.key("Escape", "Down")
	w.differs("the chosen report is shown", one, chosenPane)
	w.step("found")
	want := s.rows(dir, "serial:41003")
	if len(want) != 1 {
		t.Fatalf("the verb finds %d", len(want))
	}
	copied := filepath.Join(t.TempDir(), "copied.pdf")
	w.click(saveACopy)
	w.sheet(true)
	w.key("ctrl+a")
	w.write(copied)
	w.key("Return")
	s.until("the copy is the report that was chosen", func() bool { return sumOf(copied) == want[0].Hash })
	w.sheet(false)

	fileOneMore(w, dir, kept)
	w.key("ctrl+1")
	s.until("Find is shown again", func() bool { return w.shot().here(0) })
	w.key("ctrl+a")
	w.write("serial:41005")
	w.differs("the new report is in the list", one, foundList)
	w.step("found-again")
	w.close()
	s.until("the archive is free", func() bool {
		code, out, _ := s.verb("archive", "check", dir)
		return code == 0 && strings.Contains(out, "6 reports")
	})
}

// fileOneMore files a report on the page File.
func fileOneMore(w *window, dir, kept string) {
	w.t.Helper()
	s := w.screen
	w.key("ctrl+3")
	s.until("File is shown", func() bool { return w.shot().here(2) })
	w.settled(wholePic)
	w.click(chooseAFile)
	w.sheet(true)
	w.write(kept)
	w.step("choosing")
	w.key("Return")
	s.until("the log says that it is filed", func() bool {
		log, err := os.ReadFile(filepath.Join(dir, "log.jsonl"))
		return err == nil && bytes.Contains(log, []byte(`"file":"`+sumOf(kept)+`"`))
	})
	s.until("the verb finds it too", func() bool { return len(s.rows(dir, "serial:41005")) == 1 })
	w.settled(wholePic)
	w.step("filed")
}
