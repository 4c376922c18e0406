package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
)

// checkInputs holds the inputs against their digests, and the report against what follows from them today.
func (v *verification) checkInputs(ctx context.Context, wording string, m *meter) error {
	defer m.clear()
	folder, err := openFolder(v.folder, "job folder")
	if err != nil {
		return err
	}
	defer folder.Close()
	r, d, err := v.order(wording).judged(ctx, folder.FS(), m)
	if err != nil {
		return v.unreadable(folder.FS(), err)
	}
	v.compareInputs(d.Inputs, wording)
	return v.compareAnew(r, d)
}

// order judges for the cells that the PDF has, as report did, so that curves which nothing draws are not kept.
func (v *verification) order(wording string) order {
	o := order{wording: wording}
	if e := v.exhibit(pdfName); e != nil && e.pdf != nil {
		o.cells = e.pdf.Cells
	}
	return o
}

// unreadable goes through the inputs one by one where they cannot be read as a job any more.
func (v *verification) unreadable(files fs.FS, fault error) error {
	var refused *refusal
	var single *spectrum.Error
	var list spectrum.Errors
	if !errors.As(fault, &refused) && !errors.As(fault, &single) && !errors.As(fault, &list) {
		return fault
	}
	var found []job.Source
	for _, claim := range v.claims.Inputs {
		if digest, err := digestIn(files, claim.File); err == nil {
			found = append(found, job.Source{File: claim.File, SHA256: digest})
		}
	}
	v.compareInputs(found, "")
	v.object(v.folder, "the results cannot be computed from it any more:\n%v", fault)
	return nil
}

// digestIn is the SHA-256 of a file of the job.
func digestIn(files fs.FS, name string) (string, error) {
	info, err := fs.Stat(files, name)
	if err != nil {
		return "", err
	}
	if !info.Mode().IsRegular() {
		return "", errUnsuited
	}
	f, err := files.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, io.LimitReader(f, mostReportBytes)); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// compareInputs holds the files that the report names against those that are there.
func (v *verification) compareInputs(found []job.Source, wording string) {
	there := map[string]string{}
	for _, s := range found {
		there[s.File] = s.SHA256
	}
	for _, claim := range v.claims.Inputs {
		digest, is := there[claim.File]
		delete(there, claim.File)
		switch {
		case !is:
			v.object(claim.File, "the report was made from it, and the job has no such file%s", wordingHint(claim.File, wording))
		case digest != claim.SHA256:
			v.keep(mismatch{claim.File, "SHA-256", byDigest.message, digest, claim.SHA256, byDigest})
		}
	}
	for _, s := range found {
		if _, new := there[s.File]; new {
			v.object(s.File, "is an input of the job, and the report does not name it")
		}
	}
}

// wordingHint says how sentences from outside the job are found.
func wordingHint(file, wording string) string {
	if wording == "" && len(file) > 5 && file[len(file)-5:] == ".tmpl" {
		return "; sentences that report was given by --wording are named so for verify too"
	}
	return ""
}

// compareAnew holds the report against the one that this version makes of the inputs. It is made in the name of the
// version that made the report, so that two that compute alike give the same bytes.
func (v *verification) compareAnew(r *record, d *report.Document) error {
	document := *d
	document.Tool = v.claims.Tool
	var anew bytes.Buffer
	if err := report.WriteResults(&anew, &document); err != nil {
		return err
	}
	v.recomputed = true
	if bytes.Equal(anew.Bytes(), v.results) {
		return v.compareFormats(r, &document)
	}
	differences, err := report.CompareResults(v.results, anew.Bytes())
	if err != nil {
		return err
	}
	file := resultsName
	if v.exhibit(resultsName) == nil {
		file = pdfName + " (attached " + resultsName + ")"
	}
	v.objectAll(file, differences, byInputs)
	if !differences.Equal() {
		return nil
	}
	if differences.Rounding == 0 {
		v.object(file, "holds the same numbers and is written otherwise than this version writes it")
	}
	v.rounded = [2]string{digestOf(v.results), digestOf(anew.Bytes())}
	return v.compareFormats(r, &document)
}

// digestsAside drops from the differences those that are only the digest of results that differ by rounding.
func (v *verification) digestsAside(d *report.Differences) {
	d.List = slices.DeleteFunc(d.List, func(x report.Difference) bool {
		found, expected := strings.Join(strings.Fields(x.Found), ""), strings.Join(strings.Fields(x.Expected), "")
		return found != "" && expected != "" && strings.Contains(v.rounded[0], found) && strings.Contains(v.rounded[1], expected)
	})
}

// compareFormats holds PDF and workbook against those that follow from the inputs.
func (v *verification) compareFormats(r *record, d *report.Document) error {
	if e := v.exhibit(pdfName); e != nil && e.pdf != nil {
		var b bytes.Buffer
		if err := (pdf.Options{Cells: e.pdf.Cells, Logo: r.logo}).Write(&b, d); err != nil {
			return err
		}
		v.comparePages(e, b.Bytes())
	}
	if e := v.exhibit(bookName); e != nil && e.book != nil {
		var b bytes.Buffer
		if err := xlsx.Write(&b, d); err != nil {
			return err
		}
		return v.compareCells(e, b.Bytes())
	}
	return nil
}

func (v *verification) comparePages(e *exhibit, anew []byte) {
	if bytes.HasPrefix(e.data, anew) { // a signature may follow
		return
	}
	want, err := pdf.Open(anew)
	if err != nil {
		panic(fmt.Sprintf("a report that was just written cannot be read: %v", err))
	}
	d := pdf.Compare(e.pdf, want)
	v.digestsAside(d)
	v.objectAll(e.name, d, byInputs)
	if d.Equal() {
		v.unlike(e, "its pages have the same words and differ in form")
	}
}

func (v *verification) compareCells(e *exhibit, anew []byte) error {
	if bytes.Equal(e.data, anew) {
		return nil
	}
	want, err := xlsx.Open(anew)
	if err != nil {
		return err
	}
	d, err := xlsx.Compare(e.book, want)
	if err != nil {
		v.object(e.name, "%v", err)
		return nil
	}
	v.digestsAside(d)
	v.objectAll(e.name, d, byInputs)
	if d.Equal() {
		v.unlike(e, "its cells have the same values and it differs in form")
	}
	return nil
}

// unlike notes a file that says the same in another form. Another version may well give another form.
func (v *verification) unlike(e *exhibit, how string) {
	if v.claims.Tool != tool() {
		v.notef("%s: %s; another version of ohmledger made it", e.name, how)
		return
	}
	if v.rounded != [2]string{} {
		v.notef("%s: %s; results.json differs from what follows from the inputs by rounding", e.name, how)
		return
	}
	v.object(e.name, "%s", how)
}
