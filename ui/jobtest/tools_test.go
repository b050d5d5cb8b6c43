package jobtest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// output runs an outside tool and returns what it prints. A missing tool fails
// the test with the Debian package to install.
func output(t *testing.T, pkg, tool string, args ...string) []byte {
	t.Helper()
	return fed(t, pkg, nil, tool, args...)
}

// fed is output with something on standard input.
func fed(t *testing.T, pkg string, in []byte, tool string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("%s is needed for this test: apt-get install %s", tool, pkg)
	}
	var out, bad bytes.Buffer
	cmd := exec.Command(path, args...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &bad
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "TZ=UTC")
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %s: %v: %s", tool, strings.Join(args, " "), err, bad.Bytes())
	}
	return out.Bytes()
}

// moduleFolder is a folder of a Go module that this program is built with.
func moduleFolder(t *testing.T, module, sub string) string {
	t.Helper()
	dir := strings.TrimSpace(string(output(t, "golang-go", "go", "list", "-m", "-f", "{{.Dir}}", module)))
	if dir == "" {
		t.Fatalf("the module %s is not on this machine: go mod download", module)
	}
	return filepath.Join(dir, filepath.FromSlash(sub))
}

// exiftool reads tags of files (Debian's libimage-exiftool-perl), by file name.
// Values are as stored, groups in front of the names.
func exiftool(t *testing.T, tags []string, files ...string) map[string]map[string]string {
	t.Helper()
	args := []string{"-j", "-n", "-G1", "-charset", "exif=utf8"}
	for _, tag := range tags {
		args = append(args, "-"+tag)
	}
	var list []map[string]any
	decodeJSON(t, output(t, "libimage-exiftool-perl", "exiftool", append(args, files...)...), &list)
	read := map[string]map[string]string{}
	for _, m := range list {
		values := map[string]string{}
		for k, v := range m {
			values[k] = strings.TrimSpace(fmt.Sprint(v))
		}
		read[values["SourceFile"]] = values
	}
	if len(read) != len(files) {
		t.Fatalf("exiftool read %d of %d files", len(read), len(files))
	}
	return read
}
