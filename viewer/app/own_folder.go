package app

import (
	"errors"
	"strconv"
	"strings"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// FolderFile is one file of a session's folder.
type FolderFile struct {
	Name    string
	Content []byte
}

// ownRecordingFile names the reader's recording in the folder of its session.
const ownRecordingFile = "recording.csv"

// OwnFolder returns the reader's recording as the folder of a session, as a dataset has it,
// with the shoes that it names: session.yaml, blocks.csv, the samples, shoes.csv. The name is
// that of the session. It needs the day, and a sound table of blocks.
func (m *Model) OwnFolder() (name string, files []FolderFile, err error) {
	o := m.own
	if o == nil {
		return "", nil, errors.New("open a recording first")
	}
	if !isDay(o.Day) {
		return "", nil, errors.New("write the day of the run first, such as 2026-03-07")
	}
	session, err := o.session()
	if err != nil {
		return "", nil, err
	}

	// Shoes get an id from their name.
	var shoes []trial.Shoe
	ids := map[string]string{}
	for i := range session.Blocks {
		b := &session.Blocks[i]
		if ids[b.Shoe] == "" {
			ids[b.Shoe] = shoeID(b.Shoe, len(shoes)+1, ids)
			shoes = append(shoes, noShoe(ids[b.Shoe], b.Shoe))
		}
		b.Shoe = ids[b.Shoe]
	}
	target := strings.TrimSpace(o.Target)
	value, _ := trial.ParseTarget(o.Effort, target) // o.session has read it
	text := "date: " + o.Day + "\neffort: " + string(o.Effort) + "\ntarget: " + strconv.Quote(target) + "\n"
	files = []FolderFile{
		{"blocks.csv", plaintext.AppendBlocks(nil, o.Effort, value, session.Blocks)},
		{"shoes.csv", plaintext.AppendShoes(nil, shoes)},
	}
	if o.HasSamples() { // a table of laps has given its means to the blocks
		text += "recordings:\n  - {file: " + ownRecordingFile + ", device: recording}\n"
		files = append(files, FolderFile{ownRecordingFile, o.text})
	}
	return o.Day + "-" + string(o.Effort), append(files, FolderFile{"session.yaml", []byte(text)}), nil
}

// isDay reports whether a text has the form of a day, such as 2026-03-07.
func isDay(text string) bool {
	return len(text) == 10 && strings.Trim(text, "0123456789-") == "" && strings.Count(text, "-") == 2 &&
		text[4] == '-' && text[7] == '-'
}

// shoeID makes an id of a shoe's name: its small letters and digits, with dashes for all else;
// shoe-N where nothing of it is left or another shoe has it.
func shoeID(name string, n int, taken map[string]string) string {
	id := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
	id = strings.Trim(id, "-")
	for _, other := range taken {
		if other == id {
			id = ""
		}
	}
	if id == "" {
		return "shoe-" + strconv.Itoa(n)
	}
	return id
}

// noShoe is a shoe of which nothing is known but its name.
func noShoe(id, label string) trial.Shoe {
	m := units.Missing
	return trial.Shoe{ID: id, Label: label, MassG: m, SizeEU: m, HeelMm: m, ForefootMm: m, WornKm: m, ExpectedKm: m,
		Price: m}
}
