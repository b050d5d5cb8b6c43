package cli

import (
	"context"
	"fmt"
	"path/filepath"

	"wornwood/pdfout/archive"
)

func runArchiveMake(ctx context.Context, c *call) error {
	name := c.flags.String("name", "", "what the archive is called; the folder's name otherwise")
	strict := c.flags.Bool("strict", false, "file only what passes strict checking: a signer known or certified here, a trusted time, a rubric of the program's, the archival form")
	files := c.flags.String("files", "", "keep the files of a shared archive in this `place`: s3://BUCKET/PREFIX?endpoint=https://HOST&region=NAME, or a folder that all can reach; DIR gets shared.json, which others copy. The keys come from AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY or ~/.aws/credentials")
	index := c.flags.String("index", "", "keep the index of a shared archive in this `database`: postgres://USER@HOST/NAME. The password comes from PGPASSWORD or ~/.pgpass")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	dir := c.args[0]
	if *name == "" {
		*name = filepath.Base(filepath.Clean(dir))
	}
	switch {
	case archive.IsS3(dir):
		return &usageError{"wornwood archive make: DIR is a folder of this machine; the object store goes behind --files"}
	case *files == "" && *index != "":
		return &usageError{"wornwood archive make: an index that is shared (--index) needs a shared place for the files, too (--files)"}
	case *files == "":
		if err := archive.Make(dir, *name, *strict, c.Now()); err != nil {
			return err
		}
		c.print("made the archive %s in %s\n", *name, dir)
		return nil
	}
	joined, err := archive.MakeShared(ctx, dir, archive.SharedOptions{Name: *name, Strict: *strict, Files: *files, Index: *index}, c.Now())
	if err != nil {
		return err
	}
	if joined != nil {
		c.print("joined the archive %s, which was there; it is opened from %s\n", onOneLine(joined.Name), dir)
		if *strict && !joined.Strict {
			fmt.Fprintf(c.Stderr, "it is not strict: that is settled when an archive is made\n")
		}
		return nil
	}
	c.print("made the shared archive %s, opened from %s; on another machine put shared.json from there into a folder of its own\n", *name, dir)
	return nil
}
