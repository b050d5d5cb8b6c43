package grade

import (
	"reflect"
	"sync"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// keptDrawings is how many drawings are kept: an evening's work moves between
// a few instruments, and each drawing's rasters take a few megabytes.
const keptDrawings = 6

var drawings struct {
	sync.Mutex
	list []keptDrawing // last used last
}

type keptDrawing struct {
	params outline.Params
	d      *outline.Drawing
}

// DrawingFor is the outline of an instrument, the class's usual measures filled
// in where the record has none. Drawings are kept, so asking again for the same
// measures costs nothing. The error names the measure that cannot be drawn.
func DrawingFor(i record.Instrument) (*outline.Drawing, error) {
	p := outline.Params{Class: i.Class, ScaleLength: i.ScaleLength, Frets: i.Frets, Strings: i.Strings, LeftHanded: i.LeftHanded,
		BassScale: i.BassScale, StraightFret: i.StraightFret, BodyLength: i.BodyLength, BodyWidth: i.BodyWidth, Own: i.Own}
	drawings.Lock()
	defer drawings.Unlock()
	for n, k := range drawings.list {
		if reflect.DeepEqual(k.params, p) {
			drawings.list = append(append(drawings.list[:n:n], drawings.list[n+1:]...), k)
			return k.d, nil
		}
	}
	d, err := outline.New(p)
	if err != nil {
		return nil, err
	}
	drawings.list = append(drawings.list, keptDrawing{p, d})
	if len(drawings.list) > keptDrawings {
		drawings.list = append([]keptDrawing(nil), drawings.list[1:]...)
	}
	return d, nil
}
