package paint

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"strconv"

	"github.com/jung-kurt/gofpdf"
)

var imageOptions = gofpdf.ImageOptions{ImageType: "JPG"}

// Picture is a JPEG that has been announced to the document. Its bytes are
// not kept: they are asked for once more when the document is written.
type Picture struct {
	Name          string
	Width, Height int // pixels
	load          func() ([]byte, error)
	size          int
	hash          [32]byte
	grey          bool
}

// Picture announces a JPEG under a name; a name already announced is returned
// as it is. load must give the same bytes each time it is called; it is called
// now and once more by Bytes. Metadata is stripped.
func (d *Doc) Picture(name string, load func() ([]byte, error)) (Picture, error) {
	if p, ok := d.pictures[name]; ok {
		return p, nil
	}
	p := Picture{Name: name, load: func() ([]byte, error) {
		b, err := load()
		if err != nil {
			return nil, err
		}
		return clean(b)
	}}
	b, err := p.load()
	if err != nil {
		return p, fmt.Errorf("read picture %s: %w", name, err)
	}
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return p, fmt.Errorf("read picture %s: %w", name, err)
	}
	p.Width, p.Height, p.size, p.hash = cfg.Width, cfg.Height, len(b), sha256.Sum256(b)
	p.grey = cfg.ColorModel == color.GrayModel
	d.pictures[name] = p
	return p, nil
}

// clean strips a JPEG, or encodes it anew where stripping alone does not do:
// odd files, and colour models that the archival form does not allow.
func clean(b []byte) ([]byte, error) {
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	if cfg.ColorModel == color.YCbCrModel || cfg.ColorModel == color.GrayModel {
		if s, err := Strip(b); err == nil {
			return s, nil
		}
	}
	if cfg.Width*cfg.Height > maxPixels {
		return nil, fmt.Errorf("%d by %d pixels are more than a report holds", cfg.Width, cfg.Height)
	}
	img, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	rgb := image.NewRGBA(img.Bounds())
	for y := rgb.Rect.Min.Y; y < rgb.Rect.Max.Y; y++ {
		for x := rgb.Rect.Min.X; x < rgb.Rect.Max.X; x++ {
			rgb.Set(x, y, img.At(x, y))
		}
	}
	return Encode(rgb)
}

// maxPixels bounds what is decoded for a report: 120 megapixels.
const maxPixels = 120_000_000

// Place draws the picture in the rectangle, which should have its proportions.
func (d *Doc) Place(p Picture, x, y, w, h float64) {
	if d.err != nil {
		return
	}
	if !d.tags.inContent() {
		d.Artifact(func() { d.Place(p, x, y, w, h) })
		return
	}
	// Pictures that are the same under two names are one to the library, which
	// would otherwise list its one object twice.
	name := fmt.Sprintf("%x", p.hash)
	d.f.RegisterImageOptionsReader(name, imageOptions, bytes.NewReader(p.standIn()))
	d.f.ImageOptions(name, x, y, w, h, false, imageOptions, 0, "")
}

// Cover draws the picture so that it fills the rectangle, centred, with what
// sticks out cut off.
func (d *Doc) Cover(p Picture, x, y, w, h float64) {
	k := max(w/float64(p.Width), h/float64(p.Height))
	pw, ph := float64(p.Width)*k, float64(p.Height)*k
	d.ClipBox(x, y, w, h, func() { d.Place(p, x+(w-pw)/2, y+(h-ph)/2, pw, ph) })
}

// Inside draws the picture as large as fits the rectangle, centred, and
// returns where it stands.
func (d *Doc) Inside(p Picture, x, y, w, h float64) (px, py, pw, ph float64) {
	k := min(w/float64(p.Width), h/float64(p.Height))
	pw, ph = float64(p.Width)*k, float64(p.Height)*k
	px, py = x+(w-pw)/2, y+(h-ph)/2
	d.Place(p, px, py, pw, ph)
	return px, py, pw, ph
}

