package trial

// PlanState is what a history says about a plan.
type PlanState string

// The states of a plan.
const (
	PlanBefore      PlanState = "before"      // committed before the first samples, unchanged since
	PlanChanged     PlanState = "changed"     // committed before, and changed since
	PlanLate        PlanState = "late"        // committed before, but dated after the run
	PlanAfter       PlanState = "after"       // not before the samples
	PlanWaiting     PlanState = "waiting"     // committed, not run yet
	PlanUncommitted PlanState = "uncommitted" // not committed
	PlanUnknown     PlanState = "unknown"     // no history to ask
)

// PlanHistory is what the dataset's version history shows about when the plan of a
// session was made. It is no part of the dataset and never derived: it is shown to
// people. Commits are named by their whole hash; times are the committer's, as RFC
// 3339 writes them, and "" where there is no commit.
type PlanHistory struct {
	Session     string    `json:"session"`
	State       PlanState `json:"state"`
	Plan        string    `json:"plan_commit,omitempty"` // brought the plan that was run
	PlanTime    string    `json:"plan_time,omitempty"`
	Samples     string    `json:"samples_commit,omitempty"` // brought the first samples
	SamplesTime string    `json:"samples_time,omitempty"`
	Redrawn     int       `json:"earlier_versions,omitempty"` // committed before the one that was run
	Orders      int       `json:"orders,omitempty"`           // it was drawn from, where the draw can be made again
	Text        string    `json:"text"`
}
