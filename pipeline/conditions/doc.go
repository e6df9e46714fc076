// Package conditions says what air, wind and heat mean for a session: how dense
// the air was, what the wind of an oval lap costs, and which band of published
// heat guidance a wet-bulb globe temperature falls in.
//
// Its opinions: conditions are context and are never taken out of a comparison;
// what depends on things nobody measured is given as a range; wind does not
// cancel over a lap; heat bands are reference levels in our own words, and local
// rules, event medics and licensed clinicians come before them.
package conditions
