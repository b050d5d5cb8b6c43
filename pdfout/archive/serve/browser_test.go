package serve

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"wornwood/pdfout/archive/servicetest"
)

// page is a real browser on the site.
type page struct {
	t   *testing.T
	ctx context.Context
	at  string
}

func (s *site) chromium() *page {
	return &page{s.t, servicetest.Browse(s.t, s.cert), s.http.URL}
}

func (p *page) do(what string, a ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, a...); err != nil {
		p.t.Fatalf("%s: %v", what, err)
	}
}

// holds sees that the page's text has these words.
func (p *page) holds(words ...string) {
	p.t.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Text("body"))
	if err != nil {
		p.t.Fatal(err)
	}
	for _, w := range words {
		if !strings.Contains(text, w) {
			p.t.Errorf("the page does not say %q:\n%s", w, text)
		}
	}
}

// picture keeps what the browser shows, where pictures are asked for, and sees
// that nothing stands out at the side.
func (p *page) picture(name string) {
	p.t.Helper()
	for _, size := range []struct {
		name       string
		wide, high int64
	}{{"wide", 1280, 900}, {"phone", 390, 844}} {
		p.do("size", chromedp.EmulateViewport(size.wide, size.high))
		over, err := chromedp.Run(p.ctx, chromedp.Evaluate[int]("document.documentElement.scrollWidth - document.documentElement.clientWidth"))
		if err != nil {
			p.t.Fatal(err)
		}
		if over > 0 {
			p.t.Errorf("%s at %d: the page is %d pixels wider than the window", name, size.wide, over)
		}
		dir := os.Getenv("WORNWOOD_PICTURES")
		if dir == "" {
			continue
		}
		png, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, "serve-"+name+"-"+size.name+".png"), png, 0o644)
		}
		if err != nil {
			p.t.Fatal(err)
		}
	}
	p.do("size", chromedp.EmulateViewport(1280, 900))
}

// Somebody signs in by the keyboard alone, searches, opens a report and its
// history and signs out, in Debian's Chromium over TLS.
func TestInTheBrowser(t *testing.T) {
	s := newSite(t)
	p := s.chromium()
	p.do("open", chromedp.Navigate(p.at+"/"))
	p.holds("Sign in", "Every report that you open here is written")
	p.picture("login")
	p.do("wrong password", chromedp.WaitVisible("#name"), chromedp.SendKeys("#name", "The keeper\tnot this one\r"), chromedp.WaitVisible("[role=alert]"))
	p.holds("Name or password is wrong.")
	if out, err := chromedp.Run(p.ctx, chromedp.Evaluate[int]("document.querySelectorAll('nav, form.out').length")); err != nil || out != 0 {
		t.Error("somebody who did not come in is shown as if they had", out, err)
	}
	p.picture("wrong")
	p.do("sign in", chromedp.WaitVisible("#password"), chromedp.SendKeys("#password", password+"\r"), chromedp.WaitVisible("form.search"))
	p.holds("Sign out", "reports are filed", "The keeper")
	p.picture("find")
	p.do("search", chromedp.SendKeys("#q", "larkfoot\r"), chromedp.WaitVisible("#q[value=larkfoot]"), chromedp.WaitVisible("table"))
	p.picture("found")
	p.do("report", chromedp.Click("tbody a"), chromedp.WaitVisible(".judged"))
	p.picture("report")
	at, err := chromedp.Run(p.ctx, chromedp.Location())
	if err != nil || !strings.HasPrefix(at, p.at+"/report/") {
		t.Fatal("the first link of the list leads to", at, err)
	}
	p.do("history", chromedp.Navigate(strings.Replace(at, "/report/", "/history/", 1)), chromedp.WaitVisible("h1"))
	p.picture("history")
	p.do("readings", chromedp.Navigate(p.at+"/readings"), chromedp.WaitVisible("h1"))
	p.holds("The keeper")
	p.picture("readings")
	for _, name := range []string{"log", "file", "refused", "help"} {
		p.do(name, chromedp.Navigate(p.at+"/"+name), chromedp.WaitVisible("h1"))
		p.picture(name)
	}
	p.do("sign out", chromedp.Click("form.out button"), chromedp.WaitVisible("#password"))
	p.do("back", chromedp.Navigate(at), chromedp.WaitVisible("#password"))
	if n := len(s.readings()); n < 2 {
		t.Errorf("%d readings of what was opened", n)
	}
}

// On the first page Tab goes from the link past the head through everything that
// can be pressed, and each has a name.
func TestKeyboardWalk(t *testing.T) {
	s := newSite(t)
	p := s.chromium()
	p.do("sign in", chromedp.Navigate(p.at+"/login"), chromedp.WaitVisible("#name"), chromedp.SendKeys("#name", "The reader\t"+password+"\r"), chromedp.WaitVisible("form.search"))
	if _, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool]("document.activeElement.blur() === undefined")); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for range 60 {
		p.do("Tab", chromedp.KeyEvent("\t"))
		name, err := chromedp.Run(p.ctx, chromedp.Evaluate[string]("(e => e === document.body ? '' : e.tagName + ' ' + (e.getAttribute('aria-label') || (e.labels && e.labels[0] ? e.labels[0].innerText : e.innerText)).trim())(document.activeElement)"))
		if err != nil {
			t.Fatal(err)
		}
		if name != "" && strings.HasSuffix(name, " ") {
			t.Errorf("%q has no name", name)
		}
		seen[name] = true
	}
	for _, want := range []string{"A Skip to the contents", "A Find", "A Log", "BUTTON Sign out", "INPUT Search the reports", "BUTTON Find", "A How to search"} {
		if !seen[want] {
			t.Errorf("Tab does not come to %q, but to %v", want, seen)
		}
	}
}
