package statistics

import "math"

// ErrorModel is how what a law does not explain hangs together along the axis. It is a state of up to two numbers, the
// deviation and its rate, that moves from one point to the next by a linear step with added variance; each measurement
// adds an error of its own. Variances are in units of that error's mean variance.
type ErrorModel struct {
	Name    string
	initial [3]float64                            // variance of the state at the first point: of the deviation, covariance, of the rate
	step    func(d float64) (a, added [3]float64) // over a distance: the step's matrix without its zero, and the variance it adds
}

// The names of error models.
const (
	IndependentErrors = "independent"
	WanderingErrors   = "wandering"     // about the law, with a memory
	DriftingRate      = "drifting rate" // away from the law, for good
)

// Independent has no error but that of each point.
func Independent() ErrorModel {
	return ErrorModel{IndependentErrors, [3]float64{}, func(float64) (a, added [3]float64) { return [3]float64{1, 0, 1}, added }}
}

// Wandering is the stationary process of Ornstein and Uhlenbeck (Phys. Rev. 36 (1930) 823): covariance variance·exp(−d/length).
func Wandering(variance, length float64) ErrorModel {
	return ErrorModel{WanderingErrors, [3]float64{variance, 0, 0}, func(d float64) (a, added [3]float64) {
		keep := math.Exp(-d / length)
		return [3]float64{keep, 0, 0}, [3]float64{variance * (1 - keep*keep), 0, 0}
	}}
}

// WalkingRate is a rate that walks at random, of variance q per unit of the axis: the integrated Wiener process (Wahba,
// J. R. Stat. Soc. B 40 (1978) 364).
func WalkingRate(q float64) ErrorModel {
	return ErrorModel{DriftingRate, [3]float64{}, func(d float64) (a, added [3]float64) {
		return [3]float64{1, d, 1}, [3]float64{q * d * d * d / 3, q * d * d / 2, q * d}
	}}
}

// Regression is a generalised least-squares fit of y ≈ rows·coefficients.
type Regression struct {
	Coefficients []float64
	Inverse      [][]float64 // covariance of the coefficients over variance
	Variance     float64     // of a measurement's own error, from the residuals
	Freedom      float64
	Squares      float64 // weighted sum of squared residuals
	LogDet       float64 // of the covariance of the errors, over variance

	Model   ErrorModel
	Last    float64      // place of the last point
	columns [][2]float64 // state at the last point of each column, y being the last of them
	state   [3]float64   // its variance there, over variance
}

// RegressOn fits by whitening each column with one pass of Kalman's filter (Ansley and Kohn, Biometrika 72 (1985) 403)
// and orthogonalising. Places x do not fall; noise holds each measurement's own variance in units of their mean. It
// panics where there are no more points than coefficients.
func RegressOn(x []float64, rows [][]float64, y, noise []float64, model ErrorModel) *Regression {
	if len(x) <= len(rows[0]) {
		panic("health: a regression needs more points than coefficients")
	}
	r := &Regression{Model: model, Last: x[len(x)-1], Freedom: float64(len(x) - len(rows[0]))}
	r.solve(r.whitened(x, rows, y, noise))
	return r
}

// whitened are the rows, y last, with independent errors of equal variance.
func (r *Regression) whitened(x []float64, rows [][]float64, y, noise []float64) [][]float64 {
	r.columns = make([][2]float64, len(rows[0])+1)
	r.state = r.Model.initial
	white, storage := make([][]float64, len(x)), make([]float64, len(x)*len(r.columns))
	for i := range x {
		row := storage[i*len(r.columns) : (i+1)*len(r.columns)]
		row[copy(row, rows[i])] = y[i]
		total := r.state[0] + noise[i]
		r.LogDet += math.Log(total)
		gain, gainRate, root := r.state[0]/total, r.state[1]/total, math.Sqrt(total)
		for c := range row {
			off := row[c] - r.columns[c][0]
			r.columns[c][0] += gain * off
			r.columns[c][1] += gainRate * off
			row[c] = off / root
		}
		white[i] = row
		r.state[2] -= gainRate * r.state[1]
		r.state[1] -= gainRate * r.state[0]
		r.state[0] -= gain * r.state[0]
		if i+1 < len(x) {
			r.state = r.moved(x[i+1]-x[i], r.columns, r.columns)
		}
	}
	return white
}

