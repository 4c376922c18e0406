package health

import (
	"context"
	"fmt"
	"sync"

	"ohmledger/health/job"
)

// Assess judges the cells of a job. Inputs are the measured spectra in the order of j.Measurements. Progress, where not
// nil, is told how many spectra are fitted, by one goroutine at a time. The only error is the context's.
func Assess(ctx context.Context, j *job.Job, inputs []Input, progress func(done, total int)) (*Assessment, error) {
	if len(inputs) != len(j.Measurements) {
		panic(fmt.Sprintf("health: %d inputs for %d measurements", len(inputs), len(j.Measurements)))
	}
	cells := specimens(inputs)
	if err := examine(ctx, j, cells, counter(len(inputs), progress)); err != nil {
		return nil, err
	}
	g, temperature := correct(j, cells)
	g.found(cells)
	a := &Assessment{Job: j, Temperature: temperature, Cells: make([]Cell, len(cells))}
	for i, s := range cells {
		g.judge(s)
		a.Cells[i] = s.Cell
	}
	a.tally()
	a.Doubts = doubts(a)
	return a, nil
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

// found gives each cell its baseline.
func (g grounds) found(cells []*specimen) {
	var group *footing
	if g.job.Baseline.Source == job.ReferenceCells {
		group = g.reference(cells)
	}
	for _, s := range cells {
		s.footing = g.footingOf(s, group)
	}
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
	for i := range s.Measurements {
		s.Measurements[i].inspect(onComparing, g.job, s.footing)
	}
	if accepted := s.accepted(); len(accepted) > 0 {
		s.Latest = accepted[len(accepted)-1]
	}
	for i := range s.Measurements {
		g.conclude(s, i)
	}
	for _, limit := range g.job.Limits {
		s.Criteria = append(s.Criteria, g.criterion(s, limit))
	}
	s.settle()
	s.Grade = g.grade(s)
}

// conclude fills what follows from one measurement. The reason why a value is missing is a growth's own or a criterion's.
func (g grounds) conclude(s *specimen, i int) {
	had := func(q job.Quantity) outcome { return measurands[q].had(g, s, i) }
	m := &s.Measurements[i]
	m.OhmicAtReference = had(job.OhmicOhm).value
	m.ChargeTransferAtReference = had(job.ChargeTransferOhm).value
	m.OhmicGrowth = had(job.OhmicGrowth).asGrowth()
	m.ChargeTransferGrowth = had(job.ChargeTransferGrowth).asGrowth()
	m.TotalGrowth = had(job.TotalResistanceGrowth).asGrowth()
	m.CapacityRetention = had(job.CapacityRetention).value
	m.ResistanceStateOfHealth = had(job.ResistanceStateOfHealth).value
}
