package main

import (
	"io"
	"slices"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/figure"
)

// pictures is the table of the forms in which a figure is written by itself.
var pictures = []struct {
	ending string
	write  func(w io.Writer, f figure.Figure) error
}{
	{".svg", figure.WriteSVG},
	{".png", figure.WritePNG},
}

// figureFiles are the files of every figure of a report.
func figureFiles(d *report.Document) (files []output) {
	for i := range d.Assessment.Cells.Len() {
		for _, f := range figuresOf(d, d.Assessment.Cells.At(i)) {
			for _, p := range pictures {
				files = append(files, output{f.Name + p.ending, func(w io.Writer) error { return p.write(w, f) }})
			}
		}
	}
	return files
}

// figuresOf are all the figures of a cell.
func figuresOf(d *report.Document, cell *health.Cell) []figure.Figure {
	figures := []figure.Figure{figure.Nyquist(d, cell), figure.Bode(d, cell), figure.Residuals(d, cell), figure.Growth(d, cell, "days")}
	if counted(cell, func(m job.Measurement) *float64 { return m.Cycles }) {
		figures = append(figures, figure.Growth(d, cell, "cycles"))
	}
	if counted(cell, func(m job.Measurement) *float64 { return m.ThroughputAh }) {
		figures = append(figures, figure.Growth(d, cell, "throughput_ah"))
	}
	for i := range cell.Criteria {
		figures = append(figures, figure.NumberLine(d, cell, i))
	}
	if cell.Latest >= 0 && cell.Measurements[cell.Latest].Fit != nil {
		figures = append(figures, figure.Circuit(d, cell.Name, cell.Measurements[cell.Latest].Fit))
	}
	return figures
}

// counted reports whether a cell's history can be drawn against a count that its measurements state.
func counted(cell *health.Cell, count func(job.Measurement) *float64) bool {
	return slices.ContainsFunc(cell.Measurements, func(m health.Measurement) bool { return count(*m.Row) != nil })
}
