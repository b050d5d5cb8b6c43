//go:build window

package windowtest

import (
	"encoding/json"
	"fmt"
	"image"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// most is how many actions a complete examination may take.
const most = 260

// TestWholeExamination fills a complete examination of a solid body with 22 frets
// and six strings from prepared photos, by mouse and keyboard alone, counting
// what the hand does, and has the verbs confirm that nothing of it is missing.
func TestWholeExamination(t *testing.T) {
	s := newScreen(t, 1600, 1000)
	dir := filepath.Join(t.TempDir(), "shop")
	s.must("new", dir, "--examiner", "R. Calloway")
	w := s.open(dir)
	h := newHand(w)
	h.on("list")
	h.counts["list"]++
	w.openExam()
	photos := wholePhotos(h)
	wholeIdentity(h)
	wholeClaims(h)
	wholeMarks(h)
	wholeParts(h)
	wholeElectronics(h)
	wholeSetup(h)
	wholePlaying(h)
	wholeDating(h)
	wholeGrade(h)
	report := wholeReport(h)
	if n := h.total(); n > most {
		t.Errorf("a complete examination takes %d actions, more than %d", n, most)
	}
	w.close()
	confirm(h, dir, report, photos)
}

// wholePhotos imports a folder; the names propose the views.
func wholePhotos(h *hand) int {
	h.t.Helper()
	h.on("photos")
	dir, names := allPhotos(h.t)
	h.key("ctrl+o")
	h.sheet(true)
	h.write(dir)
	h.key("Return")
	h.number("photo/", len(names))
	h.sheet(false)
	h.until("the photos are shown", func() bool { return h.shot().here(1) })
	h.step("photos")
	return len(names)
}

// wholeIdentity fills the form from the maker on.
func wholeIdentity(h *hand) {
	h.t.Helper()
	h.to(0, "identity")
	h.step("identity-empty")
	h.click(makerField)
	h.fields("Tab", "Halden & Rowe", "Larkfoot Standard", "", "1974", "41873", "sunburst", "nitrocellulose", "alder", "maple", "appears to be rosewood")
	h.click(massField)
	h.fields("Tab", "3.42", "nickel", "dots", "two passive pickups", "case, one key")
	h.has("instrument", `"maker":"Halden & Rowe"`, `"model":"Larkfoot Standard"`, `"year":"1974"`, `"serial":"41873"`, `"colour":"sunburst"`, `"coating":"nitrocellulose"`,
		`"body":"alder"`, `"neck":"maple"`, `"fingerboard":"appears to be rosewood"`, `"mass":3.42`, `"hardware":"nickel"`, `"inlays":"dots"`, `"electronics":"two passive pickups"`, `"withIt":"case, one key"`)
	h.step("identity")
}

// wholeClaims enters two claims: what, the claim, who says so, what supports it,
// and how it stands.
func wholeClaims(h *hand) {
	h.t.Helper()
	h.click(claimsTab)
	h.settled(wholePic)
	h.step("claims-empty")
	h.click(addClaim)
	h.number("claim/", 1)
	h.fields("Return", "year", "1974", "seller", "serial number and codes agree")
	h.key("Left")
	h.has("claim/c1", `"about":"year"`, `"text":"1974"`, `"by":"seller"`, `"support":"serial number and codes agree"`, `"standing":"seen"`)
	h.click(addClaim)
	h.number("claim/", 2)
	h.fields("Return", "edition size", "One of 60", "seller", "no document seen")
	h.key("Right")
	h.has("claim/c2", `"about":"edition size"`, `"text":"One of 60"`, `"standing":"unsupported"`)
	h.step("claims")
}

// flaw is one mark to make: where on the outline and on the photo, its kind as
// letters and depth, and its length.
type flaw struct {
	on, photo    image.Point
	typed        string
	kind, length string
	depth        string
}

// wholeMarks pins twelve marks, seven on the front and five on the back.
func wholeMarks(h *hand) {
	h.t.Helper()
	h.to(2, "marks")
	h.until("the photo is drawn", func() bool { return h.shot().colours(photo) > 500 })
	h.step("marks-empty")
	for i, f := range frontFlaws {
		pin(h, i+1, f)
	}
	h.step("marks-front")
	h.click(backTab)
	h.click(backThumb)
	h.until("the back is drawn", func() bool { return h.shot().colours(photo) > 500 })
	h.settled(outline)
	for i, f := range backFlaws {
		pin(h, len(frontFlaws)+i+1, f)
	}
	h.step("marks-back")
}

func pin(h *hand, n int, f flaw) {
	h.t.Helper()
	target := fmt.Sprintf("mark/%d", n)
	h.click(f.on)
	h.has(target, `"side":`)
	h.write(f.typed)
	h.key("Return")
	h.has(target, fmt.Sprintf("%q:%q", "kind", f.kind), fmt.Sprintf("%q:%q", "depth", f.depth))
	if f.photo != (image.Point{}) {
		h.click(f.photo)
		h.has(target, `"photos":[{"photo":`)
	}
	if f.length != "" {
		h.click(lengthField)
		h.fields("Return", f.length)
		h.has(target, `"length":{"value":`+f.length)
	}
}

// wholeParts says that the rest is original, with three exceptions: tuners, nut,
// and no binding.
func wholeParts(h *hand) {
	h.t.Helper()
	h.to(3, "parts")
	h.click(restButton)
	h.has("part/guard and covers", `"state":"original"`, `"inspected":true`)
	h.click(partRow(10))
	h.key("l", "Return", "1")
	h.click(judgedSeen)
	h.click(judgedScrews)
	h.has("part/tuners", `"state":"later replacement"`, `"inspected":true`, `"screw holes"`, `"seen"`, `"tuners-holes","answer":"seen"`)
	h.step("parts-tuners")
	h.click(partRow(7))
	h.key("p")
	h.click(judgedSeen)
	h.has("part/nut", `"state":"period replacement"`, `"judged":["seen"]`)
	h.click(partRow(8))
	h.key("x")
	h.has("part/binding", `"state":"not fitted"`)
	h.step("parts")
}

// wholeElectronics fills in the usual set by Enter alone, then the temperature at
// which the pickups were read.
func wholeElectronics(h *hand) {
	h.t.Helper()
	h.to(4, "electronics")
	h.click(usualSet)
	h.has("component/jack-1", "jack")
	h.fields("Return", "6.92", "7.36", "250", "241", "888-7406", "250", "262", "888-7406", "250", "255", "888-7411", "250", "247", "888-7411", "47", "45.8", "473K", "47", "46.3", "473K")
	h.has("component/cap-2", `"code":"473K"`, "46.3")
	h.step("electronics-set")
	h.click(component(0))
	choose(h, pickupType, 1)
	h.has("component/pickup-1", `"type":"passive single-coil"`)
	h.click(ambientField)
	h.fields("Tab", "21")
	h.has("component/pickup-1", `"ambient":{"value":21`)
	h.settled(wholePic)
	h.step("electronics-ambient")
	h.click(ambientToo)
	h.has("component/pickup-2", `"ambient":{"value":21`, `"resistance":{"value":7.36`)
	h.click(component(1))
	choose(h, pickupType, 1)
	h.has("component/pickup-2", `"type":"passive single-coil"`)
	h.click(wiringTab)
	h.settled(wholePic)
	h.step("electronics-wiring")
	choose(h, wiringSeen, 2)
	h.has("wiring", `"seen":"seen"`)
	h.step("electronics")
}

// wholeSetup takes the readings, the truss rod, five crowns and the tuners.
func wholeSetup(h *hand) {
	h.t.Helper()
	h.to(5, "setup")
	h.step("setup-empty")
	h.click(firstReading)
	h.fields("Return", "1.9", "1.6", "0.55", "0.45", "0.1", "0.1", "0.2", "8")
	h.has("reading/relief, largest at fret", "8")
	choose(h, trussRod, 2)
	h.has("setup", `"trussRod":"works both ways"`)
	choose(h, reliefWith, 2)
	h.has("setup", `"capo":"capo at fret 1, last fret held"`)
	h.click(firstCrown)
	h.fields("Return", "0.94", "0.98", "1.04", "1.08", "1.12")
	h.number("reading/fret crown", 5)
	choose(h, tunerFeel(5), 3)
	h.has("setup", `"string":5,"feel":"stiff"`)
	h.click(restSmooth)
	h.has("setup", `"string":1,"feel":"smooth"`, `"string":6,"feel":"smooth"`)
	h.step("setup")
}

// choose opens a list and takes one of its words.
func choose(h *hand, at image.Point, item int) {
	h.t.Helper()
	closed := h.settled(wholePic)
	h.click(at)
	h.differs("the list opens", closed, wholePic)
	h.step("list")
	h.click(at.Add(image.Pt(0, 33*item)))
}

// wholePlaying marks three positions one by one and says that the rest is clean.
func wholePlaying(h *hand) {
	h.t.Helper()
	h.click(positionsTab)
	h.settled(wholePic)
	h.step("positions")
	h.click(position(1, 19))
	h.has("playing", `"string":1,"fret":19,"sound":"buzz"`)
	h.click(position(1, 20))
	h.has("playing", `"string":1,"fret":20,"sound":"buzz"`)
	h.click(deadBrush)
	h.click(position(4, 7))
	h.has("playing", `"string":4,"fret":7,"sound":"dead"`)
	h.click(restClean)
	h.has("playing", `"others":"clean"`)
	h.step("played")
}

// wholeDating lists a way of building and a paper beside the codes that the
// electronics have.
func wholeDating(h *hand) {
	h.t.Helper()
	h.to(6, "dating")
	h.click(addFeature)
	h.number("evidence/", 1)
	h.fields("Tab", "three-ply guard", "", "1972", "", "the shop's notes")
	h.has("evidence/e1", `"kind":"feature"`, `"what":"three-ply guard"`, `"from":1972`, `"source":"the shop's notes"`)
	h.step("dating-feature")
	h.click(addDocument)
	h.number("evidence/", 2)
	h.fields("Tab", "receipt of the first sale", "", "1975", "dated 14 May 1975")
	h.has("evidence/e2", `"kind":"document"`, `"what":"receipt of the first sale"`, `"to":1975`, `"source":"dated 14 May 1975"`)
	h.step("dating")
}

// wholeGrade looks at the grade, and at what one line of the ledger costs.
func wholeGrade(h *hand) {
	h.t.Helper()
	h.to(7, "grade")
	before := h.settled(wholePic)
	h.click(ledgerLine)
	h.differs("the line is explained", before, wholePic)
	h.step("grade")
}

// wholeReport issues the report with a new key and returns its path.
func wholeReport(h *hand) string {
	h.t.Helper()
	const passphrase = "a passphrase nobody uses twice"
	h.to(8, "report")
	p := h.settled(wholePic)
	h.step("report")
	fields := passphraseFields(h.t, p)
	n := len(h.journal())
	h.click(fields[0])
	h.fields("Tab", passphrase)
	h.fields("Return", passphrase)
	h.saved("the report is issued", n, func(e entry) bool { return e.Op == "issue" })
	var found []string
	h.until("the report is filed", func() bool {
		var err error
		found, err = filepath.Glob(filepath.Join(h.bench, "reports", "*.pdf"))
		return err == nil && len(found) == 1
	})
	h.sheet(false)
	h.step("issued")
	return found[0]
}

// confirm asks the verbs whether every part of the examination is there.
func confirm(h *hand, dir, report string, photos int) {
	h.t.Helper()
	h.until("the bench is free after the window was closed", func() bool {
		code, _, _ := h.verb("list", dir)
		return code == 0
	})
	names, err := filepath.Glob(filepath.Join(dir, "examinations", "*.journal"))
	if err != nil || len(names) != 1 {
		h.t.Fatalf("the bench has the journals %v (%v)", names, err)
	}
	exam := strings.TrimSuffix(filepath.Base(names[0]), ".journal")
	var rec record.Record
	if err := json.Unmarshal([]byte(h.must("show", dir, "--exam", exam)), &rec); err != nil {
		h.t.Fatal(err)
	}
	var g grade.Result
	if err := json.Unmarshal([]byte(h.must("grade", dir, "--exam", exam, "--json")), &g); err != nil {
		h.t.Fatal(err)
	}
	confirmRecord(h, &rec, photos)
	confirmGrade(h, &g)
	if out := h.must("verify", report); !strings.Contains(out, "Complete and unaltered") {
		h.t.Errorf("verify says:\n%s", out)
	}
}

func confirmRecord(h *hand, rec *record.Record, photos int) {
	h.t.Helper()
	onPhoto, sized, viewed := 0, 0, 0
	for _, m := range rec.Marks {
		if m.Kind == "" || m.Depth == "" || len(m.On) != 1 {
			h.t.Errorf("mark %d is %+v", m.Number, m)
		}
		if len(m.Photos) > 0 {
			onPhoto++
		}
		if m.Length != nil {
			sized++
		}
	}
	for _, p := range rec.Photos {
		if p.View != "" {
			viewed++
		}
	}
	feels, signs := 0, 0
	if rec.Setup != nil {
		for _, t := range rec.Setup.Tuners {
			if t.Feel != "" {
				feels++
			}
		}
	}
	for _, p := range rec.Parts {
		signs += len(p.Signs)
	}
	for _, c := range []struct {
		what      string
		got, want int
	}{
		{"photos", len(rec.Photos), photos}, {"photos with a view", viewed, photos}, {"marks", len(rec.Marks), 12}, {"marks on a photo", onPhoto, 10}, {"marks with a size", sized, 3},
		{"claims", len(rec.Claims), 2}, {"components", len(rec.Components), 10}, {"readings", len(rec.Readings), 13}, {"tuners", feels, 6},
		{"pieces of evidence", len(rec.Evidence), 2}, {"parts", len(rec.Parts), 13}, {"signs", signs, 1}, {"positions with a fault", len(rec.Playing.Positions), 3},
	} {
		if c.got != c.want {
			h.t.Errorf("the record has %d %s, expected %d", c.got, c.what, c.want)
		}
	}
	if rec.Wiring == nil || rec.Wiring.Seen != "seen" || rec.Setup == nil || rec.Setup.TrussRod != "works both ways" {
		h.t.Errorf("wiring %+v, setup %+v", rec.Wiring, rec.Setup)
	}
}

func confirmGrade(h *hand, g *grade.Result) {
	h.t.Helper()
	if g.Index == nil || g.Provisional || len(g.NotInspected) != 0 {
		h.t.Errorf("the grade is provisional: %v; parts not inspected: %v", g.Provisional, g.NotInspected)
	}
	if g.Playing.Tried != 132 || g.Playing.Clean != 129 || len(g.NotOriginal) != 2 || g.Originality == nil {
		h.t.Errorf("%d positions tried, %d clean; not original: %v", g.Playing.Tried, g.Playing.Clean, g.NotOriginal)
	}
}
