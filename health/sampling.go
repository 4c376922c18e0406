package health

import (
	"ohmledger/health/job"
	"ohmledger/health/sampling"
)

// Acceptance is what a sampling plan says about a delivery. Unset it is Undecided.
type Acceptance int

const (
	Undecided Acceptance = iota
	Accepted
	Rejected
)

// String gives the word that machines read.
func (a Acceptance) String() string { return [...]string{"undecided", "accepted", "rejected"}[a] }

// Inspection is the acceptance sampling of a delivery: the cells of the job are the sample. Percentages are of cells
// nonconforming.
type Inspection struct {
	Kind            string  // "attributes" or "variables", as the job has it
	Standard        string  // whose tables the plan is from
	Level, Severity string  // of inspection
	LotSize         int     // cells in the delivery
	AQL             float64 // acceptable quality level, percent

	CodeLetter string // of the lot size at the level
	PlanLetter string // that its arrows lead to, with the sample size below
	SampleSize int    // that the plan asks for: the whole lot where that is smaller
	// Acceptance is the largest number of nonconforming cells with which the lot is accepted; Rejection is one more.
	// Attributes only.
	Acceptance, Rejection int
	Constant              float64 // k, variables only: 0 otherwise
	LargestPercent        float64 // M, the largest estimated percentage with which the lot is accepted; variables only

	Inspected int // cells in the sample
	// Conforming cells passed. Nonconforming ones failed, conditionally or not. Doubtful are those not evaluated and
	// those that passed conditionally: they never count as conforming.
	Conforming, Nonconforming, Doubtful int
	// UpperPercent is the upper 95 % limit of the percentage nonconforming in the lot, doubtful ones counted as nonconforming.
	// Attributes only.
	UpperPercent float64
	Limits       []InspectedLimit // variables only

	Law sampling.Law
	// Qualities are the percentages nonconforming that the plan accepts with 99, 95, 90, 75, 50, 25, 10, 5 and 1 %;
	// Curve is for drawing.
	Qualities, Curve []sampling.OperatingPoint
	ProducersRisk    float64 // that a lot of the AQL's quality is rejected, 0 to 1
	LimitingPercent  float64 // that is still accepted with 10 %: the consumer's risk at that quality

	Decision Acceptance
	Because  Statement
	Reason   string // what Because says, in words
}

// inspectedKinds are the two ways to sample, by the name that a job gives them.
var inspectedKinds = map[string]func(i *Inspection, j *job.Job, cells []LotCell) Statement{
	"attributes": (*Inspection).byAttributes,
	"variables":  (*Inspection).byVariables,
}

// inspection judges a delivery by the cells that were taken from it.
func inspection(j *job.Job, cells []LotCell) *Inspection {
	s := j.Sampling
	i := &Inspection{Kind: s.Standard, Level: s.Level, Severity: s.Severity, LotSize: s.LotSize, AQL: s.AQL, Inspected: len(cells)}
	for _, c := range cells {
		switch c.Verdict {
		case Pass:
			i.Conforming++
		case Fail, ConditionalFail:
			i.Nonconforming++
		default:
			i.Doubtful++
		}
	}
	i.Because = inspectedKinds[s.Standard](i, j, cells)
	return i
}

// unplanned says that no plan can be had, and why.
func (i *Inspection) unplanned(code string) Statement {
	return because(code, word("standard", i.Standard), word("severity", i.Severity), word("level", i.Level),
		number("aql", i.AQL, PerCent), count("lot_size", i.LotSize))
}

// missized says what is wrong with the number of cells in the sample; nothing where it is right.
func (i *Inspection) missized() Statement {
	facts := []Fact{count("lot_size", i.LotSize), count("needed", i.SampleSize), count("inspected", i.Inspected)}
	switch n := i.Inspected; {
	case n > i.LotSize:
		return because("sample-exceeds-lot", facts...)
	case n < i.SampleSize:
		return because("sample-too-small", append(facts, count("missing", i.SampleSize-n))...)
	case n == i.LotSize && n > i.SampleSize:
		return because("sample-is-whole-lot", facts...)
	case n > i.SampleSize:
		return because("sample-too-large", append(facts, count("surplus", n-i.SampleSize))...)
	}
	return Statement{}
}
