//go:build window

package windowtest

import "image"

// The places to click, in pixels of the window at its first size, 1440x900, one
// unit being one pixel. They follow from the layout of package ui: a menu of 23,
// a header of 56 and a hairline, then the rail, 88 wide with items of 60, and a
// foot of 28 at the bottom. The Marks screen gives the outline 36 parts and the
// photo 60 of what the rail and the panel of 326 leave, under a bar of 38 and a
// hairline.
var (
	firstRow   = image.Pt(300, 200) // of the list of instruments
	restButton = image.Pt(538, 850) // "The rest is original and was inspected"

	lowerBout = image.Pt(215, 800) // on the front's outline
	bassHorn  = image.Pt(200, 640)
	treble    = image.Pt(370, 780)
	backdrop  = image.Pt(110, 300) // beside the outline
	smallBout = image.Pt(240, 620) // on the front's outline at 1280x720

	onPhoto1 = image.Pt(650, 560) // on the photo, which is fitted to the width
	onPhoto2 = image.Pt(820, 330)

	reportFieldX = 1300 // a column that crosses the fields of the report screen, right of their texts
)

// The parts of the screen that are looked at.
var (
	answers  = image.Rect(860, 28, 1316, 78)   // the three answers in the header
	foot     = image.Rect(0, 873, 1440, 900)   // counts, and when the last change was saved
	outline  = image.Rect(90, 120, 472, 870)   // canvas of the outline
	photo    = image.Rect(475, 120, 1112, 776) // canvas of the photo
	panel    = image.Rect(1115, 81, 1440, 870) // the selected mark and the list of marks
	wholePic = image.Rect(0, 0, 1440, 900)
)

// railTop is a pixel in the ground of a rail item, from 0, that no icon covers.
func railTop(item int) image.Point { return image.Pt(12, 80+60*item+8) }

// ground is a pixel of the window's ground that nothing but the shade behind a
// sheet ever covers: the rail under its last item.
var ground = image.Pt(44, 700)

// fieldColour is the ground of fields to type in, light (package look: Sheet).
const fieldColour = 0xFFFFFF
