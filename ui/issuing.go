package ui

import (
	"context"
	"errors"

	"wornwood/pdfout"
	"wornwood/pdfout/keyring"
	"wornwood/pdfout/sign"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// keyRing is the desktop's key ring, or what stands in for it in a test.
type keyRing struct {
	here       func() bool
	remembered func(bench string) bool
	keep       func(ctx context.Context, bench, passphrase string) error
	fetch      func(ctx context.Context, bench string) (string, error)
	forget     func(ctx context.Context, bench string) error
}

var desktopRing = keyRing{keyring.Here, keyring.Remembered, keyring.Keep, keyring.Fetch, keyring.Forget}

// issueWish is how the dealer wants a report issued.
type issueWish struct {
	passphrase string // "" asks the key ring
	remember   bool   // the passphrase, in the key ring
	originals  bool   // the original photos go inside
}

// issuing is one report on its way: with which key, and which authorities are
// asked. The passphrase is let go of once the key is open, so that trying again
// does not need it.
type issuing struct {
	w    *Window
	x    *openExam
	wish issueWish
	opt  pdfout.IssueOptions

	id     *sign.Identity
	is     *pdfout.Issued
	away   error // of an authority that did not answer
	unkept error // of a key ring that did not take the passphrase
}

// issue signs the report of the open examination. The authorities are those of
// the bench's settings.
func (w *Window) issue(wish issueWish) {
	set := w.bench.Settings()
	i := &issuing{w: w, x: w.exam, wish: wish, opt: pdfout.IssueOptions{TimestampURL: set.Timestamp, LongTerm: set.LongTerm, WithOriginals: wish.originals}}
	i.run()
}

func (i *issuing) run() {
	i.away = nil
	i.w.work("Issuing the report", func(ctx context.Context, report func(int, int, string)) error {
		if err := i.open(ctx); err != nil {
			return err
		}
		i.opt.Now = i.w.now()
		var err error
		i.is, err = pdfout.Issue(ctx, i.w.bench, i.x.ex, i.id, i.opt, report)
		if errors.Is(err, sign.ErrTimestamp) || errors.Is(err, sign.ErrRevocation) {
			i.away, err = err, nil // there is something to choose
		}
		return err
	}, i.done)
}

// open opens the key, or makes it.
func (i *issuing) open(ctx context.Context) error {
	if i.id != nil {
		return nil
	}
	pass, ring, bench := i.wish.passphrase, false, i.w.bench
	if pass == "" {
		var err error
		if pass, err = i.w.ring.fetch(ctx, bench.ID()); err != nil {
			return err
		}
		ring = true
	}
	id, err := pdfout.OpenIdentity(bench, i.x.ex.Record(), pass, i.w.now())
	if ring && errors.Is(err, sign.ErrPassphrase) {
		return errors.New("the passphrase in the key ring does not open this bench's key any more; type the right one and let it be remembered again")
	}
	if err != nil {
		return err
	}
	i.id, i.wish.passphrase = id, ""
	if i.wish.remember {
		i.unkept = i.w.ring.keep(ctx, bench.ID(), pass) // the report does not fail with it
	}
	return nil
}

func (i *issuing) done() {
	if i.away != nil {
		i.offer()
		return
	}
	i.x.s.Refresh()
	i.w.ShowScreen(view.ReportScreen)
	i.w.frame.say("Issued as " + i.is.Number)
	var notes []string
	if i.is.RevocationWhy != "" {
		notes = append(notes, view.Capital(i.is.RevocationWhy)+".")
	}
	if i.unkept != nil {
		notes = append(notes, view.Words(i.unkept))
	}
	if len(notes) > 0 {
		i.w.Tell("Issued as "+i.is.Number, notes...)
	}
}

// offer lets the dealer issue without the authority that did not answer.
func (i *issuing) offer() {
	i.w.ShowScreen(view.ReportScreen) // the key may have been made meanwhile
	what, later, without := "The time-stamp authority gave no time-stamp, so nothing was issued.",
		"Without one the time is your own clock's word. A copy of the report can be stamped later.", "Issue without a time-stamp"
	drop := func() { i.opt.TimestampURL = "" }
	if errors.Is(i.away, sign.ErrRevocation) {
		what, later, without = "The authority of your certificate did not say whether it was revoked, so nothing was issued.",
			"Its statements can be added to a copy of the report later.", "Issue without the statements"
		drop = func() { i.opt.LongTerm = false }
	}
	var s *sheet
	again := look.NewButton("Try again", "", look.Plain, func() { s.hide(); i.run() })
	leave := look.NewButton(without, "", look.Main, func() { s.hide(); drop(); i.run() })
	s = i.w.showSheet("The authority did not answer", 540, look.Spaced(10, paragraphs(what, later), look.NewParagraph(view.Words(i.away), true).Object), "Not now", again, leave)
}
