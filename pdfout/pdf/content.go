package pdf

import (
	"fmt"
)

// contentUse is what one page's drawing commands use and how they are tagged.
type contentUse struct {
	names map[Name]map[Name]bool // resource category to names
	mcids map[int]bool           // marked content numbers, each opened once
	// untagged is the first painting operator outside every tag and artifact.
	untagged string
	shown    map[Name][]String // strings shown, by font name
}

// operandOf tells which resource category an operator's last name operand
// belongs to (ISO 32000-1, annex A).
var operandOf = map[string]Name{
	"Do": "XObject", "gs": "ExtGState", "sh": "Shading", "cs": "ColorSpace", "CS": "ColorSpace",
	"scn": "Pattern", "SCN": "Pattern",
}

// painting operators leave something on the page.
var painting = map[string]bool{
	"S": true, "s": true, "f": true, "F": true, "f*": true, "B": true, "B*": true, "b": true, "b*": true,
	"Do": true, "sh": true, "Tj": true, "TJ": true, "'": true, "\"": true, "EI": true,
}

// readContent walks the drawing commands of a page.
func readContent(data []byte) (*contentUse, error) {
	c := &contentReader{
		use: &contentUse{names: map[Name]map[Name]bool{}, mcids: map[int]bool{}, shown: map[Name][]String{}},
	}
	p := &parser{w: newWindow(readerAt(data), int64(len(data))), end: int64(len(data)), lim: Limits{Values: 1 << 40, Object: 1 << 40}.withDefaults()}
	for {
		p.skipSpace()
		ch := p.peek()
		if ch < 0 {
			break
		}
		if ch == '/' || ch == '(' || ch == '<' || ch == '[' || ch == '+' || ch == '-' || ch == '.' || isDigit(ch) {
			o, err := p.object()
			if err != nil {
				return nil, err
			}
			if c.args = append(c.args, o); len(c.args) > 64 {
				return nil, p.fail("too many operands")
			}
			continue
		}
		op, err := operator(p)
		if err != nil {
			return nil, err
		}
		if err := c.operator(op); err != nil {
			return nil, fmt.Errorf("%w near byte %d of the page's commands", err, p.pos)
		}
		c.args = c.args[:0]
	}
	if len(c.tags) > 0 || len(c.fonts) > 0 {
		return nil, malformed(int64(len(data)), "a tag or a saved state is not closed")
	}
	return c.use, nil
}

func operator(p *parser) (string, error) {
	var b []byte
	for ch := p.peek(); isRegular(ch) && len(b) < 12; ch = p.peek() {
		b = append(b, byte(ch))
		p.pos++
	}
	if len(b) == 0 || isRegular(p.peek()) {
		return "", p.fail("broken drawing command")
	}
	return string(b), nil
}

type contentReader struct {
	use   *contentUse
	args  []Object
	tags  []bool // open marked content; true for tags and artifacts
	font  Name
	fonts []Name // saved by q
}

func (c *contentReader) operator(op string) error {
	if painting[op] && c.use.untagged == "" && !c.inTag() {
		c.use.untagged = op
	}
	switch op {
	case "BI", "ID", "EI":
		return malformed(0, "pictures inside the drawing commands are not read")
	case "q":
		c.fonts = append(c.fonts, c.font)
	case "Q":
		if len(c.fonts) == 0 {
			return malformed(0, "a state is restored that was not saved")
		}
		c.font = c.fonts[len(c.fonts)-1]
		c.fonts = c.fonts[:len(c.fonts)-1]
	case "Tf":
		if len(c.args) == 2 {
			c.font, _ = c.args[0].(Name)
			c.need("Font", c.font)
		}
	case "Tj", "'", "\"", "TJ":
		c.show()
	case "BMC", "BDC":
		return c.open(op)
	case "EMC":
		if len(c.tags) == 0 {
			return malformed(0, "a tag is closed that was not opened")
		}
		c.tags = c.tags[:len(c.tags)-1]
	}
	if cat, ok := operandOf[op]; ok && len(c.args) > 0 {
		if n, ok := c.args[len(c.args)-1].(Name); ok {
			c.need(cat, n)
		}
	}
	return nil
}

func (c *contentReader) inTag() bool {
	for _, t := range c.tags {
		if t {
			return true
		}
	}
	return false
}

func (c *contentReader) need(category, n Name) {
	if c.use.names[category] == nil {
		c.use.names[category] = map[Name]bool{}
	}
	c.use.names[category][n] = true
}

func (c *contentReader) show() {
	if len(c.args) == 0 {
		return
	}
	switch v := c.args[len(c.args)-1].(type) {
	case String:
		c.use.shown[c.font] = append(c.use.shown[c.font], v)
	case Array:
		for _, o := range v {
			if s, ok := o.(String); ok {
				c.use.shown[c.font] = append(c.use.shown[c.font], s)
			}
		}
	}
}

// open begins marked content: "/P <</MCID n>> BDC", "/Artifact BMC" and so on.
func (c *contentReader) open(op string) error {
	if len(c.args) == 0 {
		return malformed(0, "a tag has no name")
	}
	tag, _ := c.args[0].(Name)
	counts := tag == "Artifact"
	if counts && c.inTag() {
		return malformed(0, "an artifact stands inside another tag")
	}
	if op == "BDC" && len(c.args) == 2 {
		if d, ok := c.args[1].(Dict); ok && d["MCID"] != nil {
			id, ok := d["MCID"].(int64)
			if !ok || id < 0 || id > 1<<20 {
				return malformed(0, "a tag has a broken MCID")
			}
			if c.use.mcids[int(id)] {
				return malformed(0, "MCID %d is used twice", id)
			}
			if c.inTag() {
				return malformed(0, "MCID %d stands inside another tag", id)
			}
			c.use.mcids[int(id)] = true
			counts = true
		}
	}
	c.tags = append(c.tags, counts)
	return nil
}
