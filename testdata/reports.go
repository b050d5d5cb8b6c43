//go:build ignore

// Reports writes signed reports of invented instruments by invented dealers into a
// new folder, for a picture of an archive. Run it from the repository's top folder:
//
//	go run testdata/reports.go FOLDER
package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/record"
	"wornwood/icons"
	"wornwood/pdfout"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// made are the instruments: maker, model, year, class.
var made = [][4]string{
	{"Halden & Rowe", "Larkfoot Standard", "1974", "solid-body double-cutaway"}, {"Halden & Rowe", "Larkfoot Junior", "1959", "solid-body double-cutaway"},
	{"Merrow & Finch", "No. 3", "about 1962", "solid-body double-cutaway"}, {"Merrow & Finch", "No. 7", "1968", "solid-body double-cutaway"},
	{"Osterby Works", "Ferry", "1981", "solid-body double-cutaway"}, {"Tolle and Sons", "Harbour", "1956", "solid-body double-cutaway"},
}

var dealers = [][2]string{{"R. Calloway", "Fen Street Instruments"}, {"M. Merrow", "Alder Lane Strings"}, {"B. Atherley", "Quay Side Guitars"}}

func main() {
	if err := write(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "reports:", err)
		os.Exit(1)
	}
}

func write(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: go run testdata/reports.go FOLDER")
	}
	if err := os.Mkdir(args[0], 0o755); err != nil {
		return err
	}
	var keys []*sign.Identity
	first := time.Date(2023, 2, 6, 10, 0, 0, 0, reporttest.Zone)
	for _, d := range dealers {
		id, err := sign.NewKey(sign.Subject{Name: d[0], Shop: d[1]}, first, rand.Reader)
		if err != nil {
			return err
		}
		keys = append(keys, id)
	}
	for n := range 24 {
		at, who := first.AddDate(0, 0, n*41), n*7%len(dealers)
		b, err := report(n, who, at, keys[who])
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(args[0], fmt.Sprintf("report-%02d.pdf", n)), b, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func report(n, who int, at time.Time, id *sign.Identity) ([]byte, error) {
	rec := reporttest.Demo(1)
	m := made[n*5%len(made)]
	rec.Examination.Number, rec.Examination.Date = fmt.Sprintf("CR-%d-%04d", at.Year(), 100+n), at
	rec.Examination.Examiner, rec.Examination.Shop = dealers[who][0], dealers[who][1]
	rec.Instrument.Maker, rec.Instrument.Model, rec.Instrument.Year, rec.Instrument.Class = m[0], m[1], m[2], m[3]
	rec.Instrument.Serial = fmt.Sprintf("%s%d", strings.ToUpper(m[1][:1]), 41000+n*617)
	if n%3 == 0 {
		rec.Examination.Purpose = record.Intake
	}
	// Some marks fewer, so that they are not all in one condition.
	keep := rec.Marks[:0]
	for i, k := range rec.Marks {
		if (n+i)%(n%4+2) != 0 {
			k.Number = len(keep) + 1
			keep = append(keep, k)
		}
	}
	rec.Marks = keep
	var drawn, signed bytes.Buffer
	ctx := context.Background()
	if _, err := pdfout.Build(ctx, pdfout.Input{Record: rec, Photos: &reporttest.Photos{Small: true}, Created: at, Signer: pdfout.SignerOf(id)}, &drawn, nil); err != nil {
		return nil, err
	}
	err := sign.Sign(ctx, bytes.NewReader(drawn.Bytes()), int64(drawn.Len()), &signed, id, sign.SignOptions{
		Field: sign.FieldExaminer, Now: at, Reason: "Report issued", Appearance: []string{dealers[who][0]}, Font: icons.Font("sans")})
	return signed.Bytes(), err
}
