package report

import (
	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/statistics"
)

// distributionForm is a normal distribution laid on values or on their logarithms.
type distributionForm struct {
	Law             string          `json:"law"`
	Location        finite          `json:"location"`
	Scale           finite          `json:"scale"`
	Normality       normalityForm   `json:"normality"`
	PlotCorrelation finite          `json:"plot_correlation"`
	Tolerance       toleranceForm   `json:"tolerance"`
	Capability      *capabilityForm `json:"capability"`
	NotEvaluated    []missingForm   `json:"not_evaluated"`
}

func distributionOf(w *Words, d *health.DistributionFit) distributionForm {
	miss := newGaps(w)
	f := distributionForm{Law: d.Law, Location: finite(d.Location), Scale: finite(d.Scale), Normality: normalityOf(w, d.Normality),
		PlotCorrelation: miss.number("plot_correlation", d.PlotCorrelation, "no-spread"), Tolerance: toleranceOf(d), Capability: capabilityOf(w, d.Capability)}
	if f.Capability == nil {
		miss.null("capability", "no-limit")
	}
	f.NotEvaluated = miss.list
	return f
}

// normalityForm is the test of Anderson and Darling, adjusted for the number of values.
type normalityForm struct {
	Statistic    finite        `json:"statistic"`
	Critical     float64       `json:"critical_5_percent"`
	P            finite        `json:"p"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

func normalityOf(w *Words, t statistics.NormalityTest) normalityForm {
	const few = "few-for-normality"
	miss := newGaps(w)
	f := normalityForm{Statistic: miss.number("statistic", t.Statistic, few), Critical: t.Critical, P: miss.number("p", t.P, few)}
	f.NotEvaluated = miss.list
	return f
}

// toleranceForm are three statements about the population, each by itself: a two-sided interval, a lower limit, an upper limit.
type toleranceForm struct {
	Content        float64      `json:"content"`
	Confidence     float64      `json:"confidence"`
	TwoSided       intervalForm `json:"two_sided"`
	TwoSidedFactor finite       `json:"two_sided_factor"`
	LowerLimit     finite       `json:"lower_limit"`
	UpperLimit     finite       `json:"upper_limit"`
	OneSidedFactor finite       `json:"one_sided_factor"`
}

func toleranceOf(d *health.DistributionFit) toleranceForm {
	t := d.Tolerance
	return toleranceForm{t.Content, t.Confidence, intervalForm{finite(t.Lower), finite(t.Upper)}, finite(t.Factor),
		finite(d.LowerTolerance.Lower), finite(d.UpperTolerance.Upper), finite(d.UpperTolerance.Factor)}
}

// capabilityForm is a lot's spread against its limits, as if it were a stable process of the distribution.
type capabilityForm struct {
	Cp           *indexForm    `json:"cp"`
	CpkLower     *indexForm    `json:"cpk_lower"`
	CpkUpper     *indexForm    `json:"cpk_upper"`
	Cpk          *indexForm    `json:"cpk"`
	PercentBelow *finite       `json:"percent_below"`
	PercentAbove *finite       `json:"percent_above"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

// indexForm is one index with its 95 % confidence interval.
type indexForm struct {
	Value        float64       `json:"value"`
	Interval95   *intervalForm `json:"interval_95"`
	Exact        bool          `json:"exact"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

func capabilityOf(w *Words, c *health.Capability) *capabilityForm {
	if c == nil {
		return nil
	}
	miss := newGaps(w)
	index := func(member string, i health.CapabilityIndex, why string) *indexForm {
		if !i.Known || !isFinite(i.Value) {
			miss.null(member, why)
			return nil
		}
		own := newGaps(w)
		f := &indexForm{Value: i.Value, Interval95: own.interval("interval_95", i.Interval, "no-interval"), Exact: i.Exact}
		f.NotEvaluated = own.list
		return f
	}
	share := func(member string, percent float64, of health.CapabilityIndex) *finite {
		if !of.Known {
			miss.null(member, "no-limit-there")
			return nil
		}
		p := finite(percent)
		return &p
	}
	f := &capabilityForm{Cp: index("cp", c.Cp, "one-limit"), CpkLower: index("cpk_lower", c.CpkLower, "no-limit-there"),
		CpkUpper: index("cpk_upper", c.CpkUpper, "no-limit-there"), Cpk: index("cpk", c.Cpk, "no-limit"),
		PercentBelow: share("percent_below", c.PercentBelow, c.CpkLower), PercentAbove: share("percent_above", c.PercentAbove, c.CpkUpper)}
	f.NotEvaluated = miss.list
	return f
}

// lotValueForm is a value as a measurement gave it; its standard uncertainty is null where none is stated.
type lotValueForm struct {
	Value               float64  `json:"value"`
	StandardUncertainty *float64 `json:"standard_uncertainty"`
}

func lotValueOf(v fit.Value) *lotValueForm {
	if !v.Known() {
		return nil
	}
	f := &lotValueForm{Value: v.Estimate()}
	if u := v.StandardUncertainty(); u > 0 {
		f.StandardUncertainty = &u
	}
	return f
}
