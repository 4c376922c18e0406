package health

import (
	"ohmledger/health/job"
	"ohmledger/health/sampling"
)

// byAttributes counts the nonconforming cells of the sample against the plan of MIL-STD-105E.
func (i *Inspection) byAttributes(_ *job.Job, _ []LotCell) Statement {
	i.Standard = "MIL-STD-105E"
	if i.Severity != "normal" {
		return i.unplanned("severity-without-table")
	}
	i.CodeLetter = sampling.AttributesLetter(i.LotSize, i.Level)
	p, ok := sampling.AttributesPlan(i.CodeLetter, i.AQL)
	if !ok {
		return i.unplanned("no-sampling-plan")
	}
	i.PlanLetter, i.SampleSize = p.Letter, min(p.Size, i.LotSize)
	i.Acceptance, i.Rejection = int(p.Number), int(p.Number)+1
	i.characterise()
	if wrong := i.missized(); wrong.says() && !(wrong.Code == "sample-too-small" && i.Nonconforming > i.Acceptance) {
		return wrong
	}
	if i.Inspected > 0 {
		i.UpperPercent = 100 * sampling.UpperFraction(i.Nonconforming+i.Doubtful, i.Inspected, 0.95)
	}
	return i.decideByCount()
}

// decideByCount is certain only where the doubtful cells cannot change it. More nonconforming cells than allowed reject the lot
// even before the sample is complete.
func (i *Inspection) decideByCount() Statement {
	facts := []Fact{count("nonconforming", i.Nonconforming), count("doubtful", i.Doubtful), count("inspected", i.Inspected), count("acceptance", i.Acceptance)}
	switch {
	case i.Nonconforming > i.Acceptance:
		i.Decision = Rejected
		return because("lot-rejected", facts...)
	case i.Nonconforming+i.Doubtful <= i.Acceptance:
		i.Decision = Accepted
		return because("lot-accepted", facts...)
	}
	return because("doubtful-cells-decide", facts...)
}

// characterise gives the plan's risks, for the lot itself where the sample is a tenth of it or more.
func (i *Inspection) characterise() {
	aql := i.AQL / 100
	if 10*i.SampleSize < i.LotSize {
		c := sampling.BinomialCharacteristic(i.SampleSize, i.Acceptance)
		i.Law = sampling.Binomial
		i.draw(c, c.Table(), aql)
		return
	}
	c := sampling.HypergeometricCharacteristic(i.LotSize, i.SampleSize, i.Acceptance)
	i.Law = sampling.Hypergeometric
	// The lot's quality is at the AQL or better: whole cells, rounded down.
	whole := float64(int(aql*float64(i.LotSize)+rounding)) / float64(i.LotSize)
	i.draw(c, sampling.FiniteTable(c, i.LotSize), whole)
}

// draw fills the characteristic.
func (i *Inspection) draw(c sampling.Characteristic, table []sampling.OperatingPoint, atAQL float64) {
	i.Qualities = table
	i.ProducersRisk = 1 - c(atAQL)
	i.LimitingPercent = sampling.LimitingQuality(table)
	i.Curve = c.Curve(min(1, 1.2*table[len(table)-1].PercentNonconforming/100+0.001))
}
