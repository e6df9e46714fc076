package site

import (
	"cmp"
	"encoding/json"
	"math"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const trackPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; " +
	"connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'"

var trackTemplates = markup.Must(markup.Parse(sources, "pages/track.html"))

// track writes the page for the day at the track, with its own files and the plans
// that are still to be run, so that it works without a network once it was opened.
func (s *site) track() error {
	if len(s.in.Track) == 0 {
		return nil
	}
	for _, f := range s.in.Track {
		s.add("track/"+f.Path, f.Text)
	}
	text, err := json.MarshalIndent(s.trackPlans(), "", "  ")
	if err != nil {
		return err
	}
	s.add("track/plans.json", append(text, '\n'))
	var b strings.Builder
	err = trackTemplates.Write(&b, "track.html", frame{Dataset: cmp.Or(s.ds.Facts.Title, "Shoe trial"),
		Invented: s.ds.Facts.Invented,
		Policy:   trackPolicy})
	s.add("track/index.html", []byte(figure.Visible(b.String())))
	return err
}

// trackPlans is what the track page knows of the dataset.
type trackPlans struct {
	Program string      `json:"program"`
	Shoes   []trackShoe `json:"shoes"`
	Plans   []trackPlan `json:"plans"` // by date
}

type trackShoe struct {
	ID    string `json:"id"`
	Label string `json:"label"`
}

// trackPlan is one plan that is still to be run. Numbers that are missing are null.
type trackPlan struct {
	Session string   `json:"session"`
	Date    string   `json:"date"`
	Venue   string   `json:"venue"`
	LapM    *float64 `json:"lap_m"`
	Effort  string   `json:"effort"`
	Target  string   `json:"target"`
	BlockS  *float64 `json:"block_s"`
	RestS   *float64 `json:"rest_s"`
	WarmUpS *float64 `json:"warm_up_s"`
	Shoes   []string `json:"shoes"`
	Order   []string `json:"order"`
}

func (s *site) trackPlans() trackPlans {
	known := trackPlans{Program: "soletrial " + cmp.Or(s.in.Program.Version, "(devel)"), Shoes: []trackShoe{},
		Plans: []trackPlan{}}
	for _, shoe := range s.ds.Shoes {
		known.Shoes = append(known.Shoes, trackShoe{shoe.ID, shoe.Label})
	}
	for i := range s.ds.Sessions {
		if session := &s.ds.Sessions[i]; toCome(session) {
			known.Plans = append(known.Plans, s.trackPlan(session))
		}
	}
	stable.Sort(known.Plans, func(a, b trackPlan) int { return cmp.Compare(a.Date, b.Date) })
	return known
}

func (s *site) trackPlan(session *trial.Session) trackPlan {
	p := session.Plan
	plan := trackPlan{Session: session.ID, Date: session.Facts.Date, Effort: p.Effort, Target: p.Target,
		BlockS: given(p.BlockS), RestS: given(p.RestS), WarmUpS: given(p.WarmUpS), Shoes: p.Shoes, Order: p.Order}
	if venue := s.ds.Venue(session.Facts.Venue); venue != nil {
		plan.Venue, plan.LapM = venue.Label, given(venue.LapM)
	}
	return plan
}

// given is a number for JSON, nil where it is missing.
func given(x float64) *float64 {
	if !units.Known(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
