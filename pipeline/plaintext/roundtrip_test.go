package plaintext

import (
	"bytes"
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
)

// What is written reads back as the same values and is written again as the
// same bytes, whatever the order of the rows.
func checkRegister[R, V any](t *testing.T, draw func(*rapid.T) []V, value func(R, *report, map[string]int) V,
	id func(V) string, write func([]byte, []V) []byte) {
	rapid.Check(t, func(t *rapid.T) {
		want := draw(t)
		text := write(nil, want)
		var r report
		got, whole := readRegister(tableSource(t, text, false), &r, value)
		if sound(t, &r, text); !whole {
			t.Fatalf("rows are lost in\n%s", text)
		}
		slices.SortFunc(want, func(a, b V) int { return cmp.Compare(id(a), id(b)) })
		same(t, "read back", want, got)
		shuffled := rapid.Permutation(got).Draw(t, "order")
		if isTaken := write(nil, shuffled); !bytes.Equal(isTaken, text) {
			t.Fatalf("written again as\n%s\nnot\n%s", isTaken, text)
		}
	})
}

func TestRunnersReadBack(t *testing.T) {
	checkRegister(t, drawRunners, runnerRow.runner, func(x trial.Runner) string { return x.ID }, AppendRunners)
}

func TestShoesReadBack(t *testing.T) {
	checkRegister(t, drawShoes, shoeRow.shoe, func(x trial.Shoe) string { return x.ID }, AppendShoes)
}

func TestVenuesReadBack(t *testing.T) {
	checkRegister(t, drawVenues, venueRow.venue, func(x trial.Venue) string { return x.ID }, AppendVenues)
}

func TestBlocksReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		context := drawContext(t)
		want := drawBlocks(t, context)
		text := AppendBlocks(nil, context.effort, context.sessionTarget, want)
		var r report
		got, whole := readBlocks(tableSource(t, text, false), context, &r)
		if sound(t, &r, text); !whole {
			t.Fatalf("rows are lost in\n%s", text)
		}
		same(t, "read back", want, got)
		shuffled := rapid.Permutation(got).Draw(t, "order")
		if isTaken := AppendBlocks(nil, context.effort, context.sessionTarget, shuffled); !bytes.Equal(isTaken, text) {
			t.Fatalf("written again as\n%s\nnot\n%s", isTaken, text)
		}
	})
}

func TestBlocksMayStandInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		context := drawContext(t)
		want := drawBlocks(t, context)
		text := AppendBlocks(nil, context.effort, context.sessionTarget, want)
		header, rows, _ := bytes.Cut(text, []byte{'\n'})
		shuffled := rapid.Permutation(bytes.SplitAfter(bytes.TrimSuffix(rows, nil), []byte{'\n'})).Draw(t, "order")
		mixed := append(append(bytes.Clone(header), '\n'), bytes.Join(shuffled, nil)...)
		var r report
		got, _ := readBlocks(tableSource(t, mixed, false), context, &r)
		sound(t, &r, mixed)
		same(t, "read in another order", want, got)
	})
}

func TestBlocksWithoutTimesKeepTheirOrder(t *testing.T) {
	text := []byte("block,shoe,start_s,end_s,speed_mps\nb,blue,,,3.5\na,grey,,,3.6\nc,blue,10.0,20.0,3.7\n")
	var r report
	got, _ := readBlocks(tableSource(t, text, false), blockContext{effort: trial.Power}, &r)
	sound(t, &r, text)
	var order string
	for _, b := range got {
		order += b.ID
	}
	if order != "cba" {
		t.Errorf("the order is %q, want those with a start first, the others as they stand", order)
	}
}

// A target is left out where it is the session's, so that it is said once.
func TestBlockTargets(t *testing.T) {
	for _, c := range []struct {
		effort  trial.Effort
		session float64
		text    string
		want    []float64
	}{
		{trial.Pace, 270, "block,shoe,start_s,end_s,target\na,,0.0,1.0,\nb,,1.0,2.0,4:20\nc,,2.0,3.0,4:20.5\n",
			[]float64{270, 260, 260.5}},
		{trial.Power, 270, "block,shoe,start_s,end_s,target\na,,0.0,1.0,\nb,,1.0,2.0,300\nc,,2.0,3.0,262.5\n",
			[]float64{270, 300, 262.5}},
		{trial.HeartRate, 150, "block,shoe,start_s,end_s\na,,0.0,1.0\n", []float64{150}},
	} {
		var r report
		got, _ := readBlocks(tableSource(t, []byte(c.text), false),
			blockContext{effort: c.effort, sessionTarget: c.session, timed: true}, &r)
		sound(t, &r, []byte(c.text))
		for i, want := range c.want {
			if got[i].Target != want {
				t.Errorf("%s: block %s has target %v, want %v", c.effort, got[i].ID, got[i].Target, want)
			}
		}
		if isTaken := string(AppendBlocks(nil, c.effort, c.session, got)); isTaken != c.text {
			t.Errorf("%s is written as\n%s\nwant\n%s", c.effort, isTaken, c.text)
		}
	}
}

func TestMeasuredColumnsAreTheOutcomes(t *testing.T) {
	columns := names(columnsOf[blockRow]())
	measured := columns[len(columns)-int(trial.MeasureCount):]
	for m := range trial.MeasureCount {
		if measured[m] != m.Outcome().Info().Column {
			t.Errorf("measure %d stands in column %q, trial calls it %q", m, measured[m], m.Outcome().Info().Column)
		}
		var row blockRow
		*row.measured()[m] = written("1")
		if texts := rowTexts(row); texts[len(columns)-int(trial.MeasureCount)+int(m)] != "1" {
			t.Errorf("measure %q is written to another column", m.Outcome().Info().Column)
		}
	}
}
