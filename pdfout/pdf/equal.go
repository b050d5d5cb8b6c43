package pdf

import (
	"bytes"
	"io"
)

// Equal says whether two objects are written the same, streams excepted,
// which are equal only when they are one and the same.
func Equal(a, b Object) bool {
	switch x := a.(type) {
	case Array:
		y, ok := b.(Array)
		if !ok || len(x) != len(y) {
			return false
		}
		for i := range x {
			if !Equal(x[i], y[i]) {
				return false
			}
		}
		return true
	case Dict:
		y, ok := b.(Dict)
		if !ok || len(x) != len(y) {
			return false
		}
		for k, e := range x {
			f, there := y[k]
			if !there || !Equal(e, f) {
				return false
			}
		}
		return true
	}
	switch b.(type) {
	case Array, Dict:
		return false
	}
	return a == b
}

// Same is Equal, with streams compared by dictionary and encoded bytes.
func Same(a, b Object) (bool, error) {
	x, ok1 := a.(*Stream)
	y, ok2 := b.(*Stream)
	if !ok1 || !ok2 {
		return Equal(a, b), nil
	}
	if !Equal(x.Dict, y.Dict) || x.RawLen() != y.RawLen() {
		return false, nil
	}
	p, q := make([]byte, 64<<10), make([]byte, 64<<10)
	r, s := x.Raw(), y.Raw()
	for {
		n, err1 := io.ReadFull(r, p)
		m, err2 := io.ReadFull(s, q)
		if !bytes.Equal(p[:n], q[:m]) {
			return false, nil
		}
		if err1 == io.EOF || err1 == io.ErrUnexpectedEOF {
			return true, nil
		}
		if err1 != nil {
			return false, err1
		}
		if err2 != nil {
			return false, err2
		}
	}
}

// EachRef calls visit for every reference directly in o, dictionaries in the
// order of their names.
func EachRef(o Object, visit func(Ref)) { eachRef(o, visit) }

// Blank says whether there is nothing but white space from start to end.
func (f *File) Blank(start, end int64) (bool, error) {
	for pos := start; pos < end; pos++ {
		if !isSpace(f.win.at(pos)) {
			return false, f.win.err
		}
	}
	return true, f.win.err
}
