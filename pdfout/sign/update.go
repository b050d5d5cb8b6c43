package sign

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"sort"
	"strings"

	"wornwood/pdfout/pdf"
)

// update is what is appended to a file: changed and new objects, a
// cross-reference table and a trailer.
type update struct {
	bytes []byte
	gap   pdf.Span // of the Contents string with its brackets, within bytes
}

// builder collects the objects of an update.
type builder struct {
	size    int64 // of the file before
	out     bytes.Buffer
	offsets map[int]int64
	next    int
}

func (b *builder) alloc() pdf.Ref {
	b.next++
	return pdf.Ref{Num: b.next - 1}
}

func (b *builder) put(ref pdf.Ref, o pdf.Object) error {
	b.offsets[ref.Num] = b.size + int64(b.out.Len())
	return pdf.WriteIndirect(&b.out, ref, o)
}

// prepare builds the update with everything but the signature itself.
func prepare(f *pdf.File, fld *field, id *Identity, opt SignOptions) (*update, error) {
	v, size := f.Last(), f.Size()
	b, err := newBuilder(f)
	if err != nil {
		return nil, err
	}
	look, err := appearance(fld, opt)
	if err != nil {
		return nil, err
	}
	lookRef, sigRef := b.alloc(), b.alloc()
	if err := b.put(lookRef, look); err != nil {
		return nil, err
	}
	widget := fld.dict.Clone()
	widget["AP"] = pdf.Dict{"N": lookRef}
	widget["V"] = sigRef
	if err := b.put(fld.ref, widget); err != nil {
		return nil, err
	}
	certify := opt.Field == FieldExaminer
	if certify {
		ref, cat, err := v.Catalog()
		if err != nil {
			return nil, err
		}
		cat = cat.Clone()
		cat["Perms"] = pdf.Dict{"DocMDP": sigRef}
		if err := b.put(ref, cat); err != nil {
			return nil, err
		}
	}
	u := &update{}
	rangeAt := b.putSignature(sigRef, signatureDict(id, opt, certify), u)
	b.putTable(v, opt)
	u.bytes = b.out.Bytes()
	u.setRange(rangeAt, size)
	return u, nil
}

// setRange fills in the byte range, whose place is at; size is that of the file
// before the update.
func (u *update) setRange(at int, size int64) {
	copy(u.bytes[at:], fmt.Sprintf("[0 %d %d %d]", size+u.gap.Start, size+u.gap.End, int64(len(u.bytes))-u.gap.End))
}

func appearance(fld *field, opt SignOptions) (*pdf.Stream, error) {
	w, h := fld.rect[2]-fld.rect[0], fld.rect[3]-fld.rect[1]
	if w <= 0 || h <= 0 {
		return nil, errors.New("the signature field has no size")
	}
	commands, err := drawLines(opt.Font, opt.Appearance, w, h)
	if err != nil {
		return nil, err
	}
	z, err := pdf.Deflate(commands)
	if err != nil {
		return nil, err
	}
	return pdf.NewStream(pdf.Dict{
		"Type": pdf.Name("XObject"), "Subtype": pdf.Name("Form"), "Resources": pdf.Dict{},
		"BBox": pdf.Array{int64(0), int64(0), pdf.Num(w), pdf.Num(h)}, "Filter": pdf.Name("FlateDecode"),
	}, z), nil
}

// signatureDict is the signature dictionary without ByteRange and Contents.
func signatureDict(id *Identity, opt SignOptions, certify bool) pdf.Dict {
	name := opt.Name
	if name == "" {
		name = id.Certificate.Subject.CommonName
	}
	d := pdf.Dict{
		"Type": pdf.Name("Sig"), "Filter": pdf.Name("Adobe.PPKLite"), "SubFilter": pdf.Name("ETSI.CAdES.detached"),
		"M": pdf.Date(opt.Now), "Name": pdf.Text(name),
	}
	if opt.Reason != "" {
		d["Reason"] = pdf.Text(opt.Reason)
	}
	if opt.Location != "" {
		d["Location"] = pdf.Text(opt.Location)
	}
	if certify {
		d["Reference"] = pdf.Array{pdf.Dict{
			"Type": pdf.Name("SigRef"), "TransformMethod": pdf.Name("DocMDP"),
			"TransformParams": pdf.Dict{"Type": pdf.Name("TransformParams"), "P": int64(2), "V": pdf.Name("1.2")},
		}}
	}
	return d
}

// byteRangePlace has room for three numbers of twelve digits.
var byteRangePlace = "[0" + strings.Repeat(" ", 3*13) + "]"

// putSignature writes the dictionary with places for the byte range, whose
// position it returns, and for the signature.
func (b *builder) putSignature(ref pdf.Ref, d pdf.Dict, u *update) int {
	b.offsets[ref.Num] = b.size + int64(b.out.Len())
	body := pdf.AppendObject(nil, d)
	fmt.Fprintf(&b.out, "%d %d obj\n", ref.Num, ref.Gen)
	b.out.Write(body[:len(body)-2]) // without >>
	b.out.WriteString("\n/ByteRange ")
	rangeAt := b.out.Len()
	// The closing bracket comes with the numbers; blanks fill the rest.
	b.out.WriteString(strings.Repeat(" ", len(byteRangePlace)))
	b.out.WriteString("\n/Contents ")
	u.gap.Start = int64(b.out.Len())
	b.out.WriteByte('<')
	b.out.Write(bytes.Repeat([]byte{'0'}, 2*reserved))
	b.out.WriteByte('>')
	u.gap.End = int64(b.out.Len())
	b.out.WriteString("\n>>\nendobj\n")
	return rangeAt
}

// putTable writes the cross-reference table and the trailer.
func (b *builder) putTable(v pdf.View, opt SignOptions) {
	at := b.size + int64(b.out.Len())
	nums := make([]int, 0, len(b.offsets))
	for n := range b.offsets {
		nums = append(nums, n)
	}
	sort.Ints(nums)
	b.out.WriteString("xref\n")
	for i := 0; i < len(nums); {
		j := i
		for j < len(nums) && nums[j] == nums[i]+j-i {
			j++
		}
		fmt.Fprintf(&b.out, "%d %d\n", nums[i], j-i)
		for ; i < j; i++ {
			fmt.Fprintf(&b.out, "%010d 00000 n \n", b.offsets[nums[i]])
		}
	}
	old := v.Trailer()
	trailer := pdf.Dict{"Size": int64(b.next), "Prev": v.Revision().XRef, "Root": old["Root"]}
	if old["Info"] != nil {
		trailer["Info"] = old["Info"]
	}
	if ids, ok := old["ID"].(pdf.Array); ok && len(ids) == 2 {
		// The second part tells this state of the file from the one before.
		first, _ := ids[0].(pdf.String)
		sum := sha256.Sum256(fmt.Appendf(nil, "%s %d %s %s", string(first), b.size, opt.Field, pdf.Date(opt.Now)))
		trailer["ID"] = pdf.Array{ids[0], pdf.String(sum[:16])}
	}
	b.out.WriteString("trailer\n")
	b.out.Write(pdf.AppendObject(nil, trailer))
	fmt.Fprintf(&b.out, "\nstartxref\n%d\n%%%%EOF\n", at)
}
