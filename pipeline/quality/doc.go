// Package quality finds what could make a comparison wrong: in a recording,
// in a block, between the shoes of a session, over the dataset.
//
// Its opinions: the rules are a table that can be read, listed and explained;
// every finding says the measured value, the limit, and what to do; a stop keeps
// a block out until a person overrides it in writing; nothing is repaired.
package quality
