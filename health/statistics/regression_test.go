package statistics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/internal/published"
)

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

// NIST StRD Norris, NoInt1: certified.
func TestRegressionNorris(t *testing.T) {
	x, y := published.Column(t, "strd", "linear_data.csv", "Norris", "x1"), published.Column(t, "strd", "linear_data.csv", "Norris", "y")
	r := ordinary(x, y, constant, identity)
	agreesRelatively(t, "B0", r.Coefficients[0], -0.262323073774029, 1e-9)
	agreesRelatively(t, "B1", r.Coefficients[1], 1.00211681802045, 1e-12)
	agreesRelatively(t, "sd of B0", r.sd(0), 0.232818234301152, 1e-9)
	agreesRelatively(t, "sd of B1", r.sd(1), 0.000429796848199937, 1e-9)
	agreesRelatively(t, "s", math.Sqrt(r.Variance), 0.884796396144373, 1e-9)
	half := distuv.StudentsT{Sigma: 1, Nu: r.Freedom}.Quantile(0.975) * r.sd(1)
	published.Agrees(t, "lower", r.Coefficients[1]-half, 1.001243366, 1e-9)
	published.Agrees(t, "upper", r.Coefficients[1]+half, 1.002990270, 1e-9)
	x, y = published.Column(t, "strd", "linear_data.csv", "NoInt1", "x1"), published.Column(t, "strd", "linear_data.csv", "NoInt1", "y")
	r = ordinary(x, y, identity)
	agreesRelatively(t, "through the origin", r.Coefficients[0], 2.07438016528926, 1e-12)
	agreesRelatively(t, "its sd", r.sd(0), 0.0165289256198347, 1e-9)
	agreesRelatively(t, "its s", math.Sqrt(r.Variance), 3.56753034006338, 1e-9)
}

// NIST StRD Longley (8 digits asked), Wampler1 to 5 and Filip (6 digits): certified; normal equations fail the last.
func TestRegressionStRD(t *testing.T) {
	digits := map[string]float64{"Pontius": 9, "Longley": 8, "Wampler1": 6, "Wampler2": 6, "Wampler3": 6, "Wampler4": 6, "Wampler5": 6, "Filip": 6}
	certified := map[string][]float64{}
	for _, row := range published.Rows(t, "strd", "linear_certified.csv") {
		name := row["set"]
		if name == "" {
			name = row["dataset"]
		}
		certified[name] = append(certified[name], published.Number(t, row["certified"]))
	}
	for set, lre := range digits {
		y, x := published.Column(t, "strd", "linear_data.csv", set, "y"), published.Column(t, "strd", "linear_data.csv", set, "x1")
		rows := make([][]float64, len(y))
		for i := range rows {
			for k := range certified[set] {
				rows[i] = append(rows[i], math.Pow(x[i], float64(k)))
			}
		}
		if set == "Longley" {
			for k, name := range []string{"x1", "x2", "x3", "x4", "x5", "x6"} {
				for i, v := range published.Column(t, "strd", "linear_data.csv", set, name) {
					rows[i][k+1] = v
				}
			}
		}
		r := RegressOn(make([]float64, len(y)), rows, y, ones(len(y)), Independent())
		if len(certified[set]) != len(r.Coefficients) {
			t.Fatalf("%s: %d certified", set, len(certified[set]))
		}
		for k, want := range certified[set] {
			agreesRelatively(t, set, r.Coefficients[k], want, math.Pow(10, -lre))
		}
	}
}

