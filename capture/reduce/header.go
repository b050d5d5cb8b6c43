package reduce

import "encoding/binary"

// Marker codes of ITU-T T.81 (JPEG), table B.1.
const (
	mSOF0  = 0xC0 // sequential
	mSOF1  = 0xC1 // extended sequential
	mSOF2  = 0xC2 // progressive
	mDHT   = 0xC4
	mJPG   = 0xC8
	mDAC   = 0xCC
	mRST0  = 0xD0
	mRST7  = 0xD7
	mSOI   = 0xD8
	mEOI   = 0xD9
	mSOS   = 0xDA
	mDQT   = 0xDB
	mDRI   = 0xDD
	mAPP0  = 0xE0
	mAPP14 = 0xEE
	mTEM   = 0x01
)

// component is one colour plane of a JPEG: its sampling factors and tables, and where its decoded rows go.
type component struct {
	id     byte
	h, v   int // sampling factors
	tq     byte
	width  int // samples, ceil(picture width * h / hmax)
	height int
	out    *planeOut
}

// jpegDecoder walks through one JPEG file. First readFrame or readHeader, then prepare each component's out, then scans.
type jpegDecoder struct {
	data []byte
	pos  int

	sof           byte
	depth         int
	width, height int
	hmax, vmax    int
	comps         []component
	jfif          bool
	adobe         int // the colour transform of the Adobe segment plus one; 0: there is none

	quant    [4][64]uint16 // in zigzag order
	quantSet [4]bool
	dc, ac   [4]*huffman
	interval int // MCUs between restart markers; 0: none

	bits bitReader
	blk  [64]int32
}

func (d *jpegDecoder) info() Info {
	return Info{Format: formatJPEG, Width: d.width, Height: d.height, Progressive: d.sof == mSOF2, Depth: d.depth, Components: len(d.comps)}
}

// ordinary tells whether this decoder reads the file itself. RGB is told as the standard library does: by the
// Adobe segment, or by the component names, unless a JFIF segment promises YCbCr.
func (d *jpegDecoder) ordinary() bool {
	if d.sof != mSOF0 && d.sof != mSOF1 {
		return false
	}
	if len(d.comps) == 1 {
		return true
	}
	if len(d.comps) != 3 {
		return false
	}
	rgb := d.adobe == 1 || d.comps[0].id == 'R' && d.comps[1].id == 'G' && d.comps[2].id == 'B'
	return d.jfif || !rgb
}

// segment returns the next marker and the bytes that belong to it, and moves past them.
func (d *jpegDecoder) segment() (marker byte, body []byte, err error) {
	for d.pos < len(d.data) && d.data[d.pos] != 0xFF {
		d.pos++ // some writers leave padding between segments
	}
	for d.pos < len(d.data) && d.data[d.pos] == 0xFF {
		d.pos++
	}
	if d.pos >= len(d.data) {
		return 0, nil, damagedJPEG("it breaks off between two segments")
	}
	marker = d.data[d.pos]
	d.pos++
	if marker == 0 || marker == mTEM || marker >= mRST0 && marker <= mEOI {
		return marker, nil, nil
	}
	if d.pos+2 > len(d.data) {
		return 0, nil, damagedJPEG("its header breaks off")
	}
	n := int(binary.BigEndian.Uint16(d.data[d.pos:]))
	if n < 2 || d.pos+n > len(d.data) {
		return 0, nil, damagedJPEG("its header breaks off")
	}
	body = d.data[d.pos+2 : d.pos+n]
	d.pos += n
	return marker, body, nil
}

// readFrame reads up to and including the frame header: all that Config needs.
func (d *jpegDecoder) readFrame() error {
	for len(d.comps) == 0 {
		m, body, err := d.segment()
		if err != nil {
			return err
		}
		if m == mSOS || m == mEOI {
			return damagedJPEG("it has no frame header")
		}
		if err := d.apply(m, body); err != nil {
			return err
		}
	}
	return nil
}

// readHeader reads up to the first scan and returns that scan's header.
func (d *jpegDecoder) readHeader() (sos []byte, err error) {
	for {
		m, body, err := d.segment()
		switch {
		case err != nil:
			return nil, err
		case m == mSOS && len(d.comps) > 0:
			return body, nil
		case m == mSOS || m == mEOI:
			return nil, damagedJPEG("it holds no picture")
		}
		if err := d.apply(m, body); err != nil {
			return nil, err
		}
	}
}

