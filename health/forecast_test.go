package health

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

// ordinary is ordinary least squares on functions of x.
func ordinary(x, y []float64, functions ...func(x float64) float64) *regression {
	rows := make([][]float64, len(x))
	for i := range x {
		for _, f := range functions {
			rows[i] = append(rows[i], f(x[i]))
		}
	}
	return regressOn(x, rows, y, ones(len(x)), independent())
}

func constant(float64) float64   { return 1 }
func identity(x float64) float64 { return x }

func (r *regression) sd(k int) float64 { return math.Sqrt(r.variance * r.inverse[k][k]) }

func relative(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	near(t, what, got, want, tolerance*math.Abs(want))
}

// NIST StRD Norris, NoInt1: certified.
func TestRegressionNorris(t *testing.T) {
	x, y := columnIn(t, "strd", "linear_data.csv", "Norris", "x1"), columnIn(t, "strd", "linear_data.csv", "Norris", "y")
	r := ordinary(x, y, constant, identity)
	relative(t, "B0", r.coefficients[0], -0.262323073774029, 1e-9)
	relative(t, "B1", r.coefficients[1], 1.00211681802045, 1e-12)
	relative(t, "sd of B0", r.sd(0), 0.232818234301152, 1e-9)
	relative(t, "sd of B1", r.sd(1), 0.000429796848199937, 1e-9)
	relative(t, "s", math.Sqrt(r.variance), 0.884796396144373, 1e-9)
	half := distuv.StudentsT{Sigma: 1, Nu: r.freedom}.Quantile(0.975) * r.sd(1)
	near(t, "lower", r.coefficients[1]-half, 1.001243366, 1e-9)
	near(t, "upper", r.coefficients[1]+half, 1.002990270, 1e-9)
	x, y = columnIn(t, "strd", "linear_data.csv", "NoInt1", "x1"), columnIn(t, "strd", "linear_data.csv", "NoInt1", "y")
	r = ordinary(x, y, identity)
	relative(t, "through the origin", r.coefficients[0], 2.07438016528926, 1e-12)
	relative(t, "its sd", r.sd(0), 0.0165289256198347, 1e-9)
	relative(t, "its s", math.Sqrt(r.variance), 3.56753034006338, 1e-9)
}

// NIST StRD Longley (8 digits asked), Wampler1 to 5 and Filip (6 digits): certified; normal equations fail the last.
func TestRegressionStRD(t *testing.T) {
	digits := map[string]float64{"Pontius": 9, "Longley": 8, "Wampler1": 6, "Wampler2": 6, "Wampler3": 6, "Wampler4": 6, "Wampler5": 6, "Filip": 6}
	certified := map[string][]float64{}
	for _, row := range published(t, "strd", "linear_certified.csv") {
		name := row["set"]
		if name == "" {
			name = row["dataset"]
		}
		certified[name] = append(certified[name], parsed(t, row["certified"]))
	}
	for set, lre := range digits {
		y, x := columnIn(t, "strd", "linear_data.csv", set, "y"), columnIn(t, "strd", "linear_data.csv", set, "x1")
		rows := make([][]float64, len(y))
		for i := range rows {
			for k := range certified[set] {
				rows[i] = append(rows[i], math.Pow(x[i], float64(k)))
			}
		}
		if set == "Longley" {
			for k, name := range []string{"x1", "x2", "x3", "x4", "x5", "x6"} {
				for i, v := range columnIn(t, "strd", "linear_data.csv", set, name) {
					rows[i][k+1] = v
				}
			}
		}
		r := regressOn(make([]float64, len(y)), rows, y, ones(len(y)), independent())
		if len(certified[set]) != len(r.coefficients) {
			t.Fatalf("%s: %d certified", set, len(certified[set]))
		}
		for k, want := range certified[set] {
			relative(t, set, r.coefficients[k], want, math.Pow(10, -lre))
		}
	}
}

// NBS Handbook 91, 5-4.1: Young's modulus against temperature (NIST Dataplot NATR511); where the line reaches 4200, with
// Fieller's limits.
func TestInverseRegressionHandbook91(t *testing.T) {
	x, y := column(t, "handbook.csv", "NATR511", "x"), column(t, "handbook.csv", "NATR511", "y")
	r := ordinary(x, y, constant, identity)
	near(t, "intercept", r.coefficients[0], 4654.9846, 1e-4)
	near(t, "slope", r.coefficients[1], -0.44985482, 1e-8)
	near(t, "s", math.Sqrt(r.variance), 9.277617, 2e-6)
	relative(t, "variance of the slope", r.variance*r.inverse[1][1], 2.5649045e-5, 1e-7)
	relative(t, "variance of the intercept", r.variance*r.inverse[0][0], 19.879452, 1e-7)
	_, line := r.law([]float64{1, 1200})
	near(t, "variance of the line", line, 10.53, 5e-3)
	_, line = r.law([]float64{1, 750})
	near(t, "variance of an observation", line+r.variance, 91.45, 5e-3)

	c := crossing(func(x float64) float64 {
		value, variance := r.law([]float64{1, x})
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: r.freedom}.CDF((4200 - value) / math.Sqrt(variance))
	}, 0, 1500)
	near(t, "crossing", c.Value, 1011.4032, 1e-3)
	near(t, "lower", c.Lower95, 998.8395, 1e-3)
	near(t, "upper", c.Upper95, 1024.2697, 1e-3)
	low, high := fieller(r, 4200)
	near(t, "Fieller, lower", c.Lower95, low, 1e-6)
	near(t, "Fieller, upper", c.Upper95, high, 1e-6)
}

