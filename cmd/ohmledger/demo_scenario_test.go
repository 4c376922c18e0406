package main

import "ohmledger/fit"

// The scenario of the demonstration, all invented: eight cells of the storage bank of a tide mill, measured eight times in
// two years. This file says what the cells are in truth; demo_synthesis_test.go says what a bench makes of them.
//
// Sizes are those of an 18650 cell at half charge and 25 °C: ohmic 15 to 30 mΩ, charge transfer 5 to 30 mΩ, the arc's top at
// some 10 Hz, some 0.1 µH of leads (common practice).

// visit is one day on which cells were measured.
type visit struct {
	day       string
	celsius   float64 // of the cells, in truth
	cycles    float64
	capacity  bool // whether the capacity was measured too
	beginning string
}

var visits = []visit{
	{"2024-03-12", 22.9, 4, true, "09:10"},
	{"2024-06-18", 26.8, 118, false, "08:40"},
	{"2024-09-17", 24.3, 241, false, "09:05"},
	{"2024-12-10", 18.6, 366, true, "10:20"},
	{"2025-03-18", 20.4, 494, false, "09:30"},
	{"2025-06-24", 30.7, 633, false, "08:15"},
	{"2025-09-16", 25.6, 771, true, "08:55"},
	{"2026-03-10", 19.2, 1012, true, "09:25"},
}

// lastVisit is the one at which growths are stated.
const lastVisit = 7

// course is one cell's life. Growths are those at the last visit, in truth and at equal temperature.
type course struct {
	name           string
	fresh          fit.Parameters // at 25 °C
	ohmicGrowth    float64
	transferGrowth float64 // of both arcs
	retention      float64
	capacityAh     float64
	shape          float64 // exponent of the growth over cycles: 1 even, ½ slowing, over 1 running away
	absent         []int   // visits at which the cell was not measured
	without        bool    // no capacity was ever measured
	incidents      map[int]incident
}

// incident is what went differently at one visit.
type incident struct {
	twoWire  bool    // the contacts and leads of the current path are in the reading
	lowestHz float64 // the sweep ended early
	loose    bool    // a clip worked loose during the sweep
	form     string  // dialect of the file; empty: native
	remarks  string
}

// celled varies the fresh cell: ohmic resistance, charge transfer in ohm.
func celled(ohmic, transfer float64) fit.Parameters {
	return fit.Parameters{
		LeadCoefficient: 2.6e-7, LeadExponent: 0.95, Ohmic: ohmic,
		Film: 0.35 * transfer, FilmTimeConstant: 3.1e-4, FilmExponent: 0.86,
		ChargeTransfer: transfer, ChargeTransferTimeConstant: 0.0135, ChargeTransferExponent: 0.9,
		Diffusion: 0.0036, DiffusionExponent: 0.5,
	}
}

var courses = []course{
	{name: "TM-01", fresh: celled(0.0204, 0.0112), ohmicGrowth: 1.09, transferGrowth: 1.33, retention: 0.912, capacityAh: 2.57, shape: 0.7},
	{name: "TM-02", fresh: celled(0.0211, 0.0119), ohmicGrowth: 1.14, transferGrowth: 1.55, retention: 0.881, capacityAh: 2.55, shape: 0.8, incidents: map[int]incident{
		4: {form: "semicolon", remarks: "read out on the old bench computer"},
		5: {form: "semicolon", remarks: "read out on the old bench computer"},
	}},
	{name: "TM-03", fresh: celled(0.0207, 0.0124), ohmicGrowth: 1.21, transferGrowth: 2.62, retention: 0.742, capacityAh: 2.56, shape: 1.6, incidents: map[int]incident{
		7: {remarks: "can slightly warm to the touch after cycling; returned to the quarantine shelf"},
	}},
	{name: "TM-04", fresh: celled(0.0201, 0.0116), ohmicGrowth: 1.16, transferGrowth: 1.93, retention: 0.836, capacityAh: 2.58, shape: 1.1},
	{name: "TM-05", fresh: celled(0.0209, 0.0121), ohmicGrowth: 1.12, transferGrowth: 1.48, retention: 0.893, capacityAh: 2.55, shape: 0.8, absent: []int{2, 6}, without: true, incidents: map[int]incident{
		7: {lowestHz: 300, remarks: "sweep broken off at 300 Hz by a power cut; cell was collected before it could be repeated"},
	}},
	{name: "TM-06", fresh: celled(0.0206, 0.0113), ohmicGrowth: 1.13, transferGrowth: 1.44, retention: 0.897, capacityAh: 2.57, shape: 0.7, absent: []int{4}, incidents: map[int]incident{
		3: {form: "polar", remarks: "exported as magnitude and phase"},
		7: {twoWire: true, remarks: "sense lead broken, measured with two wires"},
	}},
	{name: "TM-07", fresh: celled(0.0203, 0.0118), ohmicGrowth: 1.10, transferGrowth: 1.40, retention: 0.905, capacityAh: 2.56, shape: 0.7, absent: []int{6}, incidents: map[int]incident{
		4: {loose: true, remarks: "clip found loose after the sweep"},
	}},
	{name: "TM-08", fresh: celled(0.0212, 0.0115), ohmicGrowth: 1.74, transferGrowth: 1.37, retention: 0.901, capacityAh: 2.54, shape: 1.2, absent: []int{1, 2, 5}, incidents: map[int]incident{
		7: {remarks: "brown deposit on the negative tab"},
	}},
}
