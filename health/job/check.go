package job

import "slices"

// check holds the parts of job.yaml against one another.
func (r *reading) check(j *Job, root place) {
	r.checkReport(j, root.below("report"))
	r.checkConditions(j, root.below("conditions"))
	r.checkCharge(j, root.below("conditions").below("soc_percent"))
	r.checkBaseline(j, root.below("baseline"))
	r.checkCorrection(j, root.below("temperature_correction"))
	r.checkGrades(j, root.below("grades"))
	r.checkSampling(j, root.below("sampling"))
	r.checkFixture(j, root.below("fixture_correction"))
	r.checkSizes(j, root)
}

func (r *reading) checkReport(j *Job, at place) {
	issued, received := j.Report.Issued, j.Report.Received
	if j.Report.Amends != "" && j.Report.Amends == j.Report.Number {
		r.refuse(at.below("amends"), "give this report a number of its own", "%s is the number of this report itself", quote(j.Report.Amends))
	}
	if !issued.IsZero() && !received.IsZero() && dayOf(received) > dayOf(issued) {
		r.refuse(at.below("received"), "correct the date that is wrong", "%s is after the date of issue, %s", dayOf(received), dayOf(issued))
	}
}

// Every result is carried to the reference temperature. One that lies where nothing may be judged would make
// all of them extrapolations.
func (r *reading) checkConditions(j *Job, at place) {
	c, reference := j.Conditions, at.below("reference_temperature_c")
	if r.sound(reference) && c.TemperatureMinC < c.TemperatureMaxC && (c.ReferenceTemperatureC < c.TemperatureMinC || c.ReferenceTemperatureC > c.TemperatureMaxC) {
		r.refuse(reference, "widen temperature_range_c or choose a reference within it",
			"%s lies outside temperature_range_c, %s to %s", short(c.ReferenceTemperatureC), short(c.TemperatureMinC), short(c.TemperatureMaxC))
	}
}

func (r *reading) checkBaseline(j *Job, at place) {
	cells, declared := at.below("cells"), at.below("declared")
	switch {
	case j.Baseline.Source == ReferenceCells && cells.empty():
		r.refuse(cells, "write cells: [A1, A2] with names as in the table", "source is reference-cells, but no cell is listed")
	case j.Baseline.Source == Declared && declared.empty():
		r.refuse(declared, "fill in ohmic_ohm, charge_transfer_ohm or both, each with value and standard_uncertainty", "source is declared, but no value is stated")
	case at.below("source").empty() && !(cells.empty() && declared.empty()):
		r.refuse(at.below("source"), "write source: reference-cells, source: declared or source: first",
			"is blank, yet cells or values stand below it; it must be said whether they count")
	}
}

func (r *reading) checkCorrection(j *Job, at place) {
	energies := !at.below("ohmic").empty() || !at.below("charge_transfer").empty()
	switch {
	case j.TemperatureCorrection.Source == CorrectionDeclared && !energies:
		r.refuse(at.below("source"), "fill in activation_energy_kj_per_mol and standard_uncertainty under ohmic or charge_transfer, or write source: none",
			"is declared, but no activation energy is stated")
	case at.below("source").empty() && energies:
		r.refuse(at.below("source"), "write source: declared, or source: none", "is blank, yet activation energies stand below it; it must be said whether they count")
	}
}

// checkGrades refuses doubled names, and a grade whose cells would all have got a better one before.
func (r *reading) checkGrades(j *Job, at place) {
	if len(j.Grades) != len(at.items) {
		return
	}
	for i, g := range j.Grades {
		p := place{at.path, at.items[i]}
		same := slices.IndexFunc(j.Grades[:i], func(better Grade) bool { return g.Name != "" && better.Name == g.Name })
		if same >= 0 {
			r.refuse(p.below("name"), "give each grade a name of its own", "%s stands twice, first in line %d", quote(g.Name), at.items[same].line)
		}
		wide := slices.IndexFunc(j.Grades[:i], func(better Grade) bool {
			return len(better.Limits) > 0 && len(g.Limits) > 0 && implies(g.Limits, better.Limits)
		})
		if wide >= 0 {
			r.refuse(p, "list grades best first, each with wider limits than the one before", "no cell can get grade %s: whatever meets its limits gets grade %s (line %d)",
				quote(g.Name), quote(j.Grades[wide].Name), at.items[wide].line)
		}
	}
}

