package grade

import (
	"bytes"
	_ "embed"
)

//go:embed record.schema.json
var recordSchema []byte

//go:embed result.schema.json
var resultSchema []byte

// Schema is the JSON Schema (2020-12) of record.Record. It says what Record.Check
// and the lists of words say, but for one thing that a schema cannot: that mark
// numbers, parts and positions are given once only.
func Schema() []byte { return bytes.Clone(recordSchema) }

// ResultSchema is the JSON Schema (2020-12) of Result.
func ResultSchema() []byte { return bytes.Clone(resultSchema) }
