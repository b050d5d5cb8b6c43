package pdf

import (
	"strconv"
)

// Span is a range of bytes of a file, End excluded.
type Span struct{ Start, End int64 }

// parser reads objects from a position on. It never looks beyond end.
type parser struct {
	w      *window
	pos    int64
	start  int64 // of the indirect object
	end    int64
	lim    Limits
	depth  int
	values int
	// refs is false inside content streams, where "1 0 R" cannot occur.
	refs bool
	// spans, when not nil, receives where the values of the outermost
	// dictionary stand, so that a caller can compare them with a byte range.
	spans map[Name]Span
}

func (p *parser) peek() int {
	if p.pos >= p.end {
		return -1
	}
	return p.w.at(p.pos)
}

func (p *parser) peekAt(n int64) int {
	if p.pos+n >= p.end {
		return -1
	}
	return p.w.at(p.pos + n)
}

func (p *parser) skipSpace() {
	for {
		c := p.peek()
		if isSpace(c) {
			p.pos++
			continue
		}
		if c != '%' {
			return
		}
		for c = p.peek(); c >= 0 && c != '\n' && c != '\r'; c = p.peek() {
			p.pos++
		}
	}
}

// keyword consumes k if it stands at the position and ends there.
func (p *parser) keyword(k string) bool {
	for i := range len(k) {
		if p.peekAt(int64(i)) != int(k[i]) {
			return false
		}
	}
	if isRegular(p.peekAt(int64(len(k)))) {
		return false
	}
	p.pos += int64(len(k))
	return true
}

func (p *parser) object() (Object, error) {
	p.skipSpace()
	if p.values++; p.values > p.lim.Values {
		return nil, tooMuch("more than %d values in one object", p.lim.Values)
	}
	if p.pos-p.start > p.lim.Object {
		return nil, tooMuch("an object of more than %d bytes", p.lim.Object)
	}
	switch c := p.peek(); {
	case c == '/':
		return p.name()
	case c == '(':
		return p.literal()
	case c == '<':
		if p.peekAt(1) == '<' {
			return p.dict()
		}
		return p.hex()
	case c == '[':
		return p.array()
	case isDigit(c) || c == '+' || c == '-' || c == '.':
		return p.number()
	case p.keyword("true"):
		return true, nil
	case p.keyword("false"):
		return false, nil
	case p.keyword("null"):
		return nil, nil
	}
	return nil, p.fail("expected an object")
}

func (p *parser) fail(format string, args ...any) error {
	if p.w.err != nil {
		return p.w.err
	}
	return malformed(p.pos, format, args...)
}

func (p *parser) enter() error {
	if p.depth++; p.depth > p.lim.Depth {
		return tooMuch("objects nested more than %d deep", p.lim.Depth)
	}
	return nil
}

func (p *parser) name() (Name, error) {
	p.pos++
	var b []byte
	for c := p.peek(); isRegular(c); c = p.peek() {
		if c == '#' {
			hi, lo := hexValue(p.peekAt(1)), hexValue(p.peekAt(2))
			if hi < 0 || lo < 0 || hi|lo == 0 {
				return "", p.fail("broken # in a name")
			}
			c = hi<<4 | lo
			p.pos += 2
		}
		if len(b) >= p.lim.Token {
			return "", tooMuch("a name of more than %d bytes", p.lim.Token)
		}
		b = append(b, byte(c))
		p.pos++
	}
	return Name(b), nil
}

func (p *parser) literal() (String, error) {
	p.pos++
	var b []byte
	for level := 1; ; {
		c := p.peek()
		if c < 0 {
			return "", p.fail("a string does not end")
		}
		p.pos++
		switch c {
		case '(':
			level++
		case ')':
			if level--; level == 0 {
				return String(b), nil
			}
		case '\r': // any line end inside a string reads as one line feed
			if p.peek() == '\n' {
				p.pos++
			}
			c = '\n'
		case '\\':
			c = p.escape()
			if c == skipped {
				continue
			}
		}
		if len(b) >= p.lim.Token {
			return "", tooMuch("a string of more than %d bytes", p.lim.Token)
		}
		b = append(b, byte(c))
	}
}

// skipped is what escape returns when nothing stands for the sequence.
const skipped = -2

