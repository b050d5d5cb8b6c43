package archive

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/transparency-dev/merkle/proof"

	"wornwood/pdfout/sign"
)

// ProofSchema names the form of a ProofFile.
const ProofSchema = "wornwood.archive.proof/1"

// ProofFile proves of some lines of a log that they stand in it, without the
// others. Hashes of a path are SHA-256 in hex, as RFC 9162, 2.1.3 and 2.1.4,
// order them.
type ProofFile struct {
	Schema    string         `json:"schema"`
	Name      string         `json:"name"` // of the archive
	Head      TreeHead       `json:"head"`
	Signature []byte         `json:"signature,omitempty"` // CMS, detached, over the head's canonical form
	Lines     []ProvenLine   `json:"lines"`
	Earlier   []EarlierHead  `json:"earlier,omitempty"`
	Stamps    []StampedProof `json:"stamps,omitempty"`
}

// ProvenLine is a line as it stands in the log, and its audit path to the root.
type ProvenLine struct {
	Line int64    `json:"line"`
	Text string   `json:"text"`
	Path []string `json:"path"`
}

// EarlierHead is a head of before and the proof that the log only went on from
// there.
type EarlierHead struct {
	Size int64    `json:"size"`
	Root string   `json:"root"`
	Path []string `json:"path"`
}

// StampedProof is a head that an authority stamped, the proof that the log only
// went on from there, and the audit paths of those lines that it is the earliest
// such head of: they stood in the log by that time.
type StampedProof struct {
	Head  TreeHead    `json:"head"`
	Token []byte      `json:"token"` // RFC 3161, over the head's canonical form
	Path  []string    `json:"path"`
	Lines []AuditPath `json:"lines"`
}

// AuditPath leads from a line to the root of a head.
type AuditPath struct {
	Line int64    `json:"line"`
	Path []string `json:"path"`
}

// ProofAsk says what is to be proven.
type ProofAsk struct {
	Reports []string // SHA-256: all lines about these files
	Lines   []int64  // and these lines
	Earlier []int64  // the log only went on from its first so many lines
	Signer  *sign.Identity
}

// maxProven bounds the lines of one proof.
const maxProven = 10_000

// LineProof proves that lines stand in the log up to its head of now.
func (a *Archive) LineProof(ctx context.Context, ask ProofAsk) (*ProofFile, error) {
	lines, err := a.linesAsked(ctx, ask)
	if err != nil {
		return nil, fmt.Errorf("prove: %w", err)
	}
	stamps, err := a.stampsFor(lines)
	if err != nil {
		return nil, fmt.Errorf("prove: %w", err)
	}
	size := a.Head().Seq
	t, p := newTree(), &proving{size: uint64(size)}
	if err := p.plan(t, lines, ask.Earlier, stamps); err != nil {
		return nil, fmt.Errorf("prove: %w", err)
	}
	out := &ProofFile{Schema: ProofSchema, Name: a.Settings.Name, Lines: []ProvenLine{}}
	roots := map[int64]string{}
	for _, n := range ask.Earlier {
		roots[n] = ""
	}
	texts := map[int64]string{}
	out.Head, err = a.grow(t, size, func(n int64, line []byte) error {
		if _, asked := slices.BinarySearch(lines, n); asked {
			texts[n] = string(line)
		}
		if _, asked := roots[n]; asked {
			if roots[n], err = t.root(); err != nil {
				return err
			}
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("prove: %w", err)
	}
	if err := p.fill(t, out, texts, roots); err != nil {
		return nil, err
	}
	return out, out.sign(ask.Signer)
}

func (p *ProofFile) sign(id *sign.Identity) error {
	if id == nil {
		return nil
	}
	head, err := p.Head.Bytes()
	if err == nil {
		p.Signature, err = sign.SignContent(id, head)
	}
	if err != nil {
		return fmt.Errorf("sign head: %w", err)
	}
	return nil
}

// linesAsked are the numbers of the lines to prove, in order.
func (a *Archive) linesAsked(ctx context.Context, ask ProofAsk) ([]int64, error) {
	lines := slices.Clone(ask.Lines)
	seen := map[string]int{}
	if len(ask.Reports) > 0 {
		for _, h := range ask.Reports {
			seen[h] = 0
		}
		n := int64(0)
		err := a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
			n++
			file := fileOf(line)
			if _, asked := seen[file]; asked && n <= a.Head().Seq {
				seen[file]++
				lines = append(lines, n)
			}
			return ctx.Err()
		})
		if err != nil {
			return nil, err
		}
	}
	for h, n := range seen {
		if n == 0 {
			return nil, fmt.Errorf("no line of the log is about %s: %w", h, ErrMissing)
		}
	}
	slices.Sort(lines)
	lines = slices.Compact(lines)
	if len(lines) > maxProven {
		return nil, fmt.Errorf("%d lines at once, more than %d", len(lines), maxProven)
	}
	for _, n := range lines {
		if n < 1 || n > a.Head().Seq {
			return nil, fmt.Errorf("the log has no line %d; it has %d", n, a.Head().Seq)
		}
	}
	return lines, nil
}

