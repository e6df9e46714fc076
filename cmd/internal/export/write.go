package export

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/flat"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

// listFile names the files of an export with their hashes, in the format of sha256sum. Query
// engines pass over names that begin with an underscore.
const listFile = "_files.sha256"

// writePartitions writes every recording as a Parquet file of its own into folders that name
// what it is of. Datasets are read several at a time.
func writePartitions(console *voice.Console, sources []source, out string) (summary, error) {
	product := dataset.Product{Out: out, What: "the earlier export", Maker: "export", Mark: listFile}
	if err := product.Restore(); err != nil {
		return summary{}, err
	}
	all := summary{Path: out}
	return all, product.Replace(folders(sources), func(fresh string) error {
		workers := runtime.GOMAXPROCS(0)
		bar := console.NewProgress(len(sources))
		read := parallel.Map(workers, len(sources), func(i int) outcome {
			defer bar.Step()
			return sources[i].partition(fresh, max(1, workers/len(sources)))
		})
		bar.Clear()
		if err := together(read, &all); err != nil {
			return err
		}
		slices.Sort(all.Files)
		return writeList(fresh, all.Files)
	})
}

// outcome is what came of one dataset.
type outcome struct {
	summary
	problems []trial.Problem
	err      error
}

// together adds up what came of all datasets. Their problems come in one run.
func together(read []outcome, all *summary) error {
	var problems []trial.Problem
	for _, r := range read {
		problems = append(problems, r.problems...)
	}
	if len(problems) > 0 {
		return voice.Unreadable(problems)
	}
	for _, r := range read {
		if r.err != nil {
			return r.err
		}
		all.add(r.summary)
	}
	return all.nothing()
}

// partition writes the recordings of one dataset below a folder.
func (s source) partition(fresh string, workers int) (o outcome) {
	columns, used := flat.Columns()[flat.Partitions:], map[string]int{}
	var files []string
	rows := 0
	o.summary, o.problems, o.err = s.eachRecording(workers, func(r *flat.Recording) error {
		folder := partitionPath(r)
		used[folder]++
		file := path.Join(folder, fmt.Sprintf("samples-%d.parquet", used[folder]))
		n, err := writeRecording(filepath.Join(fresh, filepath.FromSlash(file)), columns, r)
		if err != nil {
			return voice.Usage("nothing was written", "cannot write %q: %v", file, voice.Reason(err))
		}
		files, rows = append(files, file), rows+n
		return nil
	})
	if o.Rows = rows; o.err == nil {
		o.Files = files
	}
	return o
}

func writeRecording(to string, columns []flat.Column, r *flat.Recording) (rows int, err error) {
	if err := makeFolder(filepath.Dir(to)); err != nil {
		return 0, err
	}
	table, err := createParquet(to, columns)
	if err != nil {
		return 0, err
	}
	defer table.file.Close()
	for row := range r.Rows() {
		rows++
		if err := table.add(row); err != nil {
			return 0, err
		}
	}
	return rows, table.close()
}

// partitionPath is the folder of a recording: names and values of what is the same in all its
// rows, as Hive writes partitions.
func partitionPath(r *flat.Recording) string {
	return path.Join("dataset="+partitionValue(r.Dataset), "runner="+partitionValue(r.Session.Facts.Runner),
		"session="+partitionValue(r.Session.ID), "device="+partitionValue(r.Fact.Device))
}

// partitionValue escapes what Hive escapes in a partition's name (FileUtils.escapePathName of
// Apache Hive: control characters and "#%'*/:=?\{[]^), and blanks too; nothing is Hive's
// default partition, which is read as null.
func partitionValue(value string) string {
	if value == "" {
		return "__HIVE_DEFAULT_PARTITION__"
	}
	var b strings.Builder
	for _, c := range []byte(value) {
		if c <= ' ' || c == 0x7f || strings.IndexByte("\"#%'*/:=?\\{[]^<>|", c) >= 0 {
			fmt.Fprintf(&b, "%%%02X", c)
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}

// writeList writes the list of the files below a folder.
func writeList(folder string, files []string) error {
	var list bytes.Buffer
	for _, file := range files {
		text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(file)))
		if err != nil {
			return voice.Usage("nothing was written", "cannot read back %q: %v", file, voice.Reason(err))
		}
		list.WriteString(checksum.SHA256(text) + "  " + file + "\n")
	}
	if err := os.WriteFile(filepath.Join(folder, listFile), list.Bytes(), 0o644); err != nil {
		return voice.Usage("nothing was written", "cannot write %q: %v", listFile, voice.Reason(err))
	}
	return nil
}

// table is a file that rows are added to; closing it reads it back.
type table interface {
	add(*flat.Row) error
	close() error
}

// writeTable writes the samples of all datasets, in the order given, into one file.
func writeTable(console *voice.Console, sources []source, out string) (summary, error) {
	kind := strings.ToLower(filepath.Ext(out))
	if kind != ".csv" && kind != ".parquet" {
		return summary{}, voice.Usage("end its name in .csv or .parquet", "--samples: %q says no kind of file", out)
	}
	all := summary{Path: out}
	return all, dataset.ReplaceFile(out, earlierTable, func(path string) error {
		failed := func(err error) error {
			return voice.Usage("nothing was written", "cannot write %q: %v", out, voice.Reason(err))
		}
		t, err := createTable(path, kind)
		if err != nil {
			return failed(err)
		}
		// Dataset by dataset; after a problem they are only read, to report all problems at once.
		bar := console.NewProgress(len(sources))
		var read []outcome
		for _, s := range sources {
			read = append(read, s.append(t, failed))
			bar.Step()
		}
		bar.Clear()
		err, unclosed := together(read, &all), t.close()
		if err == nil && unclosed != nil {
			err = failed(unclosed)
		}
		return err
	})
}

func createTable(path, kind string) (table, error) {
	if kind == ".csv" {
		return createCSV(path, flat.Columns())
	}
	return createParquet(path, flat.Columns())
}

// append adds the samples of one dataset to a table.
func (s source) append(t table, failed func(error) error) (o outcome) {
	rows := 0
	o.summary, o.problems, o.err = s.eachRecording(runtime.GOMAXPROCS(0), func(r *flat.Recording) error {
		for row := range r.Rows() {
			rows++
			if err := t.add(row); err != nil {
				return failed(err)
			}
		}
		return nil
	})
	o.Rows = cmp.Or(rows, o.Rows)
	return o
}
