// Package health judges cells by their impedance: which measurements count, what the resistances have grown
// by, whether that is within the customer's limits, and how sure all of it is.
//
// # Growth
//
// A growth is the ratio of a resistance R, measured at the temperature T, to its baseline R_b at T_b, brought
// to equal temperature as a ratio:
//
//	ln G = ln(R/R_b) − (E_a/R_gas)·(1/T − 1/T_b)
//
// with the activation energy E_a of that resistance (Arrhenius' law) and the molar gas constant R_gas. The
// activation energy enters once, so that its uncertainty vanishes where both temperatures agree; the
// reference temperature drops out; the scale of one instrument cancels. With several baseline spectra of
// one day, ln R_b and 1/T_b are means with the same weights. Of a sum of resistances (ohmic and all arcs) each
// part is brought to the baseline's temperature with its own activation energy, then the sums are divided.
//
// The uncertainty of ln G is that of a sum of independent inputs (JCGM 100:2008, 5.1.2) plus the covariance of
// fits that share exponents (5.2.2). A growth is decided on its logarithm; its coverage interval is
// G·exp(±k·u), so it is not symmetric and never below zero. Ohmic resistance and arcs of one spectrum count as uncorrelated in
// a sum: fits find their sum better than either, so this errs to the safe side.
//
// The instrument's relative uncertainty is one scale for each instrument; its absolute uncertainty is an offset that each
// connection draws anew, counted in the ohmic resistance and in |Z| and not in the width of an arc. What the circuit's not being
// quite the cell gives a resistance counts in a growth only as far as it differs between the two spectra.
//
// Without a correction a growth is refused where the temperatures differ by more than twice the standard uncertainty of
// their difference. Where they agree, the effect that cannot be told is counted in full, as the bound that an
// activation energy of 70 kJ/mol (charge transfer) or 20 kJ/mol (ohmic) gives.
//
// # Findings
//
// Each spectrum is held against what its points, what the job states about it, its fit, its neighbours in time and its baseline let
// expect; see quality_table.go for all of it and for what follows: a note, a warning, or a rejection, and the quantities that are then
// not comparable. A finding states facts; its words come from outside (Phrase).
//
// A violation of the Kramers–Kronig relations is told by its shape: a drift that grows with the time that the sweep took,
// single points, points about the mains frequencies, a decade that is noise, the whole band, or a sign turned round. Two
// spectra of one cell are compared by their difference,
//
//	ΔZ = shift + inductance·(jω)^β + arc·Z_arcs + slowing·∂Z_arcs/∂ln τ + tail·(jω)^−γ
//
// so that a clip (a shift with the arcs as they were) is told from ageing (a shift with arcs that keep step).
//
// Leads and fixture are subtracted before the tests and the fit where the job states them or has a spectrum of the shorted
// fixture. Their error is one input, common to all spectra that they are taken from; it moves the ohmic resistance and |Z|, and no arc.
//
// # Other quantities
//
// The a.c. resistance is |Z| at 1 kHz, r.m.s. voltage over r.m.s. current as in IEC 61960-3, by interpolation of
// the complex impedance in the logarithm of frequency. It is mostly ohmic and is corrected for temperature as
// the ohmic resistance is. Capacity retention is the capacity over the first one stated for that cell. The resistance-based
// state of health is (R_EoL − R)/(R_EoL − R_new), of the charge-transfer resistance, with R_new the baseline and
// R_EoL the baseline times the job's upper limit of charge_transfer_growth: 1 when new, 0 at that limit.
//
// # Decision
//
// Rules are those of JCGM 106:2012 and ILAC-G8:09/2019 with normal distributions; see decide.
//
// # Lots
//
// What several cells show together is in Lot: the spread of each limited quantity, whose it is (the cells' own or the
// measurement's), outliers, how well a normal or a lognormal distribution describes it and what then follows, acceptance
// sampling, matched groups. It rests on a LotCell for each cell and on nothing else, so that cells may be judged apart
// and put together: see LotOf.
//
// # Forecast
//
// A cell with a history has a Trend for each limit: an opinion of where it leads, by laws and errors that are weighed
// against one another, and only as far again as has been observed. See Course.
//
// # Units
//
// Resistances in ohm, temperatures in °C (kelvin inside formulas), activation energies in kJ/mol where they are handed
// out and J/mol inside, capacities in ampere-hour; ratios and logarithms have none.
//
// # What a verdict does not claim
//
// A verdict says whether the measured quantities of this cell, on that day, meet limits that the customer set. It does not say
// that a cell is safe, fit for transport, repair or second use, how it will age, or how its neighbours in the lot
// are. Damage that leaves the impedance alone is not seen. A grade is not a safety certificate.
//
// # References
//
//   - JCGM 100:2008, Guide to the expression of uncertainty in measurement.
//   - JCGM 106:2012, The role of measurement uncertainty in conformity assessment.
//   - ILAC-G8:09/2019, Guidelines on decision rules and statements of conformity.
//   - IEC 61960-3:2017, internal a.c. resistance of portable lithium cells.
//   - CODATA 2018 and 2022, the molar gas constant (exact).
//   - Boukamp, J. Electrochem. Soc. 142 (1995) 1885; Schönleber, Klotz, Ivers-Tiffée, Electrochim. Acta 131 (2014) 20: consistency.
//   - Rosa, Bulletin of the Bureau of Standards 4 (1908) 301: inductance of wires.
//   - Hosen et al., World Electr. Veh. J. 12 (2021) 77: two hours of rest before a sweep.
//   - NIST/SEMATECH e-Handbook of Statistical Methods; NBS Handbook 91 (Natrella, 1963).
//   - MIL-STD-105E (1989) and MIL-STD-414 (1957), sampling by attributes and by variables.
//   - DerSimonian and Laird, Controlled Clinical Trials 7 (1986) 177: means of results that differ among themselves.
package health
