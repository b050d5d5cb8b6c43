package archive

// replay is which reports people put together and apart. It knows only what
// lines of the log name; everything else belongs to its group, or to itself.
//
// Its elements are groups ("g" and the name of groupOf) and single reports ("f"
// and the first signature). A report stands for its group until a line parts it
// from the rest of it; from then on it is an element of its own.
type replay struct {
	class   map[string]int              // of each element
	members map[int]map[string]bool     // of each class
	apart   map[string]map[string]int64 // elements said to be of different instruments, with the line that says so
	lines   []Decision
	next    int // number of the next class
}

func newReplay() *replay {
	return &replay{class: map[string]int{}, members: map[int]map[string]bool{}, apart: map[string]map[string]int64{}}
}

// element is what a report is counted as.
func (p *replay) element(m Member) string {
	switch own := "f" + m.First; {
	case m.First == "":
		return "g" + m.Group
	case m.Group == "":
		return own
	default:
		if _, is := p.class[own]; is {
			return own
		}
	}
	return "g" + m.Group
}

// classOf is the class of an element; one that no line named gets one of its own.
func (p *replay) classOf(el string) int {
	c, is := p.class[el]
	if !is {
		c = p.fresh()
		p.put(el, c)
	}
	return c
}

func (p *replay) fresh() int { p.next++; return p.next }

func (p *replay) put(el string, c int) {
	if old, is := p.class[el]; is {
		delete(p.members[old], el)
	}
	if p.members[c] == nil {
		p.members[c] = map[string]bool{}
	}
	p.class[el], p.members[c][el] = c, true
}

// apply takes in the next line.
func (p *replay) apply(d Decision) {
	p.lines = append(p.lines, d)
	switch d.Kind {
	case Joined:
		p.join(d)
	case Parted:
		p.part(d)
	case Distinct:
		p.distinct(d)
	}
}

// join makes one class of those of all members. What was said before of any two
// of its elements being of different instruments is taken back by it.
func (p *replay) join(d Decision) {
	into := -1
	var moved []string
	for _, m := range d.Reports {
		c := p.classOf(p.element(m))
		switch {
		case into < 0 || c == into:
			into = c
			continue
		case len(p.members[c]) > len(p.members[into]):
			into, c = c, into
		}
		for el := range p.members[c] {
			p.put(el, into)
			moved = append(moved, el)
		}
		delete(p.members, c)
	}
	for _, el := range moved { // what stood in the class before was never apart from itself
		for other := range p.apart[el] {
			if p.class[other] == into {
				delete(p.apart[el], other)
				delete(p.apart[other], el)
			}
		}
	}
}

// part takes the members out of the classes in which they stand. Those of them
// that stood together stay together.
func (p *replay) part(d Decision) {
	to := map[int]int{}
	for _, m := range d.Reports {
		el := p.element(m)
		was := p.classOf(el)
		if m.First != "" {
			el = "f" + m.First // from here on it is no longer part of its group
		}
		if _, is := to[was]; !is {
			to[was] = p.fresh()
		}
		p.put(el, to[was])
	}
}

func (p *replay) distinct(d Decision) {
	for i, m := range d.Reports {
		for _, n := range d.Reports[:i] {
			a, b := p.element(m), p.element(n)
			if p.classOf(a) == p.classOf(b) {
				continue // they stand joined, and parting them is another line
			}
			for _, x := range [][2]string{{a, b}, {b, a}} {
				if p.apart[x[0]] == nil {
					p.apart[x[0]] = map[string]int64{}
				}
				p.apart[x[0]][x[1]] = d.Seq
			}
		}
	}
}

// together are the elements of an element's class, itself among them.
func (p *replay) together(el string) []string {
	c, is := p.class[el]
	if !is {
		return []string{el}
	}
	out := make([]string, 0, len(p.members[c]))
	for e := range p.members[c] {
		out = append(out, e)
	}
	return out
}

// distinctFrom are the elements that a person said are of another instrument
// than this one, with the line of the log.
func (p *replay) distinctFrom(el string) map[string]int64 {
	out := map[string]int64{}
	for _, e := range p.together(el) {
		for other, seq := range p.apart[e] {
			for _, o := range p.together(other) {
				out[o] = seq
			}
		}
	}
	return out
}

// concerns says whether a decision names one of the elements.
func (p *replay) concerns(d Decision, els map[string]bool) bool {
	for _, m := range d.Reports {
		if els["f"+m.First] || els["g"+m.Group] || els[p.element(m)] {
			return true
		}
	}
	return false
}
