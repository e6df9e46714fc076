package randomise

import "slices"

// Williams returns the rows of a design in which every treatment follows every
// other one equally often: n rows for even n, 2n for odd n, each row holding
// 0..n-1 once (Williams 1949, Aust J Sci Res A 2:149). The first row is
// 0, 1, n-1, 2, n-2, ...; the others count on from it, and for odd n come once
// more mirrored. n below 2 gives nil.
func Williams(n int) [][]int {
	if n < 2 {
		return nil
	}
	first := make([]int, n)
	for i := 1; i < n; i++ {
		first[i] = (i + 1) / 2
		if i%2 == 0 {
			first[i] = n - i/2
		}
	}
	var rows [][]int
	for shift := range n {
		row := make([]int, n)
		for i, v := range first {
			row[i] = (v + shift) % n
		}
		rows = append(rows, row)
	}
	if n%2 == 1 {
		for _, row := range rows[:n] {
			rows = append(rows, mirrored(row))
		}
	}
	return rows
}

func mirrored(row []int) []int {
	row = slices.Clone(row)
	slices.Reverse(row)
	return row
}
