package pdf

import (
	"bytes"
	"image/color"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-pdf/fpdf"
	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/report/figure"
)

// page is a document of one page, not compressed, with a font added.
func page(t *testing.T) *fpdf.Fpdf {
	t.Helper()
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetCompression(false)
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0))
	pdf.SetModificationDate(time.Unix(0, 0))
	pdf.AddUTF8FontFromBytes("body", "", dejavusanscondensed.TTF)
	pdf.AddUTF8FontFromBytes("body", "B", dejavusanscondensed.TTF)
	pdf.AddPage()
	return pdf
}

// written is the document's bytes; fonts are left out of it where no text was drawn.
func written(t *testing.T, pdf *fpdf.Fpdf) string {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestCanvasPutsPointsWhereTheyBelong(t *testing.T) {
	pdf := page(t)
	c := newCanvas(pdf, 20, 30, 50, 40, "body")
	w, h := c.Size()
	c.Stroke(vg.Path{{Type: vg.MoveComp}, {Type: vg.LineComp, Pos: vg.Point{X: w, Y: h}}})
	c.close()
	// Bottom left of the drawing: 20 mm from the left, 30 + 40 mm from the top of 297 mm. 1 mm = 72/25.4 points;
	// fpdf's A4 is 595.28 × 841.89 points. The diagonal is 50 mm × 40 mm in tenths of a point.
	want := ".1 0 0 .1 56.69 643.46 cm\n0 J 1 j [] 0 d\n0 0 0 RG\n10 w\n0 0 m\n1417 1134 l\nS\n"
	if s := written(t, pdf); !strings.Contains(s, want) {
		t.Errorf("path of the diagonal: %q not found in\n%s", want, s)
	}
}

func TestCanvasLeavesTheDocumentAsItWas(t *testing.T) {
	pdf := page(t)
	pdf.SetFont("body", "B", 17)
	pdf.SetTextColor(1, 2, 3)
	pdf.SetFillColor(4, 5, 6)
	pdf.SetDrawColor(7, 8, 9)
	pdf.SetLineWidth(0.7)
	pdf.SetLineCapStyle("square")
	pdf.SetAlpha(0.5, "Multiply")
	pdf.SetXY(33, 44)
	look := func() []any {
		x, y := pdf.GetXY()
		tr, tg, tb := pdf.GetTextColor()
		fr, fg, fb := pdf.GetFillColor()
		dr, dg, db := pdf.GetDrawColor()
		a, m := pdf.GetAlpha()
		size, _ := pdf.GetFontSize()
		return []any{x, y, tr, tg, tb, fr, fg, fb, dr, dg, db, a, m, size, pdf.GetFontFamily(), pdf.GetFontStyle(),
			pdf.GetLineWidth(), pdf.GetLineCapStyle(), pdf.PageNo()}
	}
	before := look()
	drawFigure(pdf, figure.Figure{Width: 100, Height: 60, Draw: drawEverything}, 10, 200, "body")
	for i, v := range look() {
		if v != before[i] {
			t.Errorf("state %d: %v before, %v after", i, before[i], v)
		}
	}
	s := written(t, pdf)
	operators := regexp.MustCompile(`(?m)(^| )[qQ]( |$)`).FindAllString(s, -1)
	if saves := strings.Count(strings.Join(operators, ""), "q"); 2*saves != len(operators) || saves < 4 {
		t.Errorf("%d saves among %d saves and restores", saves, len(operators))
	}
}

// drawEverything uses every operation of a canvas.
func drawEverything(c draw.Canvas) {
	face := font.Face{Font: font.Font{Size: 9}}
	c.SetColor(color.NRGBA{R: 200, A: 128})
	c.SetLineDash([]vg.Length{3, 2}, 1)
	c.Push()
	c.Translate(vg.Point{X: 20, Y: 20})
	c.Rotate(math.Pi / 2)
	c.Scale(2, 2)
	c.SetColor(nil)
	c.FillString(face, vg.Point{}, "−Z″ / mΩ \U0001F50B")
	c.Pop()
	face.Font.Weight = xfont.WeightBold
	c.FillString(face, vg.Point{X: 5, Y: 5}, "bold")
	c.SetLineWidth(0)
	c.Stroke(vg.Path{{Type: vg.MoveComp}, {Type: vg.LineComp}})
	c.SetLineWidth(2)
	var p vg.Path
	p.Move(vg.Point{X: 1, Y: 1})
	p.QuadTo(vg.Point{X: 5, Y: 9}, vg.Point{X: 9, Y: 1})
	p.CubeTo(vg.Point{X: 5, Y: 9}, vg.Point{X: 5, Y: 9}, vg.Point{X: 9, Y: 1})
	p.Arc(vg.Point{X: 9, Y: 9}, 4, 0, -4)
	p.QuadTo(vg.Point{X: 5, Y: 9}, vg.Point{X: 9, Y: 1})
	c.Stroke(p)
	p.Close()
	c.Fill(p)
	c.Fill(nil)
	c.Stroke(nil)
}

func TestCanvasDrawsTheSameBytesTwice(t *testing.T) {
	one := func() string {
		pdf := page(t)
		drawFigure(pdf, figure.Figure{Width: 100, Height: 60, Draw: drawEverything}, 10, 200, "body")
		return written(t, pdf)
	}
	if first, second := one(), one(); first != second {
		t.Error("two drawings differ")
	}
}

func TestUnknownFamilyIsAnErrorOfTheDocument(t *testing.T) {
	pdf := page(t)
	drawFigure(pdf, figure.Figure{Width: 100, Height: 60, Draw: drawEverything}, 10, 200, "absent")
	if pdf.Error() == nil {
		t.Error("no error for a font family that the document does not have")
	}
}

// Every point of the Béziers lies on the circle within 3 parts in 10 000 and the rounding to the grid, for
// any sweep.
func TestArcStaysOnItsCircle(t *testing.T) {
	number := regexp.MustCompile(`-?[0-9]+`)
	for _, sweep := range []float64{0.1, 1, math.Pi / 2, math.Pi, 2 * math.Pi, -3, 5.9} {
		k := vg.PathComp{Type: vg.ArcComp, Pos: vg.Point{X: 100, Y: 200}, Radius: 10000, Start: 0.3, Angle: sweep}
		var w pathWriter
		w.arc(k, affine{1, 0, 0, 1, 0, 0}, false)
		var v []float64
		for _, n := range number.FindAllString(string(w.content), -1) {
			f, err := strconv.ParseFloat(n, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, f)
		}
		for i := 0; i+8 <= len(v); i += 6 {
			for u := 0.; u <= 1; u += 1. / 64 {
				x, y := bezier(v[i:], u), bezier(v[i+1:], u)
				if r := math.Hypot(x-100, y-200); math.Abs(r/10000-1) > 4e-4 {
					t.Errorf("sweep %v: radius %v", sweep, r)
				}
			}
		}
		endX, endY := v[len(v)-2], v[len(v)-1]
		if want := end(k); math.Hypot(endX-float64(want.X), endY-float64(want.Y)) > 0.75 {
			t.Errorf("sweep %v ends at %v, %v; want %v", sweep, endX, endY, want)
		}
	}
}

// bezier is the cubic of one coordinate whose four points lie two apart (Bernstein form).
func bezier(v []float64, u float64) float64 {
	w := 1 - u
	return w*w*w*v[0] + 3*w*w*u*v[2] + 3*w*u*u*v[4] + u*u*u*v[6]
}

func TestNumbersAreShort(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{0, "0"}, {-0.001, "0"}, {100, "100"}, {1.5, "1.5"}, {-2.345, "-2.35"}, {0.104, ".1"}, {-0.104, "-.1"}, {1200.999, "1201"}} {
		if got := string(appendNumber(nil, c.v, 2)); got != c.want {
			t.Errorf("%v: %s, want %s", c.v, got, c.want)
		}
	}
}

