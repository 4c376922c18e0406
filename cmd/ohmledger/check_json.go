package main

import "ohmledger/health/job"

// checkSchema names the form of the JSON; its JSON Schema is templates/schema/check.schema.json.
const checkSchema = "ohmledger/check/1"

// The JSON of a check. A field of type any is a value with its standard uncertainty, or null.
type (
	checkDocument struct {
		Schema     string           `json:"schema"`
		Tool       checkTool        `json:"tool"`
		Verdict    worth            `json:"verdict"`
		Counts     checkCounts      `json:"counts"`
		Job        *string          `json:"job"`
		NotJudged  []string         `json:"not_judged"`
		Caution    string           `json:"caution"`
		Spectra    []checkSpectrum  `json:"spectra"`
		Comparison *checkComparison `json:"comparison"`
		Faults     []checkFault     `json:"faults"`
	}
	checkTool struct {
		Name    string `json:"name"`
		Version string `json:"version"`
		Model   string `json:"model"`
	}
	checkCounts struct {
		Keep    int `json:"worth_keeping"`
		Warned  int `json:"worth_keeping_with_warnings"`
		ByHand  int `json:"accepted_by_hand"`
		Discard int `json:"not_worth_keeping"`
	}
	checkSpectrum struct {
		File          string              `json:"file"`
		SHA256        string              `json:"sha256"`
		Cell          *string             `json:"cell"`
		MeasuredAt    *string             `json:"measured_at"`
		Verdict       worth               `json:"verdict"`
		Accepted      bool                `json:"accepted"`
		ByHand        *string             `json:"accepted_by_hand"`
		Points        int                 `json:"points"`
		HighestHz     float64             `json:"highest_frequency_hz"`
		LowestHz      float64             `json:"lowest_frequency_hz"`
		KramersKronig *checkKramersKronig `json:"kramers_kronig"`
		Ohmic         any                 `json:"ohmic_ohm"`
		Arcs          any                 `json:"all_arcs_ohm"`
		Inductance    any                 `json:"inductance_h"`
		Findings      []checkFinding      `json:"findings"`
	}
	checkKramersKronig struct {
		RMSResidual   float64 `json:"rms_residual"`
		MaxResidual   float64 `json:"max_residual"`
		TimeConstants int     `json:"time_constants"`
		NoisePercent  float64 `json:"noise_percent"`
	}
	checkFinding struct {
		Code     string         `json:"code"`
		Severity string         `json:"severity"`
		Touches  []job.Quantity `json:"touches"`
		Message  string         `json:"message"`
		Advice   string         `json:"advice"`
		Facts    map[string]any `json:"facts"`
	}
	checkComparison struct {
		Comparable  bool           `json:"comparable"`
		Shift       any            `json:"shift_ohm"`
		ShiftShare  *float64       `json:"shift_share"`
		ArcGrowth   any            `json:"arc_growth"`
		Slowing     any            `json:"log_time_constant_change"`
		Left        *float64       `json:"left_rms"`
		NoiseA      *float64       `json:"noise_a"`
		NoiseB      *float64       `json:"noise_b"`
		InductanceA *float64       `json:"inductance_a_h"`
		InductanceB *float64       `json:"inductance_b_h"`
		Differences []checkFinding `json:"differences"`
	}
	checkFault struct {
		File    string  `json:"file"`
		Line    *int    `json:"line"`
		Column  *int    `json:"column"`
		Message string  `json:"message"`
		Remedy  *string `json:"remedy"`
	}
)
