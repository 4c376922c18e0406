package health

import (
	"fmt"
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Share is the part of a job's cells that one machine judges: the Number-th of Of, from 1. Unset it is all of them.
//
// What cells have in common is found out anew for every share, from the cells that it rests on: which measurements repeat
// others from all spectra; the baseline from the reference cells; the circuit of cells that are fitted together from all of
// these; activation energies that the job's own series give from all cells. So a cell is judged alike in whichever share.
type Share struct{ Number, Of int }

func (s Share) partial() bool { return s.Of > 0 }

// Cells are the places of the share's cells among n of a job: from, and up to but not with to. Shares differ by one cell at
// most; where there are more shares than cells some have none.
func (s Share) Cells(n int) (from, to int) {
	if !s.partial() {
		return 0, n
	}
	if s.Number < 1 || s.Number > s.Of {
		panic(fmt.Sprintf("health: share %d of %d", s.Number, s.Of))
	}
	return (s.Number - 1) * n / s.Of, s.Number * n / s.Of
}

func part[T any](cells []T, s Share) []T {
	from, to := s.Cells(len(cells))
	return cells[from:to]
}

// needed are the cells without which those of a share cannot be judged.
func (g grounds) needed(cells, own []*specimen) []*specimen {
	switch {
	case g.job.TemperatureCorrection.Source == job.CorrectionMeasured: // even where no cell is the share's: it says so of the job
		return cells
	case len(own) == 0 || len(own) == len(cells) || g.job.Baseline.Source != job.ReferenceCells:
		return own
	}
	list := slices.Clone(own)
	for _, s := range cells {
		if slices.Contains(g.job.Baseline.Cells, s.Name) && !slices.Contains(own, s) {
			list = append(list, s)
		}
	}
	return list
}

// Whole puts together what was found out about shares of a job: the cells of all shares in the job's order, and what each
// of them says of the job.
func Whole(j *job.Job, t Temperature, doubts []fit.Doubt, cells Cells, say Phrase) *Assessment {
	a := &Assessment{Job: j, Temperature: t, Doubts: doubts, Cells: cells}
	a.tally()
	a.describe(say)
	return a
}
