package cli

import (
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/companions"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/picture"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// candidates gives what may stand in one place of a command line: each a word, or a word and
// what it means after a tab. The dataset is what could be read of it.
type candidates func(*cobra.Command, *trial.Dataset) []string

// completions say what a shell completes a flag with, by its name, or by command and name
// where commands differ. A flag that takes a list completes its last element; one whose
// candidates end in = goes on with a text of the person's own.
var completions = map[string]candidates{
	"session": sessionIDs, "shoe": shoeIDs, "shoes": shoeIDs, "pair": shoeIDs, "reference": shoeIDs,
	"runner": runnerIDs, "venue": venueIDs, "device": devices,
	"outcome": outcomeIDs, "effort": efforts, "target": targets,
	"weight": assigned(shoeIDs), "note": assigned(blockIDs), "exclude": assigned(blockIDs), "map": channelColumns,

	"race": raceNames, "from": distances, "forecast distance": distances,
	"surface": words("road", "track", "trail"), "log surface": words("dry", "damp", "wet", "soft", "hard"),
	"sky":    words("sun", "cloud", "rain"),
	"format": words("html", "markdown", "text"), "ground": words("light", "transparent"), "figure": figures,
	"size": sizes, "ci": words(companions.Hosts...),
	// What init names does not exist yet.
	"init shoe": nothing, "init runner": nothing, "init venue": nothing,
}

// arguments say what a command's arguments are completed with; nil where they are files or
// folders, which a shell knows best.
var arguments = map[string]candidates{"check": sessionIDs, "rename shoe": shoeIDs}

// addCompletions makes every command of the tree complete what is known: ids out of the
// dataset that is named or found, and the words that a flag takes.
func (a *app) addCompletions(c *cobra.Command) {
	for _, sub := range c.Commands() {
		a.addCompletions(sub)
	}
	path := strings.TrimPrefix(c.CommandPath(), "soletrial ")
	for key, source := range completions {
		owner, name := key[:max(0, strings.LastIndexByte(key, ' '))], key[strings.LastIndexByte(key, ' ')+1:]
		flag := c.Flags().Lookup(name)
		if _, hasOwn := completions[path+" "+name]; flag == nil || hasOwn != (owner == path) || !hasOwn && owner != "" {
			continue
		}
		isList := flag.Value.Type() == "stringSlice"
		err := c.RegisterFlagCompletionFunc(name, func(c *cobra.Command, args []string, typed string) ([]string,
			cobra.ShellCompDirective) {
			return complete(source(c, a.peek(c, args)), typed, isList)
		})
		if err != nil {
			panic(err) // the flag is there, and has no completion yet
		}
	}
	a.completeArguments(c, path)
}

// completeArguments completes what is no flag. A recording is a file, and after = its shoe.
func (a *app) completeArguments(c *cobra.Command, path string) {
	// Arguments that are ids of the dataset; then files, each in its own way.
	source, known := arguments[path]
	switch {
	case known:
		c.ValidArgsFunction = func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return complete(source(c, a.peek(c, args)), typed, false)
		}
	case path == "import" || path == "try":
		c.ValidArgsFunction = func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			file, _, named := strings.Cut(typed, "=")
			if !named {
				return nil, cobra.ShellCompDirectiveDefault
			}
			return prefixed(file+"=", shoeIDs(c, a.peek(c, args))), cobra.ShellCompDirectiveNoFileComp
		}
	case path == "pool" || path == "init":
		c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return nil, cobra.ShellCompDirectiveFilterDirs
		}
	case path == "log":
		c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"yaml"}, cobra.ShellCompDirectiveFilterFileExt
		}
	case c.ValidArgsFunction == nil && !c.HasSubCommands():
		c.ValidArgsFunction = cobra.NoFileCompletions
	}
}

// peek reads as much of the dataset as can be read, for [app.addCompletions]: an empty one
// where there is none. The datasets of pool are its arguments.
func (a *app) peek(c *cobra.Command, args []string) *trial.Dataset {
	if c.Name() == "pool" && len(args) > 0 {
		a.Dataset = args[0]
	}
	var fsys fs.FS
	fsys, err := a.openDataset()
	if err != nil {
		return &trial.Dataset{}
	}
	folder, _ := plaintext.Read(fsys, yamltext.Read) // what is wrong with it is for check to say
	if folder == nil {
		return &trial.Dataset{}
	}
	return &folder.Dataset
}

// complete returns the candidates for what was typed; of a list for what was typed after
// the last comma.
func complete(all []string, typed string, isList bool) ([]string, cobra.ShellCompDirective) {
	directive := cobra.ShellCompDirectiveNoFileComp
	if len(all) > 0 && strings.HasSuffix(word(all[0]), "=") {
		directive |= cobra.ShellCompDirectiveNoSpace
	}
	if !isList {
		return all, directive
	}
	before := typed[:strings.LastIndexByte(typed, ',')+1]
	return prefixed(before, all), directive | cobra.ShellCompDirectiveNoSpace
}

