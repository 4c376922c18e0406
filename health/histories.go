package health

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/health/job"
	"ohmledger/health/parallel"
)

// tested makes the checks that need no fit, of every spectrum of a cell, and settles whether it is fitted together with others.
func (g grounds) tested(s *specimen) {
	for i := range s.Measurements {
		g.correctFixture(&s.Measurements[i])
	}
	for i := range s.Measurements {
		m := &s.Measurements[i]
		m.Quality.KramersKronig = kramerskronig.Test(m.Spectrum)
		m.read1kHz(g.job.Instrument)
		g.inspect(m, onReading, &past{specimen: s, index: i, twin: s.twins[i]}, nil)
		if !g.bare {
			g.inspect(m, onStating, nil, nil)
		}
	}
	s.joins = g.joins(s)
	if g.sparse != nil {
		s.forgetTests()
	}
}

// joins reports whether a tested cell is fitted together with others. A cell with a history stands alone. Cells of one spectrum
// each, and all cells where the baseline is other cells, share one model as far as their state of charge is the same: a ratio
// of resistances that are defined differently means nothing.
func (g grounds) joins(s *specimen) bool {
	return g.job.Baseline.Source == job.ReferenceCells || len(s.accepted()) == 1
}

// bySOC parts cells by the state of charge of their first accepted spectrum, at gaps wider than the tolerance. Unknown ones
// stand together.
func bySOC(cells []*specimen, j *job.Job) (groups [][]*specimen) {
	sorted := slices.Clone(cells)
	slices.SortStableFunc(sorted, func(a, b *specimen) int { return cmp.Compare(a.firstSOC(), b.firstSOC()) })
	for i, s := range sorted {
		if i == 0 || math.Abs(s.firstSOC()-sorted[i-1].firstSOC()) > j.Conditions.SOCTolerancePercent {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], s)
	}
	return groups
}

// unknownSOC sorts before all that can be.
const unknownSOC = -1e9

func (s *specimen) firstSOC() float64 {
	if a := s.accepted(); len(a) > 0 {
		if soc := s.Measurements[a[0]].Row.SOCPercent; soc != nil {
			return *soc
		}
	}
	return unknownSOC
}

// fitTogether fits the cells that are wanted, several at a time, each cell's accepted spectra as one history of the circuit that
// all cells share. A rejected spectrum is fitted by itself, so that it can be shown and weighs on nothing.
func (g grounds) fitTogether(ctx context.Context, cells []*specimen, wanted map[*specimen]bool, done func(s *specimen)) error {
	histories := make([][]fit.Measured, len(cells))
	var places []int
	for k, s := range cells {
		for _, i := range s.accepted() {
			histories[k] = append(histories[k], measured(&s.Measurements[i], g.job.Instrument))
		}
		if wanted[s] {
			places = append(places, k)
		}
	}
	common := fit.Together(histories)
	return parallel.Each(ctx, places, func(k int) {
		h := common.History(k)
		cells[k].adopt(h)
		cells[k].ArcsChoice = g.say.fitSays(h.Because)
		g.review(cells[k])
		histories[k] = nil
		if g.sparse != nil {
			cells[k].forgetCurves(g.sparse)
		}
		done(cells[k])
	})
}

func measured(m *Measurement, of job.Instrument) fit.Measured {
	day := float64(m.Row.MeasuredAt.Unix()) / (24 * 60 * 60)
	return fit.Measured{Spectrum: m.Spectrum, TemperatureC: m.Row.TemperatureC, Day: day,
		RelativeNoise: of.RelativeUncertainty, AbsoluteNoiseOhm: of.AbsoluteUncertaintyOhm}
}

// adopt takes the fits of the accepted spectra.
func (s *specimen) adopt(h *fit.History) {
	s.Arcs = h.Arcs
	place := make([]int, len(s.Measurements)) // of a measurement in the history, from 1
	for k, i := range s.accepted() {
		s.Measurements[i].Fit = h.Results[k]
		place[i] = k + 1
	}
	within := func(of func(i, j int, e fit.Element) float64) covariance {
		return func(i, j int, e fit.Element) float64 {
			if place[i] == 0 || place[j] == 0 {
				return math.NaN()
			}
			return of(place[i]-1, place[j]-1, e)
		}
	}
	s.logs, s.misfits = within(h.LogCovariance), within(h.LogModelU)
	if s.onFirstDay() >= manyOnADay {
		s.logs = s.logs.remembered(len(s.Measurements))
	}
}

// manyOnADay is from how many spectra of a first day on their covariances are kept: of fewer they cost less than the storage.
const manyOnADay = 8

// onFirstDay is how many measurements were made on the day of the first.
func (s *specimen) onFirstDay() (n int) {
	first := s.Measurements[0].Row.MeasuredAt
	for _, m := range s.Measurements {
		if !m.Row.MeasuredAt.After(first.Add(24 * time.Hour)) {
			n++
		}
	}
	return n
}

// review fits what was rejected, and makes the checks that need fits.
func (g grounds) review(s *specimen) {
	for i := range s.Measurements {
		m := &s.Measurements[i]
		if m.Fit == nil {
			m.Fit = fit.Spectrum(measured(m, g.job.Instrument))
		}
		m.Fit = g.say.worded(m.Fit)
		g.inspect(m, onFit, &past{specimen: s, index: i}, nil)
	}
	g.walk(s)
	for i := range s.Measurements {
		g.inspect(&s.Measurements[i], onHistory, &past{specimen: s, index: i}, nil)
	}
}

// examine tests and fits the spectra of the cells that are needed, several cells at a time, and hands each of these over when it
// is done; where they are fitted together with others, those are tested too.
func (g grounds) examine(ctx context.Context, cells, needed []*specimen, progress func(done, total int), fitted func(s *specimen)) error {
	findTwins(cells)
	findAlike(cells)
	spectra, wanted := 0, make(map[*specimen]bool, len(needed))
	for _, s := range needed {
		wanted[s] = true
		spectra += len(s.Measurements)
	}
	count := counter(spectra, progress)
	done := func(s *specimen) {
		n := len(s.Measurements)
		fitted(s)
		count(n)
	}
	if err := g.fitAlone(ctx, needed, wanted, done); err != nil || !slices.ContainsFunc(needed, func(s *specimen) bool { return s.joins }) {
		return err
	}
	others := slices.DeleteFunc(slices.Clone(cells), func(s *specimen) bool { return wanted[s] })
	if err := parallel.Each(ctx, others, g.tested); err != nil {
		return err
	}
	joining := slices.DeleteFunc(slices.Clone(cells), func(s *specimen) bool { return !s.joins })
	return g.fitBatches(ctx, bySOC(joining, g.job), wanted, done)
}

// fitAlone tests the cells that are wanted, and fits those that join no others.
func (g grounds) fitAlone(ctx context.Context, cells []*specimen, wanted map[*specimen]bool, done func(s *specimen)) error {
	return parallel.Tried(ctx, cells, func(ctx context.Context, s *specimen) error {
		if g.tested(s); s.joins {
			return nil
		}
		return g.fitTogether(ctx, []*specimen{s}, wanted, done)
	})
}

// fitBatches fits what is wanted of cells that are fitted together.
func (g grounds) fitBatches(ctx context.Context, batches [][]*specimen, wanted map[*specimen]bool, done func(s *specimen)) error {
	return parallel.Tried(ctx, batches, func(ctx context.Context, batch []*specimen) error {
		if !slices.ContainsFunc(batch, func(s *specimen) bool { return wanted[s] }) {
			return nil
		}
		return g.fitTogether(ctx, batch, wanted, done)
	})
}
