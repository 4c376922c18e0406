// Ohmledger turns a battery cell's impedance history into a state-of-health report that a laboratory can sign.
//
// Usage:
//
//	ohmledger report JOB [-o OUT]
//	ohmledger check JOB_OR_SPECTRUM
//	ohmledger check A.csv B.csv
//	ohmledger check --watch FOLDER
//	ohmledger merge OUT PART...
//	ohmledger verify OUT [--job JOB]
//	ohmledger new JOB
//	ohmledger demo [-o OUT]
//	ohmledger version
//
// To see what it does, without any input:
//
//	ohmledger demo
//
// To begin a job of your own:
//
//	ohmledger new bench-may
//	ohmledger check bench-may
//	ohmledger report bench-may
//
// # What it does
//
// A laboratory measures the impedance of a cell over frequency when the cell is new and again as it ages. Ohmledger reads
// all spectra of a job, fits one circuit to each cell's whole history, and so parts the ohmic resistance from the
// resistance of charge transfer. It compares both with a baseline at equal temperature, works out how sure that is, and
// holds the result against the customer's limits by a stated decision rule. What cannot be judged is not evaluated, with
// the reason; nothing is passed in silence.
//
// # The job folder
//
//	job.yaml            who, what, limits, baseline, decision rule
//	measurements.csv    one row a spectrum (or measurements.xlsx, first sheet)
//	spectra/            one file a spectrum: delimited text, or .xlsx, first sheet
//
// The command new writes one with an explanation beside every key, and a JSON Schema of job.yaml by which editors complete
// and check it. Paths in a job begin at its folder and stay inside it.
//
// The columns cell, file, measured_at and temperature_c of the table are needed. The others that are understood:
// temperature_uncertainty_c, soc_percent, cycles, throughput_ah, capacity_ah, sensing (2-wire or 4-wire), control
// (galvanostatic or potentiostatic), amplitude_a, amplitude_v, rest_minutes, ocv_before_v, ocv_after_v, instrument, fixture,
// operator, remarks, and accept: the reason why a rejected spectrum is to count after all. More columns are kept.
//
// A spectrum has a header row and points in any order. Its own headings are frequency_hz, z_real_ohm and z_imag_ohm, with
// z_imag_ohm below zero for a capacitive cell; common spellings, units in mΩ, the negative imaginary part, and magnitude
// with phase are understood, as are comma, semicolon and tab, decimal comma, and Windows and UTF-16 text. Where sign or
// unit cannot be told for certain the file is refused with the line that job.yaml needs; nothing is guessed.
//
// # report
//
// The report goes into OUT, JOB/report unless -o names another folder:
//
//	report.pdf      the report to sign
//	report.xlsx     the same as a workbook, with limits, coverage factor and decision rule as inputs of its formulas
//	results.json    every number unrounded, for other programs
//
// All three appear together when all are complete, or none does and the old ones stay, at whatever moment the program is
// killed: what a killed run leaves is put right by the next one into the same folder, which says so. (On Windows, and on drives
// without symbolic links, a kill within the instant in which files change places can leave OUT without some of them, until then.)
// A folder that holds inputs is refused. The flags:
//
//	--cells all|failed|none    cells with a section of their own in the PDF (all)
//	--figures DIR              every figure by itself, as SVG and PNG
//	--wording DIR              the laboratory's own sentences, in place of the folder that job.yaml names
//	--part I/N                 judge the I-th of N shares of the cells only, for merge
//	--verdict-exit=false       exit code 0 instead of 1 where a cell failed
//
// The same input gives the same bytes. No date is taken from the clock: a job that states no date of issue gives a
// report that states none.
//
// # merge
//
// A lot too large for one machine is judged in parts, in any order, by runs that know nothing of each other, and put together:
//
//	ohmledger report JOB --part 3/16 -o PART
//	ohmledger merge OUT PART...
//
// A part is a folder (JOB/parts/3-of-16 unless -o names another) with one file, part.ohmledger, which holds all that the whole
// needs: merge needs neither the job nor its spectra. Its second line is JSON that says of what it is a part, by the SHA-256 of
// all inputs, and which program made it. The report is that of a single run, byte for byte; merge takes --cells, --figures and
// --verdict-exit as report does. Parts of different jobs or of inputs that were changed in between, parts of another build of the
// program, missing, doubled, damaged and unfinished ones are refused, and nothing is written.
//
// Each part reads all spectra of the job and fits those that its cells rest on: its own; where reference cells are the baseline,
// and for cells of one spectrum each, the up to 200 spectra that settle the circuit which all share; where the job's own
// temperature series give the activation energies, all. Exit code 1 of a part says that a cell of its share failed.
//
// # check
//
// Says whether measurements are worth keeping, while the cell is still in the fixture. It needs no baseline and writes no
// report. Each finding tells what was seen, how big it is, what it most likely is, and what to do.
//
// Of a spectrum file it judges what the curve shows. Of a job, what the rows of the table state as well, and the cell's other
// spectra: sensing, excitation, rest, temperature, state of charge, calibration, history. Of two spectra of one cell (two wires
// and four, before and after re-clipping or shielding) it tells the shift along the real axis with its uncertainty, the change
// of the arcs, the noise and the inductance of each, and what the difference most likely is. The flags:
//
//	--watch FOLDER         check each spectrum file as it lands in FOLDER, a line each; ends on an interrupt
//	--json                 JSON in place of text, of the schema ohmledger/check/1; with --watch one document a line
//	--figure F.svg|png|pdf draw the two spectra that are compared, and their difference
//	--columns KEY=TEXT     what job.yaml says under columns, for spectra outside of a job: frequency, real, imaginary,
//	                       magnitude, phase, unit, imaginary_sign; may be repeated
//
// A watched file is read when it has stood still for a moment; what is no spectrum is passed over. The endings .csv, .txt,
// .tsv, .tab, .dat, .asc and .xlsx are looked at. The schema of the JSON is templates/schema/check.schema.json.
//
// # verify
//
// Says whether a report still matches its inputs and itself, number by number and file by file:
//
//   - PDF and workbook are as they were written. Each carries a seal, the SHA-256 of itself.
//   - All three files belong together. PDF and workbook state the SHA-256 of results.json, which the PDF has attached.
//   - The inputs are those that the report was made from, by their SHA-256.
//   - The results that this version computes from the inputs are the report's, and so are the pages and cells it makes of them.
//
// JOB is the folder above OUT, or OUT/job, unless --job names another. Without one, and for a single file such as
// report.pdf, the first two are compared. The seal shows that a file was changed, not by whom: it is no signature. The flags:
//
//	--signed      the PDF was signed since: what stands behind it as it was written does not count as a change
//	--wording DIR the laboratory's own sentences, where report was given them
//	--json        JSON in place of text, of the schema ohmledger/verify/1 (templates/schema/verify.schema.json)
//
// Numbers may differ by a millionth part of their value, as machines round differently; the text says so where they do.
//
// # new
//
// Writes a job folder that can be reported as it stands, complete or not at all. Nothing is ever overwritten: where one of the
// files exists, all that do are listed and none is written.
//
// # demo
//
// Reports a built-in job with invented cells into OUT (ohmledger-demo), the job itself into OUT/job. Some of the cells
// fail, so it ends with exit code 1, unless --verdict-exit=false is given.
//
// # version
//
// Prints the version of the program, of the model (the circuit and the judgement: it changes when numbers may), and of the
// source it was built from.
//
// # Exit codes
//
//	0    done, and nothing failed its limits
//	1    done, and at least one cell failed, if only conditionally; or check found a spectrum not worth keeping,
//	     or verify a mismatch
//	2    the input or the command line is at fault, and nothing was written
//	3    anything else, such as a full disk; nothing was written, or the message says what was
//
// Results go to standard output, errors to standard error. Each error of an input has its place, file:line:column, what was
// found and what is allowed; all of them come at once. Progress is shown where standard error is a terminal. Colour is
// used on terminals only, and not where the environment sets NO_COLOR. Setting OHMLEDGER_DEBUG adds a stack to the report of
// a crash.
//
// # What a verdict claims
//
// That the quantities measured on this cell, on the day stated, meet the limits that the customer set, by the decision rule
// that the report states, with the probability that it states. It does not say that a cell is safe, nor how it will age.
// Damage that leaves the impedance alone is not seen. A grade is never a safety certificate.
//
// Measuring cells is work for people who know their dangers. Never short a cell; insulate free clips; do not work on cells
// that are swollen, hot, leaking or damaged. Local codes and licensed practice come first.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"reflect"
	"syscall"

	"github.com/alecthomas/kong"
)

