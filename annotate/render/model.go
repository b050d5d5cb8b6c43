package render

// model is the instrument ready to be photographed. It is built once and does
// not change; pictures of it may be taken at the same time.
type model struct {
	plan  *plan
	body  *field
	objs  []*object
	marks []Mark
	flaws flaws
}

func newModel(p *plan, marks []Mark) *model {
	m := &model{plan: p, marks: marks}
	m.body = newField(p.body, 1, 22)
	m.flaws = drawMarks(marks, m.body)
	head := newField(p.head, 1, 8)
	skin := &lacquered{edge: m.body, soft: m.body.blurred(9), front: m.flaws.front, back: m.flaws.back, chip: m.flaws.chip}
	neck := &neckPaint{front: m.flaws.front, back: m.flaws.back}
	board := &boardPaint{plan: p, harm: m.flaws.board, dots: p.dots()}
	m.add(&object{name: "body", shape: bodyShape(skin), tint: rgb{0.28, 0.10, 0.04}, paint: skin.paint})
	m.add(&object{name: "neck", shape: neckShape(p, head), tint: rgb{0.5, 0.33, 0.13}, paint: neck.paint})
	m.add(&object{name: "board", shape: boardShape(p), tint: rgb{0.1, 0.05, 0.03}, paint: board.paint})
	m.add(p.nut())
	m.add(p.fretWire(m.flaws.worn)...)
	m.add(p.strings()...)
	m.add(p.tunerObjects(head)...)
	m.add(p.guardObjects()...)
	m.add(p.rodCoverObjects()...)
	m.add(p.pickupObjects()...)
	m.add(p.bridgeObjects()...)
	m.add(p.knobObjects()...)
	m.add(p.backObjects()...)
	m.add(p.edgeObjects(m.body)...)
	return m
}

func (m *model) add(o ...*object) { m.objs = append(m.objs, o...) }

// dots are the position marks between the frets, two at the twelfth.
func (p *plan) dots() []disc {
	var out []disc
	for _, n := range []int{3, 5, 7, 9, 12, 15, 17, 19, 21} {
		above := 0.0
		if n > 1 {
			above = p.frets[n-2]
		}
		y := (above + p.frets[n-1]) / 2
		if n == 12 {
			x := 0.42 * p.halfBoard(y)
			out = append(out, disc{-x, y, 3}, disc{x, y, 3})
			continue
		}
		out = append(out, disc{0, y, min(3, (y-above)*0.44)})
	}
	return out
}

// blurred is the field averaged over about r mm, without its creases.
func (f *field) blurred(r float64) *field {
	g := *f
	g.d = append([]float32(nil), f.d...)
	k := int(r / f.step / 2)
	for range 3 {
		g.boxPass(k, 1, g.w, g.h, g.w)
		g.boxPass(k, g.w, g.h, g.w, 1)
	}
	return &g
}

// boxPass is a running mean of 2k+1 values along lines of n cells.
func (f *field) boxPass(k, step, n, lines, stride int) {
	line := make([]float32, n)
	for l := range lines {
		base := l * stride
		for i := range n {
			line[i] = f.d[base+i*step]
		}
		for i := range n {
			a, b := max(0, i-k), min(n-1, i+k)
			var sum float32
			for j := a; j <= b; j++ {
				sum += line[j]
			}
			f.d[base+i*step] = sum / float32(b-a+1)
		}
	}
}
