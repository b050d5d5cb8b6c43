package pdfout

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"regexp"
	"strings"

	"rsc.io/qr"

	"wornwood/pdfout/sign"
)

// A key card is what somebody is given to recognise signatures by: a name and
// the whole fingerprint, as three lines of text, also as a square code.

// cardHead is the first line of a key card.
const cardHead = "Wornwood key"

// KeyCard is the text of an identity's card: a first line that says what it is,
// the signer as reports print it, the fingerprint in groups of four.
func KeyCard(id *sign.Identity) string {
	return cardHead + "\n" + SignerOf(id).Name + "\n" + id.Fingerprint().Long()
}

// cardInOneLine is a card whose lines were joined. Without its first line it is
// not read like this: a name may end like a group of a fingerprint.
var cardInOneLine = regexp.MustCompile(`^` + cardHead + ` (.*) ((?:[0-9a-fA-F]{4} ){15}[0-9a-fA-F]{4})$`)

// maxPasted bounds the text in which a fingerprint is looked for, in bytes.
const maxPasted = 64 << 10

// ReadKeyCard finds fingerprint and name in what somebody pasted: a card's
// text, a fingerprint alone in any grouping, or a certificate in PEM. The name
// is "" where there is none.
func ReadKeyCard(text string) (sign.Fingerprint, string, error) {
	if len(text) > maxPasted {
		return "", "", errors.New("read key: the text is far too long for a fingerprint")
	}
	if strings.Contains(text, "-----BEGIN ") {
		id, err := sign.DecodePublic([]byte(text))
		if err != nil {
			return "", "", fmt.Errorf("read key: %w", err)
		}
		return id.Fingerprint(), SignerOf(id).Name, nil
	}
	if fp, err := sign.ParseFingerprint(text); err == nil {
		return fp, "", nil
	}
	// A field of one line turns a card's lines into one.
	if m := cardInOneLine.FindStringSubmatch(strings.Join(strings.Fields(text), " ")); m != nil {
		fp, err := sign.ParseFingerprint(m[2])
		return fp, oneLine(strings.TrimSpace(m[1])), err
	}
	name := ""
	for _, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if fp, err := sign.ParseFingerprint(line); err == nil {
			return fp, oneLine(name), nil
		}
		if line != "" && line != cardHead {
			name = line
		}
	}
	return "", "", errors.New("read key: there is no fingerprint in it; it has 64 digits from 0 to 9 and a to f, all of them are needed")
}

// codeScale is the size of a module of the square code, in pixels.
const codeScale = 8

func keyCode(id *sign.Identity) (*qr.Code, error) {
	code, err := qr.Encode(KeyCard(id), qr.M)
	if err != nil {
		return nil, fmt.Errorf("make square code: %w", err)
	}
	code.Scale = codeScale
	return code, nil
}

// KeyCode is the card as a square code (QR, ISO/IEC 18004), black on white with
// its quiet zone, eight pixels a module.
func KeyCode(id *sign.Identity) (image.Image, error) {
	code, err := keyCode(id)
	if err != nil {
		return nil, err
	}
	// The library's own image knows neither scale nor quiet zone.
	img, err := png.Decode(bytes.NewReader(code.PNG()))
	if err != nil {
		return nil, fmt.Errorf("make square code: %w", err)
	}
	return img, nil
}

// SaveKeyCode writes the square code as a PNG to a new file.
func SaveKeyCode(path string, id *sign.Identity) error {
	code, err := keyCode(id)
	if err != nil {
		return err
	}
	return saveNew(path, code.PNG())
}

// SavePublic writes the public half of an identity to a new file, see
// sign.EncodePublic. A file that is there is not overwritten: it may be
// another's key.
func SavePublic(path string, id *sign.Identity) error { return saveNew(path, sign.EncodePublic(id)) }

func saveNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("save %s: a file of that name is there already; give a new name", path)
	}
	if err != nil {
		return fmt.Errorf("save: %w", err)
	}
	_, err = io.Copy(f, bytes.NewReader(data))
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(fmt.Errorf("save %s: %w", path, err), os.Remove(path))
	}
	return nil
}
