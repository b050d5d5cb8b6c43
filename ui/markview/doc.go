// Package markview is the canvas on which marks are made: a photo or a side of
// the outline, with what was drawn on it and the numbered pins over it.
//
// Start with Canvas, the widget, and Controller, the plain-Go state machine
// behind it: what the pointer and the keys mean. Pyramid resamples a photo to
// exactly the visible window and Store keeps the photos decoded last; neither
// knows the toolkit.
//
// The canvas reports intentions (a pin wanted here, mark 7 to be moved there)
// and decides nothing: it shows what it is given and never alters a mark.
package markview
