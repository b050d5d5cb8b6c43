//go:build ci

package ui

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// identityNow shows a page of the Identity screen, laid out.
func (w *Window) identityNow(t *testing.T, page int) *identityScreen {
	t.Helper()
	w.ShowScreen(view.IdentityScreen)
	s, ok := w.frame.now.(*identityScreen)
	if !ok {
		t.Fatalf("the Identity screen is a %T", w.frame.now)
	}
	s.show(page)
	settle(w)
	return s
}

// someFiles are files to attach, by name.
func someFiles(t *testing.T) map[string]string {
	t.Helper()
	dir := t.TempDir()
	out := map[string]string{}
	for name, content := range map[string]string{
		"bill-of-sale-1974.pdf": "%PDF-1.7\na bill\n%%EOF\n", "note.txt": "Sold to the first owner in May.\n",
		"open-strings.wav": "RIFF\x2c\x00\x00\x00WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00\x44\xac\x00\x00\x88\x58\x01\x00\x02\x00\x10\x00data\x08\x00\x00\x00\x01\x02\x03\x04\x05\x06\x07\x08",
		"neck.mp4":         "\x00\x00\x00\x14ftypisom\x00\x00\x02\x00isom\x00\x00\x00\x08mdat", "program.wav": "MZ\x90\x00\x03\x00\x00\x00\x04\x00",
	} {
		out[name] = filepath.Join(dir, name)
		if err := os.WriteFile(out[name], []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// attach attaches files and waits for it.
func (w *Window) attachNow(t *testing.T, paths ...string) {
	t.Helper()
	w.Attach(paths, nil)
	finish(t, w)
}

// fillIdentity enters claims of every standing, materials and files.
func fillIdentity(t *testing.T, w *Window) {
	t.Helper()
	s := w.exam.s
	for _, c := range s.Scene().Record.Claims {
		if err := s.RemoveClaim(c.ID); err != nil {
			t.Fatal(err)
		}
	}
	files := someFiles(t)
	w.attachNow(t, files["bill-of-sale-1974.pdf"], files["open-strings.wav"], files["neck.mp4"], files["note.txt"])
	list := s.Scene().Record.Attachments
	if err := s.SetAttachment(list[0].ID, "Words", func(a *record.Attachment) { a.About, a.Date = "bill of sale to the first owner", "3 May 1974" }); err != nil {
		t.Fatal(err)
	}
	photos := s.Scene().Record.Photos
	for _, c := range []record.Claim{
		{About: "year", Text: "1974", By: "the seller", Support: "pot codes and serial agree", Standing: record.Seen, Files: []string{photos[0].ID}},
		{About: "owners", Text: "one owner from new, who kept every paper", By: "the seller", Standing: record.Documented, Files: []string{list[0].ID, photos[1].ID}},
		{About: "edition size", Text: "one of 60 made for the spring catalogue", By: "a collectors' list", Standing: record.Unsupported},
		{About: "colour", Text: "original sunburst", By: "the seller", Support: "another colour under the guard", Standing: record.Contradicted},
		{About: "provenance", Text: "played in a studio", By: "the seller", Standing: record.Documented},
	} {
		if _, err := s.AddClaim(c); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.SetInstrument("words", func(i *record.Instrument) { i.Inlays, i.WithIt = "mother-of-pearl dots", "case; bow of pernambuco" }); err != nil {
		t.Fatal(err)
	}
	for _, m := range []record.Material{{Name: "Brazilian rosewood", On: "fingerboard", How: "document", Document: []string{list[0].ID}}, {Name: "Ivory", On: "nut", How: "document", Note: "grain seen under the glass"}, {Name: "Ebony", On: "bridge", How: "seen"}} {
		if _, err := s.AddMaterial(m); err != nil {
			t.Fatal(err)
		}
	}
}

// TestIdentityStands renders each page, empty and filled, at both sizes, light
// and dark.
func TestIdentityStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := bareWindow(t, v.size, v.dark)
			s := w.identityNow(t, instrumentPage)
			capture(t, w, "identity-form-"+v.name)
			stands(t, "form", w, "Maker", "Bass scale, fanned frets", "Coating", "Remark on materials", "Examiner", "Claims · 2")
			s.show(materialsPage)
			capture(t, w, "identity-materials-empty-"+v.name)
			stands(t, "no materials", w, "The fingerboard's entry names rosewood (Dalbergia). List it?", "List it", "The fingerboard appears to be rosewood")
			s.show(documentsPage)
			capture(t, w, "identity-documents-empty-"+v.name)
			stands(t, "no documents", w, "Attach…", "checked as a report")
			fillIdentity(t, w)
			s = w.identityNow(t, claimsPage)
			s.pages[claimsPage].(*claimsPanel).choose("c2")
			checkPicture(t, "claims", capture(t, w, "identity-claims-"+v.name), v.size, v.dark)
			stands(t, "claims", w, "Documented", "Contradicted", "Who says so", "A paper was shown", "Tie a paper or a photo…", "a paper", "lacks something for its standing")
			if _, err := w.exam.s.AddEvidence(record.Evidence{Kind: record.CodeEvidence, What: "potentiometer", Code: "137 8210"}); err != nil {
				t.Fatal(err)
			}
			s.pages[claimsPage].(*claimsPanel).choose("c1")
			capture(t, w, "identity-claims-dated-"+v.name)
			stands(t, "dated", w, "is contradicted by")
			s.pages[claimsPage].(*claimsPanel).choose("c5")
			capture(t, w, "identity-claims-gap-"+v.name)
			stands(t, "gap", w, "Called documented, but no file is tied to it")
			s.show(materialsPage)
			checkPicture(t, "materials", capture(t, w, "identity-materials-"+v.name), v.size, v.dark)
			stands(t, "materials", w, "is named as Brazilian rosewood (Dalbergia nigra) by a document", "Appendix I", "national CITES authority", "Source:", "mother-of-pearl (nacre). List it?")
			s.show(documentsPage)
			checkPicture(t, "documents", capture(t, w, "identity-documents-"+v.name), v.size, v.dark)
			stands(t, "documents", w, "bill-of-sale-1974.pdf", "3 May 1974", "Save a copy…", "Claim on owners", "1 sound, 1 film", w.exam.s.Scene().Record.Attachments[0].ID[:32])
		})
	}
}

