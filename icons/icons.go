// Package icons holds the program's own drawings and its typefaces, compiled
// into the binary so that screen and paper never depend on what a machine has
// installed.
//
// Start with SVG for a drawing on the 24-unit grid and Font for a typeface.
// The package knows no toolkit: it hands out bytes. The typefaces are IBM Plex
// under the SIL Open Font License 1.1, whose text FontLicence returns.
package icons

import (
	"embed"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

//go:embed svg/*.svg
var drawings embed.FS

//go:embed fonts/*.ttf fonts/OFL.txt
var typefaces embed.FS

// Ink is the colour in which every drawing is stroked. Whoever shows a drawing
// in another colour replaces this one; nothing else in the file has a colour.
const Ink = "#000000"

// SVG returns the drawing of that name. A name that does not exist is a
// mistake in the program, so it panics; Has tells beforehand.
func SVG(name string) []byte {
	b, err := drawings.ReadFile("svg/" + name + ".svg")
	if err != nil {
		panic(fmt.Sprintf("icons: no drawing %q", name))
	}
	return b
}

// Coloured returns the drawing of that name stroked in another colour, written
// as #rrggbb.
func Coloured(name, colour string) []byte {
	return []byte(strings.ReplaceAll(string(SVG(name)), Ink, colour))
}

// Has tells whether there is a drawing of that name.
func Has(name string) bool {
	_, err := drawings.ReadFile("svg/" + name + ".svg")
	return err == nil
}

// Names lists the drawings in alphabetical order.
func Names() []string { return names(drawings, "svg", ".svg") }

// Font returns the TrueType file of a typeface: "sans", "sans-semibold",
// "condensed", "condensed-semibold", "serif", "serif-medium" or "mono". Another
// name panics. The bytes are a copy of the caller's own.
func Font(name string) []byte {
	b, err := typefaces.ReadFile("fonts/" + name + ".ttf")
	if err != nil {
		panic(fmt.Sprintf("icons: no typeface %q", name))
	}
	return b
}

// FontReader reads the same file where it lies in the program, without a copy.
func FontReader(name string) io.ReaderAt {
	f, err := typefaces.Open("fonts/" + name + ".ttf")
	if err != nil {
		panic(fmt.Sprintf("icons: no typeface %q", name))
	}
	return f.(io.ReaderAt) // as package embed promises of its files
}

// Fonts lists the typefaces in alphabetical order.
func Fonts() []string { return names(typefaces, "fonts", ".ttf") }

// FontLicence is the licence text that must travel with the typefaces.
func FontLicence() []byte {
	b, err := typefaces.ReadFile("fonts/OFL.txt")
	if err != nil {
		panic("icons: the licence of the typefaces is missing")
	}
	return b
}

func names(fs embed.FS, dir, ext string) []string {
	es, err := fs.ReadDir(dir)
	if err != nil {
		panic(fmt.Sprintf("icons: list %s: %v", dir, err))
	}
	var out []string
	for _, e := range es {
		if path.Ext(e.Name()) == ext {
			out = append(out, strings.TrimSuffix(e.Name(), ext))
		}
	}
	slices.Sort(out)
	return out
}
