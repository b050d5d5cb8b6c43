package photo

import (
	"bytes"
	"fmt"
	"strconv"
	"time"

	"github.com/bep/imagemeta"
)

// firstReader is bep/imagemeta.
type firstReader struct{}

func (firstReader) Name() string { return "imagemeta" }

// Names that imagemeta gives the directories. Entries of any other, such as
// the interoperability directory, carry numbers that mean something else there
// and come out under wrong names.
const (
	mainDir = "IFD0"
	exifDir = "IFD0/ExifIFDP"
)

func (firstReader) Read(data []byte) (f Fields, err error) {
	block := exifBlock(data)
	if block == nil {
		return Fields{}, ErrNoMetadata
	}
	format := imagemeta.JPEG
	if kind, err := Sniff(data[:min(len(data), 16)], ""); err != nil {
		return Fields{}, err
	} else if kind == PNG {
		format = imagemeta.PNG
	}
	defer func() {
		if p := recover(); p != nil {
			f, err = Fields{}, fmt.Errorf("read metadata: %v", p)
		}
	}()
	_, err = imagemeta.Decode(imagemeta.Options{
		R:           bytes.NewReader(upTo(data, block)),
		ImageFormat: format,
		Sources:     imagemeta.EXIF,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool {
			return t.Namespace == mainDir || t.Namespace == exifDir
		},
		HandleTag: func(t imagemeta.TagInfo) error { f.take(t); return nil },
	})
	if err != nil && f.empty() {
		return Fields{}, fmt.Errorf("read metadata: %w", err)
	}
	return f, nil // what came before a fault is kept
}

// take puts one entry into its field. The first of doubled entries stays.
func (f *Fields) take(t imagemeta.TagInfo) {
	dst := map[string]*string{
		mainDir + "/ModifyDate":         &f.Modified,
		mainDir + "/Make":               &f.Make,
		mainDir + "/Model":              &f.Model,
		mainDir + "/Software":           &f.Software,
		exifDir + "/DateTimeOriginal":   &f.Taken,
		exifDir + "/SubSecTimeOriginal": &f.SubSec,
		exifDir + "/OffsetTimeOriginal": &f.Offset,
		exifDir + "/SerialNumber":       &f.Serial,
		exifDir + "/LensModel":          &f.Lens,
	}[t.Namespace+"/"+t.Tag]
	switch {
	case dst != nil && *dst == "":
		*dst = clean(asText(t.Value))
	case t.Namespace == mainDir && t.Tag == "Orientation" && f.Orientation == 0:
		f.Orientation = validOrientation(asInt(t.Value))
	case t.Namespace == exifDir && t.Tag == "FocalLengthIn35mmFormat" && f.Focal35 == 0:
		f.Focal35 = validFocal(asInt(t.Value))
	}
}

func asText(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int: // imagemeta turns sub-seconds into a number
		return strconv.Itoa(v)
	case time.Time:
		return v.Format(exifLayout)
	}
	return ""
}

func asInt(v any) int {
	switch v := v.(type) {
	case uint16:
		return int(v)
	case int16:
		return int(v)
	case uint32:
		return int(v)
	case uint8:
		return int(v)
	case int:
		return v
	}
	return 0
}