// TestClaimByKeyboard enters a claim without the mouse: the button's focus,
// then words and Enter.
func TestClaimByKeyboard(t *testing.T) {
	w := demoWindow(t, small, false)
	s := w.identityNow(t, claimsPage)
	p := s.pages[claimsPage].(*claimsPanel)
	before := len(w.exam.s.Scene().Record.Claims)
	w.win.Canvas().Focus(p.add)
	press(w, fyne.KeyReturn)
	for _, text := range []string{"owners", "one from new", "the seller", "receipt of 1974"} {
		typeText(t, w, text)
		press(w, fyne.KeyReturn)
	}
	if w.win.Canvas().Focused() != fyne.Focusable(p.standing) {
		t.Fatalf("after the last field the keyboard is with a %T", w.win.Canvas().Focused())
	}
	press(w, fyne.KeyHome)
	list := w.exam.s.Scene().Record.Claims
	c := list[len(list)-1]
	c.ID = ""
	if want := (record.Claim{About: "owners", Text: "one from new", By: "the seller", Support: "receipt of 1974", Standing: record.Documented}); len(list) != before+1 || c.About != want.About || c.Text != want.Text || c.By != want.By || c.Support != want.Support || c.Standing != want.Standing {
		t.Errorf("%+v", c)
	}
	if p.m.Gap() != "" || p.warn.Visible() {
		t.Errorf("a receipt is named, and it lacks %q", p.m.Gap())
	}
	// Tab walks from the first field to the next.
	p.form.focus()
	w.win.Canvas().FocusNext()
	if f := w.win.Canvas().Focused(); f == nil || f == fyne.Focusable(p.form.fields[0].Entry()) {
		t.Errorf("Tab leads to a %T", f)
	}
	for range 5 {
		if _, err := w.exam.s.Undo(); err != nil {
			t.Fatal(err)
		}
	}
}

