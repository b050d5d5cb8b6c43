// Package pdfout makes the report of one examination and checks reports that
// come back.
//
// Start with Issue, which grades, lays out, signs, checks its own work and
// files the report once; Build makes the unsigned pages alone; Verify says in
// plain words what a report proves. The layout is in page, drawing in paint,
// the file's objects in pdf, keys and signatures in sign.
//
// The record attached to a report is the truth of it: the pages are one
// reading of that record, and the grade must follow from it. The package
// promises that a report which it issues passes its own Verify; it does not
// promise that the examiner was right.
package pdfout

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"github.com/gowebpki/jcs"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// The names of the files attached to a report.
const (
	RecordName = "record.json"
	GradeName  = "grade.json"
	RubricName = "rubric.json" // only where the rubric is a shop's own
)

// Canonical is a value as the one JSON text that RFC 8785 allows, so that the
// same record has the same digest everywhere.
func Canonical(v any) ([]byte, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("write canonical JSON: %w", err)
	}
	if b, err = jcs.Transform(b); err != nil {
		return nil, fmt.Errorf("write canonical JSON: %w", err)
	}
	return b, nil
}

// RecordHash is the SHA-256 of the canonical record, hex: what the foot of
// every page prints.
func RecordHash(r *record.Record) (string, error) {
	b, err := Canonical(r)
	if err != nil {
		return "", err
	}
	return hexSum(b), nil
}

func hexSum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// attached are the two files inside a report.
func attached(r *record.Record, g *grade.Result) (rec, grd []byte, err error) {
	if rec, err = Canonical(r); err != nil {
		return nil, nil, err
	}
	grd, err = Canonical(g)
	return rec, grd, err
}
