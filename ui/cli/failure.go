package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"

	"wornwood/capture/bench"
	"wornwood/pdfout/archive"
)

// end turns a verb's error into words and an exit code. It is the one place of
// the command line that does.
func (c *call) end(err error) int {
	var use *usageError
	var held *bench.HeldError
	var filing *archive.HeldError
	switch {
	case err == nil:
		return OK
	case errors.Is(err, flag.ErrHelp):
		c.help()
		return OK
	case errors.Is(err, errAnswerNo):
		return AnswerNo
	case errors.Is(err, context.Canceled):
		c.say("cancelled; nothing was left half done")
		return Stopped
	case errors.As(err, &use):
		fmt.Fprintln(c.Stderr, use.text)
		return Usage
	case errors.As(err, &held):
		c.say("%v", held)
		return Held
	case errors.As(err, &filing):
		c.say("%v", filing)
		return Held
	}
	if isFlagError(err) {
		c.say("%v; 'wornwood %s --help' shows the options", err, c.verb.name)
		return Usage
	}
	c.say("%v", err)
	return BadInput
}

func (c *call) say(format string, a ...any) {
	fmt.Fprintf(c.Stderr, "wornwood %s: %s\n", c.verb.name, fmt.Sprintf(format, a...))
}

// isFlagError recognises the flag package's own errors, which have no type.
func isFlagError(err error) bool {
	s := err.Error()
	for _, p := range []string{"flag provided but not defined", "invalid value ", "flag needs an argument", "bad flag syntax", "invalid boolean"} {
		if len(s) >= len(p) && s[:len(p)] == p {
			return true
		}
	}
	return false
}
