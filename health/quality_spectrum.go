package health

import (
	"fmt"
	"math"

	"ohmledger/fit"
)

// Limits of the Kramers–Kronig test. Most published battery spectra stay under 1 % (common practice); clean
// measurements of real cells must never be rejected, so only what no cell does is.
const (
	doubtfulRMS   = 0.01 // with residuals that are structured
	doubtfulDrift = 0.03 // growth of |Z| during the sweep
	doubtfulPoint = 0.05 // a point by itself
	violatedRMS   = 0.05
	reversedShare = 1. / 3 // of the residuals that turning the sign leaves, at most
	structured    = -2.6   // runs test, standard score: one in 200 by chance (NIST/SEMATECH e-Handbook 1.3.5.13)
)

func seeUntested(v *sight) string {
	if v.kk != nil {
		return ""
	}
	return "The spectrum has too few points or too narrow a band for the Kramers–Kronig test."
}

func signReversed(v *sight) bool {
	return v.kk != nil && v.kk.RMSResidual > violatedRMS && v.kk.ReversedRMS < reversedShare*v.kk.RMSResidual
}

func seeSignReversed(v *sight) string {
	if !signReversed(v) {
		return ""
	}
	return fmt.Sprintf("The imaginary part seems to have its sign reversed: Kramers–Kronig residuals of %.1f %% rms become %.1f %% when it is turned.",
		100*v.kk.RMSResidual, 100*v.kk.ReversedRMS)
}

func seeViolated(v *sight) string {
	if v.kk == nil || v.kk.RMSResidual <= violatedRMS || signReversed(v) {
		return ""
	}
	return fmt.Sprintf("The spectrum cannot be that of a cell at rest: Kramers–Kronig residuals of %.1f %% rms, the largest %.1f %% at %.3g Hz.",
		100*v.kk.RMSResidual, 100*v.kk.MaxResidual, v.spectrum.Frequency[v.kk.MaxIndex])
}

func seeDoubtful(v *sight) string {
	if v.kk == nil || v.kk.RMSResidual > violatedRMS {
		return ""
	}
	k := v.kk
	switch {
	case math.Abs(k.Drift.Change) > max(doubtfulDrift, 3*k.Drift.StandardUncertainty) && k.Drift.Share > 0.5:
		return fmt.Sprintf("The cell seems to have drifted: |Z| changed by %+.1f %% during the sweep.", 100*k.Drift.Change)
	case len(k.Outliers) > 0 && pointError(k.Outliers[0].Error) > doubtfulPoint:
		o := k.Outliers[0]
		return fmt.Sprintf("The point at %.4g Hz does not go with the others by %.1f %%.", v.spectrum.Frequency[o.Index], 100*pointError(o.Error))
	case k.RMSResidual > doubtfulRMS && k.RunsZ < structured:
		return fmt.Sprintf("Kramers–Kronig residuals are structured and %.1f %% rms, the largest %.1f %% at %.3g Hz.",
			100*k.RMSResidual, 100*k.MaxResidual, v.spectrum.Frequency[k.MaxIndex])
	}
	return ""
}

func pointError(e complex128) float64 { return math.Hypot(real(e), imag(e)) }

func seeFitImpossible(v *sight) string {
	switch v.fit.Status {
	case fit.Converged, fit.TooManySteps, fit.Stalled:
		return ""
	}
	return fmt.Sprintf("The circuit could not be fitted to %d points: %s.", len(v.spectrum.Frequency), v.fit.Status)
}

func seeNotConverged(v *sight) string {
	switch v.fit.Status {
	case fit.TooManySteps, fit.Stalled:
		return fmt.Sprintf("The fit did not settle: %s.", v.fit.Status)
	}
	return ""
}
