//go:build ignore

// Texts says what the report's texts lack in a language, a line each, so that a
// translation can be made step by step. Run it from the repository's top folder:
//
//	go run testdata/texts.go                                 every language that is shipped
//	go run testdata/texts.go fr                              pdfout/catalogue/fr.json, shipped or not
//	go run testdata/texts.go -new > pdfout/catalogue/fr.json a file with every English text, to be translated
package main

import (
	"flag"
	"fmt"
	"os"

	"wornwood/pdfout/catalogue"
)

func main() {
	blank := flag.Bool("new", false, "print a file to be translated")
	flag.Parse()
	if *blank {
		b, err := catalogue.Skeleton()
		if err != nil {
			fail(err)
		}
		os.Stdout.Write(b)
		return
	}
	langs := flag.Args()
	if len(langs) == 0 {
		langs = catalogue.Languages()[1:]
	}
	lacking := false
	for _, lang := range langs {
		lines, err := catalogue.Lacks(lang)
		if err != nil {
			fail(err)
		}
		for _, line := range lines {
			fmt.Println(lang, line)
		}
		if len(lines) == 0 {
			fmt.Println(lang, "is complete")
		}
		lacking = lacking || len(lines) > 0
	}
	if lacking {
		os.Exit(1)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "texts:", err)
	os.Exit(1)
}
