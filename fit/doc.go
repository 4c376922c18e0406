// Package fit fits one fixed equivalent circuit to the impedance spectra of battery cells, a whole history at a time.
//
// The circuit, in series: the leads' lossy inductance, the ohmic resistance, a film arc where the cell shows
// one, and the charge-transfer arc with diffusion behind it:
//
//	Z(jω) = Q_L(jω)^β + R_Ω + R_f/(1 + (jωτ_f)^α_f) + Z_c
//	Z_c   = (R_ct + Z_d)/(1 + (jωτ_c)^α_c (R_ct + Z_d)/R_ct)
//	Z_d   = s(jω)^−γ
//
// Units: ω in rad/s, resistances in ohm, time constants in seconds, Q_L in ohm s^β, s in ohm s^−γ, exponents
// without unit. γ = ½ is Warburg's diffusion, and then s = σ√2 with the Warburg coefficient σ in ohm s^−½. An arc is a
// resistance in parallel with a constant-phase element (Randles, Discuss. Faraday Soc. 1 (1947) 11; Cole and Cole,
// J. Chem. Phys. 9 (1941) 341; Brug et al., J. Electroanal. Chem. 176 (1984) 275).
//
// # What is minimised
//
// The sum of squares of (model − measured)/(|measured|·σ), real and imaginary parts alike: complex nonlinear
// least squares weighted by modulus, with exact derivatives, by the solver in internal/leastsq. σ is each spectrum's own residual
// level, so that a disturbed spectrum does not pull on the others.
//
// # Why a history and not a spectrum
//
// One spectrum of a real cell seldom tells how its arc is divided: flatter arcs, a lossier lead or a steeper tail fit nearly
// as well, and a charge-transfer resistance fitted to each spectrum alone jumps from one to the next while the curve hardly changes. The
// exponents belong to the cell's build, though, and hardly change over its life. Cell therefore fits all spectra of a
// cell together: exponents shared, resistances and time constants free. Group does so over comparable cells, because
// a ratio of two differently defined resistances means nothing. One arc or two is decided once for all, by evidence
// and by whether both are resolved.
//
// # What an uncertainty covers
//
// The stated standard uncertainty of a resistance is what makes neighbouring measurements of a history scatter: the
// part of the residuals that differs between neighbours, and the exponents' share in it; for arcs, what neighbours
// of one temperature scatter beyond that. What the circuit misses in every spectrum of the cell alike is kept apart
// in LogModelU: it counts in an absolute resistance and mostly cancels in a growth. How far a growth rests on
// the exponents' staying what they are is found by fitting once more with exponents that may drift, and counts as
// far as the spectra make a drift probable. Temperature, the instrument's scale and the baseline are package health's to add.
//
// # What a result does not claim
//
// That the cell is this circuit; that with one arc the resistance called charge transfer is anything but the whole
// arc; that a resistance without a value is zero: see Unresolved for the reason.
package fit
