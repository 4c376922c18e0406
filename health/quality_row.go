package health

import (
	"fmt"
	"math/cmplx"
	"slices"
	"strings"

	"ohmledger/fit/spectrum"
)

// fourWireBelowOhm is the impedance under which four wires are wanted: common practice.
const fourWireBelowOhm = 1000

// noted gives what reading noted of one kind.
func noted(kind spectrum.NoteKind) func(v *sight) string {
	return func(v *sight) string {
		var texts []string
		for _, n := range v.spectrum.Notes {
			if n.Kind == kind {
				texts = append(texts, n.Text)
			}
		}
		return strings.Join(texts, " ")
	}
}

func seeTwoWire(v *sight) string {
	if v.row.Sensing != "2-wire" || len(v.spectrum.Impedance) == 0 {
		return ""
	}
	moduli := make([]float64, len(v.spectrum.Impedance))
	for i, z := range v.spectrum.Impedance {
		moduli[i] = cmplx.Abs(z)
	}
	slices.Sort(moduli)
	if median := moduli[len(moduli)/2]; median < fourWireBelowOhm {
		return fmt.Sprintf("Two-wire sensing at %.3g Ω: the leads and contacts are measured with the cell, often 10 mΩ and more.", median)
	}
	return ""
}

func seeSensingUnknown(v *sight) string {
	if v.row.Sensing != "" {
		return ""
	}
	return "It is not stated whether two or four wires went to the cell."
}

func seeTemperature(v *sight) string {
	t, c := v.row.TemperatureC, &v.job.Conditions
	if t >= c.TemperatureMinC && t <= c.TemperatureMaxC {
		return ""
	}
	return fmt.Sprintf("The cell was at %.1f °C, outside the job's range of %.1f °C to %.1f °C.", t, c.TemperatureMinC, c.TemperatureMaxC)
}

func seeSOCOffTarget(v *sight) string {
	c := &v.job.Conditions
	if !socApart(v.row.SOCPercent, c.SOCPercent, c.SOCTolerancePercent) {
		return ""
	}
	return fmt.Sprintf("The state of charge was %.1f %%, off the job's %.1f %% ± %.1f %%.", *v.row.SOCPercent, *c.SOCPercent, c.SOCTolerancePercent)
}

func seeSOCUnknown(v *sight) string {
	if v.row.SOCPercent != nil {
		return ""
	}
	return "The state of charge is not stated; it counts as that of the baseline."
}

func seeRestShort(v *sight) string {
	rest, least := v.row.RestMinutes, v.job.Conditions.MinRestMinutes
	if rest == nil || *rest >= least {
		return ""
	}
	return fmt.Sprintf("The cell rested %.0f min before the sweep; the job asks for %.0f min.", *rest, least)
}

func seeRestUnknown(v *sight) string {
	if v.row.RestMinutes != nil || v.job.Conditions.MinRestMinutes <= 0 {
		return ""
	}
	return fmt.Sprintf("The rest before the sweep is not stated; the job asks for %.0f min.", v.job.Conditions.MinRestMinutes)
}

// seeCalibration compares days. The date belongs to the job's instrument and says nothing of another one.
func seeCalibration(v *sight) string {
	instrument := &v.job.Instrument
	other := v.row.Instrument != "" && v.row.Instrument != instrument.Name
	if instrument.CalibrationDue.IsZero() || other || day(v.row.MeasuredAt) <= day(instrument.CalibrationDue) {
		return ""
	}
	return fmt.Sprintf("The instrument's calibration was due on %s, before the measurement.", day(instrument.CalibrationDue))
}

func seeSensingDiffers(v *sight) string {
	if v.row.Sensing == "" || v.baseline.sensing == "" || v.row.Sensing == v.baseline.sensing {
		return ""
	}
	return fmt.Sprintf("Sensing is %s and that of the baseline %s: the ohmic resistance is not comparable.", v.row.Sensing, v.baseline.sensing)
}

func seeSOCDiffers(v *sight) string {
	if !socApart(v.row.SOCPercent, v.baseline.SOCPercent, v.job.Conditions.SOCTolerancePercent) {
		return ""
	}
	return fmt.Sprintf("The state of charge was %.1f %% and that of the baseline %.1f %%, more than %.1f %% apart: resistances are not comparable.",
		*v.row.SOCPercent, *v.baseline.SOCPercent, v.job.Conditions.SOCTolerancePercent)
}

func seeInstrumentDiffers(v *sight) string {
	if v.baseline.instrument == "" || v.row.Instrument == "" || v.row.Instrument == v.baseline.instrument {
		return ""
	}
	return fmt.Sprintf("The instrument is %q and that of the baseline %q.", v.row.Instrument, v.baseline.instrument)
}
