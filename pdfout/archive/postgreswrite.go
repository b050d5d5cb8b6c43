package archive

import (
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"
)

// pgWriter takes reports in, or one out, within a transaction.
type pgWriter struct {
	x    *Postgres
	ctx  context.Context
	tx   pgx.Tx
	rows []*Row // to be taken in by flush
	todo pgx.Batch
}

func (w *pgWriter) queue(name string, args ...any) { w.todo.Queue(w.x.sql(name), args...) }

// send has the queued statements done.
func (w *pgWriter) send() error {
	if w.todo.Len() == 0 {
		return nil
	}
	b := w.todo
	w.todo = pgx.Batch{}
	return w.tx.SendBatch(w.ctx, &b).Close()
}

// flush writes what was gathered; out takes the rows out instead.
func (w *pgWriter) flush(out bool) error {
	rows := w.rows
	w.rows = nil
	if len(rows) > 0 {
		for _, step := range []func([]*Row, bool) error{w.reports, w.posts, w.values} {
			if err := step(rows, out); err != nil {
				return err
			}
		}
	}
	return w.send()
}

func (w *pgWriter) reports(rows []*Row, out bool) error {
	if out {
		for _, r := range rows {
			w.queue("drop report", r.Seq)
		}
		return nil
	}
	n := len(rows)
	seqs, sizes, conds := make([]int64, n), make([]int64, n), make([]float64, n)
	var b [7][][]byte
	for i, r := range rows {
		doc, err := packDoc(r)
		if err != nil {
			return err
		}
		seqs[i], sizes[i], conds[i] = r.Seq, r.Size, condOf(r)
		for k, v := range [][]byte{pgHash(r.Hash), pgHash(r.First), []byte(r.Number), cutKey(fold(r.Number)), cutKey(SerialKey(r.Serial)), []byte(r.Serial), doc} {
			b[k] = append(b[k], v)
		}
	}
	w.queue("add reports", seqs, b[0], b[1], b[2], b[3], b[4], b[5], conds, sizes, b[6])
	return nil
}

// postKey names a row of post.
type postKey struct {
	term  string
	block int64
}

// posts changes the rows of post that the reports' terms are in.
func (w *pgWriter) posts(rows []*Row, out bool) error {
	places := map[postKey][]uint16{}
	for _, r := range rows {
		block, place := blockOf(r.Seq)
		for t := range termsOf(r) {
			k := postKey{t, block}
			places[k] = append(places[k], place)
		}
	}
	was, err := w.readPosts(places)
	if err != nil {
		return err
	}
	var terms, data [][]byte
	var blocks []int64
	for k, p := range places {
		b, err := merged(was[k], p, out)
		if err != nil {
			return unusable(err)
		}
		if b == nil {
			w.queue("drop post", []byte(k.term), k.block)
			continue
		}
		terms, blocks, data = append(terms, []byte(k.term)), append(blocks, k.block), append(data, b)
	}
	if len(terms) > 0 {
		w.queue("put posts", terms, blocks, data)
	}
	return nil
}

func (w *pgWriter) readPosts(places map[postKey][]uint16) (map[postKey][]byte, error) {
	var terms [][]byte
	var blocks []int64
	for k := range places {
		terms, blocks = append(terms, []byte(k.term)), append(blocks, k.block)
	}
	was := make(map[postKey][]byte, len(places))
	rows, err := w.tx.Query(w.ctx, w.x.sql("posts at"), terms, blocks)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var t, b []byte
		var block int64
		if err := rows.Scan(&t, &block, &b); err != nil {
			return nil, err
		}
		was[postKey{string(t), block}] = b
	}
	return was, rows.Err()
}

