package cli

import (
	"context"
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var attachVerb = &verb{name: "attach", args: "BENCH [FILE...] [--kind WORD] [--about TEXT] [--date TEXT] | --set NAME | --save NAME FILE | --remove NAME",
	short: "attach documents, drawings, sounds and films, list them, save copies of them, or remove them", run: runAttach}

func runAttach(ctx context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := fs.Bool("json", false, "print as JSON")
	kind := fs.String("kind", "", "`word`: "+strings.Join(record.AttachmentKinds(), ", ")+"; what the file's type usually is otherwise")
	about := fs.String("about", "", "`text`: what it shows")
	date := fs.String("date", "", "`text`: the date of a paper, as written on it")
	set := fs.String("set", "", "`attachment` whose kind, words or date change, by name or the beginning of its SHA-256")
	save := fs.String("save", "", "`attachment` to save a copy of, to the file or folder named behind the bench")
	remove := fs.String("remove", "", "`attachment` to remove, and from all that names it; its file stays on the bench")
	if err := c.parse(1, -1); err != nil {
		return err
	}
	said := c.said()
	files := c.args[1:]
	one := 0
	for _, name := range []string{"set", "save", "remove"} {
		if said[name] {
			one++
		}
	}
	if one > 1 || (said["save"] && len(files) != 1) || ((said["set"] || said["remove"]) && len(files) > 0) {
		return &usageError{"usage: wornwood attach " + c.verb.args}
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		describe := func(a *record.Attachment) {
			for name, p := range map[string]struct{ from, to *string }{"kind": {kind, &a.Kind}, "about": {about, &a.About}, "date": {date, &a.Date}} {
				if said[name] {
					*p.to = *p.from
				}
			}
		}
		switch {
		case said["save"]:
			return c.saveAttachment(ctx, b, s, *save, files[0])
		case said["set"]:
			a, err := findAttachment(s, *set)
			if err != nil {
				return err
			}
			return s.SetAttachment(a.ID, "Words", describe)
		case said["remove"]:
			a, err := findAttachment(s, *remove)
			if err != nil {
				return err
			}
			return s.RemoveAttachment(a.ID)
		case len(files) == 0:
			return c.listAttachments(s, *asJSON)
		}
		return c.attach(ctx, b, s, files, *kind, describe, *asJSON)
	})
}

// attach stores files and lists them in one step of undo.
func (c *call) attach(ctx context.Context, b *bench.Bench, s *annotate.Session, files []string, kind string, describe func(*record.Attachment), asJSON bool) error {
	if is := s.Scene().Issued; is != nil {
		return fmt.Errorf("attach: %w", bench.ErrIssued)
	}
	progress := c.progress("attach")
	st, err := view.StoreFiles(ctx, b, files, kind, func(done, total int, what string) {
		if total > 0 { // in MiB: small files are there before a line is read
			progress(done, total, what)
		}
	})
	if err != nil {
		return err
	}
	for i := range st.Files {
		describe(&st.Files[i])
	}
	added, err := s.AddAttachments(st.Files...)
	if err != nil {
		return err
	}
	for _, r := range st.Refused {
		c.say("refused: %s", onOneLine(r.Why))
	}
	for _, r := range st.Remarks {
		c.say("note: %s", onOneLine(r))
	}
	if asJSON {
		if err := c.printJSON(map[string]any{"added": added, "files": st.Files, "refused": st.Refused}); err != nil {
			return err
		}
	} else {
		for _, a := range st.Files {
			c.print("%s  %s\n", a.ID, onOneLine(a.Name))
		}
	}
	if len(st.Refused) > 0 {
		return errAnswerNo
	}
	return nil
}

func (c *call) saveAttachment(ctx context.Context, b *bench.Bench, s *annotate.Session, name, to string) error {
	a, err := findAttachment(s, name)
	if err != nil {
		return err
	}
	path, err := b.SaveAttachment(ctx, *a, to)
	if err == nil {
		c.print("%s\n", path)
	}
	return err
}

// findAttachment is the attachment with a file name or the beginning of an ID, at
// least six digits.
func findAttachment(s *annotate.Session, word string) (*record.Attachment, error) {
	var found []*record.Attachment
	rec := s.Scene().Record
	for i := range rec.Attachments {
		if a := &rec.Attachments[i]; a.Name == word || (len(word) >= 6 && strings.HasPrefix(a.ID, word)) {
			found = append(found, a)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return nil, fmt.Errorf("find attachment: the examination has none named %q, and none whose ID begins so; 'wornwood attach BENCH' lists them", word)
	}
	return nil, fmt.Errorf("find attachment: %d are named %q; give the beginning of the ID", len(found), word)
}

func (c *call) listAttachments(s *annotate.Session, asJSON bool) error {
	rec := s.Scene().Record
	if asJSON {
		list := rec.Attachments
		if list == nil {
			list = []record.Attachment{}
		}
		return c.printJSON(list)
	}
	for i, a := range rec.Attachments {
		line := fmt.Sprintf("%d  %s  %-8s  %s, %s", i+1, a.ID[:min(12, len(a.ID))], a.Kind, a.Name, view.SizeWords(a.Size))
		for _, w := range []string{a.About, a.Date} {
			if w != "" {
				line += "; " + w
			}
		}
		if tied := annotate.TiedTo(rec, a.ID); len(tied) > 0 {
			line += "; tied to " + strings.Join(tied, ", ")
		}
		c.print("%s\n", onOneLine(line))
	}
	return nil
}
