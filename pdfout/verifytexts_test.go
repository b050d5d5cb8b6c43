package pdfout

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/blob"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/page"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// dishonest is a report whose pages are laid out from one record while another
// is inside and named at the foot of every page, signed by the one who did it.
type dishonest struct {
	pages, inside *record.Record
	printed       *grade.Result     // nil: the grade of pages
	files         map[string][]byte // attached as well; nil takes a file away
	lang          string
}

func (d dishonest) plain(t testing.TB, id *sign.Identity) []byte {
	t.Helper()
	text, err := catalogue.For(d.lang)
	if err != nil {
		t.Fatal(err)
	}
	in := Input{Record: d.pages, Grade: d.printed, Photos: &reporttest.Photos{Small: true}, Created: issuedAt, Signer: SignerOf(id), Language: d.lang}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	rec := mustJSON(t, d.inside)
	doc, drawn, laid, err := in.draw(t.Context(), hexSum(rec), nil)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{RecordName: rec, GradeName: mustJSON(t, gradeOf(t, d.inside))}
	for name, data := range d.files {
		files[name] = data
	}
	opt := pdf.Options{Title: in.title(), Created: issuedAt, Lang: text.Lang(), Structure: doc.Structure(), Fields: laid.Fields}
	for name, data := range files {
		if data != nil {
			opt.Attachments = append(opt.Attachments, pdf.Attachment{Name: name, MediaType: "application/json", Data: data})
		}
	}
	var small, plain bytes.Buffer
	if err := pdf.Rewrite(&small, drawn, opt); err != nil {
		t.Fatal(err)
	}
	if err := doc.Finish(&plain, small.Bytes()); err != nil {
		t.Fatal(err)
	}
	return plain.Bytes()
}

func (d dishonest) make(t testing.TB) []byte {
	t.Helper()
	return signed(t, d.plain(t, examiner(t)), examiner(t), sign.SignOptions{Field: sign.FieldExaminer, Now: issuedAt})
}

func signed(t testing.TB, data []byte, id *sign.Identity, opt sign.SignOptions) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := sign.Sign(context.Background(), bytes.NewReader(data), int64(len(data)), &out, id, opt); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Pages that print another identity or other marks than the record inside are
// found out, although the signature is good and the footers name that record.
func TestVerifyTexts(t *testing.T) {
	cases := map[string]struct {
		change func(r *record.Record)
		code   sign.Code
		says   string
	}{
		"another serial number":  {func(r *record.Record) { r.Instrument.Serial = "11873" }, TextsOther, "serial number is “41873” in the record and “11873”"},
		"a serial number more":   {func(r *record.Record) { r.Instrument.Serial = "418731" }, TextsOther, "serial number"},
		"no serial number":       {func(r *record.Record) { r.Instrument.Serial = "" }, TextsOther, "serial number"},
		"another maker":          {func(r *record.Record) { r.Instrument.Maker = "Merrow & Finch" }, TextsOther, "maker “Halden & Rowe”"},
		"another model":          {func(r *record.Record) { r.Instrument.Model = "Larkfoot Custom" }, TextsOther, "“Larkfoot Standard” is not its title"},
		"an edition more":        {func(r *record.Record) { r.Instrument.Edition = "No. 1 of 60" }, TextsOther, "title"},
		"another year":           {func(r *record.Record) { r.Instrument.Year = "1954" }, TextsOther, "year “1974”"},
		"another report number":  {func(r *record.Record) { r.Examination.Number = "CR-2026-0001" }, TextsOther, "number"},
		"another day":            {func(r *record.Record) { r.Examination.Date = r.Examination.Date.AddDate(0, 1, 0) }, TextsOther, "day is “14 November 2026”"},
		"another examiner":       {func(r *record.Record) { r.Examination.Examiner = "A. N. Expert" }, TextsOther, "examiner"},
		"another mark instead":   {func(r *record.Record) { r.Marks[6].Number = 8 }, MarksOther, "lacks mark 7"},
		"a mark less":            {func(r *record.Record) { r.Marks = r.Marks[:6] }, MarksOther, "7 marks, and page 1 speaks of another number"},
		"no marks":               {func(r *record.Record) { r.Marks = nil }, MarksOther, "another number"},
		"nothing":                {func(r *record.Record) {}, TextsFit, "Page 1 prints the maker"},
		"a note, which is not c": {func(r *record.Record) { r.Marks[0].Note = "very light" }, MarksFit, "7 marks"},
	}
	for name, c := range cases {
		for _, lang := range []string{"", "de"} {
			t.Run(name+lang, func(t *testing.T) {
				if lang != "" && c.code == TextsOther && strings.Contains(c.says, "November") {
					c.says = "day is"
				}
				inside, pages := reporttest.Demo(1), reporttest.Demo(1)
				c.change(pages)
				// The answers printed are those of the record inside: only the words lie.
				g := *gradeOf(t, inside)
				v := verify(t, dishonest{pages: pages, inside: inside, printed: &g, lang: lang}.make(t), nil)
				good := c.code == TextsFit || c.code == MarksFit
				if v.OK != good || !v.Has(c.code) || !v.Has(sign.Unaltered) || !v.Has(RecordFits) {
					t.Errorf("ok %v, want %v and %s", v.OK, good, c.code)
				}
				said := ""
				for _, l := range v.Lines {
					if l.Code == c.code {
						said = l.Text
					}
				}
				if !strings.Contains(said, c.says) {
					t.Errorf("%s says %q, want %q in it", c.code, said, c.says)
				}
			})
		}
	}
}

