package reduce

import (
	"encoding/binary"
	"errors"
	"image"
	"image/jpeg"
	"io"
)

// EncodeJPEG writes img as a baseline JPEG. quality is 1 to 100 on the scale that the Independent JPEG Group's library
// made customary; zero takes DefaultQuality. YCbCr keeps its subsampling and Gray stays grey; these two are encoded
// here, anything else by the standard library (which drops alpha).
func EncodeJPEG(w io.Writer, img image.Image, quality int) error {
	if quality == 0 {
		quality = DefaultQuality
	}
	quality = min(max(quality, 1), 100)
	b := img.Bounds()
	if b.Empty() || b.Dx() > 65535 || b.Dy() > 65535 {
		return errors.New("encode JPEG: a picture must have 1 to 65535 pixels each way")
	}
	e := newEncoder(quality)
	switch m := img.(type) {
	case *image.Gray:
		e.planes = []encPlane{{pix: m.Pix, stride: m.Stride, w: b.Dx(), h: b.Dy(), fx: 1, fy: 1}}
	case *image.YCbCr:
		if !aligned(m) {
			m = fullChroma(m)
		}
		e.planes = yccPlanes(m)
	default:
		return jpeg.Encode(w, img, &jpeg.Options{Quality: quality})
	}
	return e.encode(w, b.Dx(), b.Dy())
}

// encPlane is one colour plane: its samples and its blocks per MCU.
type encPlane struct {
	pix    []byte
	stride int
	w, h   int
	fx, fy int
	table  int // 0 for brightness, 1 for chroma
	dc     int32
}

func yccPlanes(m *image.YCbCr) []encPlane {
	b := m.Bounds()
	f := chromaFactors[m.SubsampleRatio]
	yo, co := m.YOffset(b.Min.X, b.Min.Y), m.COffset(b.Min.X, b.Min.Y)
	chroma := encPlane{stride: m.CStride, w: (b.Dx() + f.x - 1) / f.x, h: (b.Dy() + f.y - 1) / f.y, fx: 1, fy: 1, table: 1}
	cb, cr := chroma, chroma
	cb.pix, cr.pix = m.Cb[co:], m.Cr[co:]
	return []encPlane{{pix: m.Y[yo:], stride: m.YStride, w: b.Dx(), h: b.Dy(), fx: f.x, fy: f.y}, cb, cr}
}

// encoder holds one file in the making.
type encoder struct {
	planes   []encPlane
	interval int // MCUs between restart markers; 0: none

	quant [2][64]byte   // in zigzag order
	recip [2][64]uint32 // what the transform's output is multiplied with, natural order, 30 bits
	codes [2]encCodes

	buf  []byte
	acc  uint64
	bits uint
	blk  [64]int32
}

// encCodes are a DC and an AC table: code<<8 | length for each symbol.
type encCodes struct{ dc, ac [256]uint32 }

// Every coefficient comes out of the forward transform multiplied by aan(u) aan(v) 8 and by 2 to the fdctBits.
const (
	fdctBits  = 4
	recipBits = 30
)

func newEncoder(quality int) *encoder {
	e := new(encoder)
	scale := 200 - 2*quality
	if quality < 50 {
		scale = 5000 / quality
	}
	for t := range e.quant {
		for k, at := range natural {
			q := min(max((int(stdQuant[t][k])*scale+50)/100, 1), 255)
			e.quant[t][k] = byte(q)
			gain := aan[at&7] * aan[at>>3] * 8 * (1 << fdctBits) * float64(q)
			e.recip[t][at] = uint32((1<<recipBits)/gain + 0.5)
		}
		e.codes[t] = encCodes{dc: codesOf(stdHuffman[2*t]), ac: codesOf(stdHuffman[2*t+1])}
	}
	return e
}

// codesOf assigns canonical codes (T.81 annex C).
func codesOf(t huffSpec) (out [256]uint32) {
	code, k := uint32(0), 0
	for l, n := range t.counts {
		for range n {
			out[t.syms[k]] = code<<8 | uint32(l+1)
			code++
			k++
		}
		code <<= 1
	}
	return out
}

