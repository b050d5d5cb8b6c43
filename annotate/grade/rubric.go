package grade

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"github.com/gowebpki/jcs"

	"wornwood/capture/record"
)

//go:embed rubric.json
var rubricTable []byte

// Rubric is the versioned table that says what each kind of mark is worth.
// Every number of the grade is in it; code holds only the order of the steps.
// A Rubric is read-only and may be shared between goroutines.
type Rubric struct {
	Name    string `json:"name"` // with its version, as printed in reports
	Note    string `json:"note"`
	Sources string `json:"sources"`

	HaloMM           float64    `json:"haloMM"` // mm by which points and lines are grown
	CellMM           float64    `json:"cellMM"` // side of the raster's cells, mm
	Factors          [6]float64 `json:"factors"`
	ClassLimits      [5]float64 `json:"classLimits"`  // on R; a limit belongs to the better class
	ExtentLimits     [4]float64 `json:"extentLimits"` // shares 0..1; a limit belongs to the larger extent
	UninspectedR     float64    `json:"uninspectedR"`
	ProvisionalBelow float64    `json:"provisionalBelow"` // share 0..1
	ClassWords       [6]string  `json:"classWords"`

	Originality map[record.State]float64 `json:"originality"`
	Scales      []ReadingScale           `json:"scales"`

	depthFamilies map[string][3]string
	kinds         []KindInfo
	kindIndex     map[record.Kind]int
	profiles      []profile
	setup         []setupRow
	places        map[string][]record.PartID
	basedOn       string
	table         []byte // in canonical JSON
	hash          string
}

// ReadingScale turns a measured value into an intensity. Limits part 0 from 1
// and 1 from 2.
type ReadingScale struct {
	Kind    record.ReadingKind `json:"kind"`
	Unit    string             `json:"unit"`
	Limits  [2]float64         `json:"limits"`
	AtLimit string             `json:"atLimit"` // "better" or "worse": the side a limit belongs to
	Falling bool               `json:"falling"` // less is worse, as with a crown height
	After   string             `json:"after"`   // where the limits come from
}

// KindInfo is one kind of mark as the rubric knows it.
type KindInfo struct {
	Kind       record.Kind
	Importance int                // 0 appearance, 1 protection or function impaired, 2 structure or function lost
	Reading    record.ReadingKind // "" = judged by depth only
	Parts      []record.PartID    // where it can occur; empty = anywhere
	DepthWords [3]string          // what the three depths are called for this kind
	Shape      record.Shape       // how it is usually drawn
	Group      string             // heading under which forms list it: finish, structure, binding ...
	Why        string             // reason for the importance
	// Reach is the least share of its part, 0..1, that a structural flaw of
	// this kind counts for in the cap, however little of it shows.
	Reach float64
}

// tableFile is the rest of the table, in the order it is written in.
type tableFile struct {
	BasedOn  string                     `json:"basedOn,omitempty"`
	Depths   map[string][3]string       `json:"depths"`
	Places   map[string][]record.PartID `json:"places"`
	Kinds    []kindRow                  `json:"kinds"`
	Profiles []profile                  `json:"profiles"`
	Setup    []setupRow                 `json:"setup"`
}

type kindRow struct {
	Kind       record.Kind        `json:"kind"`
	Importance int                `json:"importance"`
	Group      string             `json:"group"`
	Depths     string             `json:"depths"`
	On         string             `json:"on"`
	Shape      record.Shape       `json:"shape"`
	Reading    record.ReadingKind `json:"reading"`
	Reach      float64            `json:"reach,omitempty"`
	Why        string             `json:"why"`
}

// RubricTable is the newest table as it comes with the program, JSON.
func RubricTable() []byte { return bytes.Clone(rubricTable) }

// parseRubric reads a table and sees that its kinds can be judged. Load says
// what else must hold of a table that did not come with the program.
func parseRubric(b []byte) (*Rubric, error) {
	// What is read is the canonical form, which says everything once.
	canonical, err := jcs.Transform(b)
	if err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	r := Rubric{table: canonical}
	if err := json.Unmarshal(canonical, &r); err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	var t tableFile
	if err := json.Unmarshal(canonical, &t); err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	sum := sha256.Sum256(canonical)
	r.hash = hex.EncodeToString(sum[:])
	r.depthFamilies, r.places, r.profiles, r.setup, r.basedOn = t.Depths, t.Places, t.Profiles, t.Setup, t.BasedOn
	if err := r.fillKinds(t); err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	return &r, nil
}

func (r *Rubric) fillKinds(t tableFile) error {
	r.kindIndex = map[record.Kind]int{}
	for _, k := range t.Kinds {
		words, ok := t.Depths[k.Depths]
		if !ok {
			return fmt.Errorf("kind %q names the unknown depths %q", k.Kind, k.Depths)
		}
		parts, ok := t.Places[k.On]
		if !ok {
			return fmt.Errorf("kind %q names the unknown places %q", k.Kind, k.On)
		}
		if _, twice := r.kindIndex[k.Kind]; twice || k.Importance < 0 || k.Importance > 2 {
			return fmt.Errorf("kind %q is listed twice or has an importance outside 0..2", k.Kind)
		}
		if k.Reading != "" && r.scale(k.Reading) == nil {
			return fmt.Errorf("kind %q names the unknown reading %q", k.Kind, k.Reading)
		}
		r.kindIndex[k.Kind] = len(r.kinds)
		r.kinds = append(r.kinds, KindInfo{Kind: k.Kind, Importance: k.Importance, Reading: k.Reading, Parts: parts,
			DepthWords: words, Shape: k.Shape, Group: k.Group, Why: k.Why, Reach: k.Reach})
	}
	return nil
}

// Hash is the SHA-256, 64 lower-case hex digits, of the table in canonical
// JSON (RFC 8785), so that white space in the file does not change it.
func (r *Rubric) Hash() string { return r.hash }

// Kinds lists every kind in the order in which a form offers them. The caller
// must not change it.
func (r *Rubric) Kinds() []KindInfo { return r.kinds }

// Kind returns what the rubric says of a kind; false when it does not know it.
func (r *Rubric) Kind(k record.Kind) (KindInfo, bool) {
	i, ok := r.kindIndex[k]
	if !ok {
		return KindInfo{}, false
	}
	return r.kinds[i], true
}

// On tells whether the kind can occur on a part.
func (k KindInfo) On(p record.PartID) bool {
	for _, q := range k.Parts {
		if q == p {
			return true
		}
	}
	return len(k.Parts) == 0
}

// DepthWord is what a depth is called for this kind, "" for no depth.
func (k KindInfo) DepthWord(d record.Depth) string {
	if l := d.Level(); l >= 0 {
		return k.DepthWords[l]
	}
	return ""
}
