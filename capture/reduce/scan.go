package reduce

import "context"

// planeOut is where the decoded rows of one component go and at which size.
type planeOut struct {
	scale int // eighths of the stored size, 1 to 8
	push  func(row []byte)
	blank byte // sample for rows that could not be read

	width, height int // samples at that scale
	pushed        int // rows handed over so far
	seen          bool
}

func newPlaneOut(c *component, scale int, blank byte, push func(row []byte)) *planeOut {
	return &planeOut{scale: scale, push: push, blank: blank,
		width: (c.width*scale + 7) / 8, height: (c.height*scale + 7) / 8}
}

// scanPart is one component's share in a scan.
type scanPart struct {
	c      *component
	dc, ac *huffman
	quant  [64]int32
	pred   int32
	h, v   int // blocks per MCU
	last   int
	idct   idctFunc
	band   []byte // one row of MCUs, scaled
	stride int
}

// errBroken ends the decoding of scans where the data break off; it never leaves the package.
var errBroken = damagedJPEG("its picture data break off at once")

// scans decodes from the first scan's header on, pushing rows. It returns what is missing, or an error when nothing
// at all could be read or ctx ended.
func (d *jpegDecoder) scans(ctx context.Context, sos []byte) (Partial, error) {
	err := d.allScans(ctx, sos)
	if ctx.Err() != nil {
		return Partial{}, ctx.Err()
	}
	first := d.comps[0].out
	if err != nil && first.pushed == 0 {
		return Partial{}, err
	}
	p := Partial{Rows: d.height}
	bright := first.pushed == first.height // before pad fills it up
	for i := range d.comps {
		c := &d.comps[i]
		o := c.out
		if o.pushed < o.height {
			p.Height = d.height
			p.Rows = min(p.Rows, o.pushed*8*d.vmax/(o.scale*c.v))
			p.Coarse = bright
		}
		o.pad()
	}
	if !p.Broken() {
		return Partial{}, nil
	}
	return p, nil
}

// pad hands over blank rows for those that could not be read.
func (o *planeOut) pad() {
	if o.pushed == o.height {
		return
	}
	row := make([]byte, o.width)
	for i := range row {
		row[i] = o.blank
	}
	for ; o.pushed < o.height; o.pushed++ {
		o.push(row)
	}
}

func (d *jpegDecoder) complete() bool {
	for i := range d.comps {
		if o := d.comps[i].out; o.pushed < o.height {
			return false
		}
	}
	return true
}

// allScans decodes scan after scan until every component is complete.
func (d *jpegDecoder) allScans(ctx context.Context, sos []byte) error {
	for {
		parts, err := d.readSOS(sos)
		if err != nil {
			return err
		}
		if err := d.scan(ctx, parts); err != nil {
			return err
		}
		if d.complete() {
			return nil
		}
		d.pos = d.bits.pos
		for sos = nil; sos == nil; {
			m, body, err := d.segment()
			switch {
			case err != nil:
				return err
			case m == mEOI:
				return damagedJPEG("a part of its picture is missing")
			case m == mSOS:
				sos = body
			default:
				if err := d.apply(m, body); err != nil {
					return err
				}
			}
		}
	}
}

// readSOS reads a scan header (T.81 section B.2.3) and prepares the components named in it.
func (d *jpegDecoder) readSOS(body []byte) ([]*scanPart, error) {
	if len(body) < 1 || len(body) != 4+2*int(body[0]) || body[0] == 0 || int(body[0]) > len(d.comps) {
		return nil, damagedJPEG("its scan header makes no sense")
	}
	parts := make([]*scanPart, 0, body[0])
	blocks := 0
	for i := range int(body[0]) {
		id, tables := body[1+2*i], body[2+2*i]
		c := d.unseen(id)
		if c == nil || tables>>4 > 3 || tables&15 > 3 || !d.quantSet[c.tq] {
			return nil, damagedJPEG("its scan header makes no sense")
		}
		p := &scanPart{c: c, dc: d.dc[tables>>4], ac: d.ac[tables&15], h: c.h, v: c.v}
		if p.dc == nil || p.ac == nil {
			return nil, damagedJPEG("a Huffman table is missing")
		}
		if body[0] == 1 {
			p.h, p.v = 1, 1 // T.81 section A.2.2: a scan of one component goes block by block
		}
		blocks += p.h * p.v
		p.quant = scaledQuant(&d.quant[c.tq], c.out.scale)
		p.last, p.idct = lastNeeded(c.out.scale), idcts[c.out.scale]
		if p.last < 63 {
			p.ac.prepareSkip()
		}
		c.out.seen = true
		parts = append(parts, p)
	}
	if blocks > 10 {
		return nil, damagedJPEG("its scan header makes no sense")
	}
	return parts, nil
}