// values changes how many reports have each value, and which values each has.
func (w *pgWriter) values(rows []*Row, out bool) error {
	n := map[fieldValue]int64{}
	of := make([][]fieldValue, len(rows))
	for i, r := range rows {
		of[i] = valuesOf(r)
		for _, v := range of[i] {
			n[v]++
		}
	}
	id, err := w.valueIDs(n)
	if err != nil {
		return err
	}
	var fields, numbers, by []int64
	var digests, texts, folded [][]byte
	for v, k := range n {
		if out {
			k = -k
		}
		fields, numbers, by = append(fields, v.field), append(numbers, id[v]), append(by, k)
		digests, texts, folded = append(digests, v.digest()), append(texts, []byte(v.text)), append(folded, cutKey(fold(v.text)))
	}
	w.queue("put values", fields, numbers, digests, texts, folded, by)
	if out {
		for v := range n {
			w.queue("drop value", v.field, v.digest())
		}
	}
	return w.cols(rows, of, id, out)
}

// valueIDs are the numbers of values; new ones get the next.
func (w *pgWriter) valueIDs(n map[fieldValue]int64) (map[fieldValue]int64, error) {
	var fields []int64
	var digests [][]byte
	by := map[string]fieldValue{}
	for v := range n {
		d := v.digest()
		fields, digests = append(fields, v.field), append(digests, d)
		by[fmt.Sprint(v.field, " ", string(d))] = v
	}
	rows, err := w.tx.Query(w.ctx, w.x.sql("values at"), fields, digests)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	id := make(map[fieldValue]int64, len(n))
	for rows.Next() {
		var field, i int64
		var d []byte
		if err := rows.Scan(&field, &d, &i); err != nil {
			return nil, err
		}
		id[by[fmt.Sprint(field, " ", string(d))]] = i
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	next := map[int64]int64{}
	for v := range n {
		if id[v] != 0 {
			continue
		}
		if next[v.field] == 0 {
			var last int64
			err := w.tx.QueryRow(w.ctx, w.x.sql("last value"), v.field).Scan(&last)
			if err != nil && !errors.Is(err, pgx.ErrNoRows) {
				return nil, err
			}
			next[v.field] = last + 1
		}
		id[v] = next[v.field]
		next[v.field]++
	}
	return id, nil
}

// colAt names a row of col.
type colAt struct{ field, block int64 }

// cols changes the rows of col that the reports are in.
func (w *pgWriter) cols(rows []*Row, of [][]fieldValue, id map[fieldValue]int64, out bool) error {
	change := map[colAt]*ids{}
	var fields, blocks []int64
	for i, r := range rows {
		for _, v := range of[i] {
			k := colAt{v.field, r.Seq / pgColBlock}
			if v.field != colPartName && change[k] == nil {
				change[k] = &ids{}
				fields, blocks = append(fields, k.field), append(blocks, k.block)
			}
		}
	}
	if err := w.readCols(change, fields, blocks); err != nil {
		return err
	}
	for i, r := range rows {
		place := r.Seq % pgColBlock
		for _, c := range change {
			if c[place] != nil && out {
				c[place] = nil
			}
		}
		if out {
			continue
		}
		for _, v := range of[i] {
			if v.field != colPartName {
				c := change[colAt{v.field, r.Seq / pgColBlock}]
				c[place] = append(c[place], uint32(id[v]))
			}
		}
	}
	data := make([][]byte, len(fields))
	for i := range fields {
		if data[i] = change[colAt{fields[i], blocks[i]}].pack(); data[i] == nil {
			data[i] = []byte{}
		}
	}
	w.queue("put cols", fields, blocks, data)
	return nil
}

func (w *pgWriter) readCols(into map[colAt]*ids, fields, blocks []int64) error {
	rows, err := w.tx.Query(w.ctx, w.x.sql("cols at"), fields, blocks)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var k colAt
		var b []byte
		if err := rows.Scan(&k.field, &k.block, &b); err != nil {
			return err
		}
		c := into[k]
		if c == nil {
			continue
		}
		if err := eachID(b, func(place int, id uint32) { c[place] = append(c[place], id) }); err != nil {
			return unusable(err)
		}
	}
	return rows.Err()
}