// encode writes the whole file, a row of MCUs at a time.
func (e *encoder) encode(w io.Writer, width, height int) error {
	e.header(width, height)
	y := e.planes[0]
	mcusX, mcusY := (width+8*y.fx-1)/(8*y.fx), (height+8*y.fy-1)/(8*y.fy)
	done := 0
	for my := range mcusY {
		for mx := range mcusX {
			if e.interval > 0 && done > 0 && done%e.interval == 0 {
				e.align()
				e.buf = append(e.buf, 0xFF, mRST0|byte(done/e.interval-1)&7)
				for i := range e.planes {
					e.planes[i].dc = 0
				}
			}
			done++
			for i := range e.planes {
				e.mcu(&e.planes[i], mx, my)
			}
		}
		if len(e.buf) > 1<<15 {
			if _, err := w.Write(e.buf); err != nil {
				return err
			}
			e.buf = e.buf[:0]
		}
	}
	e.align()
	e.buf = append(e.buf, 0xFF, mEOI)
	_, err := w.Write(e.buf)
	return err
}

func (e *encoder) mcu(p *encPlane, mx, my int) {
	for y := range p.fy {
		for x := range p.fx {
			e.load(p, (mx*p.fx+x)*8, (my*p.fy+y)*8)
			e.block(p)
		}
	}
}

// load takes an 8 x 8 block, repeating the last sample over the right and lower edge.
func (e *encoder) load(p *encPlane, x, y int) {
	if x+8 <= p.w && y+8 <= p.h {
		for r := range 8 {
			src := (*[8]byte)(p.pix[(y+r)*p.stride+x:])
			dst := (*[8]int32)(e.blk[8*r:])
			for i, v := range src {
				dst[i] = (int32(v) - 128) << fdctBits
			}
		}
		return
	}
	for r := range 8 {
		row := p.pix[min(y+r, p.h-1)*p.stride:]
		for i := range 8 {
			e.blk[8*r+i] = (int32(row[min(x+i, p.w-1)]) - 128) << fdctBits
		}
	}
}

// block transforms, quantises and writes e.blk.
func (e *encoder) block(p *encPlane) {
	forward8x8(&e.blk)
	var zz [64]int32
	var nonzero uint64
	recip := &e.recip[p.table]
	for k, at := range natural {
		v := int64(e.blk[at])
		sign := v >> 63
		a := ((v^sign)-sign)*int64(recip[at]) + 1<<(recipBits-1)
		q := a >> recipBits
		zz[k] = int32((q ^ sign) - sign)
		nonzero |= uint64(-q) >> 63 << k
	}
	codes := &e.codes[p.table]
	diff := zz[0] - p.dc
	p.dc = zz[0]
	e.symbol(&codes.dc, 0, diff)
	e.acSymbols(&codes.ac, &zz, nonzero&^1)
}

// align fills the last byte with ones (T.81 section F.1.2.3).
func (e *encoder) align() {
	if r := e.bits & 7; r != 0 {
		e.put(1<<(8-r)-1, 8-r)
	}
	for e.bits > 0 {
		e.bits -= 8
		e.stuffed(byte(e.acc >> e.bits))
	}
}

func (e *encoder) stuffed(b byte) {
	e.buf = append(e.buf, b)
	if b == 0xFF {
		e.buf = append(e.buf, 0)
	}
}

// put appends the n lowest bits of v, at most 27.
func (e *encoder) put(v uint32, n uint) {
	e.acc = e.acc<<(n&63) | uint64(v)
	e.bits += n
	if e.bits >= 32 {
		e.bits -= 32
		word := uint32(e.acc >> (e.bits & 63))
		if inv := ^word; (inv-0x01010101)&word&0x80808080 == 0 { // no byte is 0xFF
			e.buf = binary.BigEndian.AppendUint32(e.buf, word)
			return
		}
		for s := 24; s >= 0; s -= 8 {
			e.stuffed(byte(word >> s))
		}
	}
}
