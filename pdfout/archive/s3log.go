package archive

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"path"
	"strconv"
	"strings"
)

// A ledger in a bucket is a row of objects, each with whole lines and named by
// the byte at which it begins, so that joined in the order of their names they
// are the file that a folder has. An object is written only where there is none
// of its name. What is written nobody can take back, so who begins to change
// the archive, and who does not know whether a request of its own will still be
// carried out, puts an empty object in the place: whatever comes later finds
// the place taken. The next object has the same byte and the next number.

// piece is one object of a ledger.
type piece struct {
	start int64
	n     int
	size  int64 // bytes; 0 of one that only takes the place
}

// after is the place of the next piece.
func (p piece) after() piece {
	if p.size == 0 {
		return piece{start: p.start, n: p.n + 1}
	}
	return piece{start: p.start + p.size}
}

// mark is what tells the place from all others, in their order.
func (p piece) mark() string { return fmt.Sprintf("%020d-%06d", p.start, p.n) }

func (s *s3) pieceKey(l Ledger, p piece) string {
	return s.key(string(l) + "/" + p.mark() + ".jsonl")
}

func parsePiece(key string, size int64) (piece, error) {
	start, n, _ := strings.Cut(strings.TrimSuffix(path.Base(key), ".jsonl"), "-")
	p := piece{size: size}
	var err, err2 error
	p.start, err = strconv.ParseInt(start, 10, 64)
	p.n, err2 = strconv.Atoi(n)
	if err != nil || err2 != nil || path.Base(key) != p.mark()+".jsonl" {
		return piece{}, fmt.Errorf("%.200s is no piece of a log; find out who put it there, and take it out", key)
	}
	return p, nil
}

// maxPiece bounds a piece, in bytes, and so how far back the one lies in which
// a line begins.
const maxPiece = 4 << 20

// pieces are those behind a key, in order, at most a page of them.
func (s *s3) pieces(l Ledger, behind string) (list []piece, more bool, err error) {
	page, err := s.page(s.key(string(l)+"/"), behind)
	if err != nil {
		return nil, false, err
	}
	for _, o := range page.Contents {
		p, err := parsePiece(o.Key, o.Size)
		if err != nil {
			return nil, false, err
		}
		list = append(list, p)
	}
	return list, page.IsTruncated && len(list) > 0, nil
}

// ending is where a ledger ends, as far as this process knows.
type ending struct {
	last piece // with lines
	prev piece // the last of all; next is the place behind it
	next piece
}

func (e *ending) take(list []piece) {
	for _, p := range list {
		if e.prev, e.next = p, p.after(); p.size > 0 {
			e.last = p
		}
	}
}

// behind is the key after which new pieces come.
func (s *s3) behind(l Ledger, e ending) string {
	if e.next == (piece{}) {
		return ""
	}
	return s.pieceKey(l, e.prev)
}