func main() {
	os.Exit(supervised(func() int { return run(os.Args[1:], os.Stdout, os.Stderr) }))
}

// commands is the command line.
type commands struct {
	Report  reportCommand  `cmd:"" help:"Judge the cells of a job folder and write the report."`
	Check   checkCommand   `cmd:"" help:"Is this measurement worth keeping? Check a spectrum, a job, or compare two spectra."`
	Merge   mergeCommand   `cmd:"" help:"Make one report of parts that report --part judged apart."`
	Verify  verifyCommand  `cmd:"" help:"Does this report still match its inputs?"`
	New     newCommand     `cmd:"" help:"Write a commented starter job folder."`
	Demo    demoCommand    `cmd:"" help:"Report the built-in demonstration job."`
	Version versionCommand `cmd:"" help:"Print version, model and build."`
}

// run carries out one command line and returns the exit code.
func run(args []string, stdout, stderr io.Writer) int {
	con := newConsole(stdout, stderr)
	ctx, release := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer release()
	err := checkLimits()
	if err == nil {
		err = interrupted(guarded(func() error { return execute(ctx, args, con) }))
	}
	if lost := con.lost(); lost != nil && exitCode(err) <= exitFailed {
		err = lost
	}
	if err != nil && !errors.Is(err, errFailed) {
		con.complain(err)
	}
	return exitCode(err)
}

// execute parses the command line and runs its command.
func execute(ctx context.Context, args []string, con *console) error {
	helped := false
	parser, err := kong.New(&commands{}, kong.Name("ohmledger"),
		kong.Description("State-of-health reports from the impedance history of battery cells. Start with: ohmledger demo"),
		kong.Writers(con.out, con.err), kong.Exit(func(int) { helped = true }), kong.UsageOnError(),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(con))
	if err != nil {
		return err
	}
	command, err := parser.Parse(args)
	switch {
	case helped:
		return nil
	case err != nil:
		return refuse("%v; see ohmledger --help", err)
	}
	if err := filledIn(command.Path); err != nil {
		return err
	}
	return command.Run()
}

// filledIn refuses what is given and empty, such as by a variable of a script that was never set: it would look as if it were
// not given.
func filledIn(given []*kong.Path) error {
	for _, p := range given {
		switch {
		case p.Flag != nil && p.Flag.Target.Kind() == reflect.String && p.Flag.Target.Len() == 0:
			name := "--" + p.Flag.Name
			if p.Flag.Short != 0 {
				name = "-" + string(p.Flag.Short)
			}
			return refuse("%s is given and empty; say what is meant (%s %s), or leave it out", name, name, p.Flag.FormatPlaceHolder())
		case p.Positional != nil && p.Positional.Target.Kind() == reflect.String && p.Positional.Target.Len() == 0:
			return refuse("%s is given and empty", p.Positional.Name)
		}
	}
	return nil
}
