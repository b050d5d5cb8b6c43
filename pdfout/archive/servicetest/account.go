package servicetest

import (
	"errors"
	"os"
	"os/user"
	"strconv"
)

// account is who a server runs as; nil means whoever runs the test.
type account struct{ uid, gid uint32 }

// unprivileged is the account that PostgreSQL runs under, which refuses to run
// as root: nil for an ordinary user, else postgres, else nobody.
func unprivileged() (*account, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, err := strconv.ParseUint(u.Uid, 10, 32)
		if err != nil {
			return nil, err
		}
		gid, err := strconv.ParseUint(u.Gid, 10, 32)
		if err != nil {
			return nil, err
		}
		return &account{uint32(uid), uint32(gid)}, nil
	}
	return nil, errors.New("PostgreSQL does not run as root, and there is no user postgres or nobody to run it as")
}
