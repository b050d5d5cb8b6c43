package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"wornwood/capture/bench"
	"wornwood/pdfout/keyring"
)

// secret holds the two ways of giving a passphrase without a keyboard, and the
// words that ask for it at one. There is no way that puts it on the command
// line, where every process can read it.
type secret struct {
	file  *string
	fd    *int
	flag  string // the flags are this with -file and -fd behind it
	ask   string
	empty bool // it may be empty, as that of a key file from elsewhere
}

func (c *call) secretFlags() secret {
	return secret{
		file: c.flags.String("passphrase-file", "", "read the key's passphrase from the first line of a `file`"),
		fd:   c.flags.Int("passphrase-fd", -1, "read the key's passphrase from an open file descriptor `number`"),
		flag: "--passphrase", ask: "passphrase of the signing key: ",
	}
}

// given tells whether the passphrase is given without a keyboard.
func (s secret) given() bool { return *s.file != "" || *s.fd >= 0 }

// benchPassphrase gets the passphrase of a bench's key: from where the command
// line says, else from the key ring where it was remembered, else from the
// keyboard. A key ring that does not answer is said, and the keyboard asked.
func (c *call) benchPassphrase(ctx context.Context, b *bench.Bench, s secret, fresh bool) (pass string, ring bool, err error) {
	if !s.given() && !fresh && keyring.Remembered(b.ID()) {
		pass, err := keyring.Fetch(ctx, b.ID())
		if err == nil {
			return pass, true, nil
		}
		if ctx.Err() != nil {
			return "", false, ctx.Err()
		}
		c.say("%v", err)
	}
	pass, err = c.passphrase(s, fresh)
	return pass, false, err
}

// passphrase gets the passphrase; twice from the keyboard when a new key is to
// be made. It is never printed, logged or put into an error.
func (c *call) passphrase(s secret, fresh bool) (string, error) {
	switch {
	case *s.file != "":
		f, err := os.Open(*s.file)
		if err != nil {
			return "", fmt.Errorf("read passphrase: %w", err)
		}
		defer f.Close()
		return s.firstLine(f)
	case *s.fd >= 0:
		f := os.NewFile(uintptr(*s.fd), "passphrase")
		if f == nil {
			return "", &usageError{"there is no open file descriptor of that number to read the passphrase from"}
		}
		defer f.Close()
		return s.firstLine(f)
	}
	in, ok := c.Stdin.(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		return "", &usageError{fmt.Sprintf("the key needs its passphrase: type it at a terminal, or use %[1]s-file or %[1]s-fd", s.flag)}
	}
	one, err := c.prompt(in, s.ask)
	if err != nil || !fresh {
		return one, err
	}
	two, err := c.prompt(in, "once more: ")
	if err != nil {
		return "", err
	}
	if one != two {
		return "", errors.New("the two passphrases differ; nothing was made")
	}
	return one, nil
}

func (c *call) prompt(in *os.File, text string) (string, error) {
	fmt.Fprint(c.Stderr, text)
	b, err := term.ReadPassword(int(in.Fd()))
	fmt.Fprintln(c.Stderr)
	if err != nil {
		return "", fmt.Errorf("read passphrase: %w", err)
	}
	return string(b), nil
}

func (s secret) firstLine(r io.Reader) (string, error) {
	line, err := bufio.NewReader(io.LimitReader(r, 4096)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", fmt.Errorf("read passphrase: %w", err)
	}
	line = strings.TrimRight(line, "\r\n")
	if line == "" && !s.empty {
		return "", errors.New("read passphrase: it is empty")
	}
	return line, nil
}
