package recording

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"time"

	"soletrial/pipeline/trial"
)

// Options say how a recording is to be read. The zero value is fine.
type Options struct {
	// Columns maps a channel column such as "power_w" (or "elapsed_s", the
	// time) to the heading that holds it. Only CSV files have headings.
	Columns map[string]string
	// Remembered is such a map from an earlier file of the same device. What
	// Columns says goes before it, a heading that the file lacks is passed over
	// with a warning, and files without headings leave it aside.
	Remembered map[string]string
	// Part chooses among several sessions in one FIT file, counting from 1.
	// 0 takes the running session with the most samples.
	Part int
	// Zone is the local time where the run took place, where that is known. Times
	// of a CSV file that state no zone are then read in it. It goes before what
	// the file says.
	Zone *time.Location
	// Form is set where columns are chosen in a form and not on a command line: no
	// message then names a flag.
	Form bool
}

// Source says where one column of the samples was read from.
type Source struct {
	Column     string // "power_w", or "elapsed_s" for the time
	From       string // such as `record field 7 (power)` or `column "pod_power"`
	Conversion string // such as "mm to cm"; "" when the numbers stand as read
	Values     int    // how many samples have a value
}

// Columns are the headings of a CSV file, and which of them holds what: a map such as
// [Options.Columns], of what was read, or of what the values suggest where the file could not
// be read for want of it.
type Columns struct {
	Headings []string
	Chosen   map[string]string
}

// Import is what was read from one file.
type Import struct {
	Format string    // "fit", "gpx" or "csv"
	Start  time.Time // UTC time at which elapsed reads 0; zero when the file does not tell
	// Local is, where Start is zero, what the file's own clock, of an unknown zone,
	// reads at 0 (in UTC only for want of a zone); zero when it has none.
	Local   time.Time
	Zone    *time.Location // local time of the run as an offset from UTC; nil when nobody told
	Columns *Columns       // nil of a file without headings
	Samples *trial.Samples // nil where a table has one row for each lap
	Laps    []trial.Lap
	// LapTable is, where a table has one row for each lap, one sample at the start of each
	// with its means, and one without values at the end of the last; nil otherwise.
	LapTable *trial.Samples
	Pauses   []trial.Pause // of FIT files, the only ones that tell
	Sources  []Source      // by column order, the time first
	Doubts   []string      // why this is probably no recording of a run, or not of its day
	Unread   float64       // share of a FIT file that damage kept from being read, 0 to 1
	Dropped  []string      // what was left behind and why
	Warnings []string      // what a person should know before trusting the rest

	device deviceKey
}

// MaxBytes is the largest file that is read. A day at 1 Hz is below 20 MB in
// any of the formats, so a larger file is something else.
const MaxBytes = 200 << 20

// MaxUnread is the share of a file that may be lost to damage before it is doubtful. An
// engineering choice.
const MaxUnread = 0.5

// Read reads the file called name, whose content is src. The format is found
// from the content (".FIT" at byte 8, an XML declaration or a gpx element) and
// only then from the name. Every error is an [*Error].
func Read(name string, src []byte, o Options) (*Import, error) {
	if len(src) > MaxBytes {
		return nil, tooLarge(name)
	}
	// Open an archive of one file.
	files, err := Unpack(name, src)
	if err != nil {
		return nil, err
	}
	if len(files) != 1 {
		names := make([]string, len(files))
		for i, f := range files {
			names[i] = f.Name
		}
		return nil,
			&Error{File: name, Message: "the archive has several files: " + quoted(names), Hint: "unpack it first"}
	}
	// Read it by its format, then make it what a session can hold.
	if err := checkColumnNames(name, o.Columns); err != nil {
		return nil, err
	}
	imp, err := readFormat(name, formatOf(files[0].Name, files[0].Content), files[0].Content, o)
	if err != nil {
		return nil, err
	}
	if err := imp.finish(name); err != nil {
		return nil, err
	}
	return imp, nil
}

// readFormat reads a file of a format that is known.
func readFormat(name, format string, src []byte, o Options) (*Import, error) {
	switch {
	case format == "":
		return nil, &Error{File: name, Message: "the file is empty", Hint: "export it again"}
	case format != "csv" && len(o.Columns) > 0:
		return nil, &Error{File: name, Message: "--map is for CSV files, and this is a " + strings.ToUpper(format) +
			" file, which has no headings", Hint: "leave out --map"}
	case format == "fit":
		return readFIT(name, src, o)
	case format == "gpx":
		return readGPX(name, src, o)
	default:
		return readCSV(name, src, o)
	}
}

// formatOf names the format of a file, "" for an empty one.
func formatOf(name string, src []byte) string {
	head := bytes.TrimLeft(bytes.TrimPrefix(src[:min(len(src), 1024)], []byte(utf8BOM)), " \t\r\n")
	switch extension := strings.ToLower(path.Ext(name)); {
	case len(src) >= 12 && string(src[8:12]) == fitMark:
		return "fit"
	case bytes.HasPrefix(head, []byte("<?xml")), bytes.HasPrefix(head, []byte("<gpx")):
		return "gpx"
	case len(head) == 0 && extension != ".fit":
		return ""
	case extension == ".fit":
		return "fit"
	case extension == ".gpx":
		return "gpx"
	default:
		return "csv"
	}
}

// Day is when the recording was made, as YYYY-MM-DD: in local time where that is known, else
// in UTC; "" where the file has no clock.
func (imp *Import) Day() string {
	at := imp.clock()
	if !imp.Start.IsZero() && imp.Zone != nil {
		at = at.In(imp.Zone)
	}
	if at.IsZero() {
		return ""
	}
	return at.Format("2006-01-02")
}

// drop adds a sentence to what was left behind.
func (imp *Import) drop(format string, args ...any) {
	imp.Dropped = append(imp.Dropped, fmt.Sprintf(format, args...))
}

// warn adds a sentence to what a person should know.
func (imp *Import) warn(format string, args ...any) {
	imp.Warnings = append(imp.Warnings, fmt.Sprintf(format, args...))
}

// setZone keeps the zone that a time of the file states. UTC says nothing: it is
// what most files are written in wherever the run took place.
func (imp *Import) setZone(stated time.Time) {
	if _, ahead := stated.Zone(); imp.Zone == nil && ahead != 0 {
		imp.Zone = time.FixedZone("", ahead)
	}
}