// standIn is a JPEG that ends after its head, with the size of the picture and
// a comment that names it. The drawing library reads no more than the head of
// a JPEG, so the pictures themselves need not pass through its memory; Bytes
// puts them where their stand-ins are.
func (p Picture) standIn() []byte {
	c := []byte(standInMark + fmt.Sprintf("%x", p.hash))
	b := []byte{0xFF, 0xD8, 0xFF, 0xFE, byte((len(c) + 2) >> 8), byte(len(c) + 2)}
	b = append(b, c...)
	n := 3
	if p.grey {
		n = 1
	}
	b = append(b, 0xFF, 0xC0, 0, byte(8+3*n), 8, byte(p.Height>>8), byte(p.Height), byte(p.Width>>8), byte(p.Width), byte(n))
	for i := range n {
		b = append(b, byte(i+1), 0x11, 0)
	}
	b = append(b, 0xFF, 0xDA, 0, byte(6+2*n), byte(n))
	for i := range n {
		b = append(b, byte(i+1), 0)
	}
	return append(b, 0, 63, 0, 0xFF, 0xD9)
}

const standInMark = "picture "

// splice copies the drawn file with every stand-in replaced by its picture and
// its table of offsets made right. It holds one picture besides the result.
func (d *Doc) splice(drawn []byte) ([]byte, error) {
	byHash := map[string]Picture{}
	total := len(drawn)
	for _, p := range d.pictures {
		byHash[fmt.Sprintf("%x", p.hash)] = p
		total += p.size
	}
	s := splicer{in: drawn, out: make([]byte, 0, total), pictures: byHash}
	table := bytes.LastIndex(drawn, []byte("\nxref\n"))
	if table < 0 {
		return nil, fmt.Errorf("draw report: the drawn file has no table of its objects")
	}
	if err := s.bodies(table); err != nil {
		return nil, err
	}
	s.table(table + 1)
	return s.out, nil
}

type splicer struct {
	in, out  []byte
	at       int
	pictures map[string]Picture
	shifts   []shift
}

// shift says that what began at from in the drawn file, and all behind it,
// begins by bytes further on.
type shift struct{ from, by int }

func (s *splicer) bodies(end int) error {
	mark := []byte("stream\n\xFF\xD8\xFF\xFE")
	by := 0
	for {
		i := bytes.Index(s.in[s.at:end], mark)
		if i < 0 {
			s.out = append(s.out, s.in[s.at:end]...)
			s.at = end
			return nil
		}
		i += s.at
		data := i + len("stream\n")
		name := data + 6 + len(standInMark)
		p, ok := s.pictures[string(s.in[name:name+64])]
		if !ok {
			return fmt.Errorf("draw report: a picture stands in the file that was not announced")
		}
		stand := p.standIn()
		b, err := p.load()
		if err != nil {
			return fmt.Errorf("read picture %s: %w", p.Name, err)
		}
		if sha256.Sum256(b) != p.hash {
			return fmt.Errorf("read picture %s: it changed while the report was made", p.Name)
		}
		head := s.in[s.at:i]
		was := []byte("/Length " + strconv.Itoa(len(stand)) + ">>")
		if !bytes.HasSuffix(bytes.TrimRight(head, "\n"), was) {
			return fmt.Errorf("draw report: the length of picture %s is not where it was expected", p.Name)
		}
		cut := bytes.LastIndex(head, was)
		now := "/Length " + strconv.Itoa(len(b)) + ">>\n"
		s.out = append(append(s.out, head[:cut]...), now...)
		s.out = append(append(s.out, "stream\n"...), b...)
		by += len(now) - (len(head) - cut) + len(b) - len(stand)
		s.at = data + len(stand)
		s.shifts = append(s.shifts, shift{s.at, by})
	}
}

// moved is where the byte at off of the drawn file stands now.
func (s *splicer) moved(off int) int {
	by := 0
	for _, x := range s.shifts {
		if off < x.from {
			break
		}
		by = x.by
	}
	return off + by
}

// table copies the cross-reference table and the trailer with new offsets.
func (s *splicer) table(from int) {
	start := s.moved(from)
	s.out = append(s.out, '\n')
	tail := s.in[from:]
	for len(tail) > 0 {
		line := tail
		if i := bytes.IndexByte(tail, '\n'); i >= 0 {
			line = tail[:i+1]
		}
		tail = tail[len(line):]
		switch {
		case len(line) == 20 && bytes.HasSuffix(line, []byte(" n \n")):
			off, _ := strconv.Atoi(string(line[:10]))
			s.out = fmt.Appendf(s.out, "%010d%s", s.moved(off), line[10:])
		case string(line) == strconv.Itoa(from)+"\n":
			s.out = fmt.Appendf(s.out, "%d\n", start)
		default:
			s.out = append(s.out, line...)
		}
	}
}
