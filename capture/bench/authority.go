package bench

import (
	"errors"
	"net/url"
)

// maxAuthority bounds the address of an authority, in bytes.
const maxAuthority = 2048

// CheckAuthority says what is wrong with the web address of a time-stamp
// authority; "" is none and right. A name and password in it would be kept and
// shown as plain text, so they are refused; the error repeats nothing of it.
func CheckAuthority(address string) error {
	if address == "" {
		return nil
	}
	u, err := url.Parse(address)
	switch {
	case len(address) > maxAuthority || err != nil || (u.Scheme != "http" && u.Scheme != "https") || u.Host == "" || u.Fragment != "":
		return errors.New("the time-stamp authority's address is none of the web; it begins with http:// or https://")
	case u.User != nil:
		return errors.New("the time-stamp authority's address has a name or password in it, which would be kept as plain text; leave them out")
	}
	return nil
}
