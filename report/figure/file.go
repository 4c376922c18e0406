package figure

import (
	"bytes"
	"encoding/xml"
	"io"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// pngResolution is in dots per inch: a figure as wide as the page then has some 1400 dots.
const pngResolution = 200

// WriteSVG writes a figure as scalable vectors, its caption as the drawing's title. Text stays text; a viewer
// without the typeface takes its nearest.
func WriteSVG(w io.Writer, f Figure) error {
	c := vgsvg.New(vg.Length(f.Width*pointsPerMM), vg.Length(f.Height*pointsPerMM))
	f.Draw(draw.New(c))
	var b, title bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return err
	}
	if err := xml.EscapeText(&title, []byte(f.Caption)); err != nil {
		return err
	}
	svg := bytes.ReplaceAll(b.Bytes(), []byte("font-family:DejaVu Sans Condensed;"),
		[]byte("font-family:'DejaVu Sans Condensed','DejaVu Sans',sans-serif;"))
	head, body, _ := bytes.Cut(svg, []byte("xlink\">\n"))
	for _, part := range [][]byte{head, []byte("xlink\">\n<title>"), title.Bytes(), []byte("</title>\n"), body} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// WritePNG writes a figure as a picture on white.
func WritePNG(w io.Writer, f Figure) error {
	c := vgimg.NewWith(vgimg.UseWH(vg.Length(f.Width*pointsPerMM), vg.Length(f.Height*pointsPerMM)), vgimg.UseDPI(pngResolution))
	f.Draw(draw.New(c))
	_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
	return err
}