// JCGM 100:2008, H.3: correction of a thermometer, extrapolated to 30 °C; the covariance of the coefficients counts.
func TestExtrapolationGUMH3(t *testing.T) {
	x := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	y := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	r := ordinary(x, y, constant, func(x float64) float64 { return x - 20 })
	published.Agrees(t, "y1", r.Coefficients[0], -0.17120379, 1e-8)
	published.Agrees(t, "y2", r.Coefficients[1], 0.00218270, 1e-8)
	published.Agrees(t, "correlation", r.Inverse[0][1]/math.Sqrt(r.Inverse[0][0]*r.Inverse[1][1]), -0.9304296, 1e-7)
	published.Agrees(t, "s", math.Sqrt(r.Variance), 0.003497564, 1e-9)
	value, variance := r.Law([]float64{1, 10})
	published.Agrees(t, "b at 30 °C", value, -0.149376813, 1e-9)
	published.Agrees(t, "its uncertainty", math.Sqrt(variance), 0.004138596, 1e-9)
	same, sameVariance := r.At(30, []float64{1, 10})
	published.Agrees(t, "forecast", same, value, 1e-14)
	published.Agrees(t, "its variance", sameVariance, variance, 1e-16)
}

// EPA 530/R-09-007 (2009), Example 17-5: chloride against days, published residuals; and NIST/SEMATECH e-Handbook
// 2.3.6.5, load cell, quadratic.
func TestRegressionPublishedTrends(t *testing.T) {
	x, y := published.Column(t, "published", "epa.csv", "ex17-5", "x"), published.Column(t, "published", "epa.csv", "ex17-5", "y")
	r := ordinary(x, y, constant, identity)
	published.Agrees(t, "slope", r.Coefficients[1], 0.0030957526, 1e-10)
	published.Agrees(t, "its sd", r.sd(1), 3.3453304e-4, 1e-11)
	published.Agrees(t, "intercept", r.Coefficients[0], 11.51603170, 1e-8)
	for i, want := range published.Column(t, "published", "epa.csv", "ex17-5", "residual") {
		published.Agrees(t, "residual", y[i]-r.Coefficients[0]-r.Coefficients[1]*x[i], want, 1e-12)
	}
	x, y = published.Column(t, "published", "handbook.csv", "LOADCELL", "x"), published.Column(t, "published", "handbook.csv", "LOADCELL", "y")
	r = ordinary(x, y, constant, identity, squared)
	for k, want := range [][2]float64{{-1.83980467e-5, 2.45072e-5}, {0.100102485, 4.83870e-6}, {7.03186511e-6, 2.01361e-7}} {
		agreesRelatively(t, "coefficient", r.Coefficients[k], want[0], 1e-7)
		agreesRelatively(t, "its sd", r.sd(k), want[1], 1e-5)
	}
	published.Agrees(t, "s", math.Sqrt(r.Variance), 3.76403e-5, 1e-10)
	if math.Abs(r.Coefficients[0]) > 2*r.sd(0) {
		t.Error("the intercept is said to be significant")
	}
}

// covarianceOf an error model by its definition.
func covarianceOf(m ErrorModel, x []float64) [][]float64 {
	n := len(x)
	v := make([][]float64, n)
	for i := range v {
		v[i] = make([]float64, n)
		for k := range v {
			a, b := x[min(i, k)]-x[0], x[max(i, k)]-x[0]
			switch m.Name {
			case WanderingErrors:
				v[i][k] = 3 * math.Exp(-(b-a)/4)
			case DriftingRate: // of the integral of a random walk that begins at the first point
				v[i][k] = 0.02 * a * a * (3*b - a) / 6
			}
		}
	}
	return v
}