// moved is the variance of the state a distance further on; the columns' states go from one slice to another, which may
// be the same.
func (r *Regression) moved(d float64, from, to [][2]float64) (state [3]float64) {
	a, added := r.Model.step(d)
	for c, m := range from {
		to[c] = [2]float64{a[0]*m[0] + a[1]*m[1], a[2] * m[1]}
	}
	p := r.state
	state[0] = a[0]*a[0]*p[0] + 2*a[0]*a[1]*p[1] + a[1]*a[1]*p[2] + added[0]
	state[1] = a[0]*a[2]*p[1] + a[1]*a[2]*p[2] + added[1]
	state[2] = a[2]*a[2]*p[2] + added[2]
	return state
}

// solve is least squares by modified Gram–Schmidt on the columns, y among them (Björck, BIT 7 (1967) 1).
func (r *Regression) solve(rows [][]float64) {
	p := len(rows[0]) - 1
	upper := make([][]float64, p) // R of the columns, with Qᵀy as its last column
	for k := range p {
		upper[k] = make([]float64, p+1)
		norm := 0.0
		for i := range rows {
			norm = math.Hypot(norm, rows[i][k])
		}
		upper[k][k] = norm
		for i := range rows {
			rows[i][k] /= norm
		}
		for c := k + 1; c <= p; c++ {
			for i := range rows {
				upper[k][c] += rows[i][k] * rows[i][c]
			}
			for i := range rows {
				rows[i][c] -= upper[k][c] * rows[i][k]
			}
		}
	}
	for i := range rows {
		r.Squares += squared(rows[i][p])
	}
	r.Variance = r.Squares / r.Freedom
	r.substitute(upper)
}

// substitute solves the triangular system for the coefficients and for the inverse of RᵀR.
func (r *Regression) substitute(upper [][]float64) {
	p := len(upper)
	back := func(right func(k int) float64) []float64 {
		b := make([]float64, p)
		for k := p - 1; k >= 0; k-- {
			b[k] = right(k)
			for c := k + 1; c < p; c++ {
				b[k] -= upper[k][c] * b[c]
			}
			b[k] /= upper[k][k]
		}
		return b
	}
	r.Coefficients = back(func(k int) float64 { return upper[k][p] })
	r.Inverse = make([][]float64, p)
	columns := make([][]float64, p)
	for c := range columns {
		columns[c] = back(func(k int) float64 {
			if k == c {
				return 1
			}
			return 0
		})
	}
	for a := range p {
		r.Inverse[a] = make([]float64, p)
		for b := range p {
			for c := range columns {
				r.Inverse[a][b] += columns[c][a] * columns[c][b]
			}
		}
	}
}

// quadratic is wᵀ·inverse·w.
func (r *Regression) quadratic(w []float64) (sum float64) {
	for a := range w {
		for b := range w {
			sum += w[a] * w[b] * r.Inverse[a][b]
		}
	}
	return sum
}

// At is what the law with its errors comes to at a place not before the last point, row being the law's there: the value with
// its variance, without a measurement's own error.
func (r *Regression) At(x float64, row []float64) (value, variance float64) {
	columns := make([][2]float64, len(r.columns))
	state := r.moved(x-r.Last, r.columns, columns)
	p := len(row)
	w := make([]float64, p)
	value = columns[p][0]
	for c := range w {
		w[c] = row[c] - columns[c][0]
		value += w[c] * r.Coefficients[c]
	}
	return value, r.Variance * (state[0] + r.quadratic(w))
}

// Law is the law alone at any place: its value with its variance.
func (r *Regression) Law(row []float64) (value, variance float64) {
	for c := range row {
		value += row[c] * r.Coefficients[c]
	}
	return value, r.Variance * r.quadratic(row)
}

// Rate is the slope at the last point, of the law and of a rate that drifts; slope is the derivative of the law's row there.
func (r *Regression) Rate(slope []float64) (value, variance float64) {
	p := len(slope)
	w := make([]float64, p)
	value = r.columns[p][1]
	for c := range w {
		w[c] = slope[c] - r.columns[c][1]
		value += w[c] * r.Coefficients[c]
	}
	if r.Model.Name != DriftingRate {
		return r.Law(slope)
	}
	return value, r.Variance * (r.state[2] + r.quadratic(w))
}
