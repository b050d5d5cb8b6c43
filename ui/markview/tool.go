package markview

import "wornwood/capture/record"

// Tool says what a press on ground means.
type Tool uint8

// The tools.
const (
	PinTool     Tool = iota // a click makes a point mark
	LineTool                // clicks draw a line; Enter or a click on its last point ends it; a drag draws freehand
	AreaTool                // clicks draw an area; Enter or a click on its first point closes it; a drag draws freehand
	PickTool                // every click is reported by OnPick, for scales and lengths
	PatchTool               // a drag draws a rectangle, reported by OnPatch
	MeasureTool             // clicks, or one drag, draw a line that is reported by OnMeasure; Enter or a click on its last point ends it, on its first closes it
	HandTool                // a click on ground does nothing: for looking, and for correcting points and curves
	EraseBrush              // a drag is reported by OnStroke
	AddBrush                // a drag is reported by OnStroke, add set
)

// shape is what the tool draws.
func (t Tool) shape() record.Shape {
	switch t {
	case LineTool, MeasureTool:
		return record.LineShape
	case AreaTool:
		return record.AreaShape
	}
	return record.PointShape
}

// least is how many points make a figure of the tool, 0 for tools that draw
// none by clicks.
func (t Tool) least() int {
	switch t {
	case LineTool, MeasureTool:
		return 2
	case AreaTool:
		return 3
	}
	return 0
}

// sets says that a click sets a point exactly where the pointer is: such tools
// snap.
func (t Tool) sets() bool { return t.least() > 0 || t == PickTool }

func (t Tool) brush() bool { return t == EraseBrush || t == AddBrush }

// Sizes in units of the window (a unit is Scale device pixels).
const (
	PinRadius  = 10.5
	reach      = 6.0 // how far from a line or a handle a press still means it
	slop       = 4.0 // how far a press may wander and still be a click
	fitMargin  = 22.0
	cursorStep = 8.0
)
