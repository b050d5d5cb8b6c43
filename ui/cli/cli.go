// Package cli holds the verbs of the command line: everything the window can
// do to a record, by the same code.
//
// Start with Run. A verb parses its flags, calls bench, annotate or pdfout, and
// prints; it holds no rules of its own. Nothing here exits the process.
package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
)

// The exit codes, the same for every verb.
const (
	OK       = 0 // done; for verify: complete and unaltered
	AnswerNo = 1 // the question was answered with no: altered, not issued, findings
	Usage    = 2 // the command line is wrong
	BadInput = 3 // a file, a bench or a record could not be used
	Held     = 4 // the bench is open in another process
	Stopped  = 5 // cancelled
)

// Env is what a verb may touch of the world outside.
type Env struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Now            func() time.Time
	Getenv         func(string) string
	// Window opens the window on a bench ("" for the last one) and returns
	// when it is closed; nil when this build has none.
	Window func(ctx context.Context, dir string) error
}

// verb is one word of the command line. run returns an error; the exit code
// follows from it.
type verb struct {
	name, args, short string
	run               func(ctx context.Context, c *call) error
}

// call is one use of a verb.
type call struct {
	Env
	verb  *verb
	args  []string
	flags *flag.FlagSet
}

// verbs are listed in the order in which help shows them.
func verbs() []*verb {
	return []*verb{
		windowVerb, demoVerb, settingsVerb, classesVerb, newVerb, importVerb, listVerb, dueVerb, showVerb, changeVerb, undoVerb, redoVerb,
		claimVerb, materialVerb, attachVerb,
		datingVerb, tablesVerb, partVerb, extraVerb,
		scaleVerb, measureVerb, fadeVerb, suggestVerb, traceVerb, closeupVerb, listenVerb, electronicsVerb, setupVerb, playVerb,
		gradeVerb, rubricVerb, issueVerb, listingVerb, extendVerb, verifyVerb, extractVerb, trustVerb, receiveVerb, returnedVerb, knowVerb, keyVerb, archiveVerb, checkVerb, rebuildVerb,
	}
}

// usageError is an error of the command line; it ends with Usage.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

// answerNo ends a verb with AnswerNo after it has printed its answer.
var errAnswerNo = errors.New("answered no")

// Run carries out one command line and returns the exit code.
func Run(ctx context.Context, args []string, env Env) int {
	if env.Now == nil {
		env.Now = time.Now
	}
	if len(args) == 0 {
		args = []string{"window"}
	}
	name := args[0]
	if name == "help" || name == "--help" || name == "-h" {
		printHelp(env.Stdout)
		return OK
	}
	i := slices.IndexFunc(verbs(), func(v *verb) bool { return v.name == name })
	if i < 0 {
		fmt.Fprintf(env.Stderr, "wornwood: there is no verb %q; 'wornwood help' lists them\n", name)
		return Usage
	}
	v := verbs()[i]
	c := &call{Env: env, verb: v, args: args[1:], flags: flag.NewFlagSet(v.name, flag.ContinueOnError)}
	c.flags.SetOutput(io.Discard)
	return c.end(v.run(ctx, c))
}

func printHelp(w io.Writer) {
	fmt.Fprint(w, "Wornwood documents old instruments: photos, marks, a grade, a signed condition report.\n\nusage: wornwood VERB [options] ...\n\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "  %-9s %s\n", v.name, v.short)
	}
	fmt.Fprint(w, `
'wornwood VERB --help' shows a verb's options.

exit codes: 0 done (verify: complete and unaltered), 1 the answer is no,
2 wrong command line, 3 a file or bench could not be used, 4 the bench is open
in another process, 5 cancelled
`)
}

// parse reads the flags, wherever they stand among the arguments, and checks
// the number of arguments left (most < 0: any).
func (c *call) parse(least, most int) error {
	var rest []string
	args := c.args
	for {
		if err := c.flags.Parse(args); err != nil {
			return err
		}
		args = c.flags.Args()
		if len(args) == 0 {
			break
		}
		rest, args = append(rest, args[0]), args[1:]
	}
	c.args = rest
	if len(rest) < least || (most >= 0 && len(rest) > most) {
		return &usageError{fmt.Sprintf("usage: wornwood %s %s", c.verb.name, c.verb.args)}
	}
	return nil
}

func (c *call) help() {
	fmt.Fprintf(c.Stdout, "usage: wornwood %s %s\n\n%s\n", c.verb.name, c.verb.args, c.verb.short)
	any := false
	c.flags.VisitAll(func(f *flag.Flag) {
		if !any {
			fmt.Fprint(c.Stdout, "\noptions:\n")
			any = true
		}
		kind, text := flag.UnquoteUsage(f)
		name := strings.TrimSpace("--" + f.Name + " " + kind)
		if f.DefValue != "" && f.DefValue != "false" {
			text += " (default " + f.DefValue + ")"
		}
		fmt.Fprintf(c.Stdout, "  %-24s %s\n", name, text)
	})
}
