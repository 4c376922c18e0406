package pdf

// lotMethod is how the cells were described together, where the report does so.
type lotMethod struct {
	Level     string // of the test for outliers
	Divided   bool
	Standard  string // tables of the sampling plan; blank: none was asked for
	Variables bool
}

func (c *composition) lotMethod() {
	l := c.doc.Assessment.Lot
	if !lotShown(l) || len(l.Quantities) == 0 {
		return
	}
	m := lotMethod{Level: c.perCent(l.Quantities[0].Outliers.Level), Divided: len(l.Groups) >= 2}
	if l.Sampling != nil {
		m.Standard, m.Variables = l.Sampling.Standard, l.Sampling.Kind == "variables"
	}
	c.sided("lot.method", c.say("lot.method", m))
}
