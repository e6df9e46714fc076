package intake

import (
	"slices"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
)

// sessionFile is what an archive holds that is the folder of a session, as the explorer saves
// one, and not only recordings.
const sessionFile = "session.yaml"

func isSessionFolder(packed []recording.Packed) bool {
	return slices.ContainsFunc(packed, func(p recording.Packed) bool { return p.Name == sessionFile })
}

// takeFolder takes over the facts, the blocks and the shoes of a session's folder, and returns
// its recordings and their devices, in the order of session.yaml. The session must be new here.
func (in *Import) takeFolder(name string, packed []recording.Packed) (recordings []recording.Packed,
	devices []string, err error) {
	id := in.options.Session
	if in.folder.Dataset.Session(id) != nil {
		return nil, nil, voice.Usage("choose another name with -s",
			"%q is a session folder, and there is a session %q already", name, id)
	}

	// Read it as the only session of a dataset.
	files := map[string][]byte{"dataset.yaml": []byte("title: one session\n"), "runners.csv": []byte("id,label\n"),
		"shoes.csv": []byte("id,label\n")}
	for _, p := range packed {
		path := (&trial.Session{ID: id}).Folder() + "/" + p.Name
		if p.Name == "shoes.csv" {
			path = p.Name
		}
		files[path] = p.Content
	}
	folder, problems := plaintext.Read(dataset.Overlay(nil, files), yamltext.Read)
	if len(problems) > 0 {
		return nil, nil, &voice.Failure{Code: voice.ExitUsage, Message: "nothing was imported", Problems: problems,
			Hint: "the files are those in " + name}
	}
	session := folder.Dataset.Session(id)
	in.given, in.givenShoes = session.Blocks, folder.Dataset.Shoes
	facts := session.Facts
	facts.Recordings = nil // they are added as they are read
	in.Session.Facts = facts

	// Its recordings.
	for _, fact := range session.Facts.Recordings {
		at := slices.IndexFunc(packed, func(p recording.Packed) bool { return p.Name == fact.File })
		recordings, devices = append(recordings, packed[at]), append(devices, fact.Device)
	}
	return recordings, devices, nil
}

// shoesOfFolder are those of a session's folder that the register lacks.
func (in *Import) shoesOfFolder(register []trial.Shoe) (added []trial.Shoe) {
	for _, shoe := range in.givenShoes {
		if !slices.ContainsFunc(register, func(s trial.Shoe) bool { return s.ID == shoe.ID }) {
			added = append(added, shoe)
		}
	}
	return added
}
