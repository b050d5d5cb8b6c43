package cli

import (
	"fmt"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// findPhoto is the photo of an examination with a file name or the beginning of
// an ID, at least six digits.
func findPhoto(s *annotate.Session, word string) (*record.Photo, error) {
	rec := s.Scene().Record
	var found []*record.Photo
	for i := range rec.Photos {
		p := &rec.Photos[i]
		if p.Name == word || (len(word) >= 6 && strings.HasPrefix(p.ID, word)) {
			found = append(found, p)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return nil, fmt.Errorf("find photo: the examination has none named %q, and none whose ID begins so", word)
	}
	return nil, fmt.Errorf("find photo: %d photos are named %q; give the beginning of the ID, as 'wornwood import' and 'wornwood show' print it", len(found), word)
}

// points reads places such as "1200,840", pixels of the upright photo.
func points(words []string) ([]record.Point, error) {
	out := make([]record.Point, 0, len(words))
	for _, w := range words {
		x, y, ok := strings.Cut(w, ",")
		px, err := strconv.ParseFloat(strings.TrimSpace(x), 64)
		py, err2 := strconv.ParseFloat(strings.TrimSpace(y), 64)
		p := record.Point{X: px, Y: py}
		if !ok || err != nil || err2 != nil || !p.Finite() {
			return nil, &usageError{fmt.Sprintf("%q is not a place; write pixels as 1200,840", w)}
		}
		out = append(out, p)
	}
	return out, nil
}

// rectangle reads "x0,y0,x1,y1" as a ring of four corners.
func rectangle(word string) ([]record.Point, error) {
	f := strings.Split(word, ",")
	if len(f) != 4 {
		return nil, &usageError{fmt.Sprintf("%q is not a rectangle; write two corners in pixels as 1200,840,1300,900", word)}
	}
	pts, err := points([]string{f[0] + "," + f[1], f[2] + "," + f[3]})
	if err != nil {
		return nil, err
	}
	a, b := pts[0], pts[1]
	return []record.Point{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}, nil
}

func markNumber(word string) (int, error) {
	n, err := strconv.Atoi(word)
	if err != nil || n < 1 {
		return 0, &usageError{fmt.Sprintf("%q is not the number of a mark", word)}
	}
	return n, nil
}
