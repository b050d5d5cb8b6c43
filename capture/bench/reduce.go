package bench

import (
	"context"
	"strings"

	"wornwood/capture/photo"
	"wornwood/capture/reduce"
)

// reduceLimits bound what is decoded: pixels by reduce's own limits, bytes by
// what is taken in.
var reduceLimits = reduce.Limits{Bytes: photo.MaxBytes}

// reducePhoto makes the previews of one photo. A photo that can be decoded only
// in part is shown as far as it goes, with a remark that says so.
func reducePhoto(ctx context.Context, data []byte, orientation int) (previews, error) {
	list, partial, err := reduce.Previews(ctx, data, orientation, previewSizes(), previewQuality, reduceLimits)
	if err != nil {
		return previews{}, err
	}
	var p previews
	for _, v := range list {
		p.images = append(p.images, v.JPEG)
	}
	if partial.Broken() {
		s := partial.String()
		p.remark = strings.ToUpper(s[:1]) + s[1:] + "."
	}
	return p, nil
}
