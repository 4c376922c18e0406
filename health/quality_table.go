package health

import (
	"ohmledger/health/job"
)

const codeTemperature = "temperature-outside-range"

// checks are all of them, in the order in which findings are listed.
var checks = []check{
	{"points-out-of-order", onReading, note, seeDisorder},
	{"columns-mapped", onReading, note, seeMapped},
	{"frequency-doubled", onReading, note, seeDoubled},
	{"doubled-points-disagree", onReading, warns, seeDoubledApart},
	{"impossible-points", onReading, warns, seeImpossiblePoints},
	{"impossible-spectrum", onReading, rejects, seeImpossibleSpectrum},
	{"magnitude-unlike-others", onReading, rejects, seeUnlikeOthers},
	{"duplicate-data", onReading, rejects, seeDuplicate},
	{"duplicate-across-cells", onReading, touching(fromZ...), seeDuplicateAcross},
	{"points-sparse", onReading, warns, seeSparse},
	{"points-missing", onReading, warns, seeMissing},
	{"kramers-kronig-untested", onReading, note, seeUntested},
	{"sign-reversed", onReading, rejects, seeSignReversed},
	{"kramers-kronig-violated", onReading, rejects, seeViolated},
	{"sweep-jumps", onReading, touching(fromFit...), seeJump},
	{"sweep-jumps-slightly", onReading, warns, seeJumpSmall},
	{"drift-during-sweep", onReading, warns, seeDrift},
	{"mains-pick-up", onReading, warns, seeMains},
	{"points-off", onReading, warns, seePointsOff},
	{"noise-high", onReading, warns, seeNoise},
	{"kramers-kronig-doubtful", onReading, warns, seeDoubtful},
	{"inductive-loop", onReading, touching(withArc...), seeLoop},

	{"magnitude-implausible", onStating, rejects, seeImplausible},
	{"fixture-corrected", onStating, note, seeCorrected},
	{"two-wire-sensing", onStating, touching(withLeads...), seeTwoWire},
	{"sensing-unknown", onStating, note, seeSensingUnknown},
	{codeTemperature, onStating, touching(fromZ...), seeTemperature},
	{"state-of-charge-off-target", onStating, touching(fromZ...), seeSOCOffTarget},
	{"state-of-charge-unknown", onStating, note, seeSOCUnknown},
	{"rest-too-short", onStating, warns, seeRestShort},
	{"rest-unknown", onStating, note, seeRestUnknown},
	{"open-circuit-moved", onStating, warns, seeOpenCircuit},
	{"excitation-large", onStating, note, seeExcitationLarge},
	{"excitation-too-large", onStating, warns, seeExcitationTooLarge},
	{"excitation-small", onStating, warns, seeExcitationSmall},
	{"potentiostatic-at-milliohm", onStating, note, seePotentiostatic},
	{"calibration-expired", onStating, warns, seeCalibration},

	{"fit-impossible", onFit, rejects, seeFitImpossible},
	{"no-resistance", onFit, rejects, seeNoResistance},
	{"fit-not-converged", onFit, touching(fromFit...), seeNotConverged},
	{"arc-unresolved", onFit, warns, seeArcUnresolved},
	{"arc-not-closed", onFit, warns, seeArcOpen},
	{"ohmic-extrapolated", onFit, warns, seeOhmicExtrapolated},
	{"lead-inductance-large", onFit, touching(job.ACResistance1kHzOhm), seeInductance},
	{"leads-lossy", onFit, warns, seeLossy},
	{"ac-resistance-inductive", onFit, note, seeInductive1kHz},

	{"time-reversed", onHistory, touching(growths...), seeTimeReversed},
	{"band-shorter", onHistory, warns, seeBandShorter},
	{"first-ohmic-unlike-following", onHistory, touching(withLeads...), seeFirstOhmicUnlike},
	{"first-arc-unlike-following", onHistory, touching(withArc...), seeFirstArcUnlike},
	{"shift-rigid", onHistory, touching(withLeads...), seeShift},
	{"shift-carried", onHistory, touching(withLeads...), seeShiftCarried},
	{"shift-undone", onHistory, note, seeShiftUndone},
	{"shift-slight", onHistory, note, seeShiftSlight},
	{"step-alone", onHistory, warns, seeStepAlone},

	{"sensing-differs", onComparing, touching(job.OhmicGrowth, job.TotalResistanceGrowth), seeSensingDiffers},
	{"state-of-charge-differs", onComparing, touching(growths...), seeSOCDiffers},
	{"ohmic-implausible", onComparing, touching(withLeads...), seeOhmicImplausible},
	{"charge-transfer-implausible", onComparing, touching(withArc...), seeChargeTransferImplausible},
	{"instrument-differs", onComparing, note, seeInstrumentDiffers},
	{"fixture-differs", onComparing, note, seeFixtureDiffers},
	{"instrument-coarse", onComparing, warns, seeInstrumentCoarse},
}
