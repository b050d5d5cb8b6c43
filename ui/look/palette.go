package look

import (
	"image/color"

	"fyne.io/fyne/v2"
)

// The colours that the toolkit has no name for. They work through Theme.Color
// like its own.
const (
	Panel      fyne.ThemeColorName = "look.panel"      // sheets of controls
	Sheet      fyne.ThemeColorName = "look.field"      // where something is typed
	Ink        fyne.ThemeColorName = "look.ink"        // text
	Dim        fyne.ThemeColorName = "look.dim"        // secondary text
	Hairline   fyne.ThemeColorName = "look.hairline"   // between things
	Border     fyne.ThemeColorName = "look.border"     // round things to click
	Accent     fyne.ThemeColorName = "look.accent"     // you are here; the one main action
	OnAccent   fyne.ThemeColorName = "look.onAccent"   // text on Accent
	Here       fyne.ThemeColorName = "look.here"       // ground of what is selected
	Strong     fyne.ThemeColorName = "look.strong"     // ground of the chosen segment
	OnStrong   fyne.ThemeColorName = "look.onStrong"   // text on Strong
	Good       fyne.ThemeColorName = "look.good"       // dot: complete
	Missing    fyne.ThemeColorName = "look.missing"    // dot: something is missing
	Bad        fyne.ThemeColorName = "look.bad"        // text and dot: wrong, refused
	Over       fyne.ThemeColorName = "look.over"       // ground under the pointer
	PhotoStrip fyne.ThemeColorName = "look.photoStrip" // neutral grey round photos
	OnPhoto    fyne.ThemeColorName = "look.onPhoto"    // text on PhotoStrip
)

func hex(v uint32) color.NRGBA {
	return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

func (p palette) with(n fyne.ThemeColorName, a uint8) color.NRGBA {
	c := p[n]
	c.A = a
	return c
}

// palette holds one variant.
type palette map[fyne.ThemeColorName]color.NRGBA

// ground is the window itself; the toolkit calls it background.
const ground fyne.ThemeColorName = "background"

var light = palette{
	ground: hex(0xF3F3F1), Panel: hex(0xF9F9F7), Sheet: hex(0xFFFFFF),
	Ink: hex(0x1D2125), Dim: hex(0x5D6368),
	Hairline: hex(0xDCDCD8), Border: hex(0xC4C6C4),
	Accent: hex(0x0F6B5F), OnAccent: hex(0xFFFFFF), Here: hex(0xD9E8E4),
	Strong: hex(0x1D2125), OnStrong: hex(0xFFFFFF),
	Good: hex(0x7D9447), Missing: hex(0xD9920F), Bad: hex(0xA8321A),
	Over: hex(0xE9EAE7), PhotoStrip: hex(0x5F5F5F), OnPhoto: hex(0xFFFFFF),
}

var dark = palette{
	ground: hex(0x1B1D1F), Panel: hex(0x212427), Sheet: hex(0x16181A),
	Ink: hex(0xE7E8E5), Dim: hex(0xA3A8AB),
	Hairline: hex(0x34383B), Border: hex(0x4B5054),
	Accent: hex(0x5CC0B0), OnAccent: hex(0x08211D), Here: hex(0x1E3A36),
	Strong: hex(0xE0E2DF), OnStrong: hex(0x1B1D1F),
	Good: hex(0x9DB565), Missing: hex(0xE8AA3C), Bad: hex(0xF0866B),
	Over: hex(0x2C3033), PhotoStrip: hex(0x3A3A3A), OnPhoto: hex(0xFFFFFF),
}