// ends finds where a ledger ends. Listings go forward only, so it leaps ahead
// by more than a page spanned, and by less where nothing lies so far on.
func (s *s3) ends(l Ledger) (ending, error) {
	s.mu.Lock()
	e := s.known[l]
	s.mu.Unlock()
	for more := true; more; {
		list, m, err := s.pieces(l, s.behind(l, e))
		if err != nil {
			return e, err
		}
		if e.take(list); !m {
			break
		}
		span := e.next.start - list[0].start
		for step := 4 * span; step > span && more; {
			far, m, err := s.pieces(l, s.pieceKey(l, piece{start: e.next.start + step}))
			if err != nil {
				return e, err
			}
			if len(far) == 0 {
				step /= 8
				continue
			}
			e.take(far)
			more, step = m, step*2
		}
	}
	if e.last.start+e.last.size != e.next.start { // leapt past the last one with lines
		list, _, err := s.pieces(l, s.pieceKey(l, piece{start: max(0, e.next.start-maxPiece)}))
		if err != nil {
			return e, err
		}
		e.take(list)
	}
	if e.last.start+e.last.size != e.next.start {
		return e, fmt.Errorf("what lies before byte %d is missing; bring it back from a copy", e.next.start)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.fenced || l != MainLog {
		s.known[l] = e
	}
	return e, nil
}

func (s *s3) Tail(of Ledger, mend bool) ([]byte, int64, error) {
	if mend && of == MainLog {
		if err := s.fence(); err != nil {
			return nil, 0, fmt.Errorf("read log: %w", err)
		}
	}
	e, err := s.ends(of)
	if err != nil {
		return nil, 0, fmt.Errorf("read log: %w", err)
	}
	if e.last.size == 0 {
		return nil, 0, nil
	}
	b, err := s.piece(of, e.last)
	if err != nil {
		return nil, 0, err
	}
	b = b[:len(b)-1]
	return b[bytes.LastIndexByte(b, '\n')+1:], e.next.start, nil
}

// piece reads one with lines.
func (s *s3) piece(l Ledger, p piece) ([]byte, error) {
	b, _, err := s.get(s.pieceKey(l, p))
	if err == nil && (int64(len(b)) != p.size || b[len(b)-1] != '\n') {
		err = errors.New("it is cut off")
	}
	if err != nil {
		return nil, fmt.Errorf("read log: the piece %s: %w; bring it back from a copy", s.pieceKey(l, p), err)
	}
	return b, nil
}

// fence takes the place at the log's end, once for each opening: whoever
// thought to have the log until now finds it taken, whatever the lock says.
func (s *s3) fence() error {
	s.mu.Lock()
	done := s.fenced
	s.mu.Unlock()
	for try := 0; !done; try++ {
		e, err := s.ends(MainLog)
		if err != nil {
			return err
		}
		mine, err := s.claim(s.pieceKey(MainLog, e.next), rand.Text(), nil)
		if err != nil {
			return err
		}
		if mine {
			s.mu.Lock()
			s.fenced, s.token = true, e.next.mark()
			e.take([]piece{e.next})
			s.known[MainLog] = e
			s.mu.Unlock()
			return nil
		}
		if try == s3Tries {
			return fmt.Errorf("begin to write: %w", ErrConflict)
		}
	}
	return nil
}

// claim writes an object where there is none; mine tells that the one that is
// there bears this nonce, also where the answer to an earlier attempt was lost.
func (s *s3) claim(key, nonce string, data []byte) (mine bool, err error) {
	_, err = s.put(key, data, putNew, map[string]string{"writer": nonce})
	if errors.Is(err, errExists) {
		info, err := s.stat(key)
		return err == nil && info.UserMetadata["Writer"] == nonce, err
	}
	return err == nil, err
}

func (s *s3) Append(to Ledger, at int64, lines [][]byte) error {
	for len(lines) > 0 {
		n, size := 0, 0
		for n < len(lines) && size+len(lines[n])+1 <= maxPiece {
			size += len(lines[n]) + 1
			n++
		}
		if n == 0 {
			return fmt.Errorf("write log: a line of %d KiB", len(lines[0])>>10)
		}
		if err := s.append(to, at, append(bytes.Join(lines[:n], []byte("\n")), '\n')); err != nil {
			return fmt.Errorf("write log: %w", err)
		}
		at, lines = at+int64(size), lines[n:]
	}
	return nil
}

// append writes one piece.
func (s *s3) append(l Ledger, at int64, data []byte) error {
	s.mu.Lock()
	e, sure, lost := s.known[l], s.fenced && l == MainLog, s.lost
	s.mu.Unlock()
	if lost != nil {
		return lost
	}
	if !sure { // no place was taken at the opening: look
		var err error
		if e, err = s.ends(l); err != nil {
			return err
		}
	}
	if e.next.start != at {
		return fmt.Errorf("it ends at byte %d and not %d: %w", e.next.start, at, ErrConflict)
	}
	key, nonce := s.pieceKey(l, e.next), rand.Text()
	mine, err := s.claim(key, nonce, data)
	var doubt error
	if err != nil {
		// Whether it was written is not known. An empty piece in its place keeps
		// it from coming later, or finds it there.
		var empty bool
		doubt = err
		if empty, err = s.claim(key, nonce+"-", nil); err == nil && !empty {
			mine, err = s.claim(key, nonce, data)
		}
		if err != nil {
			return s.lose(errors.Join(doubt, err))
		}
		if mine = mine || empty; !empty {
			doubt = nil
		} else {
			data = nil
		}
	}
	if !mine && sure {
		return s.lose(ErrConflict)
	}
	if !mine {
		return ErrConflict
	}
	e.next.size = int64(len(data))
	e.take([]piece{e.next})
	s.mu.Lock()
	s.known[l] = e
	s.mu.Unlock()
	return doubt
}

// lose notes that this process does not know the log's end any more, or that
// another has it: it must not clean up either.
func (s *s3) lose(why error) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.lost == nil {
		s.lost = fmt.Errorf("%w; open the archive again", why)
	}
	return s.lost
}

// abreast is how many pieces are asked for ahead of the one being read.
const abreast = 16

func (s *s3) Log(of Ledger, from int64, visit func([]byte, int64) error) error {
	at, behind := int64(-1), s.pieceKey(of, piece{start: max(0, from-maxPiece)})
	if from <= maxPiece {
		behind = ""
	}
	for {
		list, more, err := s.pieces(of, behind)
		if err != nil {
			return fmt.Errorf("read log: %w", err)
		}
		for _, p := range list {
			if (at < 0 && p.start > from) || (at >= 0 && p.start != at) {
				return fmt.Errorf("read log: what lies before %s is missing, or another is there twice; bring it back from a copy", s.pieceKey(of, p))
			}
			at = p.start + p.size
		}
		if err := s.read(of, list, from, visit); err != nil {
			return err
		}
		if !more {
			return nil
		}
		behind = s.pieceKey(of, list[len(list)-1])
	}
}

// got is a piece that was asked for.
type got struct {
	p   piece
	b   []byte
	err error
}

// read calls visit for the lines of pieces, some of which are fetched ahead.
func (s *s3) read(l Ledger, list []piece, from int64, visit func([]byte, int64) error) error {
	var want []piece
	for _, p := range list {
		if p.size > 0 && p.start+p.size > from {
			want = append(want, p)
		}
	}
	ahead := make(chan chan got, abreast)
	stop := make(chan struct{})
	defer close(stop)
	go func() {
		defer close(ahead)
		for _, p := range want {
			one := make(chan got, 1)
			select {
			case ahead <- one:
				go func() {
					b, err := s.piece(l, p)
					one <- got{p, b, err}
				}()
			case <-stop:
				return
			}
		}
	}()
	for one := range ahead {
		g := <-one
		if g.err != nil {
			return g.err
		}
		if err := g.lines(from, visit); err != nil {
			return err
		}
	}
	return nil
}

func (g got) lines(from int64, visit func([]byte, int64) error) error {
	b, at := g.b, g.p.start
	for len(b) > 0 {
		i := bytes.IndexByte(b, '\n')
		if i >= maxLine {
			return fmt.Errorf("read log: a line of more than %d KiB from byte %d on; bring the log back from a copy", maxLine>>10, at)
		}
		if at += int64(i) + 1; at > from {
			if err := visit(b[:i], at); err != nil {
				return err
			}
		}
		b = b[i+1:]
	}
	return nil
}
