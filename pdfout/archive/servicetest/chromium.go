package servicetest

import (
	"context"
	"crypto/sha256"
	"crypto/x509"
	"encoding/base64"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Chromium is the path of Debian's browser. ChromiumFlags has what it needs to
// run where tests run; Browse does both.
func Chromium(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatal("the browser is not here: install Debian's package chromium")
	}
	return path
}

// ChromiumFlags are the flags of the command line for a browser without a
// screen, in a container and as root as well. Its sandbox is off, because root
// and most containers cannot have one: only our own pages may be opened.
func ChromiumFlags() []string {
	return []string{"--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"}
}

// Browse starts a browser of this test alone, which ends with it, and gives the
// context for chromedp.Do and chromedp.Run. It refuses every certificate that no public
// authority vouches for, except those named in trusted. It gives up after two
// minutes.
func Browse(t testing.TB, trusted ...*x509.Certificate) context.Context {
	t.Helper()
	home := t.TempDir()
	opts := append(chromedp.DefaultExecAllocatorOptions[:len(chromedp.DefaultExecAllocatorOptions):len(chromedp.DefaultExecAllocatorOptions)],
		chromedp.ExecPath(Chromium(t)), chromedp.UserDataDir(home), chromedp.Env("HOME="+home),
		chromedp.WindowSize(1280, 900), chromedp.WSURLReadTimeout(time.Minute))
	for _, f := range ChromiumFlags() {
		name, value, given := strings.Cut(strings.TrimPrefix(f, "--"), "=")
		if given {
			opts = append(opts, chromedp.Flag(name, value))
		} else {
			opts = append(opts, chromedp.Flag(name, true))
		}
	}
	if len(trusted) > 0 {
		var pins []string
		for _, c := range trusted {
			sum := sha256.Sum256(c.RawSubjectPublicKeyInfo)
			pins = append(pins, base64.StdEncoding.EncodeToString(sum[:]))
		}
		opts = append(opts, chromedp.Flag("ignore-certificate-errors-spki-list", strings.Join(pins, ",")))
	}
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	ctx, release := chromedp.NewExecAllocator(ctx, opts...)
	ctx, _ = chromedp.NewContext(ctx)
	t.Cleanup(func() {
		if err := chromedp.Cancel(ctx); err != nil && ctx.Err() == nil {
			t.Errorf("close the browser: %v", err)
		}
		release()
		stop()
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	return ctx
}
