package pdf

import (
	"slices"
	"strings"

	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// lotSettings are those that a lot is sampled, graded and grouped by, in job.yaml's order.
func (c *composition) lotSettings() (list []inForce) {
	for _, g := range c.job.Grades {
		var limits []string
		for _, l := range g.Limits {
			words := c.limit(l.Quantity, l.Side, l.Bound)
			words.Quantity = c.say("brief", string(l.Quantity))
			limits = append(limits, c.say("limit", words))
		}
		list = append(list, inForce{"grades", c.literally(g.Name) + ": " + strings.Join(limits, "; ")})
	}
	list = append(list, inForce{"group_by", c.literally(c.job.GroupBy)})
	if s := c.job.Sampling; s != nil {
		list = append(list, inForce{"sampling.standard", c.say("setting-word", s.Standard)}, inForce{"sampling.lot_size", c.count(s.LotSize)},
			inForce{"sampling.aql", c.numbers.Stated(s.AQL, notation.One.Scale())}, inForce{"sampling.level", s.Level}, inForce{"sampling.severity", c.say("setting-word", s.Severity)})
	}
	if g := c.job.Grouping; g != nil {
		by := make([]string, len(g.By))
		for i, q := range g.By {
			by[i] = c.doc.Words.Quantity(q)
		}
		list = append(list, inForce{"grouping.size", c.count(g.Size)}, inForce{"grouping.arrangement", c.say("setting-word", g.Arrangement)},
			inForce{"grouping.by", strings.Join(by, ", ")}, inForce{"grouping.within_grade", c.yesOrNo(g.WithinGrade)})
	}
	return list
}

func (c *composition) yesOrNo(so bool) string {
	if so {
		return c.say("yes", nil)
	}
	return c.say("no", nil)
}

// unusedColumns are the columns of the measurements that the report does not use: the one that divides the lot is used.
func unusedColumns(j *job.Job) []string {
	return slices.DeleteFunc(slices.Clone(j.ExtraColumns), func(name string) bool { return name == j.GroupBy })
}
