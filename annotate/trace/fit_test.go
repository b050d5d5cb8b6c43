package trace

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// python runs one of the scripts in testdata with Debian's Python, which has
// the packages python3-shapely, python3-numpy and python3-opencv.
func python(t *testing.T, script string, in, out any) {
	t.Helper()
	data, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "testdata/"+script)
	cmd.Stdin = bytes.NewReader(data)
	var said bytes.Buffer
	cmd.Stderr = &said
	answer, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s\ninstall python3-shapely, python3-numpy and python3-opencv", script, err, said.String())
	}
	if err := json.Unmarshal(answer, out); err != nil {
		t.Fatal(err)
	}
}

// bodies are the bodies of every class of outline as rings in mm.
func bodies(t *testing.T) map[string][]shape.Pt {
	t.Helper()
	out := map[string][]shape.Pt{}
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		if r, ok := d.Region("front/body"); ok {
			out[class] = r.Path.Flatten(0.01)[0]
		}
	}
	if len(out) < 10 {
		t.Fatalf("only %d classes have a body", len(out))
	}
	return out
}

type ringProblem struct {
	Ring  []shape.Pt `json:"ring"`
	Curve []shape.Pt `json:"curve"`
	Step  float64    `json:"step"`
}

// Fitted curves stay within the tolerance of the ring, both ways, as shapely
// measures it, with few nodes.
func TestFitCurveKeepsTheTolerance(t *testing.T) {
	const tolerance = 0.5
	var names []string
	var problems []ringProblem
	var counts []int
	add := func(name string, ring []shape.Pt) {
		nodes := FitCurve(ring, tolerance)
		if ok, p := IsSimple(nodes); !ok {
			t.Errorf("%s: the fitted curve crosses itself at %v", name, p)
			return
		}
		names = append(names, name)
		counts = append(counts, len(nodes))
		problems = append(problems, ringProblem{ring, shape.NodePath(nodes).Flatten(0.02)[0], 1})
	}
	all := bodies(t)
	var order []string
	for class := range all {
		order = append(order, class)
	}
	slices.Sort(order)
	rnd := rand.New(rand.NewPCG(5, 5))
	for i, class := range order {
		if i%6 == 0 {
			add(class, all[class])
		}
		// The same as traced: noise of a tenth of a millimetre at every point.
		rough := evenly(all[class], 0.5)
		for i := range rough {
			rough[i] = shape.Add(rough[i], shape.Pt{X: 0.1 * rnd.NormFloat64(), Y: 0.1 * rnd.NormFloat64()})
		}
		add(class+", traced", rough)
	}
	var off []float64
	python(t, "curves.py", problems, &off)
	for i, d := range off {
		t.Logf("%-45s %3d nodes, off by %.3f mm", names[i], counts[i], d)
		// 0.05: what the measure itself may miss between its points.
		if d > tolerance+0.05 {
			t.Errorf("%s: the curve leaves the ring by %.3f mm, more than %.1f", names[i], d, tolerance)
		}
		if counts[i] > 60 {
			t.Errorf("%s: %d nodes", names[i], counts[i])
		}
	}
}

// A circle needs few nodes; a box keeps its four corners as corners.
func TestFitCurveOfCircleAndBox(t *testing.T) {
	circle := shape.Circle(shape.Pt{X: 50, Y: 70}, 200).Flatten(0.001)[0]
	if n := len(FitCurve(circle, 0.5)); n > 5 {
		t.Errorf("a circle has %d nodes", n)
	}
	box := []shape.Pt{{X: 0, Y: 0}, {X: 300, Y: 0}, {X: 300, Y: 200}, {X: 0, Y: 200}}
	nodes := FitCurve(box, 0.5)
	if len(nodes) != 4 {
		t.Fatalf("a box has %d nodes: %v", len(nodes), nodes)
	}
	for _, n := range nodes {
		if Smooth(n) {
			t.Errorf("the corner at %v is smooth", n.At)
		}
		near := math.Inf(1)
		for _, p := range box {
			near = min(near, shape.Dist(n.At, p))
		}
		if near > 0.5 {
			t.Errorf("a node at %v, %.2f from the corner", n.At, near)
		}
	}
}

