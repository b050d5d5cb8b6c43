package cli

import (
	"bufio"
	"context"
	"fmt"
	"io"

	"wornwood/capture/blob"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// exportForms are the forms of an export, by the option that asks for each.
var exportForms = []struct {
	name, usage string
	to          func(io.Writer) archive.Exporter
}{
	{"csv", "CSV for spreadsheets, to this `file`; - is the output", archive.NewCSV},
	{"lines", "JSON Lines, one object a report, to this `file`; - is the output", archive.NewLines},
	{"parquet", "Parquet, with typed columns, to this `file`; - is the output", archive.NewParquet},
}

func runArchiveExport(ctx context.Context, c *call) error {
	files := make([]*string, len(exportForms))
	for i, f := range exportForms {
		files[i] = c.flags.String(f.name, "", f.usage)
	}
	c.protect()
	if err := c.parse(1, -1); err != nil {
		return err
	}
	q, err := archive.ParseQuery(queryLine(c.args[1:]))
	if err != nil {
		return &usageError{fmt.Sprintf("wornwood archive export: %v", err)}
	}
	given := 0
	for _, f := range files {
		if *f != "" {
			given++
		}
	}
	if given == 0 {
		return &usageError{"wornwood archive export: say in which form and where to: --csv FILE, --lines FILE or --parquet FILE"}
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		if err := people.ReadsAll(ctx, a, c.args[0], q); err != nil {
			return err
		}
		for i, f := range exportForms {
			if *files[i] == "" {
				continue
			}
			n, err := c.exportTo(ctx, a, q, *files[i], f.to)
			if err != nil {
				return err
			}
			if *files[i] != "-" {
				c.print("%d reports written to %s\n", n, *files[i])
			}
		}
		return nil
	})
}

// exportTo writes an export to a file, whole or not at all, or to the output.
func (c *call) exportTo(ctx context.Context, a *archive.Archive, q *archive.Query, file string, form func(io.Writer) archive.Exporter) (n int, err error) {
	write := func(w io.Writer) error {
		b := bufio.NewWriterSize(w, 256<<10)
		if n, err = a.Export(ctx, q, form(b)); err != nil {
			return err
		}
		return b.Flush()
	}
	if file == "-" {
		err = write(c.Stdout)
	} else {
		err = blob.WriteFile(file, 0o644, write)
	}
	return n, err
}
