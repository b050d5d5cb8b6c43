package page

import (
	"fmt"
	"strings"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// largePhotos is how many photos are carried in the size of a screen. With
// more, those that fill no view and show no mark are printed small, which
// keeps a report of 300 photos small enough to send.
const largePhotos = 80

// photos shows every photo, in rows that fill the measure: each row as high as
// its pictures' proportions make it.
func (l *layout) photos() {
	list := l.r.Record.Photos
	if len(list) == 0 {
		l.section("photos", l.say("section.photos"), 10)
		l.para(l.left, measure, l.say("photos.none"), textFont, paint.Black)
		return
	}
	l.section("photos", l.say("section.photos"), rowHeight+12)
	before := rowHeight
	for i := 0; i < len(list); {
		row, err := l.photoRow(i)
		if err != nil {
			l.err = err
			return
		}
		i += len(row.pictures)
		if i == len(list) { // the last row may not fill: it is no higher than the one above
			row.height = min(row.height, before)
		}
		before = row.height
		l.drawRow(row)
		if l.err != nil {
			return
		}
	}
}

// rowHeight is the height in mm that a row of photos has or comes near to, and
// rowGap the space between two of them.
const (
	rowHeight = 40.0
	rowGap    = 5.0
)

// photoRow is some photos that stand beside each other.
type photoRow struct {
	first    int
	pictures []paint.Picture
	height   float64
}

// photoRow takes as many photos from the i-th on as fill a row.
func (l *layout) photoRow(i int) (photoRow, error) {
	row := photoRow{first: i, height: rowHeight}
	wide := 0.0 // sum of the pictures' proportions
	for ; i < len(l.r.Record.Photos); i++ {
		if !l.step("photo " + fmt.Sprint(i+1)) {
			return row, l.err
		}
		p, err := l.picture(&l.r.Record.Photos[i])
		if err != nil {
			return row, err
		}
		row.pictures = append(row.pictures, p)
		// A panorama or a strip is not let to make a row of its own height.
		wide += min(max(float64(p.Width)/float64(p.Height), 0.5), 4)
		gaps := rowGap * float64(len(row.pictures)-1)
		if wide*rowHeight+gaps >= measure {
			row.height = (measure - gaps) / wide
			break
		}
	}
	return row, nil
}

func (l *layout) drawRow(row photoRow) {
	tall := row.height + 8.5
	for k := range row.pictures {
		if len(l.marksOn(&l.r.Record.Photos[row.first+k])) > 0 {
			tall = row.height + 11.5
		}
	}
	l.need(tall)
	x := l.left
	for k, p := range row.pictures {
		w := row.height * min(max(float64(p.Width)/float64(p.Height), 0.5), 4)
		l.photo(row.first+k, p, x, l.y, w, row.height)
		x += w + rowGap
	}
	l.y += tall + 1.5
}

// photo draws one photo with its number, what it shows, when it was taken, and
// the marks that are pinned on it.
func (l *layout) photo(i int, p paint.Picture, x, y, w, h float64) {
	ph := &l.r.Record.Photos[i]
	alt := l.say("photos.alt", i+1)
	if t := l.photoTitle(ph); t != "" {
		alt = l.say("photos.altTitled", i+1, t)
	}
	px, py, pw, phh := fitted(p, x, y, w, h)
	l.d.Figure(alt, px, py, pw, phh, func() { l.d.Place(p, px, py, pw, phh) })
	l.d.Tag("Caption", func() {
		no := fmt.Sprint(i + 1)
		l.d.Text(x, y+h+3.4, no, smallBold, paint.Black)
		dx := paint.Width(no, smallBold) + 1.6
		title := upper(l.photoTitle(ph))
		if title == "" {
			title = clean(ph.Name)
		}
		s, f := paint.Fit(title, smallFont, w-dx, 6.4)
		l.d.Text(x+dx, y+h+3.4, s, f, paint.Black)
		s, f = paint.Fit(l.takenWords(ph.Taken, false), smallFont.Sized(6.8), w, 6)
		l.d.Text(x, y+h+6.5, s, f, paint.Dim)
		if nums := l.marksOn(ph); len(nums) > 0 {
			s, f = paint.Fit(upper(l.markNumbers(nums)), smallFont.Sized(6.8), w, 6)
			l.d.Text(x, y+h+9.5, s, f, paint.Dim)
		}
	})
}

// marksOn are the numbers of the marks that are pinned on a photo.
func (l *layout) marksOn(ph *record.Photo) []int {
	var nums []int
	for _, m := range l.r.Record.Marks {
		for _, p := range m.Photos {
			if p.Photo == ph.ID && (len(nums) == 0 || nums[len(nums)-1] != m.Number) {
				nums = append(nums, m.Number)
			}
		}
	}
	return nums
}

// takenWords writes a camera's date as the file has it: the zone only when the
// camera said one.
func (l *layout) takenWords(taken string, exact bool) string {
	if taken == "" {
		return l.say("taken.none")
	}
	const long = "2006-01-02 15:04:05"
	if t, err := time.Parse(time.RFC3339Nano, taken); err == nil {
		if exact {
			return t.Format(long + " -07:00")
		}
		return l.t.Short(t)
	}
	for _, f := range []string{"2006-01-02T15:04:05.999999999", "2006-01-02T15:04:05", "2006-01-02T15:04"} {
		if t, err := time.Parse(f, taken); err == nil {
			if exact {
				return l.say("taken.noZone", t.Format(long))
			}
			return l.t.Short(t)
		}
	}
	return clean(taken)
}

// picture is the photo as the report carries it: the upright preview without
// metadata, never the original.
func (l *layout) picture(ph *record.Photo) (paint.Picture, error) {
	size := previewSize
	if len(l.r.Record.Photos) > largePhotos && ph.View == "" && len(l.marksOn(ph)) == 0 {
		size = 320
	}
	p, err := l.d.Picture("photo "+ph.ID, func() ([]byte, error) { return l.r.Photos.Preview(ph.ID, size) })
	if err != nil {
		return p, fmt.Errorf("lay out photo %s: %w", clean(ph.Name), err)
	}
	return p, nil
}

// fitted is where a picture stands when it is as large as fits a rectangle.
func fitted(p paint.Picture, x, y, w, h float64) (px, py, pw, ph float64) {
	k := min(w/float64(p.Width), h/float64(p.Height))
	pw, ph = float64(p.Width)*k, float64(p.Height)*k
	return x + (w-pw)/2, y + (h-ph)/2, pw, ph
}

// photoList is the list of originals: digest, camera date, remarks.
func (l *layout) photoList() {
	list := l.r.Record.Photos
	if len(list) == 0 {
		return
	}
	l.section("photolist", l.say("section.originals"), 30)
	l.para(l.left, measure, l.say("originals.note"), smallFont, paint.Dim)
	l.y += 2
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("col.no"), width: 8, font: ledgerBold},
		{head: l.say("originals.file"), width: 46, font: ledgerFont},
		{head: l.say("originals.date"), width: 38, font: ledgerFont},
		{head: l.say("originals.digest"), width: 86, font: ledgerFont},
	}}
	var rows [][]cell
	for i := range list {
		rows = append(rows, l.originalRow(i, t.inner(3)))
	}
	t.draw(rows)
}

