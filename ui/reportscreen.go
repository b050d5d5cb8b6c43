package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/pdfout"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// reportScreen shows the pages of the report, says what a buyer will miss, and
// issues it.
type reportScreen struct {
	w      *Window
	m      *view.Report
	root   fyne.CanvasObject
	gaps   *fyne.Container
	action *fyne.Container
	one    *look.Field
	two    *look.Field
	wrong  *look.Text
	issue  *look.Button
	ring   *widget.Check // nil where there is no key ring
	issued bool
	// originals asks whether the original photos go inside.
	originals *originalsChoice
	pane      *previewPane

	tabs        *look.Segments
	left, right *fyne.Container // what the chosen tab shows
	form        fyne.CanvasObject
	photos      *listingPane // nil before the listing was opened, as text is
	text        *listingPanel
}

func newReportScreen(w *Window) *reportScreen {
	s := &reportScreen{w: w, gaps: container.NewStack(), action: container.NewStack()}
	s.m = view.NewReport(w.exam.s, func() bool { return pdfout.HasKey(w.bench) })
	s.m.Remembered = func() bool { return w.ring.remembered(w.bench.ID()) }
	s.build()
	s.pane = newPreviewPane(w, s.m)
	s.form = container.NewVScroll(look.Inset(24, 4, 24, 18, look.Spaced(26, s.action, s.gaps)))
	s.tabs = look.NewSegments([]string{"Report", "Listing"}, s.show)
	s.tabs.Set(0)
	s.left, s.right = container.NewStack(s.pane.root), container.NewStack(s.form)
	s.root = look.Columns(look.Flex(1, s.left), look.NewRule(),
		look.Fixed(400, 0, look.On(look.Panel, look.Rows(look.Inset(24, 14, 24, 12, s.tabs), look.Flex(1, s.right)))))
	return s
}

// show shows the report, or the listing that goes beside it.
func (s *reportScreen) show(tab int) {
	if tab == 1 && s.photos == nil {
		m, err := view.NewListing(s.w.exam.s, s.w.bench)
		if err != nil {
			s.tabs.Set(0)
			s.w.Fail(err)
			return
		}
		beside := func(f func()) {
			s.pane.work.Add(1)
			go func() { defer s.pane.work.Done(); f() }()
		}
		s.photos = newListingPane(s.w, m, beside, s.refresh)
		s.text = newListingPanel(s.w, m, s.refresh)
	}
	if tab == 1 {
		s.left.Objects, s.right.Objects = []fyne.CanvasObject{s.photos.root}, []fyne.CanvasObject{s.text.root}
	} else {
		s.left.Objects, s.right.Objects = []fyne.CanvasObject{s.pane.root}, []fyne.CanvasObject{s.form}
	}
	s.left.Refresh()
	s.right.Refresh()
	s.refresh()
}

func (s *reportScreen) object() fyne.CanvasObject { return s.root }

func (s *reportScreen) refresh() {
	if s.tabs.Chosen() == 1 {
		s.photos.refresh()
		s.text.refresh()
		return
	}
	s.refreshReport()
}

// refreshReport shows what stands in the way of issuing, or what to do after.
func (s *reportScreen) refreshReport() {
	var rows []fyne.CanvasObject
	title := "What a buyer will miss"
	gaps := s.m.Gaps()
	if s.m.Issued() != nil {
		title, gaps = "Issued, and closed to changes", nil
		rows = append(rows, paragraphs(
			"Send the PDF. Any reader that checks signatures shows whether a byte has changed; this program also computes the grade again from the record inside.",
			"Give the buyer your key's fingerprint by another channel, by telephone or on paper, so that the name on the report can be believed.",
			"When there is more to say, examine again: the new examination starts from this identity, and this report stays as it is."))
		rows = append(rows, s.w.answeredRows(s.m.Issued().Number)...)
	} else if len(gaps) == 0 {
		rows = append(rows, paragraphs("Nothing stands in the way: every view is photographed, every part inspected, every position tried."))
	}
	for _, g := range gaps {
		icon, ink := "info", look.Missing
		if g.Stops {
			icon, ink = "warning", look.Bad
		}
		rows = append(rows, look.NewRule(), look.SpacedColumns(10, look.NewIcon(icon, ink, 18), look.Flex(1, look.Inset(0, 7, 0, 4, paragraphs(g.Text))),
			look.Centred(look.NewButton(string(g.Screen), "", look.Quiet, func() { s.w.ShowScreen(g.Screen) }))))
	}
	s.gaps.Objects = []fyne.CanvasObject{look.Spaced(4, append([]fyne.CanvasObject{look.NewText(title, look.Title, look.Ink).Bold()}, rows...)...)}
	s.gaps.Refresh()
	s.pane.follow()
	if is := s.m.Issued(); is != nil && !s.issued {
		s.showIssued()
	}
	if s.issue != nil {
		if s.m.CanIssue() {
			s.issue.Enable()
		} else {
			s.issue.Disable()
		}
	}
}

