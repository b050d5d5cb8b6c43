package outline

// source says where a figure of the table comes from.
type source string

const (
	// memory: general lutherie knowledge, no document read; the facts list
	// gives a solid double-cutaway body as about 400 x 325 x 44 mm and its
	// scale as 628 to 648 mm.
	memory source = "general lutherie knowledge, from memory"
	// practice: what most instruments of the class have, as anyone measuring a
	// few will find; no published source.
	practice source = "common practice in the trade"
	// drawn: decided for this drawing so that it reads well; stands for no
	// instrument.
	drawn source = "chosen for the drawing"
)

// figure is one dimension in millimetres and where it comes from.
type figure struct {
	mm     float64
	source source
}

// class is the table of one class of instrument. All places are those of an
// instrument with the class's own scale length; see frame for how they move
// with another.
type class struct {
	name    string
	scale   figure
	frets   int // usual number
	strings int // usual number

	thickness    figure // of the body
	joint        figure // Y where the body meets the centre line
	end          figure // Y of the body's end on the centre line
	roundover    figure // radius of the body's edge, drawn as a line
	nutStep      figure // between strings at the nut
	bridgeStep   figure // between strings at the bridge
	crowdedNut   figure // the same for every string above eight (pairs sit closer)
	crowdedEnd   figure
	margin       figure  // outer string to the edge of the fingerboard
	nutLength    figure  // of the nut along the strings
	fretWidth    figure  // of a fret's crown
	overhang     figure  // fingerboard beyond the last fret
	pocket       figure  // shortest neck inside the body
	shortest     float64 // how far the body may shrink and stretch along the strings, above the bridge, to meet the neck
	longest      float64
	pickupLength figure // along the strings
	pickupReach  figure // of a pickup beyond the outer strings
	bridgeFront  figure // bridge before the scale length
	bridgeBack   figure // bridge behind it
	bridgeReach  figure // bridge beyond the outer strings
	knobRadius   figure
	switchRadius figure
	jackLength   figure // of the jack's plate along the edge
	jackWidth    figure
	headReach    figure // headstock beyond the nut's end, at its widest
	headLeast    figure // half its width there at the least, room for a tuner a side
	headShoulder figure // from the nut to there
	headTip      figure // headstock beyond its last tuner
	firstTuner   figure // from the nut
	tunerStep    figure // between tuners of one side, up to three a side
	tunerCrowded figure // the same from five a side
	tunerInset   figure // post to the headstock's edge

	zones zones

	body, guard, cover []node
	knobs              [2]node
	toggle, jack       node
}

// classes is the table of classes; the first is the default.
var classes = []*class{&doubleCutaway}

// Classes lists the classes that can be drawn.
func Classes() []string {
	names := make([]string, len(classes))
	for i, c := range classes {
		names[i] = c.name
	}
	return names
}

func classByName(name string) *class {
	for _, c := range classes {
		if c.name == name {
			return c
		}
	}
	return nil
}

// zones are the limits, in mm on the class's own body, of the words that say
// where on the body a point is.
type zones struct {
	middle float64 // half the width of the strip under the strings
	horns  float64 // Y down to which a horn reaches
	waist  float64 // Y where the waist begins
	bouts  float64 // Y where the lower bouts begin
	bridge float64 // Y down to which a point is by the bridge
	bottom float64 // Y where the bottom end begins
}
