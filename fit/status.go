package fit

// Status says why the iteration of a fit ended.
type Status int

const (
	NotRun        Status = iota // nothing was fitted; the zero value
	Converged                   // neither cost nor parameters change any more
	TooManySteps                // the limit of iterations was reached first
	Stalled                     // no step improves the cost, yet its slope is not zero
	TooFewPoints                // fewer points than the circuit has parameters
	NotComputable               // the model or the data gave no finite number
)

// Code names it to machines, in kebab-case.
func (s Status) Code() string {
	return [...]string{"not-run", "converged", "too-many-steps", "stalled", "too-few-points", "not-computable"}[s]
}

// Statement says it to machines and people.
func (s Status) Statement() Statement { return because("fit-"+s.Code(), s.String()) }

// String says it in plain words.
func (s Status) String() string {
	return [...]string{
		"not run", "converged", "stopped at the limit of iterations", "stalled before a minimum",
		"too few points", "not computable",
	}[s]
}