// build makes the form with which a report is signed.
func (s *reportScreen) build() {
	text := "The report is signed with this bench's key. From then on the examination cannot change; a new look is a new examination."
	rows := []fyne.CanvasObject{look.NewText("Issue the report", look.Title, look.Ink).Bold(), paragraphs(text)}
	s.one = s.secret("Passphrase of the signing key")
	rows = append(rows, s.one)
	if s.m.FirstKey() {
		rows[1] = paragraphs(text, "This bench has no key yet. One is made now and kept encrypted under the passphrase you choose. Nobody can recover it for you: keep the passphrase, and a copy of the folder keys, in a safe place.")
		s.two = s.secret("The same passphrase once more")
		rows = append(rows, s.two)
	}
	rows = append(rows, s.ringRows()...)
	s.originals = newOriginalsChoice(s.w)
	rows = append(rows, s.originals.root)
	s.wrong = look.NewText("", look.Small, look.Bad)
	s.issue = look.NewButton("Sign and issue", "key", look.Main, s.sign)
	rows = append(rows, s.wrong, look.Columns(s.issue, look.Space()))
	s.action.Objects = []fyne.CanvasObject{look.Spaced(12, rows...)}
}

func (s *reportScreen) secret(caption string) *look.Field {
	f := look.NewField(caption, "", nil)
	f.Entry().Password = true
	f.Entry().OnSubmitted = func(string) { s.sign() }
	return f
}

func (s *reportScreen) sign() {
	again := ""
	if s.two != nil {
		again = s.two.Text()
	}
	if s.wrong.SetText(s.m.CheckPassphrase(s.one.Text(), again)); s.wrong.String() != "" || !s.m.CanIssue() {
		return
	}
	pass := s.one.Text()
	s.one.Entry().SetText("")
	s.w.issue(issueWish{passphrase: pass, remember: s.ring != nil && s.ring.Checked && pass != "", originals: s.originals.on()})
}

// ringRows offer the desktop's key ring, or say that it has the passphrase.
func (s *reportScreen) ringRows() []fyne.CanvasObject {
	if s.m.FromRing() {
		s.one.SetHint("from this desktop's key ring")
		return nil
	}
	if !s.w.ring.here() {
		return nil
	}
	s.ring = widget.NewCheck("Remember in this desktop's key ring", nil)
	return []fyne.CanvasObject{look.Columns(s.ring, look.Space())}
}

// showIssued shows number, place and hashes of the issued report.
func (s *reportScreen) showIssued() {
	s.issued, s.issue = true, nil
	is := s.m.Issued()
	path := s.w.bench.ReportPath(is.File)
	link := widget.NewEntry()
	link.SetText(path)
	s.action.Objects = []fyne.CanvasObject{look.Spaced(12,
		look.NewText("Issued as "+is.Number, look.Title, look.Ink).Bold(),
		look.NewText(is.At.Format("2006-01-02 15:04 -07:00"), look.Small, look.Dim),
		look.Captioned("The report", link),
		fact("SHA-256", hash(is.SHA256)), fact("Record", hash(is.RecordHash)), fact("Key", hash(is.Key)),
		look.SpacedColumns(8,
			look.NewButton("Verify it", "verify", look.Plain, func() { s.w.CheckReport(path) }),
			look.NewButton("Examine again", "plus", look.Plain, func() {
				s.w.try(func() error { return s.w.Again(s.w.exam.s.Scene().Record.Examination.Instrument) })
			}), look.Space()))}
	s.action.Refresh()
}

func hash(h string) fyne.CanvasObject {
	half := len(h) / 2
	return look.Rows(look.NewText(h[:half], look.Caption, look.Ink).Mono(), look.NewText(h[half:], look.Caption, look.Ink).Mono())
}
