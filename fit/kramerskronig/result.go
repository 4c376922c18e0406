// Package kramerskronig tests whether a spectrum can be that of a linear, stable, causal cell.
package kramerskronig

// Result of the linear Kramers–Kronig test (Boukamp, J. Electrochem. Soc. 142 (1995) 1885), the number
// of time constants by the μ criterion of Schönleber, Klotz, Ivers-Tiffée, Electrochim. Acta 131 (2014) 20.
// It measures; what is too much is for the caller to say. The size of the residuals alone hides a drift of several
// percent, so the shape of a violation has figures of its own.
type Result struct {
	TimeConstants int          // M of the model
	Mu            float64      // 1 − Σ|R_k<0|/Σ|R_k≥0| over the capacitive part of the band; −1 stands for anything below
	Residuals     []complex128 // (measured − model)/|measured|, in the order of the spectrum, 1
	RMSResidual   float64      // per part (real or imaginary), 1
	MaxResidual   float64      // largest size of a part's residual, 1
	MaxIndex      int          // the point that has it
	RunsZ         float64      // runs test of the residuals' signs, standard score; below −2.6: structured, however small they are
	RunsZReal     float64      // the same for the real parts alone
	RunsZImag     float64      // and for the imaginary parts
	NoisePercent  float64      // standard deviation of a part's noise in % of |Z|: Boukamp's sqrt(5000 χ²/N), corrected for the fitted terms

	Drift    Drift
	Outliers []Outlier // the worst first; empty where no point is off by more than chance explains
	Jumps    []Jump    // the largest share first
	Decades  []Decade  // highest frequencies first

	// ReversedRMS is the RMSResidual that the same model leaves of the spectrum with the sign of every Z''
	// turned round. Far below RMSResidual it says that the file has the sign reversed.
	ReversedRMS float64
}

// Drift is what the residuals say about a cell that changes while it is measured: by how much |Z| grew from first to
// last point, as a fraction of its last value, if it grew in step with the time that the points took. The time is
// reckoned as a fixed number of periods a point, from the highest frequency to the lowest; a sweep the other
// way round has the opposite sign.
type Drift struct {
	Change              float64 // 0.05: 5 % of |Z| at the end came during the sweep
	StandardUncertainty float64 // of Change, from the residuals that remain with drift described
	Share               float64 // of the sum of squared residuals that this one term takes away, 0 to 1
}

// Outlier is a point that does not go with the others. A point at an end of the band is only extrapolated to by
// the others, so that its error may be large and yet uncertain.
type Outlier struct {
	Index               int        // into the spectrum
	Error               complex128 // (measured − what the other points say)/|measured|, 1
	StandardUncertainty float64    // of a part of Error
	Share               float64    // of the sum of squared residuals that leaving the point out takes away, beyond outliers named before it
}

// Decade is a tenfold of frequency, counted downward from the highest of the spectrum.
type Decade struct {
	FromHz, ToHz float64 // highest and lowest frequency in it that was measured
	RMSResidual  float64 // per part, 1
}

// Jump is a point from which on the sweep does not go with what came before.
type Jump struct {
	Index               int     // into the spectrum: the first point after it
	Scales              bool    // the rest is another multiple of itself; else it is moved along the real axis
	Change              float64 // of |Z| at that point, 1
	StandardUncertainty float64 // of Change
	Share               float64 // of the sum of squared residuals that it takes away, beyond jumps named before it
}
