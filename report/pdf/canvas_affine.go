package pdf

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// affine maps x, y to a·x + c·y + e, b·x + d·y + f, in the order of ISO 32000-1:2008, 8.3.3.
type affine [6]float64

func (m affine) apply(p vg.Point) (x, y float64) {
	return m[0]*float64(p.X) + m[2]*float64(p.Y) + m[4], m[1]*float64(p.X) + m[3]*float64(p.Y) + m[5]
}

// after is m applied to what t gives.
func (m affine) after(t affine) affine {
	return affine{
		m[0]*t[0] + m[2]*t[1], m[1]*t[0] + m[3]*t[1],
		m[0]*t[2] + m[2]*t[3], m[1]*t[2] + m[3]*t[3],
		m[0]*t[4] + m[2]*t[5] + m[4], m[1]*t[4] + m[3]*t[5] + m[5],
	}
}

func (m affine) scale() float64 { return math.Sqrt(math.Abs(m[0]*m[3] - m[1]*m[2])) }
func (m affine) angle() float64 { return math.Atan2(m[1], m[0]) }
