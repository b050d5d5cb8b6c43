package pdfout

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/sign"
)

// files compares the list of the files inside with the files. Reports of
// earlier versions have no list, and nothing is said of that.
func (c *checker) files() {
	data := c.inside(AboutName)
	if data == nil {
		return
	}
	var about About
	if err := json.Unmarshal(data, &about); err != nil || about.Schema != AboutSchema {
		c.v.say(FilesOther, Bad, "The list of the files inside cannot be read.")
		return
	}
	listed := map[string]bool{AboutName: true}
	for _, f := range about.Files {
		a, ok := c.rep.Attachment(f.Name)
		switch {
		case !ok:
			c.v.say(FilesOther, Bad, fmt.Sprintf("The list of the files inside names %q, which is not inside.", f.Name))
			return
		case listed[f.Name] || f.Size != a.Size || !c.listedAs(f, a):
			c.v.say(FilesOther, Bad, fmt.Sprintf("The list of the files inside names another %q than the one inside.", f.Name))
			return
		}
		listed[f.Name] = true
		if f.Name == RecordName && f.SchemaSHA256 != RecordSchemaHash() {
			c.v.say(SchemaOther, Note, fmt.Sprintf("The record follows another edition of the schema %s (%.16s …) than this program's (%.16s …); fields that are new or gone are no fault.", f.Schema, f.SchemaSHA256, RecordSchemaHash()))
		}
	}
	for _, a := range c.rep.Attachments {
		if !listed[a.Name] {
			c.v.say(FilesOther, Bad, fmt.Sprintf("%q is inside, and the list of the files inside does not name it.", a.Name))
			return
		}
	}
	c.v.say(FilesFit, Good, fmt.Sprintf("The files inside are the %d that its list names.", len(about.Files)))
}

// listedAs compares digests. Originals are compared with the record instead,
// once; here it is enough that both name the same digest.
func (c *checker) listedAs(f AboutFile, a sign.Attachment) bool {
	if id, ok := c.named()[f.Name]; ok {
		return f.SHA256 == id
	}
	data, err := a.Bytes(maxInside)
	if err != nil || hexSum(data) != f.SHA256 {
		return false
	}
	switch f.Name {
	case RecordName:
		return f.Schema == record.Schema
	case GradeName:
		return f.Schema == grade.ResultSchemaName
	}
	return true
}

// named are the digests of the record's photos by the names of their originals.
func (c *checker) named() map[string]string {
	if c.photos == nil {
		c.photos = map[string]string{}
		for i := range c.v.Record.Photos {
			p := &c.v.Record.Photos[i]
			c.photos[OriginalName(i, p)] = p.ID
		}
	}
	return c.photos
}

// originals sees that each original inside is the photo that the record names.
func (c *checker) originals(rec *record.Record) {
	if len(rec.Photos) == 0 {
		return
	}
	in := &OriginalsInside{Photos: len(rec.Photos)}
	c.v.Originals = in
	var list []sign.Attachment
	for _, a := range c.rep.Attachments {
		if strings.HasPrefix(a.Name, OriginalsFolder) {
			list = append(list, a)
		}
	}
	if in.Inside = len(list); in.Inside == 0 {
		c.v.say(OriginalsNone, Note, "The original photos are not inside. The record names them by their digests; ask for the files to compare them.")
		return
	}
	sums, err := sumsOf(c.ctx, list)
	if err != nil {
		c.v.say(OriginalsOther, Bad, fmt.Sprintf("The original photos inside cannot be read: %v.", err))
		return
	}
	wrong := ""
	for i, a := range list {
		if sums[i] == c.named()[a.Name] {
			in.Fit++
		} else if wrong == "" {
			wrong = a.Name
		}
	}
	switch {
	case wrong != "":
		c.v.say(OriginalsOther, Bad, fmt.Sprintf("%d of the %s inside are not the photos that the record names, %q among them.", in.Inside-in.Fit, countOf(in.Inside, "original"), wrong))
	case in.Fit < in.Photos:
		c.v.say(OriginalsSome, Note, fmt.Sprintf("%s inside, each the photo that the record names; the originals of the other %d are not inside.", countOf(in.Fit, "original"), in.Photos-in.Fit))
	default:
		c.v.say(OriginalsFit, Good, fmt.Sprintf("All %s inside are the photos that the record names, byte for byte.", countOf(in.Fit, "original")))
	}
}

func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// sumsOf is the SHA-256 of each file, hex. They lie in the PDF and are read from
// there, several at once.
func sumsOf(ctx context.Context, list []sign.Attachment) ([]string, error) {
	sums, errs := make([]string, len(list)), make([]error, len(list))
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(runtime.GOMAXPROCS(0), len(list)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			buf := make([]byte, 256<<10)
			for i := range next {
				sums[i], errs[i] = sumOf(ctx, list[i].Open(), buf)
			}
		}()
	}
	for i := range list {
		next <- i
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return sums, nil
}

// sumOf reads in pieces so that a cancelled context is noticed.
func sumOf(ctx context.Context, r io.Reader, buf []byte) (string, error) {
	h := sha256.New()
	for {
		if err := ctx.Err(); err != nil {
			return "", err
		}
		n, err := r.Read(buf)
		h.Write(buf[:n])
		if err == io.EOF {
			return hex.EncodeToString(h.Sum(nil)), nil
		}
		if err != nil {
			return "", err
		}
	}
}
