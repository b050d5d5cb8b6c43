// Package attacktest alters issued reports in every way its authors could
// think of. Whatever reads reports must refuse or explain each of them: Verify
// is tested with them, and an archive files them without coming to harm.
//
// Start with All. The alterations are made from the report given, by its own
// objects, so a report of a later version is attacked where it is then.
package attacktest

import (
	"bytes"
	"fmt"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// Attack is one altered report.
type Attack struct {
	Name string
	Data []byte
	// Says lists codes of which at least one must be found.
	Says []sign.Code
	// Explained attacks leave a file that is whole in itself, such as one signed
	// anew by a stranger. It may be called unaltered, and Says must be found.
	Explained bool
}

// suite collects the attacks on one report.
type suite struct {
	report []byte
	f      *pdf.File
	v      pdf.View
	list   []Attack
	err    error // the first failure to make an attack
}

// All makes every attack on a report. stranger signs what a stranger would sign.
func All(report []byte, stranger *sign.Identity) ([]Attack, error) {
	f, err := pdf.Open(bytes.NewReader(report), int64(len(report)), pdf.Limits{})
	if err != nil {
		return nil, fmt.Errorf("attack report: %w", err)
	}
	s := &suite{report: report, f: f, v: f.Last()}
	for _, step := range []func(){s.flips, s.edges, s.pages, s.forms, s.tables, s.streams, s.signatures, func() { s.strangers(stranger) }, s.hostile} {
		if step(); s.err != nil {
			return nil, fmt.Errorf("attack report: %w", s.err)
		}
	}
	return s.list, nil
}

func (s *suite) add(name string, data []byte, says ...sign.Code) {
	s.list = append(s.list, Attack{Name: name, Data: data, Says: says})
}

func (s *suite) fail(err error) {
	if s.err == nil && err != nil {
		s.err = err
	}
}

// dict resolves to a copy of a dictionary; an empty one when there is none.
func (s *suite) dict(o pdf.Object) pdf.Dict {
	d, err := s.v.Dict(o)
	s.fail(err)
	if d == nil {
		return pdf.Dict{}
	}
	return d.Clone()
}

// with is d with one entry set.
func with(d pdf.Dict, k pdf.Name, o pdf.Object) pdf.Dict {
	c := d.Clone()
	c[k] = o
	return c
}

func text(s string) *pdf.Stream { return pdf.NewStream(pdf.Dict{}, []byte(s)) }

// inPlace is a copy of the report with bytes changed by f.
func (s *suite) inPlace(f func(b []byte)) []byte {
	b := bytes.Clone(s.report)
	f(b)
	return b
}

// revision is something appended to a report by somebody who is not Sign.
type revision struct {
	objects map[int]pdf.Object
	free    []int
	trailer func(pdf.Dict)
	before  string        // bytes in front of the table
	offsets map[int]int64 // rows that lie about where an object is
}

// append writes the revision as a classic incremental update.
func (s *suite) append(r revision) []byte {
	out := bytes.NewBuffer(bytes.Clone(s.report))
	rows := map[int]string{}
	size, _ := s.v.Trailer()["Size"].(int64)
	for _, n := range sorted(r.objects) {
		rows[n] = fmt.Sprintf("%010d 00000 n \n", out.Len())
		s.fail(pdf.WriteIndirect(out, pdf.Ref{Num: n}, r.objects[n]))
		size = max(size, int64(n)+1)
	}
	for n, off := range r.offsets {
		rows[n] = fmt.Sprintf("%010d 00000 n \n", off)
	}
	for _, n := range r.free {
		rows[n] = "0000000000 00001 f \n"
	}
	out.WriteString(r.before)
	trailer := s.v.Trailer().Clone()
	trailer["Size"], trailer["Prev"] = size, s.v.Revision().XRef
	if r.trailer != nil {
		r.trailer(trailer)
	}
	at := out.Len()
	out.WriteString("xref\n")
	for _, n := range sorted(rows) {
		fmt.Fprintf(out, "%d 1\n%s", n, rows[n])
	}
	out.WriteString("trailer\n")
	out.Write(pdf.AppendObject(nil, trailer))
	fmt.Fprintf(out, "\nstartxref\n%d\n%%%%EOF\n", at)
	return out.Bytes()
}

func one(n int, o pdf.Object) revision { return revision{objects: map[int]pdf.Object{n: o}} }

// next is a free object number.
func (s *suite) next() int {
	n, _ := s.v.Trailer()["Size"].(int64)
	return int(n)
}
