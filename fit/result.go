package fit

import (
	"ohmledger/fit/spectrum"
)

// Measured is one spectrum with what fitting a history needs to know about it.
type Measured struct {
	Spectrum     *spectrum.Spectrum
	TemperatureC float64
	Day          float64 // when, in days from any origin, by which scatter is told from growth; 0 where nobody knows
	// RelativeNoise is the standard uncertainty of |Z| that the instrument states, as a fraction;
	// AbsoluteNoiseOhm its part in ohm. They scale the reduced chi-square; the weights stay by modulus.
	RelativeNoise, AbsoluteNoiseOhm float64
}

// Element names a resistance of the circuit that a result carries.
type Element int

const (
	Ohmic          Element = iota // R_Ω: leads excluded, electrolyte, foils, tabs
	Film                          // R_f: the faster arc where two arcs are told apart
	ChargeTransfer                // R_ct: the slower arc, or the whole arc where there is one
	Polarisation                  // R_f + R_ct: all arcs together
	elementCount
)

// String gives the element's name in plain words.
func (e Element) String() string {
	return [...]string{"ohmic resistance", "film resistance", "charge-transfer resistance", "resistance of all arcs"}[e]
}

// Exclusion is a measured point that the fit did not use, and why.
type Exclusion struct {
	Index       int       // into the spectrum
	FrequencyHz float64   // as measured
	Reason      string    // plain words
	Because     Statement // what Reason says
}

// Doubt is something that makes a result less sure than its numbers look.
type Doubt struct {
	Code  string // stable, kebab-case
	Text  string // plain words, complete sentence
	Facts []Fact // what Text states
}

// Result is the circuit fitted to one spectrum. Resistances in ohm. A resistance that
// the data do not carry is the zero Value, its reason in Unresolved.
type Result struct {
	Status     Status // why the iteration ended
	Arcs       int    // 1 or 2
	Parameters Parameters

	Ohmic, Film, ChargeTransfer, Polarisation Value // ohm
	ChargeTransferTimeConstant                Value // second
	ChargeTransferExponent                    Value // 1
	FilmTimeConstant                          Value // second
	FilmExponent                              Value // 1
	Inductance                                Value // henry, effective at the highest frequency used
	InductanceExponent                        Value // 1; 1 is an ideal inductor
	Warburg                                   Value // ohm per square root of second, equal in size to the fitted diffusion at 1 rad/s
	DiffusionExponent                         Value // 1; ½ is Warburg's

	Unresolved map[Element]string    // why a resistance has no value
	Because    map[Element]Statement // what Unresolved says

	// Intervals are 95 % intervals by profile likelihood, in ohm, of resistances that are so uncertain that a
	// symmetric interval may mislead.
	Intervals map[Element]Interval

	// LogModelU is the relative standard uncertainty of each resistance that comes from the circuit's not being
	// quite the cell: from residuals that all spectra share, exponents that may drift, and a second arc that hides. It is common to a cell's history: it counts in an absolute resistance beside the value's own
	// uncertainty, and in a growth only as far as History.LogModelU says.
	LogModelU [elementCount]float64

	// LogScatter is the part of each arc's relative standard uncertainty that its residuals do not know: by how much
	// neighbours of the history scatter beyond it; 0 where they do not.
	LogScatter [elementCount]float64

	PointsUsed     int
	Excluded       []Exclusion
	Fitted         []complex128 // ohm, model at every measured frequency, used or not
	Residuals      []complex128 // (measured − fitted)/|measured| at every measured frequency, 1
	RMSResidual    float64      // over the points used, per part (real or imaginary), 1
	ChiSquare      float64      // reduced, against the instrument's stated uncertainty; NaN where it states none
	RunsZ          float64      // runs test of the residuals' signs (NIST e-Handbook 1.3.5.13); below −2.6: structured
	Correlation    [][]float64  // of the fitted parameters, in the order of ParameterNames
	ParameterNames []string     // names with units, for tables
	Condition      float64      // of Correlation: largest over smallest eigenvalue; 1 where all parameters are told apart; NaN: none
	Doubts         []Doubt
}

// Resistance returns one of the result's resistances.
func (r *Result) Resistance(e Element) Value {
	return [...]Value{r.Ohmic, r.Film, r.ChargeTransfer, r.Polarisation}[e]
}

// History is one cell's spectra fitted together: one model, shared exponents.
type History struct {
	Arcs    int       // 1 or 2, for every spectrum of the history
	Choice  string    // why this many arcs, in plain words
	Because Statement // what Choice says
	Results []*Result // one a spectrum, in the order given

	logCov    func(i, j int, e Element) float64
	logModelU func(i, j int, e Element) float64
}

// LogCovariance is the covariance of ln R of spectrum i with ln R of spectrum j (for i = j the
// variance), dimensionless. Shared exponents make neighbours correlated, so that the uncertainty
// of a growth is less than two single ones would give. NaN where either is not resolved.
func (h *History) LogCovariance(i, j int, e Element) float64 { return h.logCov(i, j, e) }

// LogModelU is the standard uncertainty of ln(R of spectrum i / R of spectrum j) that comes from the circuit's
// not being quite the cell: how differently the misfit weighs in the two, and how far the ratio moves
// when the shared exponents may drift along the history. 0 for i = j. NaN where either is not resolved.
func (h *History) LogModelU(i, j int, e Element) float64 { return h.logModelU(i, j, e) }
