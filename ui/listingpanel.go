package ui

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/listing"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// listingPanel is the text of a listing beside what it leaves out, and how the
// set is saved.
type listingPanel struct {
	w       *Window
	m       *view.Listing
	root    fyne.CanvasObject
	body    *fyne.Container
	text    *look.Field
	again   *look.Button
	title   *look.Text
	found   *fyne.Container
	now     []listing.Finding
	asked   bool // found was filled
	form    *look.Segments
	sizes   *look.Field
	quality *look.Field
	pins    *look.Segments
	serials *look.Segments
	pending *time.Timer
	chosen  int // form of copying
	changed func()
}

// checkAfter is how long after the last key the text is checked.
const checkAfter = 400 * time.Millisecond

func newListingPanel(w *Window, m *view.Listing, changed func()) *listingPanel {
	p := &listingPanel{w: w, m: m, changed: changed, title: look.NewText("", look.Body, look.Ink).Bold(), found: look.Spaced(4)}
	p.text = look.NewNote("Title, empty line, paragraphs; - begins an item of a list", 14, func(s string) {
		p.do(func() error { return m.SetText(s) })
	})
	p.text.Entry().OnChanged = func(string) { p.checkSoon() }
	p.again = look.NewButton("Compose it again", "", look.Quiet, func() { p.do(m.Compose) })
	p.form = look.NewSegments(view.ListingForms, func(i int) { p.chosen = i })
	p.form.Set(0)
	copy := look.NewButton("Copy", "", look.Plain, p.copy)
	p.body = look.Spaced(12, p.text, look.SpacedColumns(8, look.Fixed(210, 0, p.form), copy, look.Space(), p.again), look.NewRule(), p.title, p.found, look.NewRule(), p.settingsForm())
	p.root = container.NewVScroll(look.Inset(24, 4, 24, 18, p.body))
	return p
}

// settingsForm is what the photos are made like, and where they go.
func (p *listingPanel) settingsForm() fyne.CanvasObject {
	p.sizes = look.NewField("Longer side, one or several", "px", func(s string) { p.do(func() error { return p.m.SetSizes(s) }) })
	p.quality = look.NewField("JPEG quality, 1 to 100", "", func(s string) { p.do(func() error { return p.m.SetQuality(s) }) })
	p.pins = look.NewSegments([]string{"without", "burned in"}, func(i int) { p.do(func() error { return p.m.SetPins(i == 1) }) })
	p.serials = look.NewSegments([]string{"shown", "withheld"}, func(i int) { p.do(func() error { return p.m.SetNoSerials(i == 1) }) })
	return look.Spaced(10, look.NewText("The set", look.Body, look.Ink).Bold(),
		look.SpacedColumns(12, look.Flex(1, p.sizes), look.Flex(1, p.quality)),
		look.SpacedColumns(12, look.Flex(1, look.Captioned("Numbers of marks", p.pins)), look.Flex(1, look.Captioned("Serial number", p.serials))),
		look.SpacedColumns(8, look.NewButton("Save to a folder…", "folder", look.Plain, func() { p.save("A new folder", "") }),
			look.NewButton("Save as zip…", "", look.Plain, func() { p.save("A new file, .zip", ".zip") }), look.Space()),
		paragraphsDim("Photos are made anew from the originals: upright, in sRGB, without place, camera or owner in them."))
}

func (p *listingPanel) do(f func() error) {
	p.w.try(f)
	p.changed()
}

// checkSoon checks what is being typed a moment after the last key.
func (p *listingPanel) checkSoon() {
	if p.pending != nil {
		p.pending.Stop()
	}
	p.pending = time.AfterFunc(checkAfter, func() { fyne.Do(p.check) })
}

// check shows what the text, as it stands in the field, leaves out.
func (p *listingPanel) check() {
	if p.w.exam == nil {
		return
	}
	found := p.m.Check(p.text.Text())
	p.title.SetText(view.CheckTitle(found))
	if p.asked && slices.Equal(found, p.now) {
		return
	}
	p.now, p.asked = found, true
	p.found.Objects = nil
	for _, f := range found {
		icon, ink := "info", look.Missing
		if f.Sort == listing.TooMuch {
			icon, ink = "warning", look.Bad
		}
		p.found.Add(look.SpacedColumns(10, look.NewIcon(icon, ink, 18), look.Flex(1, look.Inset(0, 2, 0, 2, paragraphs(f.Text)))))
	}
	p.found.Add(paragraphsDim(view.CheckHelp))
	p.body.Refresh()
	p.root.Refresh()
}

func (p *listingPanel) refresh() {
	p.text.Set(p.m.Text())
	show(p.again, p.m.Edited())
	d := p.m.Draft()
	p.sizes.Set(p.m.Sizes())
	p.quality.Set(p.m.Quality())
	p.pins.Set(index(d.Pins))
	p.serials.Set(index(d.NoSerials))
	p.check()
}

func index(on bool) int {
	if on {
		return 1
	}
	return 0
}

// copy puts the text on the clipboard in the chosen form.
func (p *listingPanel) copy() {
	p.w.takeTyped()
	p.w.app.Clipboard().SetContent(p.m.Copy(p.chosen))
	p.w.frame.say("Copied as " + view.ListingForms[p.chosen])
}

// save asks where to and writes the set beside the window.
func (p *listingPanel) save(caption, ext string) {
	p.w.takeTyped()
	p.w.askPath("Save the listing", caption, "Save", false, func(path string) {
		if ext != "" && !strings.EqualFold(filepath.Ext(path), ext) {
			path += ext
		}
		job, err := p.m.Job(path)
		if err != nil {
			p.w.Fail(err)
			return
		}
		p.w.work("Making the listing", func(ctx context.Context, report func(int, int, string)) error { return job.Run(ctx, report) },
			func() { p.w.Tell("The listing is saved", job.Said()...) })
	})
}
