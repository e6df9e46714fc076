// Package steady reduces each block to its steady window: one number per
// outcome per block.
//
// Its opinions: the window is the same rule for every block; a mean is weighted
// by the time each sample stands for; gaps are not filled, their share is
// reported as coverage; the block, never the second, is the unit of analysis.
package steady
