package health

import (
	"cmp"
	"slices"

	"ohmledger/health/job"
)

// settle gives the cell its verdict: failed where a criterion failed; else not evaluated where one could not be; else the
// worst of them.
func (g grounds) settle(s *specimen) {
	decisive := -1
	for i, c := range s.Criteria {
		if decisive < 0 || gravity[c.Verdict] > gravity[s.Criteria[decisive].Verdict] {
			decisive = i
		}
	}
	if decisive < 0 {
		s.Because = because("no-limits")
	} else {
		s.Verdict = s.Criteria[decisive].Verdict
		s.Because = s.explain(s.Criteria[decisive])
	}
	s.Reason = g.say.reason(s.Because)
}

// gravity orders verdicts by what decides over what. Not evaluated outweighs all but a failure, so that nothing is passed in
// silence.
var gravity = [...]int{Pass: 0, ConditionalPass: 1, ConditionalFail: 2, NotEvaluated: 3, Fail: 4}

// explain is the statement that explains the cell's verdict.
func (s *specimen) explain(c Criterion) Statement {
	why, dated := s.decisive(c.Verdict), ""
	if c.Verdict == Pass {
		dated = "dated"
		at := s.Latest
		if at < 0 { // a capacity alone
			at = s.judged(c.Quantity)
		}
		why = because("all-met", moment("on", s.Measurements[at].Row.MeasuredAt))
	}
	later := len(s.Measurements) - 1 - s.Latest
	if s.Latest < 0 || later == 0 || c.Because.Code == onlyBaselineAccepted { // or that has said it
		return why
	}
	return because("later-rejected", within("why", why), count("spectra", later), word("dated", dated),
		moment("on", s.Measurements[s.Latest].Row.MeasuredAt))
}

// decisive states the criteria that decide a verdict: of those that fail all, the worst first; of others the first.
func (s *specimen) decisive(v Verdict) Statement {
	var list []Criterion
	for _, c := range s.Criteria {
		if c.Verdict == v {
			list = append(list, c)
		}
	}
	if v != Fail && v != ConditionalFail {
		list = list[:1]
	}
	slices.SortStableFunc(list, func(a, b Criterion) int { return cmp.Compare(a.conforming(), b.conforming()) })
	var why Statement
	for i, c := range slices.Backward(list) {
		this := because("criterion", word("quantity", string(c.Quantity)), within("message", c.Because))
		if i < len(list)-1 {
			this = because("criteria", within("first", this), within("then", why))
		}
		why = this
	}
	return why
}

// conforming is the probability of conformity; of a failed value without a stated uncertainty 0, since it misses its limit.
func (c *Criterion) conforming() float64 {
	if c.Unstated {
		return 0
	}
	return c.ProbabilityOfConformity
}

// grade is the first whose limits are all passed at the latest accepted measurement. A conditional pass meets no grade.
func (g grounds) grade(s *specimen) string {
	for _, grade := range g.job.Grades {
		if g.meets(s, grade.Limits) {
			return grade.Name
		}
	}
	return ""
}

func (g grounds) meets(s *specimen, limits []job.Limit) bool {
	for _, l := range limits {
		if g.criterion(s, l).Verdict != Pass {
			return false
		}
	}
	return len(limits) > 0
}

// tally counts the cells by verdict and gives the verdict of all.
func (a *Assessment) tally() {
	counts := map[Verdict]*int{
		Pass: &a.Counts.Pass, ConditionalPass: &a.Counts.ConditionalPass, ConditionalFail: &a.Counts.ConditionalFail,
		Fail: &a.Counts.Fail, NotEvaluated: &a.Counts.NotEvaluated,
	}
	for i, c := range a.Cells.All() {
		*counts[c.Verdict]++
		if i == 0 || gravity[c.Verdict] > gravity[a.Verdict] {
			a.Verdict = c.Verdict
		}
	}
}
