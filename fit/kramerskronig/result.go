// Package kramerskronig tests whether a spectrum can be that of a linear, stable, causal cell.
package kramerskronig

// Result of the linear Kramers–Kronig test (Boukamp, J. Electrochem. Soc. 142 (1995) 1885), the number
// of time constants by the μ criterion of Schönleber, Klotz, Ivers-Tiffée, Electrochim. Acta 131 (2014) 20.
type Result struct {
	TimeConstants int          // M of the model
	Mu            float64      // 1 − Σ|R_k<0|/Σ|R_k≥0|
	Residuals     []complex128 // (measured − model)/|measured|, in the order of the spectrum, 1
	RMSResidual   float64      // per part (real or imaginary), 1
	MaxResidual   float64      // largest size of a part's residual, 1
	RunsZ         float64      // runs test of the residuals' signs, standard score; below −2.6: structured
	NoisePercent  float64      // estimated noise of each part in % of |Z| (PUBLISHED form: σ = sqrt(5000 χ²/N), corrected for the fitted terms)
}
