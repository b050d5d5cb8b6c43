package archive

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/transparency-dev/merkle/compact"
	"github.com/transparency-dev/merkle/proof"
	"github.com/transparency-dev/merkle/rfc6962"
)

// The hash tree is that of RFC 9162, 2.1, over the lines of the log without
// their line feeds, with SHA-256: a leaf is SHA-256(00 line), a node SHA-256(01
// left right). RFC 6962 hashes the same way.

var treeNodes = &compact.RangeFactory{Hash: rfc6962.DefaultHasher.HashChildren}

// tree is the hash tree over the lines so far. Of its nodes only those are kept
// that were asked for before, and those that the root follows from.
type tree struct {
	r    *compact.Range
	want map[compact.NodeID][]byte
}

func newTree() *tree {
	return &tree{treeNodes.NewEmptyRange(0), map[compact.NodeID][]byte{}}
}

// ask has the nodes of a proof kept when their lines come.
func (t *tree) ask(n proof.Nodes) {
	for _, id := range n.IDs {
		t.want[id] = nil
	}
}

func (t *tree) add(line []byte) error {
	return t.r.Append(rfc6962.DefaultHasher.HashLeaf(line), func(id compact.NodeID, hash []byte) {
		if _, asked := t.want[id]; asked {
			t.want[id] = hash
		}
	})
}

// root is that of the tree over the lines so far.
func (t *tree) root() (string, error) {
	h, err := t.r.GetRootHash(nil)
	if h == nil {
		h = rfc6962.DefaultHasher.EmptyRoot()
	}
	return hex.EncodeToString(h), err
}

// path is a proof whose nodes were asked for.
func (t *tree) path(n proof.Nodes) ([]string, error) {
	var hashes [][]byte
	for _, id := range n.IDs {
		h := t.want[id]
		if h == nil {
			return nil, fmt.Errorf("prove: the log has no node %d of level %d", id.Index, id.Level)
		}
		hashes = append(hashes, h)
	}
	hashes, err := n.Rehash(hashes, rfc6962.DefaultHasher.HashChildren)
	if err != nil {
		return nil, fmt.Errorf("prove: %w", err)
	}
	out := make([]string, len(hashes))
	for i, h := range hashes {
		out[i] = hex.EncodeToString(h)
	}
	return out, nil
}

// grow goes along the log up to a number of lines, sees that each names the one
// before, adds it to the tree and gives the head there. Lines are not read
// further than that, so it goes as fast as they are hashed. visit, where there is
// one, gets each line with its number.
func (a *Archive) grow(t *tree, size int64, visit func(n int64, line []byte) error) (TreeHead, error) {
	h := TreeHead{Schema: HeadSchema, Archive: a.genesis, Hash: a.genesis, Time: a.Settings.Made.UTC()}
	var last []byte
	err := a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		if h.Size == size {
			return errEnough
		}
		if err := follows(line, h.Head()); err != nil {
			return err
		}
		h.Size, h.Hash, last = h.Size+1, sum(line), append(last[:0], line...)
		if err := t.add(line); err != nil {
			return err
		}
		if visit != nil {
			return visit(h.Size, line)
		}
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return h, err
	}
	if h.Size < size {
		return h, &ChainError{h.Size + 1, "is missing"}
	}
	if h.Size > 0 {
		var e Entry
		if err := json.Unmarshal(last, &e); err != nil || e.Seq != h.Size {
			return h, &ChainError{h.Size, "cannot be read"}
		}
		h.Time = e.Time.UTC().Truncate(time.Millisecond)
	}
	h.Root, err = t.root()
	return h, err
}

// hasBody says that a line may hold members of a body beside its own. In no text
// of a line can these quotation marks stand unescaped, so what is looked for in a
// line without a body is a member of the line, or not there.
func hasBody(line []byte) bool { return bytes.Contains(line, []byte(`"body":`)) }

// follows says whether a line follows on head, as readEntry does, without
// decoding it where it needs not be: a line that is no JSON any more is told by
// the one after it, which names another hash.
func follows(line []byte, head Head) error {
	if !hasBody(line) && bytes.Contains(line, []byte(`"previous":"`+head.Hash+`"`)) && seqOf(line) == head.Seq+1 {
		return nil
	}
	_, err := readEntry(line, head)
	return err
}

// seqOf is the number of a line, 0 where it has none.
func seqOf(line []byte) int64 {
	if !hasBody(line) {
		if _, rest, ok := bytes.Cut(line, []byte(`"seq":`)); ok {
			if end := bytes.IndexByte(rest, ','); end > 0 {
				if n, err := strconv.ParseInt(string(rest[:end]), 10, 64); err == nil && n > 0 {
					return n
				}
			}
		}
	}
	var e Entry
	if json.Unmarshal(line, &e) != nil || e.Seq < 0 {
		return 0
	}
	return e.Seq
}

// TreeHead is the log's head with the root of the tree, computed from the whole
// log.
func (a *Archive) TreeHead() (TreeHead, error) { return a.grow(newTree(), a.Head().Seq, nil) }
