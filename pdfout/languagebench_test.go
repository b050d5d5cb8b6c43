package pdfout

import (
	"context"
	"io"
	"testing"

	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/reporttest"
)

// BenchmarkLanguages builds the report of 200 marks in each language: patterns
// are looked for only in those that are not the source.
func BenchmarkLanguages(b *testing.B) {
	rec := reporttest.Many(200, 12)
	for _, lang := range catalogue.Languages() {
		b.Run(lang, func(b *testing.B) {
			for b.Loop() {
				in := Input{Record: rec, Photos: &reporttest.Photos{Small: true}, Created: issuedAt, Signer: testSigner, Language: lang}
				if _, err := Build(context.Background(), in, io.Discard, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
