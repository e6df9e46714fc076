package stats

import (
	"slices"
)

// numberGroups numbers labels in order of first appearance and counts rows.
func numberGroups(label []int) (ids, of []int, size []float64) {
	of = make([]int, len(label))
	number := map[int]int{}
	for i, g := range label {
		k, known := number[g]
		if !known {
			k = len(ids)
			number[g], ids, size = k, append(ids, g), append(size, 0)
		}
		of[i] = k
		size[k]++
	}
	return ids, of, size
}

func largestOf(size []float64) float64 {
	if len(size) == 0 {
		return 1
	}
	return slices.Max(size)
}

// groupMeans returns the mean of every column in every group, one row for each group.
func groupMeans(cols [][]float64, of []int, size []float64) Matrix {
	k := len(cols)
	means := NewMatrix(len(size), k)
	for j, c := range cols {
		for i, v := range c {
			means.Data[of[i]*k+j] += v
		}
	}
	for g, n := range size {
		for j := range k {
			means.Data[g*k+j] /= n
		}
	}
	return means
}

// removeMeans takes the mean of its group from every number.
func removeMeans(cols [][]float64, means Matrix, of []int) {
	for j, c := range cols {
		for i, g := range of {
			c[i] -= means.Data[g*means.Cols+j]
		}
	}
}

// crossProducts returns the products of columns.
func crossProducts(cols [][]float64) Matrix {
	w := NewMatrix(len(cols), len(cols))
	for i, a := range cols {
		for j, b := range cols[:i+1] {
			v := dot(a, b)
			w.Set(i, j, v)
			w.Set(j, i, v)
		}
	}
	return w
}