// The curve runs clockwise, without corners where the ring has none, and does not depend on
// where or which way round the ring starts.
func TestFitCurveDoesNotDependOnTheStart(t *testing.T) {
	all := bodies(t)
	for class, ring := range all {
		ring = evenly(ring, 1)
		first := FitCurve(ring, 0.5)
		if shape.PolygonArea(shape.NodePath(first).Flatten(0.1)[0]) < 0.9*shape.PolygonArea(ring) || turnsLeft(shape.NodePath(first).Flatten(0.1)[0]) {
			t.Errorf("%s: the curve does not run clockwise round the ring", class)
		}
		for _, k := range []int{1, len(ring) / 3, len(ring) - 1} {
			turned := append(append([]shape.Pt(nil), ring[k:]...), ring[:k]...)
			if k == 1 {
				slices.Reverse(turned)
			}
			if !slices.Equal(FitCurve(turned, 0.5), first) {
				t.Errorf("%s: another start gives another curve", class)
			}
		}
	}
}

// Random smooth blobs: smooth at every node, within the tolerance by dense sampling.
func TestFitCurveOfBlobs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ring []shape.Pt
		amp := rapid.SliceOfN(rapid.Float64Range(-0.12, 0.12), 5, 5).Draw(t, "waves")
		size := rapid.Float64Range(20, 3000).Draw(t, "size")
		for i := range 720 {
			a := 2 * math.Pi * float64(i) / 720
			r := 1.0
			for k, v := range amp {
				r += v * math.Sin(float64(k+2)*a+float64(k*k))
			}
			s, c := math.Sincos(a)
			ring = append(ring, shape.Pt{X: size * r * c, Y: size * r * s})
		}
		tol := size * rapid.SampledFrom([]float64{0.002, 0.005, 0.01}).Draw(t, "tolerance")
		nodes := FitCurve(ring, tol)
		if len(nodes) < 3 || len(nodes) > 40 {
			t.Fatalf("%d nodes", len(nodes))
		}
		for _, n := range nodes {
			if !Smooth(n) {
				t.Fatalf("a corner at %v", n.At)
			}
		}
		for _, p := range ring {
			if _, _, d := Nearest(nodes, p); d > 1.02*tol {
				t.Fatalf("%v lies %.3f from the curve, tolerance %.3f", p, d, tol)
			}
		}
	})
}

func TestFitCurveOfPoorRings(t *testing.T) {
	nan := math.NaN()
	for _, ring := range [][]shape.Pt{
		nil, {{X: 1, Y: 1}}, {{X: 1, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 1}}, {{X: nan}, {X: 1}, {Y: 2}},
	} {
		if nodes := FitCurve(ring, 1); nodes != nil {
			t.Errorf("%v gives %v", ring, nodes)
		}
	}
	square := []shape.Pt{{X: 0}, {X: 9}, {X: 9, Y: 9}, {Y: 9}}
	for _, tol := range []float64{0, -1, nan, math.Inf(1)} {
		if FitCurve(square, tol) != nil {
			t.Errorf("a tolerance of %v gives a curve", tol)
		}
	}
	// More nodes than a record holds are not given, however fine the tolerance.
	rnd := rand.New(rand.NewPCG(1, 1))
	var star []shape.Pt
	for i := range 3000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 3000)
		r := 500 + 40*rnd.Float64()
		star = append(star, shape.Pt{X: r * c, Y: r * s})
	}
	if n := len(FitCurve(star, 0.01)); n < 3 || n > record.MaxNodes {
		t.Errorf("a ragged ring gives %d nodes", n)
	}
}