// Marks of one shape differ in the step to their place only, and the steps add up: no rounding gathers.
func TestPathsOfOneShapeDifferInTheirPlaceOnly(t *testing.T) {
	var w pathWriter
	s := &state{matrix: affine{1, 0, 0, 1, 0.123, 0}, width: 1, colour: color.NRGBA{A: 255}}
	const count, step = 300, 1.234567
	for i := range count {
		var p vg.Path
		x := vg.Length(step * float64(i))
		p.Move(vg.Point{X: x + 2, Y: 3})
		p.Arc(vg.Point{X: x, Y: 3}, 2, 0, 2*math.Pi)
		p.Close()
		w.fill(p, s)
	}
	shapes, x := map[string]bool{}, 0
	for _, one := range strings.Split(strings.TrimSuffix(string(w.content), "f\n"), "f\n") {
		before, shape, found := strings.Cut(one, " cm\n")
		steps := strings.Fields(before)
		dx, err := strconv.Atoi(steps[len(steps)-2])
		if !found || err != nil {
			t.Fatalf("no step in %q", one)
		}
		shapes[shape], x = true, x+dx
	}
	if len(shapes) != 1 {
		t.Errorf("%d shapes", len(shapes))
	}
	if want := grid((step*(count-1) + 2 + 0.123) * gridsPerPoint); x != want {
		t.Errorf("the last mark is at %d, want %d", x, want)
	}
}

// What lets the ground through is mixed with the white of the page: half black is grey.
func TestColoursAreMixedWithThePage(t *testing.T) {
	c := newCanvas(page(t), 0, 0, 10, 10, "body")
	c.SetColor(color.NRGBA{A: 128})
	if got, want := c.now().colour, (color.NRGBA{127, 127, 127, 255}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}
