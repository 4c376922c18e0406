// Command ohmledger: manual to come.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// commands is the command line.
type commands struct {
	Report  reportCommand  `cmd:"" help:"Judge the cells of a job folder and write the report."`
	New     newCommand     `cmd:"" help:"Write a commented starter job folder."`
	Demo    demoCommand    `cmd:"" help:"Report the built-in demonstration job."`
	Version versionCommand `cmd:"" help:"Print version, model and build."`
}

// run carries out one command line and returns the exit code.
func run(args []string, stdout, stderr io.Writer) int {
	con := newConsole(stdout, stderr)
	ctx, release := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer release()
	err := interrupted(guarded(func() error { return execute(ctx, args, con) }))
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
	return command.Run()
}
