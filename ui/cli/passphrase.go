package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
)

// secret holds the two ways of giving a passphrase without a keyboard. There is
// none that puts it on the command line, where every process can read it.
type secret struct {
	file *string
	fd   *int
}

func (c *call) secretFlags() secret {
	return secret{
		file: c.flags.String("passphrase-file", "", "read the key's passphrase from the first line of a `file`"),
		fd:   c.flags.Int("passphrase-fd", -1, "read the key's passphrase from an open file descriptor `number`"),
	}
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
		return firstLine(f)
	case *s.fd >= 0:
		f := os.NewFile(uintptr(*s.fd), "passphrase")
		if f == nil {
			return "", &usageError{"--passphrase-fd names no open file descriptor"}
		}
		defer f.Close()
		return firstLine(f)
	}
	in, ok := c.Stdin.(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		return "", &usageError{"the key needs its passphrase: type it at a terminal, or use --passphrase-file or --passphrase-fd"}
	}
	one, err := c.prompt(in, "passphrase of the signing key: ")
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

func firstLine(r io.Reader) (string, error) {
	line, err := bufio.NewReader(io.LimitReader(r, 4096)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", fmt.Errorf("read passphrase: %w", err)
	}
	line = strings.TrimRight(line, "\r\n")
	if line == "" {
		return "", errors.New("read passphrase: it is empty")
	}
	return line, nil
}
