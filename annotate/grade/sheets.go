package grade

import (
	"fmt"
	"slices"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// sheet is one side of the drawing as cells.
type sheet struct {
	side    outline.Side
	index   int
	labels  *outline.LabelMap
	runs    *runs
	regions []outline.Region
	part    []int // of each region, index into sheets.shares
}

// place of a region: index of its sheet and of the region there.
type regionRef struct{ sheet, region int }

// sheets is the drawing as the grade needs it.
type sheets struct {
	shares []Share
	byPart map[record.PartID]int
	list   []sheet
	byID   map[string]regionRef
	cells  []int   // of each part, over all its regions; 0 for counted parts
	pieces [][]int // of each counted part
}

// spread lays a drawing out by the rubric's shares. The error names a region
// whose part has no share.
func (r *Rubric) spread(d *outline.Drawing) (*sheets, error) {
	shares, err := r.Shares(d.Class)
	if err != nil {
		return nil, err
	}
	s := &sheets{shares: shares, byPart: map[record.PartID]int{}, byID: map[string]regionRef{},
		cells: make([]int, len(shares)), pieces: make([][]int, len(shares))}
	for i, sh := range shares {
		s.byPart[sh.Part] = i
		s.pieces[i] = sh.PieceNumbers(d)
	}
	for i := range d.Sides {
		side := &d.Sides[i]
		sh := sheet{side: side.Side, index: i, labels: d.Labels(side.Side, r.CellMM), regions: side.Regions}
		sh.runs = runsFor(sh.labels)
		if sh.labels.Grid.W > maxGrid || sh.labels.Grid.H > maxGrid {
			return nil, fmt.Errorf("grade: the %s of the outline is too large to be counted", side.Side)
		}
		for j, reg := range side.Regions {
			p, ok := s.byPart[reg.Part]
			if !ok {
				return nil, fmt.Errorf("grade: the region %q belongs to %q, for which the rubric %q has no share", reg.ID, reg.Part, r.Name)
			}
			sh.part = append(sh.part, p)
			s.byID[reg.ID] = regionRef{i, j}
			if !shares[p].Counted {
				s.cells[p] += sh.labels.Count[j]
			}
		}
		s.list = append(s.list, sh)
	}
	return s, nil
}

func (s *sheets) sheet(side outline.Side) *sheet {
	for i := range s.list {
		if s.list[i].side == side {
			return &s.list[i]
		}
	}
	return nil
}

// units is how many units of coverage a part has: cells, or pieces where they
// are counted; 0 for a part that is not drawn.
func (s *sheets) units(part int) int {
	if s.shares[part].Counted {
		return len(s.pieces[part])
	}
	return s.cells[part]
}

// pieceAt is where a piece stands among a counted part's pieces, -1 for none.
func (s *sheets) pieceAt(part, piece int) int { return slices.Index(s.pieces[part], piece) }