// One pass of the filter is the same as generalised least squares with the whole covariance, and the forecast the best linear one.
func TestWhiteningAgainstTheWholeCovariance(t *testing.T) {
	x := []float64{0, 1, 2.5, 3, 3, 7, 8, 10}
	y := []float64{1, 1.2, 1.1, 1.6, 1.5, 1.9, 2.4, 2.2}
	noise := []float64{1, 2, 0.5, 1, 1, 0.7, 1, 0.8}
	const ahead = 13.0
	for _, model := range []ErrorModel{Independent(), Wandering(3, 4), WalkingRate(0.02)} {
		all := covarianceOf(model, append(append([]float64{}, x...), ahead))
		n := len(x)
		v := make([][]float64, n)
		for i := range v {
			v[i] = append([]float64{}, all[i][:n]...)
			v[i][i] += noise[i]
		}
		rows := make([][]float64, n)
		for i := range x {
			rows[i] = []float64{1, x[i]}
		}
		r := RegressOn(x, rows, y, noise, model)
		value, variance := r.At(ahead, []float64{1, ahead})

		inverse, logDet := inverted(v)
		want, wantVariance, squares := best(inverse, rows, y, all[n][:n], all[n][n], []float64{1, ahead})
		published.Agrees(t, model.Name+": squares", r.Squares, squares, 1e-10*squares)
		published.Agrees(t, model.Name+": determinant", r.LogDet, logDet, 1e-10)
		published.Agrees(t, model.Name+": forecast", value, want, 1e-10)
		published.Agrees(t, model.Name+": variance", variance/r.Variance, wantVariance, 1e-9)
	}
}

// inverted is a matrix's inverse and the logarithm of its determinant, by Gauss and Jordan.
func inverted(v [][]float64) (inverse [][]float64, logDet float64) {
	n := len(v)
	a := make([][]float64, n)
	for i := range a {
		a[i] = append(append([]float64{}, v[i]...), make([]float64, n)...)
		a[i][n+i] = 1
	}
	for k := range n {
		logDet += math.Log(a[k][k])
		for c := 2*n - 1; c >= k; c-- {
			a[k][c] /= a[k][k]
		}
		for i := range n {
			if i != k {
				f := a[i][k]
				for c := k; c < 2*n; c++ {
					a[i][c] -= f * a[k][c]
				}
			}
		}
	}
	for i := range a {
		inverse = append(inverse, a[i][n:])
	}
	return inverse, logDet
}

// best is the best linear unbiased prediction of a value whose covariance with the others is c and whose own is own.
func best(inverse, rows [][]float64, y, c []float64, own float64, row []float64) (value, variance, squares float64) {
	form := func(a, b []float64) (sum float64) {
		for i := range a {
			for k := range b {
				sum += a[i] * inverse[i][k] * b[k]
			}
		}
		return sum
	}
	part := func(k int) []float64 {
		column := make([]float64, len(rows))
		for i := range rows {
			column[i] = rows[i][k]
		}
		return column
	}
	x0, x1 := part(0), part(1)
	normal, _ := inverted([][]float64{{form(x0, x0), form(x0, x1)}, {form(x1, x0), form(x1, x1)}})
	g := []float64{form(x0, y), form(x1, y)}
	b := []float64{normal[0][0]*g[0] + normal[0][1]*g[1], normal[1][0]*g[0] + normal[1][1]*g[1]}
	residuals := make([]float64, len(y))
	for i := range y {
		residuals[i] = y[i] - b[0]*rows[i][0] - b[1]*rows[i][1]
	}
	w := []float64{row[0] - form(c, x0), row[1] - form(c, x1)}
	value = row[0]*b[0] + row[1]*b[1] + form(c, residuals)
	variance = own - form(c, c) + w[0]*w[0]*normal[0][0] + 2*w[0]*w[1]*normal[0][1] + w[1]*w[1]*normal[1][1]
	return value, variance, form(residuals, residuals)
}

// ordinary is ordinary least squares on functions of x.
func ordinary(x, y []float64, functions ...func(x float64) float64) *Regression {
	rows := make([][]float64, len(x))
	for i := range x {
		for _, f := range functions {
			rows[i] = append(rows[i], f(x[i]))
		}
	}
	return RegressOn(x, rows, y, ones(len(x)), Independent())
}

func (r *Regression) sd(k int) float64 { return math.Sqrt(r.Variance * r.Inverse[k][k]) }

func constant(float64) float64 { return 1 }

func identity(x float64) float64 { return x }

func agreesRelatively(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	published.Agrees(t, what, got, want, tolerance*math.Abs(want))
}
