package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

type row = bench.Row

var showVerb = &verb{name: "show", args: "BENCH [--exam ID]",
	short: "print an examination's record as JSON", run: runShow}

var changeVerb = &verb{name: "change", args: "BENCH [CHANGES.json] [--exam ID] [--name TEXT]",
	short: "make changes to a record: a JSON list of {target, value}, from a file or standard input", run: runChange}

var undoVerb = &verb{name: "undo", args: "BENCH [--exam ID]", short: "take the last change back", run: runUndo}

var redoVerb = &verb{name: "redo", args: "BENCH [--exam ID]", short: "make the last undone change again", run: runRedo}

func runShow(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	c.flags.Bool("json", true, "the record is always JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, ex *bench.Exam, _ *annotate.Session) error {
		return c.printJSON(ex.Record())
	})
}

func runChange(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	name := c.flags.String("name", "Change from the command line", "`text` by which undo calls it")
	if err := c.parse(1, 2); err != nil {
		return err
	}
	in, from := c.Stdin, "standard input"
	if len(c.args) == 2 {
		f, err := os.Open(c.args[1])
		if err != nil {
			return fmt.Errorf("read changes: %w", err)
		}
		defer f.Close()
		in, from = f, c.args[1]
	}
	b, err := io.ReadAll(io.LimitReader(in, record.MaxBytes))
	if err != nil {
		return fmt.Errorf("read changes from %s: %w", from, err)
	}
	var cs []record.Change
	if err := json.Unmarshal(b, &cs); err != nil {
		return fmt.Errorf("read changes from %s: it must be a JSON list of {target, value}: %w", from, err)
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		return s.Do(*name, cs...)
	})
}

func runUndo(ctx context.Context, c *call) error { return stepBack(ctx, c, (*annotate.Session).Undo) }

func runRedo(ctx context.Context, c *call) error { return stepBack(ctx, c, (*annotate.Session).Redo) }

func stepBack(ctx context.Context, c *call, step func(*annotate.Session) (string, error)) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		name, err := step(s)
		if err != nil {
			return err
		}
		c.print("%s: %s\n", c.verb.name, name)
		return nil
	})
}