// fieller solves (a + b·x − y)² = t²·variance of a + b·x for x.
func fieller(r *regression, y float64) (low, high float64) {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: r.freedom}.Quantile(0.975)
	a, b, tt := r.coefficients[0]-y, r.coefficients[1], t*t*r.variance
	square, half, rest := b*b-tt*r.inverse[1][1], a*b-tt*r.inverse[0][1], a*a-tt*r.inverse[0][0]
	root := math.Sqrt(half*half - square*rest)
	return (-half - root) / square, (-half + root) / square
}

// JCGM 100:2008, H.3: correction of a thermometer, extrapolated to 30 °C; the covariance of the coefficients counts.
func TestExtrapolationGUMH3(t *testing.T) {
	x := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	y := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	r := ordinary(x, y, constant, func(x float64) float64 { return x - 20 })
	near(t, "y1", r.coefficients[0], -0.17120379, 1e-8)
	near(t, "y2", r.coefficients[1], 0.00218270, 1e-8)
	near(t, "correlation", r.inverse[0][1]/math.Sqrt(r.inverse[0][0]*r.inverse[1][1]), -0.9304296, 1e-7)
	near(t, "s", math.Sqrt(r.variance), 0.003497564, 1e-9)
	value, variance := r.law([]float64{1, 10})
	near(t, "b at 30 °C", value, -0.149376813, 1e-9)
	near(t, "its uncertainty", math.Sqrt(variance), 0.004138596, 1e-9)
	same, sameVariance := r.at(30, []float64{1, 10})
	near(t, "forecast", same, value, 1e-14)
	near(t, "its variance", sameVariance, variance, 1e-16)
}

// EPA 530/R-09-007 (2009), Example 17-5: chloride against days, published residuals; and NIST/SEMATECH e-Handbook
// 2.3.6.5, load cell, quadratic.
func TestRegressionPublishedTrends(t *testing.T) {
	x, y := column(t, "epa.csv", "ex17-5", "x"), column(t, "epa.csv", "ex17-5", "y")
	r := ordinary(x, y, constant, identity)
	near(t, "slope", r.coefficients[1], 0.0030957526, 1e-10)
	near(t, "its sd", r.sd(1), 3.3453304e-4, 1e-11)
	near(t, "intercept", r.coefficients[0], 11.51603170, 1e-8)
	for i, want := range column(t, "epa.csv", "ex17-5", "residual") {
		near(t, "residual", y[i]-r.coefficients[0]-r.coefficients[1]*x[i], want, 1e-12)
	}
	x, y = column(t, "handbook.csv", "LOADCELL", "x"), column(t, "handbook.csv", "LOADCELL", "y")
	r = ordinary(x, y, constant, identity, square)
	for k, want := range [][2]float64{{-1.83980467e-5, 2.45072e-5}, {0.100102485, 4.83870e-6}, {7.03186511e-6, 2.01361e-7}} {
		relative(t, "coefficient", r.coefficients[k], want[0], 1e-7)
		relative(t, "its sd", r.sd(k), want[1], 1e-5)
	}
	near(t, "s", math.Sqrt(r.variance), 3.76403e-5, 1e-10)
	if math.Abs(r.coefficients[0]) > 2*r.sd(0) {
		t.Error("the intercept is said to be significant")
	}
}

