// Package job reads a job folder: job.yaml and the measurement table, validated, every fault with its place.
package job

import (
	"time"

	"ohmledger/fit/spectrum"
)

// Job is a job folder, read and checked. Units are in the names.
type Job struct {
	Report                Report
	Laboratory            Laboratory
	Cell                  CellType
	Conditions            Conditions
	Instrument            Instrument
	Baseline              Baseline
	TemperatureCorrection TemperatureCorrection
	Limits                []Limit
	DecisionRule          DecisionRule
	Grades                []Grade
	GroupBy               string
	Sampling              *Sampling
	Grouping              *Grouping
	FixtureCorrection     *FixtureCorrection
	Wording               string // folder, relative to the job; empty: the built-in sentences
	Language              string // "en" or "de"
	Columns               spectrum.Columns

	Measurements []Measurement // in order of cell (as first named), then time, then row
	ExtraColumns []string      // columns of the table that are kept but not known, in table order
	Table        string        // name of the measurement table that was read
	Defaulted    []string      // keys of job.yaml that the job leaves blank and that a default fills, e.g. "instrument.relative_uncertainty"
	Sources      []Source      // job.yaml and the table, as read, for the digests
}

// Source is an input file of the job as it was read.
type Source struct {
	File   string // relative to the job, slash-separated
	SHA256 string // lower-case hexadecimal
	Bytes  int
}

// Report is what job.yaml's `report` says. A blank stays blank: nothing is invented.
type Report struct {
	Number, Title, Amends, Item, Remarks string
	Customer                             Customer
	PreparedBy, AuthorisedBy             string
	Issued, Received                     time.Time // zero where blank
	Tested                               string    // a day or a span, as written
}

// Customer receives the report.
type Customer struct{ Name, Address, Reference string }

// Laboratory issues the report.
type Laboratory struct{ Name, Address, Contact, Logo, Accreditation, Accent string } // Accent: #rrggbb or blank

// CellType describes the kind of cell under test.
type CellType struct {
	Maker, Model, Chemistry, Format string
	NominalCapacityAh               float64 // 0: not stated
	NominalVoltageV                 float64 // 0: not stated
	RatedACResistance1kHzOhm        float64 // 0: not stated
}

// Conditions under which measurements are comparable.
type Conditions struct {
	ReferenceTemperatureC   float64
	TemperatureMinC         float64
	TemperatureMaxC         float64
	TemperatureUncertaintyC float64  // standard uncertainty where a measurement states none
	SOCPercent              *float64 // nil: not stated
	SOCTolerancePercent     float64
	MinRestMinutes          float64
}

// Instrument is the measuring instrument with its stated uncertainty (standard, of |Z|).
type Instrument struct {
	Name                   string
	CalibrationDue         time.Time // zero: not stated
	RelativeUncertainty    float64
	AbsoluteUncertaintyOhm float64
}

// BaselineSource says what growth is measured against.
type BaselineSource string

const (
	First          BaselineSource = "first"           // each cell's own earliest accepted day
	ReferenceCells BaselineSource = "reference-cells" // mean and spread of named cells
	Declared       BaselineSource = "declared"        // values from a datasheet or an earlier report
)

// Baseline is job.yaml's `baseline`.
type Baseline struct {
	Source         BaselineSource
	Cells          []string
	Ohmic          *Stated // ohm, at the reference temperature
	ChargeTransfer *Stated // ohm, at the reference temperature
}

// Stated is a value that the user declares with its standard uncertainty.
type Stated struct{ Value, StandardUncertainty float64 }

// CorrectionSource says where activation energies come from.
type CorrectionSource string

const (
	CorrectionDeclared CorrectionSource = "declared"
	CorrectionMeasured CorrectionSource = "measured"
	CorrectionNone     CorrectionSource = "none"
)

// TemperatureCorrection is job.yaml's `temperature_correction`; activation energies in kJ/mol.
type TemperatureCorrection struct {
	Source                CorrectionSource
	Ohmic, ChargeTransfer *Stated // nil: none for that resistance
}

// Quantity is something that a limit may name.
type Quantity string

const (
	OhmicOhm                Quantity = "ohmic_ohm"
	ChargeTransferOhm       Quantity = "charge_transfer_ohm"
	ACResistance1kHzOhm     Quantity = "ac_resistance_1khz_ohm"
	OhmicGrowth             Quantity = "ohmic_growth"
	ChargeTransferGrowth    Quantity = "charge_transfer_growth"
	TotalResistanceGrowth   Quantity = "total_resistance_growth"
	CapacityAh              Quantity = "capacity_ah"
	CapacityRetention       Quantity = "capacity_retention"
	ResistanceStateOfHealth Quantity = "resistance_state_of_health"
)

// Quantities are all that a limit may name, in the order in which reports show them.
var Quantities = []Quantity{ChargeTransferGrowth, OhmicGrowth, TotalResistanceGrowth, ChargeTransferOhm, OhmicOhm,
	ACResistance1kHzOhm, CapacityRetention, CapacityAh, ResistanceStateOfHealth}

// Side says on which side of a limit a value conforms.
type Side string

const (
	Max Side = "max"
	Min Side = "min"
)

// Limit is the customer's: the tool sets none. A limit in job.yaml with both max and min becomes two of these.
type Limit struct {
	Quantity Quantity
	Side     Side
	Bound    float64
}

// DecisionRuleKind names a decision rule (JCGM 106:2012, ILAC-G8:09/2019).
type DecisionRuleKind string

const (
	Simple  DecisionRuleKind = "simple"
	Guarded DecisionRuleKind = "guarded"
	FourWay DecisionRuleKind = "four-way"
)

// DecisionRule is job.yaml's `decision_rule`.
type DecisionRule struct {
	Kind           DecisionRuleKind
	CoverageFactor float64
}

// Grade is met by a cell that meets all its limits; grades stand best first.
type Grade struct {
	Name   string
	Limits []Limit
}

// Sampling is job.yaml's `sampling`.
type Sampling struct {
	Standard        string // "attributes" or "variables"
	LotSize         int
	AQL             float64 // percent nonconforming
	Level, Severity string
}

// Grouping is job.yaml's `grouping`.
type Grouping struct {
	Size        int
	Arrangement string // "series" or "parallel"
	By          []Quantity
	WithinGrade bool
}

// FixtureCorrection is a shorted-fixture spectrum or stated lead values.
type FixtureCorrection struct {
	File        string  // shorted-fixture spectrum, relative to the job; empty: the stated values
	Resistance  *Stated // ohm
	InductanceH *Stated // henry
}

// Measurement is one row of the measurement table. A nil pointer or empty string is a blank field.
type Measurement struct {
	Cell                                   string
	File                                   string // the spectrum, relative to the job, slash-separated
	MeasuredAt                             time.Time
	HasTime                                bool    // false where only the day was given
	TemperatureC                           float64 // cell temperature
	TemperatureUncertaintyC                float64 // standard uncertainty; filled from Conditions where blank
	SOCPercent, Cycles, ThroughputAh       *float64
	CapacityAh                             *float64
	Sensing                                string   // "2-wire", "4-wire" or blank
	Control                                string   // "galvanostatic", "potentiostatic" or blank
	AmplitudeA, AmplitudeV                 *float64 // rms
	RestMinutes, OCVBeforeV, OCVAfterV     *float64
	Instrument, Fixture, Operator, Remarks string
	Accept                                 string            // reason why a rejected spectrum counts after all
	Extra                                  map[string]string // the unknown columns, by header
	Line                                   int               // row in the table, for messages
}
