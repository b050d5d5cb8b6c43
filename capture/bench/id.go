package bench

import (
	"encoding/base32"
	"fmt"
	"io"
	"strings"
)

// idDigits is the alphabet of IDs, RFC 4648 base32 in lower case.
var idDigits = base32.NewEncoding("abcdefghijklmnopqrstuvwxyz234567").WithPadding(base32.NoPadding)

const idLen = 26 // digits of 128 bits

// newID makes an ID from 128 random bits.
func (b *Bench) newID() (string, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var raw [16]byte
	if _, err := io.ReadFull(b.random, raw[:]); err != nil {
		return "", fmt.Errorf("make an ID: %w", err)
	}
	return idDigits.EncodeToString(raw[:]), nil
}

// validID tells whether s is an ID; only then does it become a file's name.
func validID(s string) bool {
	return len(s) == idLen && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz234567") == ""
}
