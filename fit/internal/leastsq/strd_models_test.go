package leastsq

import (
	"math"

	"gonum.org/v1/gonum/num/dual"
)

// strdModels are the models of the NIST StRD nonlinear sets, as their files state them, on dual numbers so
// that derivatives are exact. b[0] is b1.
var strdModels = map[string]func(b []dual.Number, x []float64) dual.Number{
	"Bennett5": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Pow(add(b[1], real64(x[0])), scale(-1, dual.Inv(b[2]))))
	},
	"BoxBOD": saturating, "Misra1a": saturating,
	"Chwirut1": decayOverLine, "Chwirut2": decayOverLine,
	"DanWood": func(b []dual.Number, x []float64) dual.Number { return mul(b[0], dual.Pow(real64(x[0]), b[1])) },
	"ENSO": func(b []dual.Number, x []float64) dual.Number {
		year := 2 * math.Pi * x[0] / 12
		return add(b[0], scale(math.Cos(year), b[1]), scale(math.Sin(year), b[2]),
			wave(b[3], b[4], b[5], x[0]), wave(b[6], b[7], b[8], x[0]))
	},
	"Eckerle4": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Inv(b[1]), dual.Exp(scale(-0.5, square(mul(sub(real64(x[0]), b[2]), dual.Inv(b[1]))))))
	},
	"Gauss1": twoPeaks, "Gauss2": twoPeaks, "Gauss3": twoPeaks,
	"Hahn1": cubicOverCubic, "Thurber": cubicOverCubic,
	"Kirby2": func(b []dual.Number, x []float64) dual.Number {
		return mul(polynomial(x[0], b[0], b[1], b[2]), dual.Inv(polynomial(x[0], real64(1), b[3], b[4])))
	},
	"Lanczos1": threeDecays, "Lanczos2": threeDecays, "Lanczos3": threeDecays,
	"MGH09": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], polynomial(x[0], real64(0), b[1], real64(1)), dual.Inv(polynomial(x[0], b[3], b[2], real64(1))))
	},
	"MGH10": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Exp(mul(b[1], dual.Inv(add(real64(x[0]), b[2])))))
	},
	"MGH17": func(b []dual.Number, x []float64) dual.Number {
		return add(b[0], mul(b[1], dual.Exp(scale(-x[0], b[3]))), mul(b[2], dual.Exp(scale(-x[0], b[4]))))
	},
	"Misra1b": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], sub(real64(1), dual.PowReal(add(real64(1), scale(x[0]/2, b[1])), -2)))
	},
	"Misra1c": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], sub(real64(1), dual.PowReal(add(real64(1), scale(2*x[0], b[1])), -0.5)))
	},
	"Misra1d": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], scale(x[0], b[1]), dual.Inv(add(real64(1), scale(x[0], b[1]))))
	},
	// The observations of Nelson enter by their logarithm.
	"Nelson": func(b []dual.Number, x []float64) dual.Number {
		return sub(b[0], mul(scale(x[0], b[1]), dual.Exp(scale(-x[1], b[2]))))
	},
	"Rat42": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Inv(add(real64(1), dual.Exp(sub(b[1], scale(x[0], b[2]))))))
	},
	"Rat43": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Pow(add(real64(1), dual.Exp(sub(b[1], scale(x[0], b[2])))), scale(-1, dual.Inv(b[3]))))
	},
	"Roszman1": func(b []dual.Number, x []float64) dual.Number {
		return sub(sub(b[0], scale(x[0], b[1])), scale(1/math.Pi, dual.Atan(mul(b[2], dual.Inv(sub(real64(x[0]), b[3]))))))
	},
}

func saturating(b []dual.Number, x []float64) dual.Number {
	return mul(b[0], sub(real64(1), dual.Exp(scale(-x[0], b[1]))))
}

func decayOverLine(b []dual.Number, x []float64) dual.Number {
	return mul(dual.Exp(scale(-x[0], b[0])), dual.Inv(polynomial(x[0], b[1], b[2])))
}

func wave(period, cosine, sine dual.Number, x float64) dual.Number {
	angle := scale(2*math.Pi*x, dual.Inv(period))
	return add(mul(cosine, dual.Cos(angle)), mul(sine, dual.Sin(angle)))
}

func twoPeaks(b []dual.Number, x []float64) dual.Number {
	peak := func(height, centre, width dual.Number) dual.Number {
		return mul(height, dual.Exp(scale(-1, square(mul(sub(real64(x[0]), centre), dual.Inv(width))))))
	}
	return add(mul(b[0], dual.Exp(scale(-x[0], b[1]))), peak(b[2], b[3], b[4]), peak(b[5], b[6], b[7]))
}

func cubicOverCubic(b []dual.Number, x []float64) dual.Number {
	return mul(polynomial(x[0], b[0], b[1], b[2], b[3]), dual.Inv(polynomial(x[0], real64(1), b[4], b[5], b[6])))
}

func threeDecays(b []dual.Number, x []float64) (sum dual.Number) {
	for k := 0; k < 6; k += 2 {
		sum = add(sum, mul(b[k], dual.Exp(scale(-x[0], b[k+1]))))
	}
	return sum
}

// polynomial in x, constant first.
func polynomial(x float64, factors ...dual.Number) (value dual.Number) {
	for k := len(factors) - 1; k >= 0; k-- {
		value = add(scale(x, value), factors[k])
	}
	return value
}

func real64(v float64) dual.Number               { return dual.Number{Real: v} }
func scale(f float64, v dual.Number) dual.Number { return dual.Scale(f, v) }
func sub(a, b dual.Number) dual.Number           { return dual.Sub(a, b) }
func square(v dual.Number) dual.Number           { return dual.Mul(v, v) }

func add(terms ...dual.Number) (sum dual.Number) {
	for _, t := range terms {
		sum = dual.Add(sum, t)
	}
	return sum
}

func mul(factors ...dual.Number) dual.Number {
	product := real64(1)
	for _, f := range factors {
		product = dual.Mul(product, f)
	}
	return product
}
