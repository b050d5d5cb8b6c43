package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"wornwood/icons"
)

// Sizes of text, in the toolkit's units.
const (
	Caption float32 = 11 // captions and remarks
	Small   float32 = 12 // tables
	Body    float32 = 13 // everything else
	Title   float32 = 15 // titles of panels
	Large   float32 = 18 // the figures of the header
)

// Heights of the things that are clicked.
const (
	controlHeight float32 = 30
	rowHeight     float32 = 27
	radius        float32 = 3
)

// Theme is the program's look. It is immutable; another variant is another
// Theme.
type Theme struct {
	dark bool
	p    palette
}

// New makes the light theme or the dark one for photo rooms. The variant that
// the system asks for is not followed: the light of the room decides, and the
// person in it chooses.
func New(isDark bool) *Theme {
	t := &Theme{p: light}
	if isDark {
		t.dark, t.p = true, dark
	}
	return t
}

// Dark says whether this is the dark variant.
func (t *Theme) Dark() bool { return t.dark }

// Color is called by the toolkit.
func (t *Theme) Color(n fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	if c, ok := t.p[n]; ok {
		return c
	}
	if own, ok := standard[n]; ok {
		return t.p[own]
	}
	switch n {
	case theme.ColorNameDisabled:
		return t.p[Dim] // what is frozen must still be read
	case theme.ColorNameHover:
		return t.p.with(Ink, 16)
	case theme.ColorNamePressed:
		return t.p.with(Ink, 30)
	case theme.ColorNameSelection:
		return t.p.with(Accent, 70)
	case theme.ColorNameScrollBar:
		return t.p.with(Ink, 90)
	case theme.ColorNameScrollBarBackground:
		return color.NRGBA{}
	case theme.ColorNameShadow:
		return color.NRGBA{0, 0, 0, 60}
	}
	return theme.DefaultTheme().Color(n, t.variant())
}

func (t *Theme) variant() fyne.ThemeVariant {
	if t.dark {
		return theme.VariantDark
	}
	return theme.VariantLight
}

// standard maps the toolkit's names to ours.
var standard = map[fyne.ThemeColorName]fyne.ThemeColorName{
	theme.ColorNameForeground:          Ink,
	theme.ColorNamePrimary:             Accent,
	theme.ColorNameForegroundOnPrimary: OnAccent,
	theme.ColorNameHyperlink:           Accent,
	theme.ColorNameFocus:               Accent,
	theme.ColorNameButton:              Panel,
	theme.ColorNameDisabledButton:      Panel,
	theme.ColorNameError:               Bad,
	theme.ColorNameForegroundOnError:   OnAccent,
	theme.ColorNameSuccess:             Good,
	theme.ColorNameWarning:             Missing,
	theme.ColorNameHeaderBackground:    Panel,
	theme.ColorNameInputBackground:     Sheet,
	theme.ColorNameInputBorder:         Border,
	theme.ColorNameMenuBackground:      Sheet,
	theme.ColorNameOverlayBackground:   Panel,
	theme.ColorNamePlaceHolder:         Dim,
	theme.ColorNameSeparator:           Hairline,
}

// faces are the typefaces as the toolkit wants them, made once: it tells them
// apart by address.
var faces = map[string]fyne.Resource{
	"sans":          fyne.NewStaticResource("sans.ttf", icons.Font("sans")),
	"sans-semibold": fyne.NewStaticResource("sans-semibold.ttf", icons.Font("sans-semibold")),
	"mono":          fyne.NewStaticResource("mono.ttf", icons.Font("mono")),
}

// Font is called by the toolkit. There is no italic: it would be another
// typeface to carry, and nothing in the window needs it.
func (t *Theme) Font(s fyne.TextStyle) fyne.Resource {
	switch {
	case s.Symbol:
		return theme.DefaultTheme().Font(s)
	case s.Monospace:
		return faces["mono"]
	case s.Bold:
		return faces["sans-semibold"]
	}
	return faces["sans"]
}

// Icon is called by the toolkit for its own widgets; where one of our drawings
// says the same, it is used.
func (t *Theme) Icon(n fyne.ThemeIconName) fyne.Resource {
	own := map[fyne.ThemeIconName]string{
		theme.IconNameSearch: "search", theme.IconNameCancel: "close", theme.IconNameConfirm: "check",
		theme.IconNameFolder: "folder", theme.IconNameFolderOpen: "folder", theme.IconNameArrowDropDown: "down",
		theme.IconNameNavigateBack: "back", theme.IconNameNavigateNext: "forward", theme.IconNameWarning: "warning",
		theme.IconNameError: "warning", theme.IconNameInfo: "info", theme.IconNameDelete: "delete",
		theme.IconNameContentAdd: "plus", theme.IconNameContentRemove: "minus",
	}[n]
	if own == "" {
		return theme.DefaultTheme().Icon(n)
	}
	return inked(own, t.p[Ink])
}

// Size is called by the toolkit.
func (t *Theme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameText:
		return Body
	case theme.SizeNameCaptionText:
		return Caption
	case theme.SizeNameHeadingText:
		return Large
	case theme.SizeNameSubHeadingText:
		return Title
	case theme.SizeNamePadding:
		return 4
	case theme.SizeNameInnerPadding:
		return 6
	case theme.SizeNameLineSpacing:
		return 3
	case theme.SizeNameInlineIcon:
		return 18
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return radius
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarSmall:
		return 3
	}
	return theme.DefaultTheme().Size(n)
}