// TestTypedClaimIsKept leaves the page while a field is being typed in.
func TestTypedClaimIsKept(t *testing.T) {
	for name, leave := range map[string]func(*identityScreen){
		"another page":  func(s *identityScreen) { s.show(materialsPage) },
		"another claim": func(s *identityScreen) { s.pages[claimsPage].(*claimsPanel).choose("year") },
		"screen":        func(s *identityScreen) { s.w.ShowScreen(view.MarksScreen) },
	} {
		w := demoWindow(t, small, false)
		s := w.identityNow(t, claimsPage)
		p := s.pages[claimsPage].(*claimsPanel)
		p.choose("edition")
		p.form.fields[1].Focus(w.win.Canvas())
		p.form.fields[1].Entry().SetText("")
		typeText(t, w, "One of 61")
		leave(s)
		if got := w.exam.s.Claim("edition").Text; got != "One of 61" {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// TestProposalAccepted lists what the fingerboard's entry names with one press.
func TestProposalAccepted(t *testing.T) {
	w := bareWindow(t, small, false)
	s := w.identityNow(t, materialsPage)
	p := s.pages[materialsPage].(*materialsPanel)
	b := buttonNamed(p.proposals, "List it")
	if b == nil {
		t.Fatal("nothing is proposed")
	}
	b.Tapped(nil)
	list := w.exam.s.Scene().Record.Materials
	if len(list) != 1 || list[0].Name != "Rosewood" || list[0].On != "fingerboard" || len(p.m.Proposals()) != 0 {
		t.Errorf("%+v", list)
	}
}

func buttonNamed(o fyne.CanvasObject, text string) *look.Button {
	switch o := o.(type) {
	case *look.Button:
		for _, c := range test.WidgetRenderer(o).Objects() {
			if l, ok := c.(*canvas.Text); ok && l.Text == text {
				return o
			}
		}
	case *fyne.Container:
		for _, c := range o.Objects {
			if b := buttonNamed(c, text); b != nil {
				return b
			}
		}
	}
	return nil
}

// TestDroppedRecording drops a sound and a photo: the photo is imported, the
// sound attached; a program that calls itself a sound is neither.
func TestDroppedRecording(t *testing.T) {
	w := bareWindow(t, large, false)
	files := someFiles(t)
	photo := filepath.Join(photoFolder(t), "close-chip.jpg")
	before := len(w.exam.s.Scene().Record.Photos)
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(files["open-strings.wav"]), storage.NewFileURI(photo), storage.NewFileURI(files["note.txt"])})
	finish(t, w)
	finish(t, w)
	rec := w.exam.s.Scene().Record
	var kinds []string
	for _, a := range rec.Attachments {
		kinds = append(kinds, a.Kind)
	}
	if !slices.Equal(kinds, []string{"sound", "document"}) || len(rec.Photos) > before+1 {
		t.Errorf("attached %q, %d photos", kinds, len(rec.Photos))
	}
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(files["program.wav"])})
	finish(t, w)
	if s := lookAt(w); len(w.exam.s.Scene().Record.Attachments) != 2 || !strings.Contains(s.joined(), "program.wav") {
		t.Errorf("a program was taken, or nobody says a word: %s", s.joined())
	}
}

// TestIssuedTakesNoFiles attaches to an examination that is issued; its forms
// are switched off.
func TestIssuedTakesNoFiles(t *testing.T) {
	w := bareWindow(t, large, false)
	if err := w.exam.ex.SetIssued(record.Issued{Number: "CR-2026-0001", At: clock(), File: "reports/CR-2026-0001.pdf"}); err != nil {
		t.Fatal(err)
	}
	w.exam.s.Refresh()
	w.attachNow(t, someFiles(t)["note.txt"])
	if s := lookAt(w); !s.has("That did not work") || len(w.exam.s.Scene().Record.Attachments) != 0 {
		t.Errorf("the window says: %s", s.joined())
	}
	press(w, fyne.KeyEscape)
	s := w.identityNow(t, claimsPage)
	p := s.pages[claimsPage].(*claimsPanel)
	p.add.Tapped(nil)
	if !p.form.fields[0].Entry().Disabled() || len(w.exam.s.Scene().Record.Claims) != 2 {
		t.Error("an issued examination takes claims")
	}
}
