package people

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// Argon2id with the second set of figures that RFC 9106, section 4, recommends:
// 3 passes over 64 MiB in 4 lanes, 128 bits of salt, 256 bits of tag.
const (
	passes  = 3
	memory  = 64 << 10 // KiB
	lanes   = 4
	saltLen = 16
	tagLen  = 32
)

// The bounds of a password, in letters and in bytes. Twelve is common practice
// for one that a person chooses; longer is better.
const (
	minLetters = 12
	maxBytes   = 512
)

// atOnce bounds the memory that checking passwords takes: 64 MiB each.
var atOnce = make(chan struct{}, 2)

// Hash is a password as it is kept, in the usual form
// $argon2id$v=19$m=65536,t=3,p=4$SALT$TAG.
func Hash(password string) (string, error) {
	password = norm.NFC.String(password)
	if len([]rune(password)) < minLetters {
		return "", fmt.Errorf("a password takes %d letters or more; a few words that do not belong together are easily kept in mind", minLetters)
	}
	if len(password) > maxBytes {
		return "", fmt.Errorf("the password is longer than %d bytes", maxBytes)
	}
	salt := make([]byte, saltLen)
	if _, err := rand.Read(salt); err != nil {
		return "", fmt.Errorf("make salt: %w", err)
	}
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, memory, passes, lanes,
		base64.RawStdEncoding.EncodeToString(salt), base64.RawStdEncoding.EncodeToString(tag(password, salt, passes, memory, lanes, tagLen))), nil
}

func tag(password string, salt []byte, t, m uint32, p uint8, n uint32) []byte {
	atOnce <- struct{}{}
	defer func() { <-atOnce }()
	return argon2.IDKey([]byte(password), salt, t, m, p, n)
}

// nobody is the hash that is compared where no such person is on the list, so
// that the answer takes as long.
var nobody = fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, memory, passes, lanes,
	base64.RawStdEncoding.EncodeToString(make([]byte, saltLen)), base64.RawStdEncoding.EncodeToString(make([]byte, tagLen)))

var errHash = errors.New("the password on the list is not of a form that this program knows; set it anew")

// Matches compares a password with a hash that Hash made.
func Matches(hash, password string) (bool, error) {
	if len(password) > maxBytes {
		password = "" // no hash is of it
	}
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false, errHash
	}
	var v, m, t uint32
	var p uint8
	if _, err := fmt.Sscanf(parts[2]+","+parts[3], "v=%d,m=%d,t=%d,p=%d", &v, &m, &t, &p); err != nil || v != argon2.Version {
		return false, errHash
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	want, err2 := base64.RawStdEncoding.DecodeString(parts[5])
	// Whoever writes the list could otherwise have the server spend any amount.
	if err != nil || err2 != nil || len(salt) < 8 || len(want) < 16 || len(want) > 64 || m < 8*uint32(p) || m > 1<<20 || t < 1 || t > 16 || p < 1 || p > 16 {
		return false, errHash
	}
	got := tag(norm.NFC.String(password), salt, t, m, p, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1, nil
}

// Login is the person of a name, if the password is theirs. It takes as long
// where there is nobody of the name.
func (l *List) Login(name, password string) (Person, bool, error) {
	p, is := l.Find(name)
	hash := p.Password
	if !is {
		hash = nobody
	}
	ok, err := Matches(hash, password)
	return p, ok && is, err
}
