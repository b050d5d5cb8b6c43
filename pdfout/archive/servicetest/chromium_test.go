package servicetest

import (
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestBrowse opens a page over HTTPS whose certificate is made by the test: the
// browser shows it, runs its script and follows a button; one that was not told
// of the certificate refuses.
func TestBrowse(t *testing.T) {
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if _, err := io.WriteString(w, `<!doctype html><title>Register</title><p id=said>not yet</p>
<button onclick="document.getElementById('said').textContent='found ä'">Find</button>`); err != nil {
			t.Error(err)
		}
	}))
	s.Config.ErrorLog = log.New(io.Discard, "", 0) // what the second browser's refusal would print
	s.StartTLS()
	defer s.Close()

	began := time.Now()
	ctx := Browse(t, s.Certificate())
	t.Logf("started after %v", time.Since(began))
	began = time.Now()
	if err := chromedp.Do(ctx, chromedp.Navigate(s.URL), chromedp.Click("button")); err != nil {
		t.Fatal(err)
	}
	title, err := chromedp.Run(ctx, chromedp.Title())
	if err != nil {
		t.Fatal(err)
	}
	said, err := chromedp.Run(ctx, chromedp.Text("#said"))
	if err != nil {
		t.Fatal(err)
	}
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("page opened, button pressed and picture taken in %v", time.Since(began))
	if title != "Register" || said != "found ä" {
		t.Errorf("the page is called %q and says %q", title, said)
	}
	if !strings.HasPrefix(string(picture), "\x89PNG") {
		t.Error("the picture is no PNG")
	}

	if err := chromedp.Do(Browse(t), chromedp.Navigate(s.URL)); err == nil || !strings.Contains(err.Error(), "ERR_CERT_AUTHORITY_INVALID") {
		t.Errorf("a browser that does not know the certificate answers %v, want its refusal", err)
	}
}
