package plaintext

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// FieldLogFile is the name of a field log, as a file of its own and in the folder
// of its session.
const FieldLogFile = "fieldlog.yaml"

// ReadFieldLog turns fieldlog.yaml into a log and returns all its problems, sorted.
// shoes are the ids of the dataset's register; with nil the log's own list of shoes
// is taken as it is, as it has to be for a log of shoes that are not registered yet.
func ReadFieldLog(n *Node, shoes []string) (*trial.FieldLog, []trial.Problem) {
	var r report
	log := readFieldLog(n, shoes, &r)
	return log, r.sorted()
}

func readFieldLog(n *Node, shoes []string, r *report) *trial.FieldLog {
	b := binder{r}
	if form := n.Get("form"); n.Kind == Mapping && form != nil && form.text() != "1" {
		b.complain(form.At, "form", "get a newer version of soletrial",
			"%q is not a form that this program knows", form.text())
		return &trial.FieldLog{}
	}
	log := bind[trial.FieldLog](n, r)
	if log.Session != "" && !isID(log.Session, slugLetters) {
		b.complain(n.at("session"), "session", slugHint, "%q is not a session id", log.Session)
	}
	b.sessionTarget(n.child("plan"), log.Plan.Effort, log.Plan.Target)
	known := b.logShoes(n.child("shoes"), log.Shoes, shoes)
	b.logOrder(n.child("plan", "order"), log.Plan.Order, known)
	b.moments(n)
	b.forward(n.Get("warm_up"), log.WarmUp.StartS, log.WarmUp.EndS)
	b.logBlocks(n.child("blocks"), log.Blocks, known)
	b.logDeviations(n.child("deviations"), &log, known)
	return &log
}

// logShoes checks the list of shoes and returns its ids.
func (b binder) logShoes(n *Node, list []trial.LogShoe, registered []string) []string {
	known := []string{}
	for i, shoe := range list {
		at := n.Items[i].at("shoe")
		switch {
		case shoe.Shoe == "": // reported as missing
		case !isID(shoe.Shoe, slugLetters):
			b.complain(at, "shoe", slugHint, "%q is not a shoe id", shoe.Shoe)
		case slices.Contains(known, shoe.Shoe):
			b.complain(at, "shoe", "list every shoe once", "%q is listed twice", shoe.Shoe)
		case registered != nil && !slices.Contains(registered, shoe.Shoe):
			hint := suggestOr(shoe.Shoe, registered, "add it to "+shoesFile)
			b.complain(at, "shoe", hint, "%q is not in %s", shoe.Shoe, shoesFile)
		}
		known = append(known, shoe.Shoe)
	}
	return known
}

func (b binder) logOrder(n *Node, order, known []string) {
	for i, id := range order {
		b.oneOfShoes(n.Items[i].At, "order", id, known)
	}
}

// oneOfShoes reports a shoe that the log does not list.
func (b binder) oneOfShoes(at trial.Position, key, id string, known []string) {
	if id != "" && !slices.Contains(known, id) {
		b.complain(at, key, suggestOr(id, known, "add it to shoes"), "%q is not in shoes", id)
	}
}

// momentKeys are the keys that hold a clock time.
var momentKeys = []string{"began", "ended", "start", "end", "at"}

// moments reports clock times anywhere in the log that are none.
func (b binder) moments(n *Node) {
	for _, pair := range n.Pairs {
		value := pair.Value
		if slices.Contains(momentKeys, pair.Key) && value.Kind == Scalar && !value.saysNothing() &&
			!isMoment(value.Text) {
			b.complain(value.At, pair.Key, "write it as 2026-05-02T09:31:07+02:00",
				"%q is not a clock time with its date and offset", value.Text)
		}
		b.moments(pair.Value)
	}
	for _, item := range n.Items {
		b.moments(item)
	}
}

// isMoment reports whether text is a time of RFC 3339, section 5.6: date, time with
// or without decimals, and offset.
func isMoment(text string) bool {
	date, clock, found := strings.Cut(text, "T")
	if !found || !isDate(date) {
		return false
	}
	offset := strings.IndexAny(clock, "Z+-")
	if offset < 0 {
		return false
	}
	clock, zone := clock[:offset], clock[offset:]
	whole, decimals, pointed := strings.Cut(clock, ".")
	return len(whole) == len("15:04:05") && isClock(whole+zone) && (!pointed || units.AllDigits(decimals))
}

// forward reports an end that is not after its start.
func (b binder) forward(n *Node, startS, endS float64) {
	if endS <= startS {
		b.complain(n.at("end_s"), "end_s", "write an end after the start",
			"%s is not after the start at %s", n.child("end_s").text(), n.child("start_s").text())
	}
}

// logBlocks reports blocks that are not named once, not one after the other, or in
// a shoe that is not listed.
func (b binder) logBlocks(n *Node, blocks []trial.LogBlock, shoes []string) {
	var names []string
	for i, block := range blocks {
		item := n.Items[i]
		switch {
		case block.Block == "": // reported as missing
		case !isID(block.Block, blockLetters):
			b.complain(item.at("block"), "block", blockIDHint, "%q is not a block name", block.Block)
		case slices.Contains(names, block.Block):
			b.complain(item.at("block"), "block", "give each block a name of its own", "%q is there twice", block.Block)
		}
		names = append(names, block.Block)
		b.oneOfShoes(item.at("shoe"), "shoe", block.Shoe, shoes)
		b.forward(item, block.StartS, block.EndS)
		if i > 0 && !(block.StartS >= blocks[i-1].EndS) && block.StartS == block.StartS {
			b.complain(item.at("start_s"), "start_s", "start it after the block before has ended",
				"block %q starts before block %q ends", block.Block, blocks[i-1].Block)
		}
		b.lapTimes(item.child("lap_s"), block)
	}
}

// lapTimes reports laps that do not end one after the other within their block.
func (b binder) lapTimes(n *Node, block trial.LogBlock) {
	last := block.StartS
	for i, at := range block.LapS {
		if at < last || at > block.EndS {
			b.complain(n.Items[i].At, "lap_s", "put the laps in order, within the block",
				"a lap ends at %s, outside the block or before the lap before it", n.Items[i].text())
		}
		last = at
	}
}

// logDeviations reports deviations of blocks and shoes that are not there. A block
// that was skipped is in the plan only.
func (b binder) logDeviations(n *Node, log *trial.FieldLog, shoes []string) {
	var run []string
	for _, block := range log.Blocks {
		run = append(run, block.Block)
	}
	for i, deviation := range log.Deviations {
		item := n.Items[i]
		b.oneOfShoes(item.at("planned"), "planned", deviation.Planned, shoes)
		b.oneOfShoes(item.at("worn"), "worn", deviation.Worn, shoes)
		if deviation.Block != "" && deviation.Kind != trial.Skipped && !slices.Contains(run, deviation.Block) {
			hint := suggestOr(deviation.Block, run, "name a block that was run")
			b.complain(item.at("block"), "block", hint, "%q is not in blocks", deviation.Block)
		}
	}
}
