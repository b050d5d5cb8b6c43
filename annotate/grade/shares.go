package grade

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Share is a part's share of the whole for one class of instrument.
type Share struct {
	Part    record.PartID `json:"part"`
	Share   float64       `json:"share"`             // per cent; a class's shares sum to 100
	Counted bool          `json:"counted,omitempty"` // coverage is the share of pieces affected, not of area
	Per     string        `json:"per,omitempty"`     // "fret" or "string": one piece for each
	Pieces  int           `json:"pieces,omitempty"`  // usual number where it follows from neither
	// Optional is a part that not every instrument of the class has, such as
	// the pickup of a flat-top: it counts only once something was said of it.
	Optional bool `json:"optional,omitempty"`
}

// profile is the list of shares of some classes. A class has the profile whose
// listed name is the longest that the class is or begins with.
type profile struct {
	Name    string   `json:"name"`
	Classes []string `json:"classes"`
	Shares  []Share  `json:"shares"`
}

// Shares lists the parts of a class and their shares in per cent. The error
// names a class without a profile. The caller must not change the list.
func (r *Rubric) Shares(class string) ([]Share, error) {
	best, length := -1, -1
	for i, p := range r.profiles {
		if n := matchClass(p.Classes, class); n > length {
			best, length = i, n
		}
	}
	if best < 0 {
		return nil, fmt.Errorf("grade: the rubric %q has no shares for the class %q", r.Name, class)
	}
	return r.profiles[best].Shares, nil
}

// matchClass is the length of the longest name that class is or begins with, a
// word at a time; -1 for none.
func matchClass(names []string, class string) int {
	n := -1
	for _, c := range names {
		if class == c || c == "" || strings.HasPrefix(class, c+" ") {
			n = max(n, len(c))
		}
	}
	return n
}

// PieceNumbers lists the numbers of a counted part's pieces on a drawing: those
// of its regions or, where none is drawn, as many as the instrument has frets
// or strings or the class usually has. It is nil for a part that is not
// counted.
func (s Share) PieceNumbers(d *outline.Drawing) []int {
	if !s.Counted {
		return nil
	}
	var out []int
	for _, side := range d.Sides {
		for _, reg := range side.Regions {
			if reg.Part == s.Part && !slices.Contains(out, reg.Piece) {
				out = append(out, reg.Piece)
			}
		}
	}
	if len(out) > 0 {
		slices.Sort(out)
		return out
	}
	n := s.Pieces
	switch s.Per {
	case "fret":
		n = d.Frets
	case "string":
		n = d.Strings
	}
	for i := 1; i <= n; i++ {
		out = append(out, i)
	}
	return out
}
