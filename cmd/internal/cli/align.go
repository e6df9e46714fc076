package cli

import (
	"math"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/align"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// alignOptions are the flags of align.
type alignOptions struct {
	session string
	devices []string
	exact   bool
	dryRun  bool
}

func (a *app) alignCommand() *cobra.Command {
	var o alignOptions
	c := &cobra.Command{
		Use: "align -s SESSION", Args: cobra.NoArgs,
		Short: "put the recordings of a session on one clock",
		Long: "align finds how far the clock of each recording is from the clock of the first one\n" +
			"listed. It compares a channel that both have: cadence, else speed, else heart rate. It\n" +
			"searches 10 minutes around the offset in session.yaml and writes the new offset there.\n" +
			"Without a clear offset it writes nothing. Devices average over a few seconds, so an\n" +
			"offset that is within 5 s of the one found stays as it is.",
		Example: "  soletrial align -s 2026-03-21-pace --device foot_sensor --dry-run\n" +
			"  soletrial align -s 2026-03-21-pace --device foot_sensor",
		RunE: func(*cobra.Command, []string) error {
			if o.dryRun {
				return a.align(o)
			}
			return a.exclusively("align", func() error { return a.align(o) })
		},
	}
	// The flags, in the order in which help lists them.
	f := c.Flags()
	f.StringVarP(&o.session, "session", "s", "", "the `session`, such as 2026-05-02-power")
	f.StringArrayVar(&o.devices, "device", nil,
		"align only the recording of this `device`; give it once for each")
	f.BoolVar(&o.exact, "exact", false, "write the new offset even if it is within 5 s of the one in session.yaml")
	f.BoolVar(&o.dryRun, "dry-run", false, "show what would be written, and write nothing")
	c.MarkFlagRequired("session")
	return c
}

// aligned is one recording with its place on the session's clock.
type aligned struct {
	fact      trial.RecordingFact // as stated
	match     align.Match
	offsetS   float64 // found, on the session's clock
	confirmed bool    // the stated offset is confirmed and stays
}

func (a *app) align(o alignOptions) error {
	folder, err := a.read()
	if err != nil {
		return err
	}
	session, recordings, err := o.find(folder)
	if err != nil {
		return err
	}
	found, refused := a.alignAll(o, recordings)
	if err := a.printAligned(session, &recordings[0], found, refused); err != nil {
		return err
	}
	if len(refused) > 0 {
		return voice.Usage("find one event in both recordings, such as the first step, and write offset_s into "+
			session.Folder()+"/session.yaml",
			"%s could not be aligned; nothing was written", units.Count(len(refused), "recording"))
	}
	if o.dryRun {
		a.Remark("nothing was written: this was a dry run")
		return nil
	}
	return a.writeOffsets(session, found)
}

// find reads the session's recordings, two at least.
func (o *alignOptions) find(folder *plaintext.Folder) (*trial.Session, []trial.Recording, error) {
	session := folder.Dataset.Session(o.session)
	if session == nil {
		var ids []string
		for _, s := range folder.Dataset.Sessions {
			ids = append(ids, s.ID)
		}
		return nil, nil, voice.Usage(english.Suggest(o.session, ids), "there is no session %q", o.session)
	}
	recordings, problems := folder.Recordings(session)
	if len(problems) > 0 {
		return nil, nil, voice.Unreadable(problems)
	}
	if len(recordings) < 2 {
		return nil, nil, voice.Usage("import the other recording first", "session %q has %s, and align needs two",
			o.session, units.Count(len(recordings), "recording"))
	}
	for _, device := range o.devices {
		if !slices.ContainsFunc(recordings[1:], func(r trial.Recording) bool { return r.Fact.Device == device }) {
			return nil, nil, voice.Usage(
				"name a device listed in session.yaml; the first one listed is what the others are aligned to",
				"no recording to align has device %q", device)
		}
	}
	return session, recordings, nil
}

// alignAll aligns every recording to the first, and says why where it cannot.
func (a *app) alignAll(o alignOptions, recordings []trial.Recording) (found []aligned, refused []refusalJSON) {
	first := &recordings[0]
	for i := range recordings[1:] {
		r := &recordings[i+1]
		if len(o.devices) > 0 && !slices.Contains(o.devices, r.Fact.Device) {
			continue
		}
		match, err := align.Find(first.Samples, r.Samples, r.Offset()-first.Offset())
		if err != nil {
			a.Remark("%q cannot be aligned with %q: %v", r.Fact.File, first.Fact.File, err)
			refused = append(refused, refusalJSON{r.Fact.File, err.Error()})
			continue
		}
		offset := math.Round((first.Offset()+match.OffsetS)*100) / 100
		confirmed := units.Known(r.Fact.OffsetS) && math.Abs(offset-r.Fact.OffsetS) <= align.LagAllowanceS &&
			(!o.exact || offset == r.Fact.OffsetS)
		found = append(found, aligned{fact: r.Fact, match: match, offsetS: offset, confirmed: confirmed})
	}
	return found, refused
}

func (a *app) printAligned(session *trial.Session, first *trial.Recording, found []aligned,
	refused []refusalJSON) error {
	if a.JSON {
		return a.PrintJSON(alignedJSON(session, first, found, refused))
	}
	for _, f := range found {
		// The offset and how sure it is.
		m := f.match
		a.Printf("%s: offset %.2f s by %s, +- %.2f s, from %.0f s that both recorded\n", f.fact.File, f.offsetS,
			m.Channel.Info().Label, m.StandardErrorS, m.OverlapS)
		if units.Known(m.RunnerUpS) {
			a.Printf("  correlation     %.2f; the next best is %.2f at %.0f s\n", m.Peak, m.RunnerUp,
				first.Offset()+m.RunnerUpS)
		} else {
			a.Printf("  correlation     %.2f; no other offset correlates\n", m.Peak)
		}
		a.Printf("  drift           %.0f +- %.0f ppm, from %d parts of the run\n", math.Round(m.DriftPpm)+0,
			m.DriftStandardError, m.Parts)
		for _, r := range m.Refused {
			a.Printf("  not by          %s: %s\n", r.Channel.Info().Label, r.Text)
		}
		// What becomes of the offset in session.yaml.
		switch {
		case f.confirmed && f.offsetS == f.fact.OffsetS:
			a.Printf("  offset_s        stays %s\n", units.FormatExact(f.fact.OffsetS))
		case f.confirmed:
			a.Printf(
				"  offset_s        confirmed, stays %s: devices show a channel up to %d s late; --exact writes %s\n",
				units.FormatExact(f.fact.OffsetS), align.LagAllowanceS, units.FormatExact(f.offsetS))
		case units.Known(f.fact.OffsetS):
			a.Printf("  offset_s        %s instead of %s\n", units.FormatExact(f.offsetS),
				units.FormatExact(f.fact.OffsetS))
		default:
			a.Printf("  offset_s        %s; there was none\n", units.FormatExact(f.offsetS))
		}
	}
	return nil
}

type refusalJSON struct {
	File   string `json:"file"`
	Reason string `json:"reason"`
}

type matchJSON struct {
	File          string   `json:"file"`
	Channel       string   `json:"channel"`
	OffsetS       float64  `json:"offset_s"`
	StandardError float64  `json:"standard_error_s"`
	StatedS       *float64 `json:"stated_offset_s,omitempty"`
	Kept          bool     `json:"stated_stays"`
	Correlation   float64  `json:"correlation"`
	NextBest      float64  `json:"next_best_correlation"`
	NextBestS     *float64 `json:"next_best_offset_s,omitempty"`
	DriftPpm      float64  `json:"drift_ppm"`
	DriftError    float64  `json:"drift_standard_error_ppm"`
	OverlapS      float64  `json:"overlap_s"`
}

func alignedJSON(session *trial.Session, first *trial.Recording, found []aligned, refused []refusalJSON) any {
	list := []matchJSON{}
	for _, f := range found {
		m := f.match
		list = append(list, matchJSON{f.fact.File, m.Channel.Info().Column, f.offsetS, m.StandardErrorS,
			voice.JSONNumber(f.fact.OffsetS), f.confirmed,
			m.Peak, m.RunnerUp, voice.JSONNumber(first.Offset() +
				m.RunnerUpS), m.DriftPpm, m.DriftStandardError, m.OverlapS})
	}
	return map[string]any{"session": session.ID, "reference": first.Fact.File, "recordings": list,
		"refused": append([]refusalJSON{}, refused...)}
}

// writeOffsets writes the offsets that do not stay into session.yaml.
func (a *app) writeOffsets(session *trial.Session, found []aligned) error {
	path := session.Folder() + "/session.yaml"
	text, err := os.ReadFile(filepath.Join(a.Dataset, filepath.FromSlash(path)))
	if err != nil {
		return voice.Usage("", "cannot read %q: %v", path, err)
	}
	facts := append([]trial.RecordingFact(nil), session.Facts.Recordings...)
	for _, f := range found {
		if f.confirmed {
			continue
		}
		for i := range facts {
			if facts[i].File == f.fact.File {
				facts[i].OffsetS = f.offsetS
			}
		}
		changed, ok := yamltext.SetOffset(text, f.fact.File, f.offsetS)
		if !ok { // written in a way that cannot be changed in place
			if changed, err = yamltext.SetRecordings(text, facts); err != nil {
				return voice.Usage("", "cannot write the recordings: %v", err)
			}
		}
		text = changed
	}
	changed, err := a.write(map[string][]byte{path: text})
	switch {
	case err != nil:
		return err
	case len(changed) == 0:
		a.Remark("nothing changed")
	case !a.JSON:
		a.Printf("%s\n", path)
		a.Remark("run %s: the blocks now start and end elsewhere in these recordings", a.NextCommand("derive"))
	}
	return nil
}
