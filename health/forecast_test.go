package health

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/internal/published"
	"ohmledger/health/statistics"
)

// straightLine is ordinary least squares on a line.
func straightLine(x, y []float64) *statistics.Regression {
	rows, noise := make([][]float64, len(x)), make([]float64, len(x))
	for i := range x {
		rows[i], noise[i] = []float64{1, x[i]}, 1
	}
	return statistics.RegressOn(x, rows, y, noise, statistics.Independent())
}

func relative(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	near(t, what, got, want, tolerance*math.Abs(want))
}

// NBS Handbook 91, 5-4.1: Young's modulus against temperature (NIST Dataplot NATR511); where the line reaches 4200, with
// Fieller's limits.
func TestInverseRegressionHandbook91(t *testing.T) {
	x, y := published.Column(t, "published", "handbook.csv", "NATR511", "x"), published.Column(t, "published", "handbook.csv", "NATR511", "y")
	r := straightLine(x, y)
	near(t, "intercept", r.Coefficients[0], 4654.9846, 1e-4)
	near(t, "slope", r.Coefficients[1], -0.44985482, 1e-8)
	near(t, "s", math.Sqrt(r.Variance), 9.277617, 2e-6)
	relative(t, "variance of the slope", r.Variance*r.Inverse[1][1], 2.5649045e-5, 1e-7)
	relative(t, "variance of the intercept", r.Variance*r.Inverse[0][0], 19.879452, 1e-7)
	_, line := r.Law([]float64{1, 1200})
	near(t, "variance of the line", line, 10.53, 5e-3)
	_, line = r.Law([]float64{1, 750})
	near(t, "variance of an observation", line+r.Variance, 91.45, 5e-3)

	c := crossing(func(x float64) float64 {
		value, variance := r.Law([]float64{1, x})
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: r.Freedom}.CDF((4200 - value) / math.Sqrt(variance))
	}, 0, 1500)
	near(t, "crossing", c.Value, 1011.4032, 1e-3)
	near(t, "lower", c.Lower95, 998.8395, 1e-3)
	near(t, "upper", c.Upper95, 1024.2697, 1e-3)
	low, high := fieller(r, 4200)
	near(t, "Fieller, lower", c.Lower95, low, 1e-6)
	near(t, "Fieller, upper", c.Upper95, high, 1e-6)
}

// fieller solves (a + b·x − y)² = t²·variance of a + b·x for x.
func fieller(r *statistics.Regression, y float64) (low, high float64) {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: r.Freedom}.Quantile(0.975)
	a, b, tt := r.Coefficients[0]-y, r.Coefficients[1], t*t*r.Variance
	square, half, rest := b*b-tt*r.Inverse[1][1], a*b-tt*r.Inverse[0][1], a*a-tt*r.Inverse[0][0]
	root := math.Sqrt(half*half - square*rest)
	return (-half - root) / square, (-half + root) / square
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
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
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
				if in := m.at(p.Place, s.span(), noiseToCome).Central(); in.Lower <= p.Value && p.Value <= in.Upper {
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
	a, b := s.models().at(600, s.span(), 1).Central(), o.models().at(0.6, o.span(), 1).Central()
	relative(t, "lower", 100*a.Lower, b.Lower, 1e-5)
	relative(t, "upper", 100*a.Upper, b.Upper, 1e-5)
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
