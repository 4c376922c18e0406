package health

import (
	"math"

	"ohmledger/health/job"
)

// Grading says why a cell has its grade, and what keeps it from the next better one.
type Grading struct {
	Grade   string    // empty: it met none
	Because Statement // which grade's limits are all met, or that none's are
	Reason  string    // what Because says, in words
	// Better is the next better grade, empty where the cell has the best or nothing better can be named. Missed are its
	// limits that the cell does not meet.
	Better string
	Missed []Shortfall
}

// Shortfall is a limit of a better grade that a cell misses.
type Shortfall struct {
	Criterion
	// By is how far the value is on the wrong side of what the decision rule accepts, in the unit of the quantity: a growth that
	// is 0.1 too large misses by 0.1. NaN where the quantity could not be had.
	By float64
}

// grading explains the grade that a cell was given; nil where the job has no grades.
func (g grounds) grading(s *specimen) *Grading {
	grades := g.job.Grades
	if len(grades) == 0 {
		return nil
	}
	place := len(grades) // of the grade; beyond the last where it met none
	for i, grade := range grades {
		if s.Grade != "" && grade.Name == s.Grade {
			place = i
			break
		}
	}
	r := &Grading{Grade: s.Grade, Because: because("grade-limits-met", word("grade", s.Grade))}
	if place == len(grades) {
		r.Because = because("grade-none-met", word("grade", grades[place-1].Name))
	} else if place == 0 {
		r.Because = because("grade-best", word("grade", s.Grade))
	}
	if place > 0 {
		r.Better = grades[place-1].Name
		r.Missed = g.shortfalls(s, grades[place-1].Limits)
	}
	r.Reason = g.say.reason(r.Because)
	return r
}

// shortfalls are the limits that the cell's judged measurement does not pass.
func (g grounds) shortfalls(s *specimen, limits []job.Limit) (missed []Shortfall) {
	for _, l := range limits {
		c := g.criterion(s, l)
		if c.Verdict == Pass {
			continue
		}
		by := math.NaN()
		if c.Value.Known() {
			by = c.Value.Estimate() - c.AcceptanceLimit
			if l.Side == job.Min {
				by = -by
			}
			// A conditional pass is on the right side of the limit; what it lacks is the expanded uncertainty.
			if c.Verdict == ConditionalPass {
				by += c.ExpandedUncertainty
			}
		}
		missed = append(missed, Shortfall{c, by})
	}
	return missed
}

// summary is every quantity that the lot needs, at the measurement that is judged.
func (g grounds) summary(s *specimen) (values []QuantityValue) {
	named := LotQuantities(g.job)
	values = make([]QuantityValue, 0, len(named))
	for _, q := range named {
		v := QuantityValue{Quantity: q, Own: math.NaN()}
		if i := s.judged(q); i < 0 {
			v.Because = s.nothingAccepted()
		} else if o := g.judgeable(s, i, q); o.reason.says() {
			v.Because = o.reason
		} else {
			v.Value = o.value
			v.Own = ownPart(o.value.StandardUncertainty(), o.contributions)
		}
		values = append(values, v)
	}
	return values
}
