package export

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"time"

	"github.com/parquet-go/parquet-go"

	"soletrial/pipeline/flat"
)

// creator is what the files say they were made by. It names the layout of the columns, not
// the program's version, so that a new version writes the same bytes.
const creator, layout, content = "soletrial-export", "1", "samples"

// createdBy is how that reads in the file.
const createdBy = creator + " version " + layout + "(build " + content + ")"

// Limits of what is held in memory: rows at a time, and rows of a row group.
const rowsAtATime, rowsOfGroup = 256, 1 << 17

// parquetTable writes rows into a Parquet file.
type parquetTable struct {
	file    *os.File
	writer  *parquet.Writer
	columns []flat.Column
	rows    []parquet.Row
	digest  digest
}

// group is a group of columns in the order given; the library's own sorts them by name.
type group struct {
	parquet.Group
	fields []parquet.Field
}

func (g group) Fields() []parquet.Field { return g.fields }

// schemaOf is the schema of a table of columns, none of which must be known.
func schemaOf(columns []flat.Column) *parquet.Schema {
	g := group{Group: parquet.Group{}}
	for _, c := range columns {
		g.Group[c.Name] = parquet.Optional(parquet.Compressed(leaf(&c), &parquet.Zstd))
	}
	byName := map[string]parquet.Field{}
	for _, f := range g.Group.Fields() {
		byName[f.Name()] = f
	}
	for _, c := range columns {
		g.fields = append(g.fields, byName[c.Name])
	}
	return parquet.NewSchema(content, g)
}

// leaf is the column's type. Values stand as they are, for compression to find what repeats:
// the library numbers the entries of a dictionary in an order of its own on each processor.
func leaf(c *flat.Column) parquet.Node {
	switch c.Type {
	case "number":
		return parquet.Encoded(parquet.Leaf(parquet.DoubleType), &parquet.Plain)
	case "boolean":
		return parquet.Leaf(parquet.BooleanType)
	case "date":
		return parquet.Encoded(parquet.Date(), &parquet.Plain)
	}
	return parquet.Encoded(parquet.String(), &parquet.Plain)
}

// createParquet makes a file with the columns and no rows yet.
func createParquet(path string, columns []flat.Column) (*parquetTable, error) {
	file, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	writer := parquet.NewWriter(file, schemaOf(columns), parquet.CreatedBy(creator, layout, content),
		parquet.DataPageVersion(1), parquet.MaxRowsPerRowGroup(rowsOfGroup))
	return &parquetTable{file: file, writer: writer, columns: columns, digest: newDigest()}, nil
}

func (t *parquetTable) add(r *flat.Row) error {
	row := make(parquet.Row, len(t.columns))
	for i := range t.columns {
		value, err := parquetValue(&t.columns[i], r)
		if err != nil {
			return err
		}
		row[i] = value.Level(0, definition(value), i)
	}
	t.digest.add(row)
	t.rows = append(t.rows, row)
	if len(t.rows) < rowsAtATime {
		return nil
	}
	return t.flush()
}

// definition is the level of a value in a column that may be null.
func definition(v parquet.Value) int {
	if v.IsNull() {
		return 0
	}
	return 1
}

func parquetValue(c *flat.Column, r *flat.Row) (parquet.Value, error) {
	v := c.Value(r)
	switch {
	case !v.Known:
		return parquet.NullValue(), nil
	case c.Type == "number":
		return parquet.DoubleValue(v.Number), nil
	case c.Type == "boolean":
		return parquet.BooleanValue(v.Yes), nil
	case c.Type == "date":
		day, err := time.Parse(time.DateOnly, v.Text)
		return parquet.Int32Value(int32(day.Unix() / (24 * 60 * 60))), err
	}
	return parquet.ByteArrayValue([]byte(v.Text)), nil
}

func (t *parquetTable) flush() error {
	_, err := t.writer.WriteRows(t.rows)
	t.rows = t.rows[:0]
	return err
}

// close writes what is left, and reads all of it back.
func (t *parquetTable) close() error {
	path := t.file.Name()
	err := errors.Join(t.flush(), t.writer.Close(), t.file.Close())
	if err != nil {
		return err
	}
	return t.readBack(path)
}

// readBack reads a written file as a program of others would, and compares every value.
func (t *parquetTable) readBack(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	reader := parquet.NewReader(file)
	defer reader.Close()
	read, rows := newDigest(), make([]parquet.Row, rowsAtATime)
	for {
		n, err := reader.ReadRows(rows)
		for _, row := range rows[:n] {
			read.add(row)
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("reading it back: %w", err)
		}
	}
	return t.digest.same(&read)
}

// digest is what rows come to, to compare what was read with what was written.
type digest struct {
	rows int
	sum  hash.Hash
	buf  []byte
}

func newDigest() digest { return digest{sum: sha256.New()} }

func (d *digest) add(row parquet.Row) {
	d.rows++
	for _, v := range row {
		d.buf = binary.LittleEndian.AppendUint32(d.buf[:0], uint32(v.Column()))
		d.buf = append(d.buf, byte(definition(v)))
		if !v.IsNull() {
			d.buf = v.AppendBytes(append(d.buf, byte(v.Kind())))
		}
		d.sum.Write(d.buf)
		d.sum.Write([]byte{0xff})
	}
}

// same returns an error where what was read differs from what was written.
func (d *digest) same(read *digest) error {
	switch {
	case d.rows != read.rows:
		return fmt.Errorf("%d rows were written, %d are read back", d.rows, read.rows)
	case string(d.sum.Sum(nil)) != string(read.sum.Sum(nil)):
		return errors.New("what is read back is not what was written")
	}
	return nil
}
