//go:build bench

// Command measure prints one line a measurement:
//
//	name ours=... peer=... ratio=... limit=...
//
// Ours and the peer run alternately in the same run and the median of each is
// taken, so that a busy machine slows both. It is run by make bench with the
// path of the built program.
package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"time"
)

// measurement is one line. Ours and peer return a cost in unit; the ratio or,
// with absolute set, ours itself must stay under limit.
type measurement struct {
	name     string
	unit     string
	rounds   int
	limit    float64
	absolute bool // limit is on ours, in unit, not on the ratio
	ours     func() (float64, error)
	peer     func() (float64, error)
}

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "usage: measure PROGRAM [NAME ...]")
		os.Exit(2)
	}
	dir, err := os.MkdirTemp("", "measure")
	if err != nil {
		fail(err)
	}
	defer os.RemoveAll(dir)
	over := false
	for _, group := range []struct {
		name string
		make func(program, dir string) ([]measurement, error)
	}{{"view", viewing}, {"grade", grading}, {"import", importing}, {"issue", issuing}, {"originals", withOriginals}, {"window", opening}, {"mark", marking}, {"listen", listening}, {"attack", attacking}, {"curve", curving}, {"list", listing}, {"preview", previewing}, {"offer", offering}, {"archive", archiving}, {"archive-find", archivingFinds}, {"archive-rebuild", archivingRebuilds}, {"archive-shared", archivingShared}, {"archive-hostile", archivingHostile}} {
		if len(os.Args) > 2 && !slices.Contains(os.Args[2:], group.name) {
			continue
		}
		ms, err := group.make(os.Args[1], dir)
		if err != nil {
			os.RemoveAll(dir)
			fail(fmt.Errorf("%s: %w", group.name, err))
		}
		for _, m := range ms {
			line, ok, err := m.run()
			if err != nil {
				os.RemoveAll(dir)
				fail(fmt.Errorf("%s: %w", m.name, err))
			}
			fmt.Println(line)
			over = over || !ok
		}
	}
	if over {
		os.RemoveAll(dir)
		fail(fmt.Errorf("at least one line is over its limit"))
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "measure:", err)
	os.Exit(1)
}

// run measures ours and the peer alternately and writes the line.
func (m measurement) run() (line string, ok bool, err error) {
	var ours, peer []float64
	for range m.rounds {
		a, err := m.ours()
		if err != nil {
			return "", false, fmt.Errorf("ours: %w", err)
		}
		b, err := m.peer()
		if err != nil {
			return "", false, fmt.Errorf("peer: %w", err)
		}
		ours, peer = append(ours, a), append(peer, b)
	}
	a, b := median(ours), median(peer)
	held := a / b
	what := ""
	if m.absolute {
		held, what = a, m.unit
	}
	ok = held <= m.limit
	var sb strings.Builder
	fmt.Fprintf(&sb, "%s ours=%.4g%s peer=%.4g%s ratio=%.3f limit=%.4g%s", m.name, a, m.unit, b, m.unit, a/b, m.limit, what)
	if !ok {
		sb.WriteString(" OVER")
	}
	return sb.String(), ok, nil
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}

func seconds(f func() error) (float64, error) {
	start := time.Now()
	err := f()
	return time.Since(start).Seconds(), err
}
