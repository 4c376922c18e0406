package figure

import (
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
)

// sampled gives points of a curve at even steps of its parameter from 0 to 1.
func sampled(count int, of func(t float64) (x, y float64)) []vg.Point {
	points := make([]vg.Point, count)
	for i := range points {
		x, y := of(float64(i) / float64(count-1))
		points[i] = vg.Point{X: vg.Length(x), Y: vg.Length(y)}
	}
	return points
}

// traced are points of a path of cubics, close together.
func traced(p vg.Path) (points []vg.Point) {
	for i, k := range p {
		if k.Type != vg.CurveComp {
			continue
		}
		b := bezier{p[i-1].Pos, k.Control[0], k.Control[1], k.Pos}
		for step := range 101 {
			points = append(points, b.at(float64(step)/100))
		}
	}
	return points
}

// TestSmoothPathKeepsToItsPoints: every point lies within finest of the path, whatever the curve, and the path
// does not leave the curve between the points.
func TestSmoothPathKeepsToItsPoints(t *testing.T) {
	p := aged(0.7)
	for name, of := range map[string]func(t float64) (x, y float64){
		"half circle": func(t float64) (float64, float64) { return 100 * math.Cos(math.Pi*t), 100 * math.Sin(math.Pi*t) },
		"line":        func(t float64) (float64, float64) { return 300 * t, 100 * t },
		"spectrum": func(t float64) (float64, float64) {
			z := p.Impedance(math.Pow(10, 4-6*t))
			return real(z) * 16e3, -imag(z) * 16e3
		},
		"sharp turn": func(t float64) (float64, float64) { return 100 * math.Abs(t-0.5), 50 * t },
	} {
		points := sampled(160, of)
		path := smoothPath(points, finest)
		near := traced(path)
		for i, at := range points {
			nearest := vg.Length(math.Inf(1))
			for k := range len(near) - 1 {
				nearest = min(nearest, offLine(at, near[k], near[k+1]))
			}
			if nearest > finest+0.01 { // as far as the steps of the trace
				t.Errorf("%s: point %d is %v off", name, i, nearest)
				break
			}
		}
		for _, q := range near {
			nearest := vg.Length(math.Inf(1))
			for i := range len(points) - 1 {
				nearest = min(nearest, offLine(q, points[i], points[i+1]))
			}
			if nearest > 3*finest {
				t.Errorf("%s: the path is %v off its points at %v", name, nearest, q)
				break
			}
		}
		if name != "sharp turn" && len(path) > 20 {
			t.Errorf("%s: %d pieces", name, len(path)-1)
		}
	}
}

// A quarter of a circle is one cubic within 3 parts in 10 000 of the radius (Riškus, Information Technology and
// Control 35 (2006) 371): a half circle of radius 100 takes two, or three where the split is uneven.
func TestSmoothPathOfACircleIsShort(t *testing.T) {
	path := smoothPath(sampled(160, func(t float64) (float64, float64) { return 100 * math.Cos(math.Pi*t), 100 * math.Sin(math.Pi*t) }), finest)
	if n := len(path) - 1; n > 3 {
		t.Errorf("%d cubics", n)
	}
}

func TestDistinctLeavesOutRepeats(t *testing.T) {
	a, b := vg.Point{X: 1}, vg.Point{X: 2}
	if got := distinct([]vg.Point{a, a, b, b, b, a}); len(got) != 3 {
		t.Errorf("%v", got)
	}
}