func (p *parser) escape() int {
	c := p.peek()
	if c < 0 {
		return skipped
	}
	p.pos++
	switch c {
	case 'n':
		return '\n'
	case 'r':
		return '\r'
	case 't':
		return '\t'
	case 'b':
		return '\b'
	case 'f':
		return '\f'
	case '\r':
		if p.peek() == '\n' {
			p.pos++
		}
		return skipped
	case '\n':
		return skipped
	}
	if c < '0' || c > '7' {
		return c
	}
	v := c - '0'
	for range 2 {
		d := p.peek()
		if d < '0' || d > '7' {
			break
		}
		v = v<<3 | (d - '0')
		p.pos++
	}
	return v & 0xFF
}

func (p *parser) hex() (String, error) {
	p.pos++
	var b []byte
	half := -1
	for {
		c := p.peek()
		p.pos++
		switch v := hexValue(c); {
		case v >= 0 && half >= 0:
			b = append(b, byte(half<<4|v))
			half = -1
		case v >= 0:
			half = v
		case c == '>':
			if half >= 0 {
				b = append(b, byte(half<<4))
			}
			return String(b), nil
		case !isSpace(c):
			return "", p.fail("a hexadecimal string does not end")
		}
		if len(b) > p.lim.Token {
			return "", tooMuch("a string of more than %d bytes", p.lim.Token)
		}
	}
}

func (p *parser) array() (Array, error) {
	p.pos++
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	a := Array{}
	for {
		p.skipSpace()
		if p.peek() == ']' {
			p.pos++
			return a, nil
		}
		o, err := p.object()
		if err != nil {
			return nil, err
		}
		a = append(a, o)
	}
}

func (p *parser) dict() (Dict, error) {
	p.pos += 2
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	d := Dict{}
	for {
		p.skipSpace()
		switch p.peek() {
		case '>':
			if p.peekAt(1) != '>' {
				return nil, p.fail("a dictionary does not end")
			}
			p.pos += 2
			return d, nil
		case '/':
		default:
			return nil, p.fail("expected a name in a dictionary")
		}
		k, err := p.name()
		if err != nil {
			return nil, err
		}
		// Two readers could take different ones of two equal names.
		if _, twice := d[k]; twice {
			return nil, p.fail("a dictionary names /%s twice", string(k))
		}
		p.skipSpace()
		start := p.pos
		v, err := p.object()
		if err != nil {
			return nil, err
		}
		d[k] = v
		if p.spans != nil && p.depth == 1 {
			p.spans[k] = Span{start, p.pos}
		}
	}
}

func (p *parser) number() (Object, error) {
	start := p.pos
	var buf [40]byte
	n := 0
	real := false
	for c := p.peek(); isDigit(c) || c == '.' || (n == 0 && (c == '+' || c == '-')); c = p.peek() {
		if n == len(buf) {
			return nil, p.fail("a number of more than %d characters", n)
		}
		real = real || c == '.'
		buf[n] = byte(c)
		n++
		p.pos++
	}
	text := string(buf[:n])
	if isRegular(p.peek()) {
		return nil, p.fail("broken number")
	}
	if real {
		if _, err := strconv.ParseFloat(text, 64); err != nil {
			p.pos = start
			return nil, p.fail("broken number")
		}
		return Real(text), nil
	}
	v, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		p.pos = start
		return nil, p.fail("broken number")
	}
	if p.refs && isDigit(int(text[0])) {
		if ref, ok := p.reference(v); ok {
			return ref, nil
		}
	}
	return v, nil
}

// reference looks whether "gen R" follows the object number num.
func (p *parser) reference(num int64) (Ref, bool) {
	back := p.pos
	p.skipSpace()
	gen, digits := int64(0), 0
	for c := p.peek(); isDigit(c) && digits < 6; c = p.peek() {
		gen = gen*10 + int64(c-'0')
		digits++
		p.pos++
	}
	if digits > 0 && isSpace(p.peek()) {
		p.skipSpace()
		if p.keyword("R") && num > 0 && num <= 1<<31-1 && gen <= 65535 {
			return Ref{int(num), int(gen)}, true
		}
	}
	p.pos = back
	return Ref{}, false
}

// uint reads an unsigned decimal number of at most 15 digits.
func (p *parser) uint() (int64, bool) {
	p.skipSpace()
	v, n := int64(0), 0
	for c := p.peek(); isDigit(c); c = p.peek() {
		if n++; n > 15 {
			return 0, false
		}
		v = v*10 + int64(c-'0')
		p.pos++
	}
	return v, n > 0 && !isRegular(p.peek())
}
