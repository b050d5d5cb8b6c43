package pdfout

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// AboutName is the attached list of all other attached files.
const AboutName = "about.json"

// AboutSchema names the JSON shape of About.
const AboutSchema = "wornwood.about/1"

// About lists the files inside a report, so that a program that has saved them
// knows what each is and which edition of a schema describes it. The signature
// covers the list as it covers the files: it adds no protection, it names them.
//
// The pictures on the pages are not listed: they are made anew for the report,
// the signature covers them, and no other file holds the same bytes, so a
// digest of them would say nothing to anybody.
type About struct {
	Schema string      `json:"schema"`
	Files  []AboutFile `json:"files"` // in the order in which they are attached
}

// AboutFile is one file inside.
type AboutFile struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Size   int64  `json:"size"` // bytes
	// Schema is the name of the JSON schema of the file, and SchemaSHA256 the
	// digest of that schema's text as the issuing program printed it
	// ('wornwood grade --schema' for the record). The name changes when old
	// files could no longer be read by it; the digest also when a field is added.
	Schema       string `json:"schema,omitempty"`
	SchemaSHA256 string `json:"schemaSha256,omitempty"`
}

// aboutFiles lists what is attached; table is the rubric where it is attached.
func aboutFiles(rec, grd, table []byte, originals []AboutFile) *About {
	file := func(name string, data []byte, schema, schemaSum string) AboutFile {
		return AboutFile{Name: name, SHA256: hexSum(data), Size: int64(len(data)), Schema: schema, SchemaSHA256: schemaSum}
	}
	a := &About{Schema: AboutSchema, Files: []AboutFile{
		file(RecordName, rec, record.Schema, RecordSchemaHash()),
		file(GradeName, grd, grade.ResultSchemaName, hexSum(grade.ResultSchema())),
	}}
	if table != nil {
		a.Files = append(a.Files, file(RubricName, table, "", ""))
	}
	a.Files = append(a.Files, originals...)
	return a
}

// RecordSchemaHash is the SHA-256, hex, of this program's JSON schema of a record.
func RecordSchemaHash() string { return hexSum(grade.Schema()) }

func (in *Input) aboutOriginals() []AboutFile {
	if in.Originals == nil {
		return nil
	}
	var out []AboutFile
	for i := range in.Record.Photos {
		p := &in.Record.Photos[i]
		out = append(out, AboutFile{Name: OriginalName(i, p), SHA256: p.ID, Size: p.Size})
	}
	return out
}

// describeRecord is the description of the attached record for a person.
func describeRecord() string {
	return fmt.Sprintf("The record of the examination, schema %s, whose JSON schema has the sha-256 %s", record.Schema, RecordSchemaHash())
}