// Long and odd identities of honest reports are not taken for others.
func TestVerifyTextsHonest(t *testing.T) {
	long := strings.Repeat("Øverbygd-Łuczak 4711/b ", 12)
	cases := map[string]func(r *record.Record){
		"everything long": func(r *record.Record) {
			i := &r.Instrument
			i.Maker, i.Model, i.Serial, i.Year = long, long, long, long
			r.Examination.Examiner = long
		},
		"a long maker":      func(r *record.Record) { r.Instrument.Maker = long },
		"a long year":       func(r *record.Record) { r.Instrument.Maker, r.Instrument.Year = "", long },
		"nothing known":     func(r *record.Record) { r.Instrument = record.Instrument{Class: r.Instrument.Class} },
		"no day, no number": func(r *record.Record) { r.Examination.Date, r.Examination.Number = time.Time{}, "" },
		"odd characters": func(r *record.Record) {
			r.Instrument.Serial, r.Instrument.Model = "№ 41 ½ – Я", "Ω “one”\tof\ntwo"
		},
		"ends in dots": func(r *record.Record) { r.Instrument.Model = "Larkfoot…"; r.Instrument.Serial = "…" },
		"number as title": func(r *record.Record) {
			r.Instrument.Model, r.Instrument.Serial = r.Examination.Number, r.Examination.Number
		},
	}
	for name, change := range cases {
		t.Run(name, func(t *testing.T) {
			r := reporttest.Demo(0)
			change(r)
			if v := verify(t, dishonest{pages: r, inside: r}.make(t), nil); !v.OK || !v.Has(TextsFit) || !v.Has(MarksFit) {
				t.Error(v.Worst())
			}
		})
	}
	for _, n := range []int{1, 2, 12, 13, 200} {
		r := reporttest.Many(n, 0)
		if v := verify(t, dishonest{pages: r, inside: r}.make(t), nil); !v.OK || !v.Has(MarksFit) {
			t.Errorf("%d marks: %s", n, v.Worst())
		}
	}
}

// originalsOf gives a record true originals, so many of them, and the files
// under which they are attached.
func originalsOf(t testing.TB, n int) (*record.Record, map[string][]byte) {
	t.Helper()
	r := reporttest.Demo(n)
	ids := map[string]string{}
	data := make([][]byte, n)
	for i := range r.Photos {
		p := &r.Photos[i]
		// Some are so large that they are left in place, some are not.
		data[i] = bytes.Repeat(fmt.Appendf(nil, "original %d of an invented camera\n", i), 1+i*4000)
		ids[p.ID] = blob.Sum(data[i])
		p.ID, p.Size = blob.Sum(data[i]), int64(len(data[i]))
	}
	for i := range r.Marks {
		for k := range r.Marks[i].Photos {
			r.Marks[i].Photos[k].Photo = ids[r.Marks[i].Photos[k].Photo]
		}
	}
	files := map[string][]byte{}
	for i := range r.Photos {
		files[OriginalName(i, &r.Photos[i])] = data[i]
	}
	return r, files
}

