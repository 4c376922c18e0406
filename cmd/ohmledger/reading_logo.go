package main

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg" // a logo may be one
	"image/png"
	"io/fs"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// What a logo may be; one for print has a hundredth of it.
const (
	mostLogoBytes  = 8 << 20
	mostLogoPixels = 16_000_000
)

// readLogo reads the laboratory's logo, and counts it among the job's files.
func (r *record) readLogo() error {
	name := r.job.Laboratory.Logo
	if name == "" {
		return nil
	}
	fault := func(format string, arguments ...any) error {
		return &spectrum.Error{File: name, Message: fmt.Sprintf(format, arguments...), Remedy: "laboratory.logo of job.yaml names it"}
	}
	info, err := fs.Stat(r.files, name)
	switch {
	case err != nil:
		return fault("cannot be read: %v", err)
	case info.Size() > mostLogoBytes:
		return fault("has %d bytes; a logo has at most %d", info.Size(), mostLogoBytes)
	}
	data, err := fs.ReadFile(r.files, name)
	if err != nil {
		return fault("cannot be read: %v", err)
	}
	if r.logo, err = plainPicture(data); err != nil {
		return fault("%v", err)
	}
	r.job.Sources = append(r.job.Sources, job.Source{File: name, SHA256: digestOf(data), Bytes: len(data)})
	return nil
}

// plainPicture is a picture in a form that every format of a report can hold: a JPEG as it is, a PNG without its
// rarer ways to lay out and store pixels.
func plainPicture(data []byte) ([]byte, error) {
	head, kind, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil || kind != "png" && kind != "jpeg":
		return nil, fmt.Errorf("is no picture that a report can hold; allowed: PNG, JPEG")
	case head.Width <= 0 || head.Height <= 0 || head.Width > mostLogoPixels/head.Height:
		return nil, fmt.Errorf("has %d × %d pixels; a logo has at most %d", head.Width, head.Height, mostLogoPixels)
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	switch {
	case err != nil:
		return nil, fmt.Errorf("is a damaged picture (%w)", err)
	case kind == "jpeg":
		return data, nil
	}
	plain := image.NewNRGBA(picture.Bounds())
	for y := plain.Rect.Min.Y; y < plain.Rect.Max.Y; y++ {
		for x := plain.Rect.Min.X; x < plain.Rect.Max.X; x++ {
			plain.Set(x, y, picture.At(x, y))
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, plain); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
