package icc

import (
	"encoding/binary"
	"errors"
	"math"
)

// curve turns a channel's number 0..1 into light 0..1: by a table, or by one of
// the formulas of ICC.1:2010 section 10.16 (parametricCurveType).
type curve struct {
	table []float32
	kind  int
	p     [7]float64 // g a b c d e f
}

// maxTable is as many entries as a table of 16-bit numbers can tell apart.
const maxTable = 65536

var (
	errCurve = errors.New("a curve of its colour profile is damaged")

	identity  = curve{kind: 0, p: [7]float64{1}}
	sRGBCurve = curve{kind: 3, p: [7]float64{2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045}}
)

func power(g float64) curve { return curve{kind: 0, p: [7]float64{g}} }

// at is the curve's value. x is held to 0..1; the result is always finite.
func (c *curve) at(x float64) float64 {
	x = max(0, min(1, x)) // NaN stays NaN here and is caught below
	if c.table != nil {
		return c.lookUp(x)
	}
	g, a, b, cc, d, e, f := c.p[0], c.p[1], c.p[2], c.p[3], c.p[4], c.p[5], c.p[6]
	y := 0.0
	switch c.kind {
	case 0:
		y = pow(x, g)
	case 1:
		if a*x+b >= 0 {
			y = pow(a*x+b, g)
		}
	case 2:
		y = cc
		if a*x+b >= 0 {
			y += pow(a*x+b, g)
		}
	case 3:
		y = cc * x
		if x >= d {
			y = pow(a*x+b, g)
		}
	case 4:
		y = cc*x + f
		if x >= d {
			y = pow(a*x+b, g) + e
		}
	}
	if !(y >= -1) { // NaN too
		return 0
	}
	return min(y, 4)
}

// pow is x to the power of g for x of 0 or more; below it is 0.
func pow(x, g float64) float64 {
	if g == 1 {
		return x
	}
	if !(x > 0) {
		return 0
	}
	return math.Pow(x, g)
}

func (c *curve) lookUp(x float64) float64 {
	if !(x >= 0) {
		return float64(c.table[0])
	}
	at := x * float64(len(c.table)-1)
	i := min(int(at), len(c.table)-2)
	t := at - float64(i)
	return float64(c.table[i])*(1-t) + float64(c.table[i+1])*t
}

// parseCurve reads a curveType (ICC.1:2010 section 10.5) or a
// parametricCurveType (section 10.16).
func parseCurve(b []byte) (curve, error) {
	if len(b) < 12 {
		return curve{}, errCurve
	}
	switch string(b[:4]) {
	case "curv":
		return parseTable(b)
	case "para":
		return parseFormula(b)
	}
	return curve{}, ErrKind
}

func parseTable(b []byte) (curve, error) {
	n := int64(binary.BigEndian.Uint32(b[8:]))
	if n > maxTable || 12+2*n > int64(len(b)) {
		return curve{}, errCurve
	}
	switch n {
	case 0:
		return identity, nil
	case 1:
		g := float64(binary.BigEndian.Uint16(b[12:])) / 256
		if g < 0.1 || g > 10 {
			return curve{}, errCurve
		}
		return power(g), nil
	}
	t := make([]float32, n)
	for i := range t {
		t[i] = float32(binary.BigEndian.Uint16(b[12+2*i:])) / 65535
	}
	return curve{table: t}, nil
}

// formulaSize is how many parameters each formula has.
var formulaSize = [5]int{1, 3, 4, 5, 7}

func parseFormula(b []byte) (curve, error) {
	kind := int(binary.BigEndian.Uint16(b[8:]))
	if kind >= len(formulaSize) {
		return curve{}, ErrKind
	}
	n := formulaSize[kind]
	if len(b) < 12+4*n {
		return curve{}, errCurve
	}
	c := curve{kind: kind}
	for i := range n {
		c.p[i] = fixed(b[12+4*i:])
	}
	if c.p[0] < 0.1 || c.p[0] > 10 {
		return curve{}, errCurve
	}
	return c, nil
}

// fixed reads an s15Fixed16Number (ICC.1:2010 section 4.6).
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }
