package plaintext

import (
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// datasetFile holds the facts of a dataset.
const datasetFile = "dataset.yaml"

// readDatasetFacts turns dataset.yaml into facts with every default filled in.
// shoes are the known ids, nil when the register could not be read.
func readDatasetFacts(n *Node, shoes []string, r *report) trial.DatasetFacts {
	facts := bind[trial.DatasetFacts](n, r)
	b := binder{r}
	b.siteURL(n, facts.SiteURL)
	b.identifiers(n, &facts)
	// What names something must name what there is.
	method := facts.Method
	if method.Reference != "" && shoes != nil && !slices.Contains(shoes, method.Reference) {
		b.complain(n.at("method", "reference"), "reference", suggestOr(method.Reference, shoes, "add it to "+shoesFile),
			"%q is not in %s", method.Reference, shoesFile)
	}
	if _, known := trial.OutcomeNamed(method.Primary); method.Primary != "" && !known {
		b.complain(
			n.at("method", "primary"), "primary", suggestOr(method.Primary, outcomeNames(), "write "+
				english.List(outcomeNames(), "or")),
			"%q is not an outcome", method.Primary)
	}
	// Maps and lists, whose keys the binder takes as they are.
	b.channelKeys(n.child("method", "channels"), nil)
	b.races(n.child("method", "races"), method.Races)
	b.ranges(n.child("limits", "ranges"), facts.Limits.Ranges)
	if imports := n.child("imports"); imports != nil {
		for _, item := range imports.Items {
			b.channelKeys(item.child("columns"), []string{trial.ElapsedColumn})
		}
	}
	fillDefaults(&facts)
	return facts
}

// siteURL reports an address that other addresses cannot be built on.
func (b binder) siteURL(n *Node, address string) {
	if address == "" {
		return
	}
	rest, secure := strings.CutPrefix(address, "https://")
	if !secure {
		rest, _ = strings.CutPrefix(address, "http://")
	}
	if host, _, whole := strings.Cut(rest, "/"); rest == address || host == "" || !whole ||
		!strings.HasSuffix(rest, "/") || strings.Trim(rest, addressLetters) != "" {
		b.complain(n.at("site_url"), "site_url", "write the address of the home page's folder, such as "+
			"https://example.org/shoes/", "%q is not the address of a folder", address)
	}
}

// addressLetters may stand in the address of a site after its scheme: those that
// mean themselves (RFC 3986, section 2.3), and what parts host, port and folders.
const addressLetters = blockLetters + "-._~/:"

// child returns the value under the given keys, or nil.
func (n *Node) child(keys ...string) *Node {
	for _, key := range keys {
		if n = n.Get(key); n == nil {
			return nil
		}
	}
	return n
}

func outcomeNames() []string {
	var list []string
	for o := range trial.OutcomeCount {
		list = append(list, o.Info().ID)
	}
	return list
}

// channelKeys reports keys that are no channel of a recording.
func (b binder) channelKeys(n *Node, besides []string) {
	if n == nil {
		return
	}
	known := besides
	for c := range trial.ChannelCount {
		known = append(known, c.Info().Column)
	}
	for _, pair := range n.Pairs {
		if !slices.Contains(known, pair.Key) {
			b.complain(pair.At, "", suggestOr(pair.Key, known, "write "+english.List(known, "or")),
				"%q is not a channel",
				pair.Key)
		}
	}
}

// races reports times that are no times.
func (b binder) races(n *Node, races []trial.Race) {
	for i, race := range races {
		if race.Time == "" {
			continue // reported as missing
		}
		if _, err := units.ParseDuration(race.Time); err != nil {
			message, hint := syntax(err)
			b.complain(n.Items[i].at("time"), "time", hint, "%s", message)
		}
	}
}

// ranges reports channels that are unknown and limits that are not in order.
func (b binder) ranges(n *Node, ranges map[string]trial.Range) {
	b.channelKeys(n, nil)
	if n == nil {
		return
	}
	for _, pair := range n.Pairs {
		for _, limit := range []struct {
			key    string
			values []float64
		}{{"warn", ranges[pair.Key].Warn}, {"stop", ranges[pair.Key].Stop}} {
			if len(limit.values) == 2 && limit.values[0] >= limit.values[1] {
				b.complain(pair.Value.at(limit.key), strings.Join([]string{pair.Key, limit.key}, "."),
					"write the low limit first", "the low limit is not below the high one")
			}
		}
	}
}