func (l *layout) originalRow(i int, w float64) []cell {
	ph := &l.r.Record.Photos[i]
	file := clean(ph.Name)
	if c := joined(l.photoTitle(ph), ""); c != "" {
		file += "\n" + upper(c)
	}
	when := l.takenWords(ph.Taken, true)
	if ph.Agreement != "" {
		when += "\n" + upper(l.phrase("provenance", ph.Agreement))
	}
	hash := hashFont.Sized(6)
	var notes []string
	notes = append(notes, l.say("originals.size", l.bytesWords(ph.Size), ph.Width, ph.Height))
	if c := clean(ph.Camera); c != "" {
		notes[0] += ", " + c
	}
	if c := clean(ph.Software); c != "" {
		notes[0] += ", " + l.say("originals.software", c)
	}
	for _, d := range ph.Differences {
		notes = append(notes, l.say("originals.differ", l.usually("photoField", d.Field), clean(d.First), clean(d.Second)))
	}
	for _, r := range ph.Remarks {
		notes = append(notes, upper(l.usuallyPhrase("provenance", r)))
	}
	lines := paint.Wrap(strings.Join(notes, "\n"), ledgerFont, w)
	lines = paint.Clamp(lines, 24, ledgerFont, w)
	return []cell{words(fmt.Sprint(i + 1)), words(file), words(when), {
		height: lead(ledgerFont) * float64(1+len(lines)),
		draw: func(x, y, w float64) {
			l.d.Text(x, y+lead(ledgerFont)*0.72, ph.ID, hash, paint.Black)
			for k, s := range lines {
				l.d.Text(x, y+lead(ledgerFont)*(1.72+float64(k)), s, ledgerFont, paint.Dim)
			}
		},
	}}
}
