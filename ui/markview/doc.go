// Package markview is the canvas on which marks are made: a photo or a side of
// the outline, with what was drawn on it and the numbered pins over it, and the
// tools of the work: corners and curves to drag, a loupe, snapping to edges,
// measured lines, scale points, colour patches, suggestions to accept or dismiss.
//
// Start with Canvas, the widget, and Controller, the plain-Go state machine
// behind it: what the pointer and the keys mean. Sheet is all that is shown, and
// what of it can be worked on. Pyramid resamples a photo to exactly the visible
// window and Store keeps the photos decoded last; neither knows the toolkit.
//
// A press takes hold of something (held, in gesture.go); each kind of thing has
// a file: figure, scalepoint, ghost, curve, brush, sketch, measuring, patching.
//
// The canvas reports intentions (a pin wanted here, mark 7 to be moved there)
// and decides nothing: it shows what it is given and never alters a mark.
package markview