// unseen finds the component of that name that no scan has brought yet.
func (d *jpegDecoder) unseen(id byte) *component {
	for i := range d.comps {
		if c := &d.comps[i]; c.id == id && !c.out.seen {
			return c
		}
	}
	return nil
}

// scan decodes the entropy-coded data of one scan.
func (d *jpegDecoder) scan(ctx context.Context, parts []*scanPart) error {
	mcusX, mcusY := (d.width+8*d.hmax-1)/(8*d.hmax), (d.height+8*d.vmax-1)/(8*d.vmax)
	if len(parts) == 1 {
		c := parts[0].c
		mcusX, mcusY = (c.width+7)/8, (c.height+7)/8
	}
	for _, p := range parts {
		p.stride = mcusX * p.h * p.c.out.scale
		p.band = make([]byte, p.stride*p.v*p.c.out.scale)
	}
	d.bits.data = d.data
	d.bits.reset(d.pos)
	left, next := d.interval, byte(mRST0)
	for range mcusY {
		if err := ctx.Err(); err != nil {
			return err
		}
		for mx := range mcusX {
			if d.interval > 0 && left == 0 {
				if !d.restart(next) {
					return errBroken
				}
				for _, p := range parts {
					p.pred = 0
				}
				left, next = d.interval, mRST0|(next+1)&7
			}
			left--
			for _, p := range parts {
				if !d.mcu(p, mx) {
					return errBroken
				}
			}
		}
		for _, p := range parts {
			p.deliver()
		}
	}
	return nil
}

// mcu decodes one component's blocks of the MCU in column mx.
func (d *jpegDecoder) mcu(p *scanPart, mx int) bool {
	n := p.c.out.scale
	r := &d.bits
	for y := range p.v {
		for x := range p.h {
			diff, ok := r.difference(p.dc)
			if !ok {
				return false
			}
			p.pred += diff
			clear(d.blk[:8*n])
			d.blk[0] = p.pred * p.quant[0]
			stored := r.coefficients(p.ac, &p.quant, &d.blk, p.last)
			if stored < 0 || r.overrun() {
				return false
			}
			at := y*n*p.stride + (mx*p.h+x)*n
			if stored == 0 {
				p.flat(at, n, clamp8((d.blk[0]+idctBias)>>idctBits))
			} else {
				p.idct(&d.blk, p.band[at:], p.stride)
			}
		}
	}
	return true
}

// flat fills a block that has no detail.
func (p *scanPart) flat(at, n int, v byte) {
	for range n {
		row := p.band[at : at+n]
		for i := range row {
			row[i] = v
		}
		at += p.stride
	}
}

// deliver hands over the rows of the band, without those beyond the picture's end.
func (p *scanPart) deliver() {
	o := p.c.out
	for y := 0; y < p.v*o.scale && o.pushed < o.height; y++ {
		o.push(p.band[y*p.stride:][:o.width])
		o.pushed++
	}
}

// restart moves to the restart marker m, passing over stray bytes as common readers do.
func (d *jpegDecoder) restart(m byte) bool {
	for i := d.bits.pos; i+1 < len(d.data); i++ {
		if d.data[i] != 0xFF || d.data[i+1] == 0 || d.data[i+1] == 0xFF {
			continue
		}
		d.bits.reset(i + 2)
		return d.data[i+1] == m
	}
	return false
}