// Originals inside are held against the digests of the record.
func TestVerifyOriginals(t *testing.T) {
	r, files := originalsOf(t, 3)
	name := func(i int) string { return OriginalName(i, &r.Photos[i]) }
	list := func(t *testing.T, files map[string][]byte) []byte {
		a := aboutFiles(mustJSON(t, r), mustJSON(t, gradeOf(t, r)), nil, nil)
		for n, data := range files {
			a.Files = append(a.Files, AboutFile{Name: n, SHA256: hexSum(data), Size: int64(len(data))})
		}
		return mustJSON(t, a)
	}
	cases := map[string]struct {
		change      func(f map[string][]byte)
		code        sign.Code
		inside, fit int
	}{
		"all":               {func(f map[string][]byte) {}, OriginalsFit, 3, 3},
		"with their list":   {func(f map[string][]byte) { f[AboutName] = list(t, f) }, FilesFit, 3, 3},
		"none":              {func(f map[string][]byte) { clear(f) }, OriginalsNone, 0, 0},
		"one missing":       {func(f map[string][]byte) { delete(f, name(1)) }, OriginalsSome, 2, 2},
		"one retouched":     {func(f map[string][]byte) { f[name(2)] = append(bytes.Clone(f[name(2)][1:]), 'x') }, OriginalsOther, 3, 2},
		"two exchanged":     {func(f map[string][]byte) { f[name(0)], f[name(1)] = f[name(1)], f[name(0)] }, OriginalsOther, 3, 1},
		"one too many":      {func(f map[string][]byte) { f[OriginalsFolder+"004 more.jpg"] = []byte("more") }, OriginalsOther, 4, 3},
		"one of no name":    {func(f map[string][]byte) { f[OriginalsFolder+"other.jpg"] = f[name(1)]; delete(f, name(1)) }, OriginalsOther, 3, 2},
		"a list of another": {func(f map[string][]byte) { f[AboutName] = list(t, map[string][]byte{name(0): []byte("x")}) }, FilesOther, 3, 3},
		"a list of less":    {func(f map[string][]byte) { f[AboutName] = list(t, nil) }, FilesOther, 3, 3},
		"a list of more":    {func(f map[string][]byte) { f[AboutName] = list(t, map[string][]byte{"more": []byte("x")}) }, FilesOther, 3, 3},
		"a list of nothing": {func(f map[string][]byte) { f[AboutName] = []byte("{}") }, FilesOther, 3, 3},
		"another schema": {func(f map[string][]byte) {
			f[AboutName] = bytes.Replace(list(t, f), []byte(RecordSchemaHash()), []byte(strings.Repeat("0", 64)), 1)
		}, SchemaOther, 3, 3},
	}
	for label, c := range cases {
		t.Run(label, func(t *testing.T) {
			f := map[string][]byte{}
			for n, data := range files {
				f[n] = data
			}
			c.change(f)
			v := verify(t, dishonest{pages: r, inside: r, files: f}.make(t), nil)
			if want := c.code != OriginalsOther && c.code != FilesOther; v.OK != want || !v.Has(c.code) {
				t.Errorf("ok %v, want %s; it says: %s", v.OK, c.code, v.Worst())
			}
			if v.Originals == nil || *v.Originals != (OriginalsInside{3, c.inside, c.fit}) {
				t.Errorf("%+v", v.Originals)
			}
		})
	}
}

// The names of originals are safe on any system and differ.
func TestOriginalName(t *testing.T) {
	for name, want := range map[string]string{
		"DSC_0212.JPG": "originals/001 DSC_0212.JPG", "../../etc/passwd": "originals/001 .._.._etc_passwd", `C:\a\b.jpg`: "originals/001 C__a_b.jpg", "": "originals/001 photo",
		"a.jpg. .": "originals/001 a.jpg", "\u202egpj.exe": "originals/001 _gpj.exe", "x\x00\xff?.png": "originals/001 x___.png",
	} {
		if got := OriginalName(0, &record.Photo{Name: name}); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
	if got := OriginalName(11, &record.Photo{Name: strings.Repeat("ö", 300) + ".jpeg"}); len(got) > 100 || !strings.HasPrefix(got, "originals/012 ö") || !strings.HasSuffix(got, "ö.jpeg") {
		t.Errorf("%q", got)
	}
}

// What page says it prints is what the layout draws, in the order it says.
func TestHeadIsDrawn(t *testing.T) {
	r := reporttest.Demo(0)
	b := dishonest{pages: r, inside: r, lang: "de"}.make(t)
	texts, err := pageTexts(bytes.NewReader(b), int64(len(b)), pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	text, err := catalogue.For("de")
	if err != nil {
		t.Fatal(err)
	}
	h := page.HeadOf(r, text)
	if h.Day == page.HeadOf(r, nil).Day {
		t.Error("the day is the same in both languages, so this shows nothing")
	}
	at := -1
	all := strings.Join(texts[0], "\n")
	for _, s := range []string{h.Title, h.Maker, h.Year, h.Number, h.Serial, h.Day, h.Examiner} {
		i := strings.Index(all[at+1:], s)
		if i < 0 {
			t.Fatalf("%q is not drawn behind the others", s)
		}
		at += i + 1
	}
}
