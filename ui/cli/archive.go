package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"
	"slices"
	"strings"

	"golang.org/x/sys/unix"

	"wornwood/pdfout/archive"
)

var archiveVerb = &verb{name: "archive", args: "WORD DIR ...",
	short: "file reports of many dealers, find any of them, and prove them unaltered years later", run: runArchive}

// archiveVerbs are the words behind archive.
func archiveVerbs() []*verb {
	return []*verb{
		{name: "make", args: "DIR [options]", short: "make an empty archive in a new folder, or a folder from which a shared one is opened", run: runArchiveMake},
		{name: "file", args: "DIR PATH ... [options]", short: "check and file reports: PDFs, folders with all below them, mail (.eml, .mbox) with PDFs attached", run: runArchiveFile},
		{name: "find", args: "DIR [QUERY ...] [options]", short: "find filed reports by words and fields; see --fields", run: runArchiveFind},
		{name: "searches", args: "DIR [save NAME QUERY ...|rename NAME NEW|remove NAME] [options]", short: "list the saved searches; save one, give it another name, take it off", run: runArchiveSearches},
		{name: "show", args: "DIR SHA256 [options]", short: "show one filed report, by its SHA-256 or the beginning of it: verdict, versions, where the PDF lies", run: runArchiveShow},
		{name: "history", args: "DIR SHA256|QUERY ... [options]", short: "tell one instrument's history over all its examinations: index, marks, parts, who held it, what contradicts", run: runArchiveHistory},
		{name: "alike", args: "DIR SHA256 [options]", short: "propose instruments that may be the same, with what speaks for and against", run: runArchiveAlike},
		{name: "join", args: "DIR SHA256 SHA256 ... --by WHO --why TEXT", short: "say that reports are of one instrument", run: runArchiveJoin},
		{name: "part", args: "DIR SHA256 ... --by WHO --why TEXT", short: "say that reports are of another instrument than those they stand with", run: runArchivePart},
		{name: "distinct", args: "DIR SHA256 SHA256 ... --by WHO --why TEXT", short: "say that reports are of different instruments, not to be proposed again", run: runArchiveDistinct},
		{name: "check", args: "DIR [options]", short: "read every byte again, or each night a share of a quarter, and follow the log's chain; say what is wrong and what to do", run: runArchiveCheck},
		{name: "log", args: "DIR [options]", short: "print the log, or its head, or prove that nothing before a noted head was changed", run: runArchiveLog},
		{name: "stamp", args: "DIR --tsa ADDRESS [options]", short: "have a time-stamp authority vouch for the time of the log's head", run: runArchiveStamp},
		{name: "prove", args: "DIR [SHA256 ...] [options]", short: "prove of single reports that they stand in the log, without handing over the other lines", run: runArchiveProve},
		{name: "verify-proof", args: "PROOF.json [options]", short: "check such a proof; it needs no archive", run: runArchiveVerifyProof},
		{name: "remove", args: "DIR [SHA256] [options]", short: "remove a report under a rule or by law, leaving a signed tombstone in the log", run: runArchiveRemove},
		{name: "retention", args: "DIR [SHA256 ...] [options]", short: "set how long reports are kept, hold some back, and list what is due to be removed", run: runArchiveRetention},
		{name: "collections", args: "DIR [add|remove|end|show NAME [SHA256 ...]] [options]", short: "keep named sets of instruments: what one owner has, what one policy covers", run: runArchiveCollections},
		{name: "policies", args: "DIR [add|change|end|show NUMBER [SHA256 ...]] [options]", short: "keep what is insured from when to when, for whom, and how old a report may be", run: runArchivePolicies},
		{name: "insured", args: "DIR [options]", short: "list every instrument insured on a day, with its latest report", run: runArchiveInsured},
		{name: "due", args: "DIR [options]", short: "list what is due for what is insured: reports too old, missing or refused, policies that end; also as a calendar", run: runArchiveDue},
		{name: "claim", args: "DIR SHA256|QUERY ... --before DAY --out FILE.zip [options]", short: "pack an instrument's last examination before a loss, and everything since, with the proofs, for a loss adjuster", run: runArchiveClaim},
		{name: "people", args: "DIR [add NAME --role ROLE|role NAME --role ROLE|password NAME|remove NAME] [options]", short: "list who may come in where the archive is served; let somebody in, change role or password, shut out", run: runArchivePeople},
		{name: "readings", args: "DIR [options]", short: "list who read which report of a shared or served archive", run: runArchiveReadings},
		{name: "serve", args: "DIR [options]", short: "show the archive in a browser, over HTTPS, to those who may", run: runArchiveServe},
		{name: "backup", args: "DIR TO [options]", short: "copy an archive into another folder or an object store, every byte checked; again, only what is new; the other way round brings it back", run: runArchiveBackup},
		{name: "export", args: "DIR [QUERY ...] --csv|--lines|--parquet FILE", short: "write reports, all or those that answer a query, as CSV, JSON Lines or Parquet", run: runArchiveExport},
		{name: "rebuild", args: "DIR [options]", short: "make index.db anew from files and log; nothing else changes", run: runArchiveRebuild},
	}
}

