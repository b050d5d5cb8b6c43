package cli

import (
	"context"
	"fmt"
	"os"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

const peopleUsage = "usage: wornwood archive people DIR [add NAME --role ROLE | role NAME --role ROLE | password NAME | remove NAME] [options]"

// shownPerson is one person as JSON: without the password.
type shownPerson struct {
	Name    string      `json:"name"`
	Role    people.Role `json:"role"`
	Since   string      `json:"since"`
	Changed string      `json:"changed"`
}

func runArchivePeople(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print them as JSON")
	role := c.flags.String("role", "", "reader (finds and reads), filer (files as well) or keeper (sees who read what as well): a `role`")
	by := c.flags.String("by", "", "your `name`, for the log; your name on this computer otherwise")
	pass := secret{
		file: c.flags.String("password-file", "", "read the password from the first line of a `file`"),
		fd:   c.flags.Int("password-fd", -1, "read the password from an open file descriptor `number`"),
		flag: "--password", ask: "password: ",
	}
	if err := c.parse(1, 3); err != nil {
		return err
	}
	words := c.args[1:]
	if len(words) == 0 {
		list, err := people.Load(c.args[0])
		if err != nil {
			return err
		}
		return c.printPeople(list, *asJSON)
	}
	word := words[0]
	takesRole := word == "add" || word == "role"
	if len(words) != 2 || (!takesRole && word != "password" && word != "remove") {
		return &usageError{peopleUsage}
	}
	if takesRole != (*role != "") {
		return &usageError{"wornwood archive people: --role says what somebody may do; add and role take it, and need it"}
	}
	change := personChange{word: word, name: words[1], by: *by, pass: pass}
	if takesRole {
		var err error
		if change.role, err = people.ParseRole(*role); err != nil {
			return &usageError{"wornwood archive people: " + err.Error()}
		}
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		list, err := c.changePeople(a, change)
		if err != nil {
			return err
		}
		return c.printPeople(list, *asJSON)
	})
}

// personChange is what one call changes.
type personChange struct {
	word, name, by string
	role           people.Role
	pass           secret
}

// changePeople changes the list, and writes into the log who did so.
func (c *call) changePeople(a *archive.Archive, ch personChange) (*people.List, error) {
	list, err := people.Load(c.args[0])
	if err != nil {
		return nil, err
	}
	body := archive.PersonBody{Name: ch.name, Role: string(ch.role), Change: ch.word}
	if p, is := list.Find(ch.name); is {
		body.Name = p.Name
		if ch.word == "password" {
			body.Role = string(p.Role)
		}
	} else if ch.word != "add" {
		return nil, people.ErrNobody
	}
	var password string
	if ch.word == "add" || ch.word == "password" {
		if password, err = c.password(ch.pass); err != nil {
			return nil, err
		}
	}
	switch ch.word {
	case "add":
		body.Change, err = "added", list.Add(ch.name, ch.role, password, c.Now())
		if p, is := list.Find(ch.name); is {
			body.Name = p.Name
		}
	case "role":
		err = list.SetRole(ch.name, ch.role, c.Now())
	case "password":
		err = list.SetPassword(ch.name, password, c.Now())
	case "remove":
		body.Change, err = "removed", list.Remove(ch.name)
	}
	if err != nil {
		return nil, err
	}
	raw, err := pdfout.Canonical(body)
	if err != nil {
		return nil, err
	}
	by := ch.by
	if by == "" {
		by = people.LocalName()
	}
	// The log first: who is let in without a line there must not be.
	if err := a.Note(archive.Entry{Kind: archive.PersonSet, By: by, Body: raw}); err != nil {
		return nil, err
	}
	return list, list.Save()
}

// password reads a new password: as a passphrase, or from a pipe.
func (c *call) password(s secret) (string, error) {
	if _, is := c.Stdin.(*os.File); s.given() || (is && terminal(c.Stdin)) {
		return c.passphrase(s, true)
	}
	return s.firstLine(c.Stdin)
}

func (c *call) printPeople(l *people.List, asJSON bool) error {
	out := []shownPerson{}
	for _, p := range l.People() {
		out = append(out, shownPerson{p.Name, p.Role, p.Since.Format("2006-01-02"), p.Changed.Format("2006-01-02")})
	}
	if asJSON {
		return c.printJSON(out)
	}
	if len(out) == 0 {
		c.print("nobody is on the list: the archive is not served\n")
	}
	for _, p := range out {
		c.print("%s\n", onOneLine(fmt.Sprintf("%-7s %s, since %s", p.Role, p.Name, p.Since)))
	}
	return nil
}
