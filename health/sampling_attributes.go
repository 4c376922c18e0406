package health

import (
	"slices"

	"ohmledger/health/job"
)

// attributesPlan is the plan of MIL-STD-105E, single sampling, normal inspection, for a code letter and a quality level
// in percent.
func attributesPlan(letter string, aql float64) (entry, bool) {
	return planAt(attributesPlans, letter, slices.Index(attributesAQL, aql))
}

// byAttributes counts the nonconforming cells of the sample against the plan of MIL-STD-105E.
func (i *Inspection) byAttributes(_ *job.Job, _ []LotCell) Statement {
	i.Standard = "MIL-STD-105E"
	if i.Severity != "normal" {
		return i.unplanned("severity-without-table")
	}
	i.CodeLetter = codeLetter(attributesLetters, attributesLevels, i.LotSize, i.Level)
	plan, ok := attributesPlan(i.CodeLetter, i.AQL)
	if !ok {
		return i.unplanned("no-sampling-plan")
	}
	i.PlanLetter, i.SampleSize = plan.letter, min(plan.size, i.LotSize)
	i.Acceptance, i.Rejection = int(plan.number), int(plan.number)+1
	i.characterise()
	if wrong := i.missized(); wrong.says() && !(wrong.Code == "sample-too-small" && i.Nonconforming > i.Acceptance) {
		return wrong
	}
	if i.Inspected > 0 {
		i.UpperPercent = 100 * upperFraction(i.Nonconforming+i.Doubtful, i.Inspected, 0.95)
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
		c := binomialCharacteristic(i.SampleSize, i.Acceptance)
		i.Law = Binomial
		i.draw(c, c.table(), aql)
		return
	}
	c := hypergeometricCharacteristic(i.LotSize, i.SampleSize, i.Acceptance)
	i.Law = Hypergeometric
	// The lot's quality is at the AQL or better: whole cells, rounded down.
	whole := float64(int(aql*float64(i.LotSize)+rounding)) / float64(i.LotSize)
	i.draw(c, finiteTable(c, i.LotSize), whole)
}

// draw fills the characteristic. limiting is the row of the table with a consumer's risk of 10 %.
func (i *Inspection) draw(c characteristic, table []OperatingPoint, atAQL float64) {
	limiting := slices.Index(tabulated, 0.10)
	i.Qualities = table
	i.ProducersRisk = 1 - c(atAQL)
	i.LimitingPercent = table[limiting].PercentNonconforming
	i.Curve = c.curve(min(1, 1.2*table[len(table)-1].PercentNonconforming/100+0.001))
}