// word is a candidate without what it means.
func word(candidate string) string {
	w, _, _ := strings.Cut(candidate, "\t")
	return w
}

func prefixed(before string, all []string) (list []string) {
	for _, one := range all {
		list = append(list, before+one)
	}
	return list
}

// assigned are candidates that a value follows after =.
func assigned(source candidates) candidates {
	return func(c *cobra.Command, ds *trial.Dataset) (list []string) {
		for _, one := range source(c, ds) {
			list = append(list, word(one)+"="+strings.TrimPrefix(one, word(one)))
		}
		return list
	}
}

func words(list ...string) candidates {
	return func(*cobra.Command, *trial.Dataset) []string { return list }
}

func nothing(*cobra.Command, *trial.Dataset) []string { return nil }

func sessionIDs(_ *cobra.Command, ds *trial.Dataset) (list []string) {
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		list = append(list, strings.TrimRight(s.ID+"\t"+strings.TrimSpace(s.Facts.Effort+" "+s.Facts.Target), "\t"))
	}
	return list
}

func shoeIDs(_ *cobra.Command, ds *trial.Dataset) (list []string) {
	for _, s := range ds.Shoes {
		list = append(list, s.ID+"\t"+s.Label)
	}
	return list
}

func runnerIDs(_ *cobra.Command, ds *trial.Dataset) (list []string) {
	for _, r := range ds.Runners {
		list = append(list, r.ID+"\t"+r.Label)
	}
	return list
}

func venueIDs(_ *cobra.Command, ds *trial.Dataset) (list []string) {
	for _, v := range ds.Venues {
		list = append(list, v.ID+"\t"+v.Label)
	}
	return list
}

// blockIDs are the blocks of the session that the line names, of all sessions where it
// names none.
func blockIDs(c *cobra.Command, ds *trial.Dataset) (list []string) {
	named := c.Flag("session").Value.String()
	for i := range ds.Sessions {
		if s := &ds.Sessions[i]; named == "" || s.ID == named {
			for _, b := range s.Blocks {
				list = append(list, b.ID+"\t"+b.Shoe)
			}
		}
	}
	return distinct(list)
}

// devices are those that recorded the session that the line names, or any session.
func devices(c *cobra.Command, ds *trial.Dataset) (list []string) {
	named := c.Flag("session").Value.String()
	for all := range 2 { // a new session has none
		for i := range ds.Sessions {
			if s := &ds.Sessions[i]; all > 0 || s.ID == named {
				for _, r := range s.Facts.Recordings {
					list = append(list, r.Device)
				}
			}
		}
		if len(list) > 0 {
			break
		}
	}
	return distinct(list)
}

// targets are those that were held before, at the effort that the line names.
func targets(c *cobra.Command, ds *trial.Dataset) (list []string) {
	effort := ""
	if flag := c.Flag("effort"); flag != nil && flag.Changed {
		effort = flag.Value.String()
	}
	for i := range ds.Sessions {
		if f := &ds.Sessions[i].Facts; f.Target != "" && (effort == "" || f.Effort == effort) {
			list = append(list, f.Target+"\t"+f.Effort)
		}
	}
	return distinct(list)
}

func distinct(list []string) []string {
	list = slices.DeleteFunc(list, func(one string) bool { return word(one) == "" })
	slices.Sort(list)
	return slices.CompactFunc(list, func(a, b string) bool { return word(a) == word(b) })
}

func outcomeIDs(*cobra.Command, *trial.Dataset) (list []string) {
	for o := range trial.OutcomeCount {
		list = append(list, o.Info().ID)
	}
	return list
}

func efforts(*cobra.Command, *trial.Dataset) (list []string) {
	for _, e := range trial.Efforts {
		list = append(list, string(e))
	}
	return list
}

func channelColumns(*cobra.Command, *trial.Dataset) (list []string) {
	for c := range trial.ChannelCount {
		list = append(list, c.Info().Column+"=")
	}
	return list
}

func distances(*cobra.Command, *trial.Dataset) (list []string) {
	for _, d := range forecast.Distances {
		list = append(list, d.Name)
	}
	return list
}

func raceNames(c *cobra.Command, ds *trial.Dataset) []string {
	return assigned(distances)(c, ds)
}

func figures(*cobra.Command, *trial.Dataset) (list []string) {
	for _, f := range picture.Figures {
		list = append(list, f.Name)
	}
	return list
}

func sizes(*cobra.Command, *trial.Dataset) (list []string) {
	for _, s := range picture.Sizes {
		list = append(list, s.Name())
	}
	return list
}