// covarianceOf an error model by its definition.
func covarianceOf(m errorModel, x []float64) [][]float64 {
	n := len(x)
	v := make([][]float64, n)
	for i := range v {
		v[i] = make([]float64, n)
		for k := range v {
			a, b := x[min(i, k)]-x[0], x[max(i, k)]-x[0]
			switch m.name {
			case wanderingErrors:
				v[i][k] = 3 * math.Exp(-(b-a)/4)
			case driftingRate: // of the integral of a random walk that begins at the first point
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
	for _, model := range []errorModel{independent(), wandering(3, 4), walkingRate(0.02)} {
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
		r := regressOn(x, rows, y, noise, model)
		value, variance := r.at(ahead, []float64{1, ahead})

		inverse, logDet := inverted(v)
		want, wantVariance, squares := best(inverse, rows, y, all[n][:n], all[n][n], []float64{1, ahead})
		near(t, model.name+": squares", r.squares, squares, 1e-10*squares)
		near(t, model.name+": determinant", r.logDet, logDet, 1e-10)
		near(t, model.name+": forecast", value, want, 1e-10)
		near(t, model.name+": variance", variance/r.variance, wantVariance, 1e-9)
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

// simulated is the course of an invented cell: 16 measurements of a law, and 16 more that the forecast does not see.
func simulated(random *rand.Rand, law func(u float64) float64, scatter float64) (seen []CoursePoint, later []CoursePoint) {
	for i := range 32 {
		u := float64(i) / 15
		p := CoursePoint{Place: 400 * u, Value: law(u) + scatter*random.NormFloat64(), Own: scatter}
		if i < 16 {
			seen = append(seen, p)
		} else {
			later = append(later, p)
		}
	}
	return seen, later
}

// Where the law goes on, the forecast holds what comes, whichever law it is, at least as often as it says.
func TestForecastCoverage(t *testing.T) {
	random := rand.New(rand.NewPCG(20, 6))
	for name, law := range map[string]func(u float64) float64{
		"line":  func(u float64) float64 { return 1 + 0.4*u },
		"root":  func(u float64) float64 { return 1 + 0.4*math.Sqrt(u) },
		"power": func(u float64) float64 { return 1 + 0.3*math.Pow(u, 1.7) },
	} {
		held, all := 0, 0
		for range 60 {
			seen, later := simulated(random, law, 0.01)
			s := newSeries(seen)
			m := s.models()
			for _, p := range later[:15] {
				all++
				if in := m.at(p.Place, s.span(), noiseToCome).central(); in.Lower <= p.Value && p.Value <= in.Upper {
					held++
				}
			}
		}
		if share := float64(held) / float64(all); share < 0.93 {
			t.Errorf("%s: %.3f held of %d", name, share, all)
		}
	}
}

// Of many points on a clear curve the law is told.
func TestLawIsTold(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 14))
	for want, law := range map[string]func(u float64) float64{
		"linear":      func(u float64) float64 { return 1 + 0.4*u },
		"square root": func(u float64) float64 { return 1 + 0.4*math.Sqrt(u) },
		"power":       func(u float64) float64 { return 1 + 0.3*u*u },
	} {
		seen, _ := simulated(random, law, 0.002)
		s := newSeries(seen)
		if got := s.shown(s.models()).law.name; got != want {
			t.Errorf("%s is taken for %s", want, got)
		}
	}
}

// A course is the same whether it is counted in cycles or in their thousands, in growth or in percent.
func TestForecastScales(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	seen, _ := simulated(random, func(u float64) float64 { return 1 + 0.5*u }, 0.01)
	var other []CoursePoint
	for _, p := range seen {
		other = append(other, CoursePoint{Place: p.Place / 1000, Value: 100 * p.Value, Own: 100 * p.Own})
	}
	s, o := newSeries(seen), newSeries(other)
	a, b := s.models().at(600, s.span(), 1).central(), o.models().at(0.6, o.span(), 1).central()
	relative(t, "lower", 100*a.Lower, b.Lower, 1e-5)
	relative(t, "upper", 100*a.Upper, b.Upper, 1e-5)
}

func TestMixtureQuantiles(t *testing.T) {
	s := spot{{0.5, 0, 1, 5}, {0.3, 2, 0.5, 30}, {0.2, -1, 3, 2}}
	before := math.Inf(-1)
	for _, p := range []float64{0.01, 0.025, 0.3, 0.5, 0.84, 0.975, 0.999} {
		q := s.quantile(p)
		near(t, "there and back", s.below(q), p, 2e-5)
		if q <= before {
			t.Errorf("quantile %v falls", p)
		}
		before = q
	}
	near(t, "certain", spot{{1, 3, 0, 5}}.quantile(0.2), 3, 0)
	near(t, "one member", spot{{1, 1, 2, 7}}.quantile(0.975), 1+2*distuv.StudentsT{Sigma: 1, Nu: 7}.Quantile(0.975), 1e-4)
}

func TestStudentCDF(t *testing.T) {
	for _, freedom := range []int{1, 2, 3, 4, 7, 12, 51, 300} {
		for _, x := range []float64{-40, -3, -0.2, 0, 1, 2.5, 60} {
			near(t, "cdf", studentCDF(x, freedom), distuv.StudentsT{Sigma: 1, Nu: float64(freedom)}.CDF(x), 1e-12)
		}
	}
}

// A point that is known badly turns a forecast less than one that is known well.
func TestForecastIsWeighted(t *testing.T) {
	slope := func(own float64) float64 {
		var points []CoursePoint
		for i := range 12 {
			points = append(points, CoursePoint{Place: float64(100 * i), Value: 1 + 0.1*float64(i), Own: 0.01})
		}
		points[11].Value, points[11].Own = 3, own
		s := newSeries(points)
		return s.laws(s.models())[0].Coefficient.Estimate()
	}
	if well, badly := slope(0.01), slope(2); !(badly < 0.00105 && well > 0.0012) {
		t.Errorf("known well %v, badly %v", well, badly)
	}
}
