// Package pdfxtest runs other people's PDF tools over a file in tests, so that
// the archival form and the signatures are checked by something that does not
// share this program's mistakes.
//
// Start with Preflight (PDF/A-1b), Check (syntax), Signatures and Output. A
// tool that is not installed fails the test: a check that did not run has
// found nothing. On Debian the tools are in poppler-utils, qpdf, openssl,
// libpdfbox2-java and default-jdk-headless.
package pdfxtest

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Output runs a tool and returns what it printed on both streams. A missing
// tool or a failing exit code fails the test.
func Output(t testing.TB, tool string, args ...string) string {
	t.Helper()
	out, err := Run(t, tool, args...)
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", tool, strings.Join(args, " "), err, out)
	}
	return out
}

// Run is Output for callers that expect a failing exit code.
func Run(t testing.TB, tool string, args ...string) (string, error) {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("the tool %s is needed for this test: %v", tool, err)
	}
	var out bytes.Buffer
	cmd := exec.Command(path, args...)
	cmd.Stdout, cmd.Stderr = &out, &out
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "TZ=UTC")
	err = cmd.Run()
	return out.String(), err
}

// Write puts data into a new file of the test's own folder and returns its path.
func Write(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Check runs qpdf --check and fails on errors and warnings alike.
func Check(t testing.TB, path string) {
	t.Helper()
	out := Output(t, "qpdf", "--check", path)
	if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
		t.Fatalf("qpdf finds fault with %s:\n%s", filepath.Base(path), out)
	}
}

// Signatures returns what pdfsig of poppler says about the file's signatures.
func Signatures(t testing.TB, path string) string {
	t.Helper()
	// -nocert: the certificates are self-made; whether to trust them is not
	// this tool's question here.
	out, err := Run(t, "pdfsig", "-nocert", path)
	if err != nil && !strings.Contains(out, "Signature Validation") {
		t.Fatalf("pdfsig: %v\n%s", err, out)
	}
	return out
}
