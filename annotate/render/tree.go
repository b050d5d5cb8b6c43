package render

import "sort"

// object is a shape with the paint on it. tint is its average colour, for
// light that it throws on its neighbours.
type object struct {
	name  string
	shape shape
	tint  rgb
	paint func(*spot) surface
}

// spot is where a ray met an object.
type spot struct {
	obj   *object
	t     float64
	p, n  vec     // place and outward normal
	d     vec     // direction of travel
	foot  float64 // mm that one pixel covers there
	rough bool    // seen in a mirror only: detail may be left out
}

// node is one box of the tree over all objects: an inner one has two children,
// a leaf one object.
type node struct {
	lo, hi      vec
	left, right int32
	axis        int8
	obj         *object
}

type tree struct{ nodes []node }

func newTree(objs []*object) *tree {
	t := &tree{}
	t.build(append([]*object(nil), objs...))
	return t
}

func (t *tree) build(objs []*object) int32 {
	lo, hi := objs[0].shape.box()
	for _, o := range objs[1:] {
		l, h := o.shape.box()
		lo, hi = lo.min(l), hi.max(h)
	}
	id := int32(len(t.nodes))
	t.nodes = append(t.nodes, node{lo: lo, hi: hi})
	if len(objs) == 1 {
		t.nodes[id].obj = objs[0]
		return id
	}
	size := hi.sub(lo)
	axis := 0
	if size.Y > size.X {
		axis = 1
	}
	if size.Z > size.at(axis) {
		axis = 2
	}
	mid := func(o *object) float64 { l, h := o.shape.box(); return l.at(axis) + h.at(axis) }
	sort.SliceStable(objs, func(i, j int) bool { return mid(objs[i]) < mid(objs[j]) })
	left := t.build(objs[:len(objs)/2])
	right := t.build(objs[len(objs)/2:])
	t.nodes[id].left, t.nodes[id].right, t.nodes[id].axis = left, right, int8(axis)
	return id
}

// nearest finds the first object on the ray; with any set it is content with
// whichever it meets.
func (t *tree) nearest(r *ray, tmin, tmax float64, any bool) (*object, float64) {
	var stack [64]int32
	var found *object
	n := 1
	for n > 0 {
		n--
		nd := &t.nodes[stack[n]]
		if _, _, ok := r.span(nd.lo, nd.hi, tmin, tmax); !ok {
			continue
		}
		if nd.obj != nil {
			if h, ok := nd.obj.shape.hit(r, tmin, tmax); ok {
				found, tmax = nd.obj, h
				if any {
					return found, tmax
				}
			}
			continue
		}
		// The nearer child is looked into first.
		stack[n], stack[n+1] = nd.right, nd.left
		if r.d.at(int(nd.axis)) < 0 {
			stack[n], stack[n+1] = nd.left, nd.right
		}
		n += 2
	}
	return found, tmax
}