// fileOf is the report that a line names, "" for none.
func fileOf(line []byte) string {
	if hasBody(line) {
		var e Entry
		if json.Unmarshal(line, &e) != nil {
			return ""
		}
		return e.File
	}
	_, rest, _ := bytes.Cut(line, []byte(`"file":"`))
	hash, _, _ := bytes.Cut(rest, []byte(`"`))
	return string(hash)
}

// stampsFor gives each line's earliest stamped head, by the head.
func (a *Archive) stampsFor(lines []int64) (map[int64]*StampedProof, error) {
	notes, err := a.Notes(Stamped)
	if err != nil {
		return nil, err
	}
	out := map[int64]*StampedProof{}
	for _, n := range lines {
		for _, e := range notes {
			b := bodyOf[stampedBody](e)
			if b.Head.Size < n || b.Head.Size > a.Head().Seq {
				continue
			}
			if out[b.Head.Size] == nil {
				out[b.Head.Size] = &StampedProof{Head: b.Head, Token: b.Token}
			}
			out[b.Head.Size].Lines = append(out[b.Head.Size].Lines, AuditPath{Line: n})
			break
		}
	}
	return out, nil
}

// proving is a proof in the making: which nodes of the tree it takes.
type proving struct {
	size    uint64
	lines   map[int64]proof.Nodes
	earlier map[int64]proof.Nodes
	stamped map[[2]int64]proof.Nodes // size of the head, line
	stamps  map[int64]*StampedProof
}

func (p *proving) plan(t *tree, lines, earlier []int64, stamps map[int64]*StampedProof) error {
	p.lines, p.earlier, p.stamped, p.stamps = map[int64]proof.Nodes{}, map[int64]proof.Nodes{}, map[[2]int64]proof.Nodes{}, stamps
	var errs []error
	keep := func(n proof.Nodes, err error) proof.Nodes {
		errs = append(errs, err)
		t.ask(n)
		return n
	}
	for _, n := range lines {
		p.lines[n] = keep(proof.Inclusion(uint64(n-1), p.size))
	}
	for _, n := range earlier {
		if n < 1 || uint64(n) > p.size {
			return fmt.Errorf("the log has %d lines, so none of its heads has %d", p.size, n)
		}
		p.earlier[n] = keep(proof.Consistency(uint64(n), p.size))
	}
	for size, s := range stamps {
		p.earlier[size] = keep(proof.Consistency(uint64(size), p.size))
		for _, l := range s.Lines {
			p.stamped[[2]int64{size, l.Line}] = keep(proof.Inclusion(uint64(l.Line-1), uint64(size)))
		}
	}
	return errors.Join(errs...)
}

// fill computes the paths.
func (p *proving) fill(t *tree, out *ProofFile, texts, roots map[int64]string) error {
	var errs []error
	path := func(n proof.Nodes) []string {
		list, err := t.path(n)
		errs = append(errs, err)
		return list
	}
	for n, text := range texts {
		out.Lines = append(out.Lines, ProvenLine{n, text, path(p.lines[n])})
	}
	slices.SortFunc(out.Lines, func(a, b ProvenLine) int { return int(a.Line - b.Line) })
	for n, root := range roots {
		out.Earlier = append(out.Earlier, EarlierHead{n, root, path(p.earlier[n])})
	}
	slices.SortFunc(out.Earlier, func(a, b EarlierHead) int { return int(a.Size - b.Size) })
	for size, s := range p.stamps {
		s.Path = path(p.earlier[size])
		for i := range s.Lines {
			s.Lines[i].Path = path(p.stamped[[2]int64{size, s.Lines[i].Line}])
		}
		out.Stamps = append(out.Stamps, *s)
	}
	slices.SortFunc(out.Stamps, func(a, b StampedProof) int { return int(a.Head.Size - b.Head.Size) })
	return errors.Join(errs...)
}

// maxProof bounds a file with a proof, in bytes.
const maxProof = 64 << 20

// ParseProof reads a proof that LineProof made.
func ParseProof(data []byte) (*ProofFile, error) {
	var p ProofFile
	if len(data) > maxProof {
		return nil, fmt.Errorf("read proof: more than %d MiB", maxProof>>20)
	}
	if err := json.Unmarshal(data, &p); err != nil || p.Schema != ProofSchema || p.Head.Schema != HeadSchema {
		return nil, fmt.Errorf("read proof: it is not of the form %s, as 'wornwood archive prove' writes it", ProofSchema)
	}
	if p.Head.Size < 0 || len(p.Lines) > maxProven || strings.Trim(p.Head.Root, "0123456789abcdef") != "" {
		return nil, errors.New("read proof: its head cannot be read")
	}
	return &p, nil
}

// WholeHash is the SHA-256 of a file that the log tells of, by a beginning of it;
// also of one that was refused or removed.
func (a *Archive) WholeHash(begin string) (string, error) {
	begin, err := cleanHash(begin)
	if err != nil || len(begin) == 64 {
		return begin, err
	}
	found := ""
	err = a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		file := fileOf(line)
		if !strings.HasPrefix(file, begin) || file == found {
			return nil
		}
		if found != "" {
			return fmt.Errorf("report %s: %w", begin, ErrAmbiguous)
		}
		found = file
		return nil
	})
	if err == nil && found == "" {
		err = fmt.Errorf("report %s: %w", begin, ErrMissing)
	}
	return found, err
}
