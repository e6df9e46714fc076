package intake

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/units"
)

// source is one file of recordings as it was read.
type source struct {
	name   string // without its folder
	shoe   string // that the person said was worn in it, "" for none
	device string // that the person said it is of, "" for none
	sum    [sha256.Size]byte
	read   *recording.Import
}

// splitShoe parts FILE=SHOE. A file whose name holds an equals sign and exists is
// meant as it stands.
func splitShoe(argument string) (file, shoe string) {
	at := strings.LastIndexByte(argument, '=')
	if at <= 0 || dataset.Exists(argument) {
		return argument, ""
	}
	return argument[:at], argument[at+1:]
}

// readFiles reads every file, those in archives too.
func (in *Import) readFiles(arguments []string) ([]source, error) {
	var sources []source
	for i, argument := range arguments {
		file, shoe := splitShoe(argument)
		content, err := dataset.ReadOutside(file, recording.MaxBytes)
		if err != nil {
			return nil, err
		}
		packed, err := recording.Unpack(filepath.Base(file), content)
		if err != nil {
			return nil, readFailure(err)
		}
		// A folder of the track page says itself which file is from which device.
		var devices []string
		if isSessionFolder(packed) {
			if len(arguments) > 1 {
				return nil, voice.Usage("import it alone", "%q is a session folder, and other files are "+
					"named", file)
			}
			if packed, devices, err = in.takeFolder(filepath.Base(file), packed); err != nil {
				return nil, err
			}
		}
		for k, p := range packed {
			s := source{name: p.Name, shoe: shoe, sum: sha256.Sum256(p.Content)}
			switch {
			case len(in.options.Devices) > 0:
				s.device = in.options.Devices[i]
			case devices != nil:
				s.device = devices[k]
			}
			if s.read, err = recording.Read(p.Name, p.Content, in.readOptions(in.options.device(i))); err != nil {
				return nil, readFailure(err)
			}
			if err := in.checkDoubts(p.Name, s.read); err != nil {
				return nil, err
			}
			sources = append(sources, s)
		}
	}
	return sources, in.checkDays(sources)
}

func (in *Import) readOptions(device string) recording.Options {
	return recording.Options{
		Columns: in.options.Columns, Remembered: in.columnsOf(device), Part: in.options.Part, Zone: in.givenZone,
	}
}

// piece is what one device recorded: its files in the order of time, and the
// recording that they make together.
type piece struct {
	device string
	files  []source
	read   *recording.Import
}

// byDevice makes one recording of the files of each device. Files with the name of
// a device belong together; without names those that the same device may have made
// one after the other.
func (in *Import) byDevice(sources []source) ([]piece, error) {
	reads := make([]*recording.Import, len(sources))
	for i, s := range sources {
		reads[i] = s.read
	}
	groups := recording.Groups(reads, false)
	if len(in.options.Devices) > 0 || in.given != nil {
		groups = namedGroups(sources)
	}
	pieces := make([]piece, len(groups))
	for k, group := range groups {
		p := piece{device: defaultDevice(k)}
		var parts []*recording.Import
		for _, i := range group {
			p.files, parts = append(p.files, sources[i]), append(parts, sources[i].read)
		}
		if p.files[0].device != "" {
			p.device = p.files[0].device
		}
		// Files of one device are joined only where their clocks put them one after the other.
		if together := recording.Groups(parts, true); len(together) > 1 {
			a, b := p.files[together[0][0]].name, p.files[together[1][0]].name
			return nil, voice.Usage("name the devices differently with --device",
				"%q and %q are both from device %q, but they overlap or have no clock", a, b, p.device)
		} else if len(parts) > 1 {
			if err := in.checkApart(p.files); err != nil {
				return nil, err
			}
			p.inTimeOrder(together[0])
		}
		p.join()
		pieces[k] = p
	}
	return pieces, nil
}

// namedGroups are the files of each named device.
func namedGroups(sources []source) [][]int {
	var groups [][]int
	for i, s := range sources {
		at := slices.IndexFunc(groups, func(g []int) bool { return sources[g[0]].device == s.device })
		if at < 0 {
			groups = append(groups, []int{i})
		} else {
			groups[at] = append(groups[at], i)
		}
	}
	return groups
}

func (p *piece) inTimeOrder(order []int) {
	files := make([]source, len(order))
	for i, from := range order {
		files[i] = p.files[from]
	}
	p.files = files
}

func (p *piece) join() {
	parts := make([]*recording.Import, len(p.files))
	for i, f := range p.files {
		parts[i] = f.read
	}
	p.read = recording.Join(parts)
}

// sha256 identifies what a recording was made of: the digest of its file, or of the
// digests of its files in the order of time.
func (p *piece) sha256() string {
	if len(p.files) == 1 {
		return hex.EncodeToString(p.files[0].sum[:])
	}
	all := sha256.New()
	for _, f := range p.files {
		all.Write(f.sum[:])
	}
	return hex.EncodeToString(all.Sum(nil))
}

// names are the files of the recording, in words.
func (p *piece) names() string {
	list := make([]string, len(p.files))
	for i, f := range p.files {
		list[i] = fmt.Sprintf("%q", f.name)
	}
	if len(list) > 4 {
		return fmt.Sprintf("%s, %s and %s", list[0], list[1], units.Count(len(list)-2, "more file"))
	}
	return english.List(list, "and")
}

// span is when the file lasts on the session's clock, given the recording that it is
// a part of and that recording's offset.
func (s *source) span(whole *recording.Import, offset float64) (from, to float64) {
	if !s.read.Start.IsZero() {
		offset += s.read.Start.Sub(whole.Start).Seconds()
	} else if !s.read.Local.IsZero() {
		offset += s.read.Local.Sub(whole.Local).Seconds()
	}
	t := s.read.Samples.Elapsed
	return slices.Min(t) + offset, slices.Max(t) + offset
}