// implies says whether whatever meets all of narrow also meets all of wide.
func implies(narrow, wide []Limit) bool {
	return !slices.ContainsFunc(wide, func(w Limit) bool {
		return !slices.ContainsFunc(narrow, func(n Limit) bool {
			return n.Quantity == w.Quantity && n.Side == w.Side && (n.Bound == w.Bound || n.Bound < w.Bound == (n.Side == Max))
		})
	})
}

// The levels of each standard, and the one that holds where nothing is agreed (MIL-STD-105E, 4.9.1; MIL-STD-414, A7.1; from memory).
var samplingLevels = map[string]struct {
	usual string
	all   []string
}{
	"attributes": {"II", []string{"S-1", "S-2", "S-3", "S-4", "I", "II", "III"}},
	"variables":  {"IV", []string{"I", "II", "III", "IV", "V"}},
}

func (r *reading) checkSampling(j *Job, at place) {
	if j.Sampling == nil || j.Sampling.Standard == "" {
		return
	}
	levels, level := samplingLevels[j.Sampling.Standard], at.below("level")
	switch {
	case level.empty():
		j.Sampling.Level = levels.usual
		r.defaulted = append(r.defaulted, level.path)
	case j.Sampling.Level != "" && !slices.Contains(levels.all, j.Sampling.Level):
		r.refuse(level, "", "%s is no level of standard: %s; allowed: %s", quote(j.Sampling.Level), j.Sampling.Standard, alternatives(levels.all))
	}
}

func (r *reading) checkFixture(j *Job, at place) {
	if f := j.FixtureCorrection; f != nil && !at.below("file").empty() && (f.Resistance != nil || f.InductanceH != nil) {
		r.refuse(at, "keep one of the two", "holds both a file and stated values")
	}
}

// checkTable holds job.yaml against the measurements, and fills in what the conditions say for them.
func (r *reading) checkTable(j *Job, root place) {
	r.checkReferenceCells(j, root.below("baseline").below("cells"))
	r.checkGroupBy(j, root.below("group_by"))
	r.checkIssue(j, root.below("report").below("issued"))
	for i := range j.Measurements {
		if m := &j.Measurements[i]; m.TemperatureUncertaintyC == unstated {
			m.TemperatureUncertaintyC = j.Conditions.TemperatureUncertaintyC
		}
	}
}

func (r *reading) checkReferenceCells(j *Job, at place) {
	if j.Baseline.Source != ReferenceCells || len(j.Baseline.Cells) != len(at.items) {
		return
	}
	measured := map[string]bool{}
	var cells []string
	for _, m := range j.Measurements {
		if !measured[m.Cell] {
			measured[m.Cell] = true
			cells = append(cells, m.Cell)
		}
	}
	for i, name := range j.Baseline.Cells {
		if !measured[name] {
			r.refuse(place{at.path, at.items[i]}, didYouMean(name, cells), "%s has no row in %s", quote(name), j.Table)
		}
	}
}

func (r *reading) checkGroupBy(j *Job, at place) {
	known := append(columnNames(), j.ExtraColumns...)
	if j.GroupBy != "" && !slices.Contains(known, j.GroupBy) {
		r.refuse(at, didYouMean(j.GroupBy, known), "%s has no column %s", j.Table, quote(j.GroupBy))
	}
}

// A report cannot hold a measurement that is younger than itself. The days count as they are written.
func (r *reading) checkIssue(j *Job, at place) {
	if j.Report.Issued.IsZero() {
		return
	}
	for _, m := range j.Measurements {
		if dayOf(m.MeasuredAt) > dayOf(j.Report.Issued) {
			r.refuse(at, "correct the date that is wrong", "%s is before the measurement of %s in line %d of %s",
				dayOf(j.Report.Issued), dayOf(m.MeasuredAt), m.Line, j.Table)
			return
		}
	}
}
