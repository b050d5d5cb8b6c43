package cli_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"wornwood/pdfout/pdfxtest"
)

// outside are the authorities that OpenSSL plays for the scripts: one for
// certificates, and one for time-stamps at $STAMPS.
type outside struct {
	authority *pdfxtest.Authority
	stamps    string
}

func newOutside(t *testing.T) *outside {
	o := &outside{authority: pdfxtest.NewAuthority(t)}
	o.stamps, _ = pdfxtest.Stamps(t)
	return o
}

// certificate FILE.p12 SERVICES YEARS PASSPHRASE [KEY...] writes a key with its
// certificate, as pdfxtest.Authority.Issue makes it for Anselm Tarry.
func (o *outside) certificate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 {
		ts.Fatalf("usage: certificate FILE.p12 SERVICES YEARS PASSPHRASE [KEY...]")
	}
	name := strings.TrimSuffix(args[0], ".p12")
	b, err := os.ReadFile(o.authority.Issue(name, args[1], "/CN=Anselm Tarry/O=Merrow & Finch", args[2], args[3], args[4:]...))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b, 0o600))
}

// revoke FILE.p12 has the authority revoke a certificate.
func (o *outside) revoke(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: revoke FILE.p12")
	}
	o.authority.Revoke(strings.TrimSuffix(args[0], ".p12"))
}

// zbar PICTURE TEXT fails unless zbarimg (Debian: zbar-tools) reads the text in
// a picture's square code.
func zbar(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: zbar PICTURE TEXT")
	}
	out, err := exec.Command("zbarimg", "--quiet", "--nodbus", "--raw", ts.MkAbs(args[0])).Output()
	if err != nil || !strings.Contains(string(out), args[1]) {
		ts.Fatalf("zbarimg reads %q in %s: %v", out, args[0], err)
	}
}

// desktop SCRIPT runs a shell script in a session of its own with GNOME's key
// ring (Debian: gnome-keyring, dbus-daemon).
func desktop(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: desktop SCRIPT")
	}
	const start = `printf %s invented | gnome-keyring-daemon --unlock --components=secrets >/dev/null 2>&1 && exec sh -eu "$@"`
	ts.Check(ts.Exec("env", "-u", "DBUS_SESSION_BUS_ADDRESS", "XDG_RUNTIME_DIR="+ts.Getenv("WORK"), "XDG_DATA_HOME="+ts.Getenv("WORK")+"/data",
		"dbus-run-session", "--", "sh", "-c", start, "sh", ts.MkAbs(args[0])))
}
