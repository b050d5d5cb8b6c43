package cli

import (
	"context"
	"strings"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

var trustVerb = &verb{name: "trust", args: "[add FILE.pem (--signers|--stamps) | remove FINGERPRINT] [options]",
	short: "list the authorities that verify trusts for signers' certificates and time-stamps; add, remove", run: runTrust}

func runTrust(_ context.Context, c *call) error {
	signers := c.flags.Bool("signers", false, "trust it for certifying who signs")
	stamps := c.flags.Bool("stamps", false, "trust it for vouching for the time")
	asJSON := c.flags.Bool("json", false, "print JSON")
	folder := c.authoritiesFlag()
	if err := c.parse(0, 2); err != nil {
		return err
	}
	dir := *folder
	if dir == "" {
		var err error
		if dir, err = pdfout.AuthoritiesPath(); err != nil {
			return err
		}
	}
	do := strings.Join(c.args[:min(1, len(c.args))], "")
	switch {
	case do == "" && !*signers && !*stamps:
		list, err := pdfout.LoadAuthorities(dir)
		if err != nil {
			return err
		}
		return c.printAuthorities("", list, *asJSON)
	case do == "add" && len(c.args) == 2 && (*signers || *stamps):
		return c.addAuthority(dir, map[pdfout.Role]bool{pdfout.Signers: *signers, pdfout.Stamps: *stamps}, *asJSON)
	case do == "remove" && len(c.args) == 2 && !*signers && !*stamps:
		gone, err := pdfout.RemoveAuthority(dir, c.args[1])
		if err != nil {
			return err
		}
		return c.printAuthorities("no longer trusted: ", gone, *asJSON)
	}
	return &usageError{"usage: wornwood trust " + c.verb.args}
}

func (c *call) addAuthority(dir string, roles map[pdfout.Role]bool, asJSON bool) error {
	var all []pdfout.Authority
	for _, role := range pdfout.Roles() {
		if !roles[role] {
			continue
		}
		list, err := pdfout.AddAuthorities(dir, c.args[1], role)
		if err != nil {
			return err
		}
		all = append(all, list...)
	}
	return c.printAuthorities("trusted: ", all, asJSON)
}

func (c *call) printAuthorities(before string, list []pdfout.Authority, asJSON bool) error {
	if asJSON {
		return c.printJSON(append([]pdfout.Authority{}, list...))
	}
	if len(list) == 0 {
		c.print("no authority is trusted; a signer counts as known when its key is listed with 'wornwood know'\n")
	}
	for _, a := range list {
		until := "until " + a.Until.Format("2006-01-02")
		if c.Now().After(a.Until) {
			until = "expired on " + a.Until.Format("2006-01-02")
		}
		c.print("%s%-7s  %s, %s\n         %s\n", before, a.Role, a.Name, until, sign.Fingerprint(a.Fingerprint).Long())
	}
	return nil
}

// trust are the flags that say what is known and trusted.
type trust struct{ known, authorities *string }

func (c *call) trustFlags() trust {
	return trust{c.flags.String("known", "", "`file` with the list of known keys; the user's own otherwise"), c.authoritiesFlag()}
}

func (c *call) authoritiesFlag() *string {
	return c.flags.String("authorities", "", "`folder` with the trusted authorities' certificates; the user's own otherwise")
}

// options is what a report is judged by.
func (t trust) options(c *call) (pdfout.VerifyOptions, error) {
	return pdfout.Trusting(*t.known, *t.authorities, c.Now())
}
