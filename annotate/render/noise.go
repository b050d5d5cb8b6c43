package render

import "math"

// hash3 scatters a lattice point to 64 bits. Everything random in a picture
// comes from it, so a picture depends on its numbers alone: not on time, not
// on the order in which its tiles are finished.
func hash3(x, y, z int64, seed uint64) uint64 {
	h := seed*0x9e3779b97f4a7c15 + uint64(x)*0xbf58476d1ce4e5b9
	h ^= h >> 29
	h += uint64(y) * 0x94d049bb133111eb
	h ^= h >> 31
	h *= 0xd6e8feb86659fd93
	h += uint64(z) * 0xa0761d6478bd642f
	h ^= h >> 32
	h *= 0xd6e8feb86659fd93
	return h ^ h>>29
}

func unitFloat(h uint64) float64 { return float64(h>>11) / (1 << 53) }

// noise3 is value noise, about -1..1, one feature per unit.
func noise3(x, y, z float64, seed uint64) float64 {
	fx, fy, fz := math.Floor(x), math.Floor(y), math.Floor(z)
	ix, iy, iz := int64(fx), int64(fy), int64(fz)
	x, y, z = ease(x-fx), ease(y-fy), ease(z-fz)
	at := func(dx, dy, dz int64) float64 {
		return float64(hash3(ix+dx, iy+dy, iz+dz, seed)>>40) * (2.0 / (1 << 24))
	}
	a := lerp(lerp(at(0, 0, 0), at(1, 0, 0), x), lerp(at(0, 1, 0), at(1, 1, 0), x), y)
	b := lerp(lerp(at(0, 0, 1), at(1, 0, 1), x), lerp(at(0, 1, 1), at(1, 1, 1), x), y)
	return lerp(a, b, z) - 1
}

func noise2(x, y float64, seed uint64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int64(fx), int64(fy)
	x, y = ease(x-fx), ease(y-fy)
	at := func(dx, dy int64) float64 {
		return float64(hash3(ix+dx, iy+dy, 0, seed)>>40) * (2.0 / (1 << 24))
	}
	return lerp(lerp(at(0, 0), at(1, 0), x), lerp(at(0, 1), at(1, 1), x), y) - 1
}

func ease(t float64) float64 { return t * t * t * (t*(t*6-15) + 10) }

// layers adds octaves of noise3, each half as strong and twice as fine.
func layers(p vec, octaves int, seed uint64) float64 {
	sum, amp := 0.0, 0.5
	for i := 0; i < octaves; i++ {
		sum += amp * noise3(p.X, p.Y, p.Z, seed+uint64(i)*101)
		p, amp = p.mul(2.03), amp/2
	}
	return sum
}

// dice is a small random stream, one per pixel. Its throws in pairs are spread
// over the pixels of each block of 4 x 4: every pixel takes another of 16 cells
// of the unit square, so that their mean is steadier than chance.
type dice struct {
	state uint64
	cell  uint8
}

// cells orders the pixels of a block so that neighbours are far apart.
var cells = [16]uint8{0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5}

func newDice(x, y int, seed uint64) dice {
	return dice{hash3(int64(x), int64(y), 7, seed), cells[y&3*4+x&3]}
}

// pair throws a point of the unit square.
func (d *dice) pair() (float64, float64) {
	u := (float64(d.cell&3) + d.next()) / 4
	v := (float64(d.cell>>2) + d.next()) / 4
	d.cell = (d.cell + 7) & 15
	return u, v
}

func (d *dice) next() float64 {
	d.state = d.state*6364136223846793005 + 1442695040888963407
	x := d.state
	x ^= x >> 33
	x *= 0xff51afd7ed558ccd
	x ^= x >> 33
	return unitFloat(x)
}

// spread gives the i-th of an evenly spread sequence of points in the unit
// square (the plastic-number sequence), shifted by the pixel's own dice.
func spread(i int, sx, sy float64) (float64, float64) {
	x := sx + float64(i)*0.7548776662466927
	y := sy + float64(i)*0.5698402909980532
	return x - math.Floor(x), y - math.Floor(y)
}
