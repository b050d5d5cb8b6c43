package pdfxtest

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// javaFolder is where Debian's libpdfbox2-java puts the validator.
const javaFolder = "/usr/share/java"

// The validator names three classes that Java dropped and that its Debian
// package does not bring along. These stand in for them.
//
//go:embed java
var sources embed.FS

// Preflight validates a file as PDF/A-1b with
// org.apache.pdfbox.preflight.Validator_A1b and fails the test with its
// findings. Only the probe variant of a report can pass. By hand, with the
// classes of the folder java compiled into DIR:
//
//	cd /usr/share/java && java -cp preflight.jar:pdfbox2.jar:fontbox2.jar:xmpbox.jar:commons-logging.jar:DIR \
//		org.apache.pdfbox.preflight.Validator_A1b FILE
func Preflight(t testing.TB, path string) {
	t.Helper()
	if err := TryPreflight(t, path); err != nil {
		t.Fatal(err)
	}
}

// TryPreflight is Preflight for a file that may be wrong; it returns the
// findings as an error.
func TryPreflight(t testing.TB, path string) error {
	t.Helper()
	out, err := Run(t, "java", "-Xmx512m", "-cp", classPath(t), "org.apache.pdfbox.preflight.Validator_A1b", path)
	switch {
	case err == nil && strings.Contains(out, "is a valid PDF/A-1b file"):
		return nil
	case strings.Contains(out, "is not a valid PDF/A-1b file") || strings.Contains(out, "is not valid"):
		return fmt.Errorf("not PDF/A-1b: %s", out)
	}
	t.Fatalf("the PDF/A validator does not run: %v\n%s", err, out)
	return nil
}

// Metadata lets xmpbox parse a file's metadata strictly and returns what it
// found, one "name value" a line. It knows no schema but the standard's own,
// so a schema of ours passes only when the file describes it.
func Metadata(t testing.TB, path string) string {
	t.Helper()
	return Output(t, "java", "-Xmx512m", "-cp", classPath(t), "wornwood.Metadata", path)
}

func classPath(t testing.TB) string {
	t.Helper()
	var parts []string
	for _, j := range []string{"preflight.jar", "pdfbox2.jar", "fontbox2.jar", "xmpbox.jar", "commons-logging.jar"} {
		jar := filepath.Join(javaFolder, j)
		if _, err := os.Stat(jar); err != nil {
			t.Fatalf("the PDF/A validator is needed for this test: %v", err)
		}
		parts = append(parts, jar)
	}
	jars := strings.Join(parts, ":")
	return jars + ":" + compiled(t, jars)
}

// compiled compiles the missing classes into a folder of the test's own.
func compiled(t testing.TB, jars string) string {
	t.Helper()
	dir := t.TempDir()
	var files []string
	err := fs.WalkDir(sources, "java", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := sources.ReadFile(name)
		if err != nil {
			return err
		}
		to := filepath.Join(dir, filepath.Base(name))
		files = append(files, to)
		return os.WriteFile(to, data, 0o600)
	})
	if err != nil {
		t.Fatal(err)
	}
	Output(t, "javac", append([]string{"-nowarn", "-cp", jars, "-d", dir}, files...)...)
	return dir
}
