// Package testdata carries the demo's photos: rendered pictures of an
// instrument that does not exist, with camera metadata, and the truth about
// what they show.
//
// Start with DemoPhotos. The pictures are made by
//
//	go run testdata/render.go
//
// from package annotate/render and are kept, because making them takes ten
// minutes of processor time.
package testdata

import (
	"embed"
	"io/fs"
)

//go:embed demo
var demo embed.FS

// DemoPhotos is the folder of the demo's photos: fourteen JPEG files in the
// order of their camera clock and truth.json.
func DemoPhotos() fs.FS {
	sub, err := fs.Sub(demo, "demo")
	if err != nil {
		panic(err) // the folder is compiled in under this name
	}
	return sub
}