// apply takes one segment into the decoder's state. Segments of no concern are passed over.
func (d *jpegDecoder) apply(m byte, body []byte) error {
	switch m {
	case mDHT:
		return d.readHuffman(body)
	case mDQT:
		return d.readQuant(body)
	case mDRI:
		if len(body) != 2 {
			return damagedJPEG("its restart interval has the wrong length")
		}
		d.interval = int(binary.BigEndian.Uint16(body))
	case mAPP0:
		d.jfif = d.jfif || len(body) >= 5 && string(body[:5]) == "JFIF\x00"
	case mAPP14:
		if len(body) >= 12 && string(body[:5]) == "Adobe" {
			d.adobe = int(body[11]) + 1
		}
	}
	if m >= mSOF0 && m <= 0xCF && m != mDHT && m != mJPG && m != mDAC {
		return d.readSOF(m, body)
	}
	return nil
}

// readSOF reads a frame header (T.81 section B.2.2).
func (d *jpegDecoder) readSOF(m byte, body []byte) error {
	if len(d.comps) > 0 {
		return damagedJPEG("it has two frame headers")
	}
	if len(body) < 6 || len(body) != 6+3*int(body[5]) || body[5] == 0 {
		return damagedJPEG("its frame header has the wrong length")
	}
	d.sof, d.depth = m, int(body[0])
	d.height, d.width = int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
	if m > mSOF2 || d.depth != 8 || body[5] > 4 {
		return ErrFormat
	}
	if d.width == 0 || d.height == 0 {
		return damagedJPEG("its header gives no size")
	}
	comps := make([]component, body[5])
	for i := range comps {
		b := body[6+3*i:]
		c := component{id: b[0], h: int(b[1] >> 4), v: int(b[1] & 15), tq: b[2]}
		if c.h < 1 || c.h > 4 || c.v < 1 || c.v > 4 || c.tq > 3 {
			return damagedJPEG("its frame header makes no sense")
		}
		if len(comps) == 1 {
			c.h, c.v = 1, 1 // sampling factors mean nothing for a single plane (T.81 section A.2.2)
		}
		d.hmax, d.vmax = max(d.hmax, c.h), max(d.vmax, c.v)
		comps[i] = c
	}
	for i := range comps {
		c := &comps[i]
		c.width = (d.width*c.h + d.hmax - 1) / d.hmax
		c.height = (d.height*c.v + d.vmax - 1) / d.vmax
	}
	d.comps = comps
	return nil
}

// readQuant reads quantisation tables (T.81 section B.2.4.1).
func (d *jpegDecoder) readQuant(body []byte) error {
	for len(body) > 0 {
		wide, id := int(body[0]>>4), body[0]&15
		n := 64 * (wide + 1)
		if wide > 1 || id > 3 || len(body) < 1+n {
			return damagedJPEG("its quantisation table makes no sense")
		}
		for i := range 64 {
			if wide == 1 {
				d.quant[id][i] = binary.BigEndian.Uint16(body[1+2*i:])
			} else {
				d.quant[id][i] = uint16(body[1+i])
			}
		}
		d.quantSet[id] = true
		body = body[1+n:]
	}
	return nil
}

// readHuffman reads Huffman tables (T.81 section B.2.4.2).
func (d *jpegDecoder) readHuffman(body []byte) error {
	for len(body) > 0 {
		if len(body) < 17 || body[0]>>4 > 1 || body[0]&15 > 3 {
			return damagedJPEG("its Huffman table makes no sense")
		}
		n := 0
		for _, c := range body[1:17] {
			n += int(c)
		}
		if n > 256 || len(body) < 17+n {
			return damagedJPEG("its Huffman table breaks off")
		}
		isDC := body[0]>>4 == 0
		t, err := newHuffman(body[1:17], body[17:17+n], isDC)
		if err != nil {
			return err
		}
		if isDC {
			d.dc[body[0]&15] = t
		} else {
			d.ac[body[0]&15] = t
		}
		body = body[17+n:]
	}
	return nil
}
