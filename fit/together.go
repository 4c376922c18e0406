package fit

import (
	"math"
	"slices"
	"sync"
)

// mostTogether is how many spectra settle what a group has in common. Exponents are no surer for more of them than the
// circuit is the cells (common practice), while time and storage grow with their number.
const mostTogether = 200

// Common is what comparable histories share: one circuit and the exponents of its elements. In a group of more than
// mostTogether spectra a selection that is spread evenly over it settles them, and every other history is fitted by
// itself with the exponents held, as sure as the selection leaves them. So a history's result does not rest on which others
// are asked for.
type Common struct {
	histories [][]Measured
	group     *group      // of the selection
	place     map[int]int // of a history in the selection
	lock      sync.Mutex  // the selection's solver serves one at a time
}

// Together settles what histories share.
func Together(histories [][]Measured) *Common {
	c := &Common{histories: histories, place: map[int]int{}}
	var chosen [][]Measured
	for k, h := range selection(histories) {
		c.place[h] = k
		chosen = append(chosen, histories[h])
	}
	if c.group = settled(chosen); c.group.doubt == nil && len(chosen) < len(histories) {
		c.group = settled(histories) // the selection tells nothing
		for h := range histories {
			c.place[h] = h
		}
	}
	c.group.ready()
	return c
}

// ready notes what those that are led need to know.
func (g *group) ready() {
	for _, of := range []*candidate{&g.candidate, g.without} {
		if of != nil && of.task != nil {
			of.typical, of.inflate = of.task.typicalRMS(), of.task.inflation()
		}
	}
}

// selection is the places of the histories that settle what all share.
func selection(histories [][]Measured) []int {
	spectra := 0
	for _, h := range histories {
		spectra += len(h)
	}
	n := len(histories)
	if spectra > mostTogether {
		n = max(1, n*mostTogether/spectra)
	}
	return spread(len(histories), n)
}

// History is the fit of one of the histories, each of which is asked for once. Several goroutines may ask at the same time.
func (c *Common) History(h int) *History {
	if k, is := c.place[h]; is {
		c.lock.Lock()
		defer c.lock.Unlock()
		described := c.group.history(k)
		if len(c.histories) == 1 {
			c.group.slim()
		}
		return described
	}
	led := c.group.lead(c.histories[h])
	described := led.history(0)
	led.slim()
	return described
}

// slim drops what nothing is asked of any more once all histories are described: points, and the storage of solutions.
// What remains tells the covariances.
func (g *group) slim() {
	g.without = nil
	for i := range g.apart { // that they are apart is all that counts
		g.apart[i] = candidate{}
	}
	for _, t := range slices.Concat(g.traces, g.candidate.traces) {
		*t = trace{sheet: t.sheet}
		t.sheet.points = nil
	}
	if g.task != nil {
		g.task.solver = nil
	}
}

// lead fits a history with what the group has settled.
func (g *group) lead(history []Measured) *group {
	f := newGroup([][]Measured{history})
	f.choice = g.choice
	if len(f.traces) == 0 {
		f.candidate = candidate{task: &task{layout: g.task.layout}}
		return f
	}
	f.candidate = g.candidate.lead(f.traces)
	if g.without != nil {
		without := g.without.lead(f.traces)
		f.without = &without
		f.markArcless()
	}
	f.separate(g.typical)
	f.drifting = f.findDrift()
	return f
}

// lead fits traces with the candidate's exponents, each from the spectrum of the candidate that is nearest in temperature.
func (c candidate) lead(traces []*trace) candidate {
	held := c.task.layout
	held.fixed, held.drift = c.task.shared, false
	own, at := make([]*trace, len(traces)), make([]vector, len(traces))
	for i, t := range traces {
		own[i] = t.clone()
		own[i].sheet.expected = own[i].outline.expectedSizes(held.film)
		k := c.nearest(t)
		at[i] = fromNeighbour(held, []*trace{c.traces[k], own[i]}, 1, 0, []vector{c.task.at(k)})
	}
	t := newTask(held, sheetsOf(own), at)
	t.led = true
	t.settleLed(own, c.typical, c.inflate)
	t.layout.fixed, t.shared, t.solver = nil, c.task.shared, nil
	led := candidate{task: t, traces: own, settled: true, hidden: c.hidden.typical(len(own))}
	if c.doubt != nil {
		led.doubt = t.assessLed(c.doubt)
	}
	return led
}

// nearest is the candidate's spectrum that is nearest to a trace in temperature, the first of equals.
func (c candidate) nearest(t *trace) (k int) {
	for i, other := range c.traces {
		if distance(t, other) < distance(t, c.traces[k]) {
			k = i
		}
	}
	return k
}

func distance(a, b *trace) float64 {
	return math.Abs(a.measured.TemperatureC - b.measured.TemperatureC)
}

// settleLed weighs the spectra by the residuals that they leave, against what is typical of those that lead.
func (t *task) settleLed(traces []*trace, typical, inflate float64) {
	t.cutPickUp(traces)
	for range 4 {
		settled := t.weighSigmas(typical)
		t.solve(fine)
		if settled {
			break
		}
	}
	for _, s := range t.sheets {
		s.sigma *= inflate
	}
	t.solve(fine)
}

// assessLed is the covariance with the exponents as sure as those that lead have them; nil where it cannot be had.
func (t *task) assessLed(by *uncertainty) *uncertainty {
	c, ok := t.solution().Covariance(t.locals(), t.shared)
	t.solver = nil
	if !ok {
		return nil
	}
	c.Shared = by.covariance.Shared
	return &uncertainty{task: t, covariance: c, repeat: t.repeatShares(), shared: by.shared}
}
