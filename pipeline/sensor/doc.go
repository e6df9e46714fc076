// Package sensor puts the sensor on trial: it compares what a recording says with
// what can be known without it, shoe by shoe.
//
// Its opinions: a sensor error that is the same in every shoe does no harm, one
// that differs by shoe looks exactly like a shoe effect; the largest such
// difference travels with every comparison that rests on the sensor; nothing is
// corrected.
package sensor
