package archive_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// byHand is the script that FORMAT.md gives to whoever has no Wornwood.
func byHand(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	_, script, ok := strings.Cut(string(b), "## Checking by hand\n")
	if !ok {
		t.Fatal("FORMAT.md has no section on checking by hand")
	}
	return regexp.MustCompile(`(?m)^    `).ReplaceAllString(strings.Replace(script, "cd ARCHIVE", `cd "$1"`, 1), "")
}

func runByHand(t *testing.T, dir string) (string, error) {
	t.Helper()
	cmd := exec.Command("bash", "-eu", "-o", "pipefail", "-c", byHand(t), "check", dir)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// named reads the names in the log and compares every file with them.
const named = `
import json, hashlib, sys
d = sys.argv[1]; n = 0
def h(p): return hashlib.sha256(open(p, "rb").read()).hexdigest()
for line in open(d + "/log.jsonl", "rb"):
    e = json.loads(line)
    assert json.dumps(e, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode() + b"\n" == line
    f = e.get("file", "")
    if e["kind"] == "filed":
        assert h(f"{d}/files/{f[:2]}/{f}.pdf") == f
        assert h(f"{d}/verdicts/{f[:2]}/{f}.json") == e["verdict"]
        assert h(f"{d}/records/{f[:2]}/{f}.json") == e["record"]
        n += 1
    if e["kind"] == "refused":
        assert h(f"{d}/refused/{f}.txt") == e["verdict"]; n += 1
print(n)
`

// sha256sum, sqlite3 and a shell say of an archive what the program says: whole
// when it is whole, with the same head, and broken when it is not.
func TestCheckedByOutsideTools(t *testing.T) {
	a, dir := newArchive(t)
	in := folderOf(t, 3)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	file(t, a, in)
	clean(t, a)
	head := a.Head()
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	out, err := runByHand(t, dir)
	if want := head.String() + "\nok\n3\n"; err != nil || out != want {
		t.Fatalf("%v: %q, want %q", err, out, want)
	}
	if out, err := exec.Command("python3", "-c", named, dir).CombinedOutput(); err != nil || string(out) != "4\n" {
		t.Errorf("python: %v: %s", err, out)
	}
	log, err := os.ReadFile(filepath.Join(dir, "log.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	altered := bytes.Replace(log, []byte("report-1.pdf"), []byte("report-7.pdf"), 1)
	write(t, filepath.Join(dir, "log.jsonl"), altered)
	if out, err := runByHand(t, dir); err == nil {
		t.Errorf("an altered log passes by hand: %s", out)
	}
	write(t, filepath.Join(dir, "log.jsonl"), log)
	list, err := filepath.Glob(filepath.Join(dir, "files", "*", "*.pdf"))
	if err != nil || len(list) != 3 {
		t.Fatal(list, err)
	}
	b, err := os.ReadFile(list[0])
	if err != nil {
		t.Fatal(err)
	}
	b[1000] ^= 1
	if err := os.Remove(list[0]); err != nil {
		t.Fatal(err)
	}
	write(t, list[0], b)
	if out, err := runByHand(t, dir); err == nil {
		t.Errorf("an altered report passes by hand: %s", out)
	}
}