func runArchive(ctx context.Context, c *call) error {
	if len(c.args) > 0 && !strings.HasPrefix(c.args[0], "-") {
		list := archiveVerbs()
		i := slices.IndexFunc(list, func(v *verb) bool { return v.name == c.args[0] })
		if i < 0 {
			var names []string
			for _, v := range list {
				names = append(names, v.name)
			}
			return &usageError{fmt.Sprintf("wornwood archive: there is no %q; there are %s", c.args[0], strings.Join(names, ", "))}
		}
		v := list[i]
		v.name = "archive " + v.name
		c.verb, c.args, c.flags = v, c.args[1:], flag.NewFlagSet(v.name, flag.ContinueOnError)
		c.flags.SetOutput(io.Discard)
		return v.run(ctx, c)
	}
	if err := c.parse(0, 0); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			c.archiveHelp()
			return nil
		}
		return err
	}
	c.archiveHelp()
	return &usageError{"usage: wornwood archive " + c.verb.args}
}

func (c *call) archiveHelp() {
	c.print("usage: wornwood archive %s\n\n%s\n\n", c.verb.args, c.verb.short)
	for _, v := range archiveVerbs() {
		c.print("  %-12s %s\n", v.name, v.short)
	}
	c.print("\n'wornwood archive WORD --help' shows the options of each.\n")
}

func (c *call) archiveOptions(readOnly bool) archive.Options {
	return archive.Options{Now: c.Now, ReadOnly: readOnly}
}

// withArchive opens an archive to change it.
func (c *call) withArchive(ctx context.Context, f func(*archive.Archive) error) error {
	return c.changeArchive(ctx, c.archiveOptions(false), f)
}

func (c *call) changeArchive(ctx context.Context, opt archive.Options, f func(*archive.Archive) error) error {
	a, err := archive.Open(ctx, c.args[0], opt)
	if err != nil {
		return err
	}
	return errors.Join(f(a), a.Close())
}

// readArchive opens an archive to look into it: somebody may be filing at the
// same time, and the folder may be one that nobody can write to. Where the
// index is missing or behind, it is made good first, if that can be.
func (c *call) readArchive(ctx context.Context, f func(*archive.Archive) error) error {
	a, err := archive.Open(ctx, c.args[0], c.archiveOptions(true))
	if err != nil {
		return err
	}
	err = errors.Join(f(a), a.Close())
	if !errors.Is(err, archive.ErrIndex) {
		return err
	}
	w, err2 := archive.Open(ctx, c.args[0], c.archiveOptions(false))
	if err2 != nil {
		return errors.Join(err, err2)
	}
	return errors.Join(f(w), w.Close())
}

// unwritable says that a folder cannot be written to, or that somebody else is
// writing.
func unwritable(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, unix.EROFS)
}

// filed is the answer of filing as JSON.
type filed struct {
	archive.Tally
	Files []archive.Outcome `json:"files"`
	Head  archive.Head      `json:"head"`
}

func runArchiveFile(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print what became of each file as JSON")
	again := c.flags.Bool("again", false, "file also what was removed from this archive before")
	trusts := c.trustFlags()
	if err := c.parse(2, -1); err != nil {
		return err
	}
	opt, err := trusts.options(c)
	if err != nil {
		return err
	}
	// Hostile files make the check need much for a moment; what it leaves behind
	// is collected sooner.
	debug.SetMemoryLimit(256 << 20)
	return c.withArchive(ctx, func(a *archive.Archive) error {
		out := filed{Files: []archive.Outcome{}}
		n := 0
		tally, err := a.File(ctx, c.args[1:], archive.FileOptions{Verify: opt, Again: *again, Done: func(o archive.Outcome) {
			if n++; *asJSON {
				out.Files = append(out.Files, o)
				fmt.Fprintf(c.Stderr, "filing %d: %s\n", n, onOneLine(o.Source))
				return
			}
			c.printOutcome(o)
		}})
		out.Tally, out.Head = tally, a.Head()
		if *asJSON {
			err = errors.Join(err, c.printJSON(out))
		} else {
			c.print("%d filed (%d of them later versions), %d there already, %d refused, %d left, %d passed over\nhead %s\n",
				tally.Filed, tally.Linked, tally.There, tally.Refused, tally.Left, tally.Passed, a.Head())
		}
		if err == nil && tally.Refused+tally.Left > 0 {
			err = errAnswerNo
		}
		return err
	})
}

func (c *call) printOutcome(o archive.Outcome) {
	line := fmt.Sprintf("%-14s %s", o.Result, o.Source)
	if o.Hash != "" {
		line += "  " + o.Hash[:16]
	}
	if o.Linked != "" {
		line += ", a later version of " + o.Linked[:16]
	}
	if o.Why != "" {
		line += ": " + o.Why
	}
	c.print("%s\n", onOneLine(line))
}

func runArchiveRebuild(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the counts as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	opt := c.archiveOptions(false)
	opt.Stale = true
	return c.changeArchive(ctx, opt, func(a *archive.Archive) error {
		r, err := a.Rebuild(ctx)
		if err != nil {
			return err
		}
		if *asJSON {
			err = c.printJSON(r)
		} else {
			c.print("index.db made anew from %d reports\n", r.Reports)
			for _, f := range r.Damaged {
				c.print("left out %s: %s\n", f.Ref.Hash, f.Text)
			}
		}
		if err == nil && len(r.Damaged) > 0 {
			err = errAnswerNo
		}
		return err
	})
}
