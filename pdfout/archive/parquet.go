package archive

import (
	"fmt"
	"io"
	"time"

	"github.com/parquet-go/parquet-go"
)

// parquetRow is a Row in columns: the same names and values as in JSON Lines,
// with the filing as a time, the examination as a date, and what is missing as
// null. FORMAT.md lists them.
type parquetRow struct {
	Hash          string        `parquet:"sha256"`
	Seq           int64         `parquet:"seq,delta"`
	Filed         int64         `parquet:"filed,timestamp(millisecond:utc)"`
	Source        string        `parquet:"source"`
	Size          int64         `parquet:"size"`
	Number        string        `parquet:"number"`
	Maker         string        `parquet:"maker,dict"`
	Model         string        `parquet:"model,dict"`
	Edition       string        `parquet:"edition,dict"`
	Class         string        `parquet:"class,dict"`
	Year          string        `parquet:"year,dict"`
	YearFrom      *int32        `parquet:"yearFrom,optional"`
	YearTo        *int32        `parquet:"yearTo,optional"`
	Serial        string        `parquet:"serial"`
	Date          *int32        `parquet:"date,date,optional"`
	Purpose       string        `parquet:"purpose,dict"`
	Examiner      string        `parquet:"examiner,dict"`
	Shop          string        `parquet:"shop,dict"`
	Index         *float64      `parquet:"index,optional"`
	Condition     *int32        `parquet:"condition,optional"`
	Originality   *float64      `parquet:"originality,optional"`
	Photos        int32         `parquet:"photos"`
	Originals     int32         `parquet:"originals"`
	Kinds         []string      `parquet:"kinds,list"`
	Parts         []parquetPart `parquet:"parts,list"`
	Key           string        `parquet:"key,dict"`
	KeyName       string        `parquet:"keyName,dict"`
	Verdict       string        `parquet:"verdict,dict"`
	Countersigned bool          `parquet:"countersigned"`
	Stamped       bool          `parquet:"stamped"`
	First         string        `parquet:"first"`
	Linked        *string       `parquet:"linked,optional"`
	Instrument    *string       `parquet:"instrument,optional"`
}

type parquetPart struct {
	Part  string `parquet:"part,dict"`
	State string `parquet:"state,dict"`
}

func parquetOf(r Row) parquetRow {
	out := parquetRow{
		Hash: r.Hash, Seq: r.Seq, Filed: r.Filed.UnixMilli(), Source: r.Source, Size: r.Size, Number: r.Number, Maker: r.Maker, Model: r.Model, Edition: r.Edition, Class: r.Class, Year: r.Year,
		YearFrom: known(r.YearFrom), YearTo: known(r.YearTo), Serial: r.Serial, Purpose: r.Purpose, Examiner: r.Examiner, Shop: r.Shop, Index: r.Index, Condition: known(r.Condition), Originality: r.Originality,
		Photos: int32(r.Photos), Originals: int32(r.Originals), Kinds: r.Kinds, Key: r.Key, KeyName: r.KeyName, Verdict: r.Verdict, Countersigned: r.Countersigned, Stamped: r.Stamped, First: r.First,
	}
	if d, err := time.Parse(time.DateOnly, r.Date); err == nil {
		days := int32(d.Unix() / (24 * 60 * 60))
		if d.Unix()%(24*60*60) < 0 {
			days--
		}
		out.Date = &days
	}
	for _, p := range r.Parts {
		out.Parts = append(out.Parts, parquetPart(p))
	}
	for from, to := range map[*string]**string{&r.Linked: &out.Linked, &r.Instrument: &out.Instrument} {
		if *from != "" {
			*to = from
		}
	}
	return out
}

// known is a number of which 0 says that it is not known.
func known(n int) *int32 {
	if n == 0 {
		return nil
	}
	m := int32(n)
	return &m
}

// groupRows is how many rows are held in memory and written as one row group.
const groupRows = 10_000

type parquetExport struct {
	w   *parquet.GenericWriter[parquetRow]
	row [1]parquetRow
	n   int
}

// NewParquet writes rows as Parquet, a row group at a time.
func NewParquet(w io.Writer) Exporter {
	return &parquetExport{w: parquet.NewGenericWriter[parquetRow](w, parquet.Compression(&parquet.Zstd), parquet.CreatedBy("wornwood", "1", ""), parquet.PageBufferSize(64<<10))}
}

func (e *parquetExport) Write(r Row) error {
	e.row[0] = parquetOf(r)
	if _, err := e.w.Write(e.row[:]); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	if e.n++; e.n%groupRows == 0 {
		if err := e.w.Flush(); err != nil {
			return fmt.Errorf("export: %w", err)
		}
	}
	return nil
}

func (e *parquetExport) Close() error {
	if err := e.w.Close(); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return nil
}
