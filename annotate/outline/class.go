package outline

// Where a figure of a class's table comes from.
const (
	// read: a published table that was read; the project's list of outside
	// facts names it.
	read = "published tables, read"
	// memory: general lutherie knowledge, no document read; the facts list
	// gives a solid double-cutaway body as about 400 x 325 x 44 mm and its
	// scale as 628 to 648 mm.
	memory = "general lutherie knowledge, from memory"
	// practice: what most instruments of the class have, as anyone measuring a
	// few will find; no published source.
	practice = "common practice in the trade"
	// drawn: decided for this drawing so that it reads well; stands for no
	// instrument.
	drawn = "chosen for the drawing"
)

// figure is one dimension in millimetres and where it comes from. Every field
// that holds one carries the tag dim with the words for it, see Dimensions.
type figure struct {
	mm     float64
	source string
}

// class is the table of one class of instrument. All places are those of an
// instrument with the class's own scale length; see plan for how they move
// with another. CLASSES.md says how to add one.
type class struct {
	name     string
	scale    figure     `dim:"scale length"`
	limits   [2]float64 // of the scale length, mm
	frets    int        // usual number; where there are none, those that a board of its length would have
	strings  int        // usual number
	fretless bool       // never has frets
	lined    bool       // a line at each fret's place instead, which players count by

	layout
	frame
	board
	electronics
	zones  zones
	body   body
	neck   neck
	head   headKind
	bridge bridgeKind
	rises  rises

	// What lies on each sheet, from back to front.
	front, back, side []part
}

// part draws one thing on a sheet: regions on top of those drawn before, and
// lines. It takes its measures from the plan, in the coordinates of the front
// of a right-handed instrument; the sheet mirrors what it is given.
type part interface{ draw(pl *plan, s *sheet) }

// outsider is a part that stands out beyond body, neck and head, as a cello's
// end pin does: closed rings, clear of everything else, in the plan's
// coordinates.
type outsider interface{ outside(pl *plan) []path }

// names lists every class in the order in which a form offers them.
var names = []string{
	"solid-body double-cutaway", "solid-body single-cutaway", "solid-body offset-waist", "solid-body angular",
	"hollow archtop", "thinline",
	"flat-top square-shouldered", "flat-top round-shouldered", "flat-top auditorium", "flat-top parlour",
	"nylon-string", "resonator", "lap steel",
	"electric bass long-horn", "electric bass rounded", "acoustic bass",
	"mandolin teardrop", "mandolin scrolled", "banjo",
	"ukulele soprano", "ukulele concert", "ukulele tenor", "ukulele baritone",
	"violin", "viola", "cello", "double bass",
}

// byName holds the classes that are drawn; each registers itself.
var byName = map[string]*class{}

// register enters a class from its file's init.
func register(c *class) { byName[c.name] = c }

// Classes lists the classes that can be drawn, the first being the default.
func Classes() []string {
	var out []string
	for _, n := range names {
		if byName[n] != nil {
			out = append(out, n)
		}
	}
	return out
}
