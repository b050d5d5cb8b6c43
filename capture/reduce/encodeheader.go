package reduce

import "encoding/binary"

// header writes everything before the entropy-coded data.
func (e *encoder) header(width, height int) {
	segment := func(m byte, body ...byte) {
		e.buf = append(e.buf, 0xFF, m)
		e.buf = binary.BigEndian.AppendUint16(e.buf, uint16(len(body)+2))
		e.buf = append(e.buf, body...)
	}
	e.buf = append(e.buf, 0xFF, mSOI)
	segment(mAPP0, 'J', 'F', 'I', 'F', 0, 1, 2, 0, 0, 1, 0, 1, 0, 0) // version 1.02, square pixels, no thumbnail
	tables := min(len(e.planes), 2)
	for t := range tables {
		segment(mDQT, append([]byte{byte(t)}, e.quant[t][:]...)...)
	}
	sof := []byte{8, byte(height >> 8), byte(height), byte(width >> 8), byte(width), byte(len(e.planes))}
	sos := []byte{byte(len(e.planes))}
	for i, p := range e.planes {
		sof = append(sof, byte(i+1), byte(p.fx<<4|p.fy), byte(p.table))
		sos = append(sos, byte(i+1), byte(p.table<<4|p.table))
	}
	segment(mSOF0, sof...)
	for t := range 2 * tables {
		h := stdHuffman[t]
		body := append([]byte{byte(t&1<<4 | t>>1)}, h.counts[:]...)
		segment(mDHT, append(body, h.syms...)...)
	}
	if e.interval > 0 {
		segment(mDRI, byte(e.interval>>8), byte(e.interval))
	}
	segment(mSOS, append(sos, 0, 63, 0)...)
}
