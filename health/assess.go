package health

import (
	"context"
	"fmt"
	"sync"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
	"ohmledger/health/parallel"
)

// Evidence is what a judgement rests on.
type Evidence struct {
	Job     *job.Job           // for Check nil where nothing is stated about the measurement
	Inputs  []Input            // the measured spectra in the order of Job.Measurements
	Fixture *spectrum.Spectrum // of the shorted fixture, where the job names its file; nil: not at hand, nothing is subtracted
	Phrase  Phrase             // the words of findings and reasons; nil: codes and numbers
	Share   Share              // the cells that are judged; unset: all
	Store   Store              // takes what a sparse assessment keeps, as long as the assessment is used; nil: memory does
	Sparse  bool               // curves are not kept: enough for a report that draws no cell and lists no points
}

func (e Evidence) grounds() grounds {
	g := grounds{job: e.Job, say: e.Phrase, short: shortedOf(e.Job, e.Fixture)}
	if e.Sparse {
		g.sparse, g.store = &outlines{}, e.Store
	}
	if g.job == nil {
		g.job, g.bare = &job.Job{}, true
	}
	return g
}

// Assess judges the cells of a job, or a share of them. Progress, where not nil, is told how many spectra are fitted, by one
// goroutine at a time. The only error is the context's.
func Assess(ctx context.Context, e Evidence, progress func(done, total int)) (*Assessment, error) {
	if len(e.Inputs) != len(e.Job.Measurements) {
		panic(fmt.Sprintf("health: %d inputs for %d measurements", len(e.Inputs), len(e.Job.Measurements)))
	}
	g := e.grounds()
	cells := specimens(e.Inputs)
	e.Inputs = nil // may be forgotten as soon as they are fitted
	own := part(cells, e.Share)
	judged, seal := g.keep(own)
	temperature, err := g.assess(ctx, cells, own, progress)
	if err != nil {
		return nil, err
	}
	seal()
	a := &Assessment{Job: e.Job, Temperature: temperature, Cells: judged}
	a.tally()
	a.Doubts = g.doubts(a)
	if !e.Share.partial() {
		a.describe(g.say)
	}
	return a, nil
}

// assess judges the cells that are asked for: each as soon as it is fitted where it stands by itself, so that what fits leave
// behind does not pile up, else when all that it rests on are fitted.
func (g grounds) assess(ctx context.Context, cells, own []*specimen, progress func(done, total int)) (Temperature, error) {
	needed := g.needed(cells, own)
	if g.byThemselves() {
		by, temperature := g.correct(nil)
		return temperature, g.examine(ctx, cells, needed, progress, func(s *specimen) { by.assessed(s, nil) })
	}
	if err := g.examine(ctx, cells, needed, progress, func(*specimen) {}); err != nil {
		return Temperature{}, err
	}
	by, temperature := g.correct(cells)
	group := by.group(cells)
	return temperature, parallel.Each(ctx, own, func(s *specimen) { by.assessed(s, group) })
}

// byThemselves reports whether a cell that is fitted can be judged without the others.
func (g grounds) byThemselves() bool {
	return g.job.Baseline.Source != job.ReferenceCells && g.job.TemperatureCorrection.Source != job.CorrectionMeasured
}

// assessed judges a fitted cell and says what follows from it. What only that needed is dropped.
func (g grounds) assessed(s *specimen, group *footing) {
	s.footing = g.footingOf(s, group)
	g.judge(s)
	g.survey(s)
	s.forgetWays()
	if g.sparse != nil && g.say != nil {
		s.forgetFacts()
	}
	if s.kept != nil {
		s.kept()
	}
}

// keep makes the cells what an assessment of the specimens holds: of a sparse one packed, each as soon as it is judged, so that
// nothing of the specimen is left. Seal is to be called when all are judged.
func (g grounds) keep(list []*specimen) (judged Cells, seal func()) {
	if g.sparse == nil {
		cells := make([]Cell, len(list))
		for i, s := range list {
			cells[i], s.Cell = *s.Cell, &cells[i]
		}
		return CellsOf(cells), func() {}
	}
	shelf := newShelf(len(list), g.store)
	for i, s := range list {
		s.kept = func() {
			shelf.put(i, s.Cell)
			s.Cell = nil
		}
	}
	return shelf.cells(), shelf.seal
}

// counter adds up the spectra that are done.
func counter(total int, progress func(done, total int)) func(spectra int) {
	var lock sync.Mutex
	done := 0
	return func(spectra int) {
		lock.Lock()
		defer lock.Unlock()
		done += spectra
		if progress != nil {
			progress(done, total)
		}
	}
}

// found gives cells their baseline; all are those among which the reference cells are.
func (g grounds) found(cells, all []*specimen) {
	group := g.group(all)
	for _, s := range cells {
		s.footing = g.footingOf(s, group)
	}
}

// group is the footing that the reference cells among all give; nil where the baseline is none of other cells.
func (g grounds) group(all []*specimen) *footing {
	if g.job.Baseline.Source != job.ReferenceCells {
		return nil
	}
	return g.reference(all)
}

func (g grounds) footingOf(s *specimen, group *footing) *footing {
	switch g.job.Baseline.Source {
	case job.Declared:
		return g.declared(s)
	case job.ReferenceCells:
		f := *group
		return &f
	}
	return g.first(s)
}

// judge compares a cell's measurements with its baseline and decides.
func (g grounds) judge(s *specimen) {
	s.footing.CapacityAh, _ = s.firstCapacity()
	s.Baseline = s.footing.Baseline
	s.Baseline.Note = g.say.reasons(s.Baseline.Statements)
	growing := func(i int, r resistance) outcome { return g.growth(s, i, traits[r].touched, r) }
	changing := func(from, to int, r resistance) (change, u float64, ok bool) { return g.change(s, from, to, r) }
	for i := range s.Measurements {
		g.inspect(&s.Measurements[i], onComparing, &past{specimen: s, index: i, growing: growing, changing: changing}, s.footing)
	}
	if accepted := s.accepted(); len(accepted) > 0 {
		s.Latest = accepted[len(accepted)-1]
	}
	for i := range s.Measurements {
		g.conclude(s, i)
	}
	s.Criteria = make([]Criterion, 0, len(g.job.Limits))
	for _, limit := range g.job.Limits {
		s.Criteria = append(s.Criteria, g.criterion(s, limit))
	}
	s.shareBudgets()
	g.settle(s)
	s.Grade = g.grade(s)
}

// conclude fills what follows from one measurement. The reason why a value is missing is a growth's own or a criterion's. What
// the uncertainty of a growth is made of is kept of the measurement that is judged.
func (g grounds) conclude(s *specimen, i int) {
	had := func(q job.Quantity) outcome { return measurands[q].had(g, s, i) }
	m := &s.Measurements[i]
	m.OhmicAtReference = had(job.OhmicOhm).value
	m.ChargeTransferAtReference = had(job.ChargeTransferOhm).value
	growth := func(q job.Quantity) Growth {
		o := had(q)
		if i != s.Latest {
			o.contributions = nil
		}
		return o.asGrowth(g.say)
	}
	m.OhmicGrowth, m.ChargeTransferGrowth, m.TotalGrowth = growth(job.OhmicGrowth), growth(job.ChargeTransferGrowth), growth(job.TotalResistanceGrowth)
	m.CapacityRetention = had(job.CapacityRetention).value
	m.ResistanceStateOfHealth = had(job.ResistanceStateOfHealth).value
}
