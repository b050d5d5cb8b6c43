//go:build ignore

// Render makes the demo's photos and their truth file. Run it from the
// repository's top folder:
//
//	go run testdata/render.go                   all of them, into testdata/demo
//	go run testdata/render.go front board       only these
//	go run testdata/render.go -width 900 front  smaller, for a look
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"wornwood/annotate/render"
)

func main() {
	dir := flag.String("dir", filepath.Join("testdata", "demo"), "folder to write to")
	width := flag.Int("width", 0, "long side in pixels; 0 for full size")
	samples := flag.Int("samples", 0, "rays per pixel; 0 for the usual number")
	flag.Parse()
	if err := run(*dir, *width, *samples, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// truthFile is the content of truth.json.
type truthFile struct {
	Scale  float64        `json:"scale_mm"`
	Marks  []render.Mark  `json:"marks"`
	Photos []render.Truth `json:"photos"`
}

func run(dir string, width, samples int, only []string) error {
	studio, err := render.NewStudio()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make folder: %w", err)
	}
	truth := truthFile{Scale: studio.ScaleLength(), Marks: render.DemoMarks()}
	for _, v := range render.Views() {
		truth.Photos = append(truth.Photos, studio.Truth(v))
		if len(only) > 0 && !slices.Contains(only, strings.TrimSuffix(v.File, ".jpg")) {
			continue
		}
		start := time.Now()
		o := render.Options{Width: width, Samples: samples}
		if width > 0 && v.High > v.Width {
			o.Width = width * v.Width / v.High
		}
		data, err := studio.File(context.Background(), v, o)
		if err != nil {
			return err
		}
		if err := write(filepath.Join(dir, v.File), data); err != nil {
			return err
		}
		fmt.Printf("%-18s %5d kB %6.1f s\n", v.File, len(data)/1000, time.Since(start).Seconds())
	}
	data, err := json.MarshalIndent(truth, "", "\t")
	if err != nil {
		return fmt.Errorf("write truth: %w", err)
	}
	return write(filepath.Join(dir, "truth.json"), append(data, '\n'))
}

// write replaces a file only when its new content is complete.
func write(path string, data []byte) error {
	if err := os.WriteFile(path+".part", data, 0o644); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err := os.Rename(path+".part", path); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}
