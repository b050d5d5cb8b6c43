package sign

import (
	"bytes"
	"errors"
	"fmt"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"wornwood/pdfout/pdf"
)

// What the visible signature looks like, in points.
const (
	lookMargin  = 1.5
	lookSize    = 8.5  // largest letter size
	lookLeading = 1.32 // line distance over letter size
)

// drawLines draws lines of text as filled outlines into a box of w by h
// points; whoever draws the page frames it. No font is needed to show them.
// Characters that the font lacks are left out, which the caller can avoid by
// asking it first.
func drawLines(ttf []byte, lines []string, w, h float64) ([]byte, error) {
	var out bytes.Buffer
	if len(lines) == 0 {
		return out.Bytes(), nil
	}
	if len(ttf) == 0 {
		return nil, errors.New("the visible signature needs a font")
	}
	f, err := sfnt.Parse(ttf)
	if err != nil {
		return nil, fmt.Errorf("read the font of the visible signature: %w", err)
	}
	pen := &outliner{font: f, em: fixed.I(int(f.UnitsPerEm()))}
	widest := 0.0
	for _, l := range lines {
		lw, err := pen.width(l)
		if err != nil {
			return nil, err
		}
		widest = max(widest, lw)
	}
	size := min(lookSize, (h-2*lookMargin)/(float64(len(lines))*lookLeading))
	if widest > 0 {
		size = min(size, (w-2*lookMargin)/widest)
	}
	if size <= 0 {
		return nil, errors.New("the field is too small for a visible signature")
	}
	out.WriteString("q 0 g\n")
	// The block of lines stands in the middle of the box; capitals take about
	// seven tenths of the letter size above the base line.
	block := size * (0.7 + lookLeading*float64(len(lines)-1))
	y := h/2 + block/2 - 0.7*size
	for _, l := range lines {
		if err := pen.draw(&out, l, lookMargin, y, size); err != nil {
			return nil, err
		}
		y -= size * lookLeading
	}
	out.WriteString("Q\n")
	return out.Bytes(), nil
}

func num(f float64) string { return string(pdf.AppendObject(nil, pdf.Num(f))) }

// outliner turns glyphs into path commands.
type outliner struct {
	font *sfnt.Font
	buf  sfnt.Buffer
	em   fixed.Int26_6
}

// each calls do for every glyph of s with its offset in ems.
func (o *outliner) each(s string, do func(g sfnt.GlyphIndex, x float64) error) (float64, error) {
	x := 0.0
	var prev sfnt.GlyphIndex
	for _, r := range s {
		g, err := o.font.GlyphIndex(&o.buf, r)
		if err != nil {
			return 0, fmt.Errorf("find glyph: %w", err)
		}
		if g == 0 {
			continue
		}
		if prev != 0 {
			if k, err := o.font.Kern(&o.buf, prev, g, o.em, font.HintingNone); err == nil {
				x += float64(k) / float64(o.em)
			}
		}
		if do != nil {
			if err := do(g, x); err != nil {
				return 0, err
			}
		}
		adv, err := o.font.GlyphAdvance(&o.buf, g, o.em, font.HintingNone)
		if err != nil {
			return 0, fmt.Errorf("measure glyph: %w", err)
		}
		x += float64(adv) / float64(o.em)
		prev = g
	}
	return x, nil
}

func (o *outliner) width(s string) (float64, error) { return o.each(s, nil) }

func (o *outliner) draw(out *bytes.Buffer, s string, left, base, size float64) error {
	_, err := o.each(s, func(g sfnt.GlyphIndex, x float64) error {
		segments, err := o.font.LoadGlyph(&o.buf, g, o.em, nil)
		if err != nil {
			return fmt.Errorf("draw glyph: %w", err)
		}
		o.path(out, segments, left+x*size, base, size)
		return nil
	})
	return err
}

// path writes one glyph. Quadratic curves become cubic ones with the same
// shape; PDF knows no others.
func (o *outliner) path(out *bytes.Buffer, segments sfnt.Segments, left, base, size float64) {
	if len(segments) == 0 {
		return
	}
	at := func(p fixed.Point26_6) (float64, float64) {
		return left + float64(p.X)/float64(o.em)*size, base - float64(p.Y)/float64(o.em)*size
	}
	var cx, cy float64
	open := false
	for _, s := range segments {
		x, y := at(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				out.WriteString("h\n")
			}
			open = true
			fmt.Fprintf(out, "%s %s m\n", num(x), num(y))
		case sfnt.SegmentOpLineTo:
			fmt.Fprintf(out, "%s %s l\n", num(x), num(y))
		case sfnt.SegmentOpQuadTo:
			ex, ey := at(s.Args[1])
			fmt.Fprintf(out, "%s %s %s %s %s %s c\n", num(cx+2*(x-cx)/3), num(cy+2*(y-cy)/3),
				num(ex+2*(x-ex)/3), num(ey+2*(y-ey)/3), num(ex), num(ey))
			x, y = ex, ey
		case sfnt.SegmentOpCubeTo:
			x2, y2 := at(s.Args[1])
			ex, ey := at(s.Args[2])
			fmt.Fprintf(out, "%s %s %s %s %s %s c\n", num(x), num(y), num(x2), num(y2), num(ex), num(ey))
			x, y = ex, ey
		}
		cx, cy = x, y
	}
	out.WriteString("h f\n")
}
