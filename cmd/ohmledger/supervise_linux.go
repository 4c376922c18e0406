package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
	"syscall"

	"golang.org/x/sys/unix"
)

// supervisedVariable is set in the environment of the process that does the work for another.
const supervisedVariable = "OHMLEDGER_SUPERVISED"

// unlimited is from where on a limit of the address space is none: more than any processor has (common practice).
const unlimited = 1 << 56

// supervised does the work in a process of its own where the session limits the address space. One that gets no memory is ended
// by Go with exit code 2 and pages about itself, which nothing within it can prevent; seen from here it is one line and exit
// code 3. Its standard error is no terminal then, so that it shows no progress.
func supervised(work func() int) int {
	var limit unix.Rlimit
	err := unix.Getrlimit(unix.RLIMIT_AS, &limit)
	if err != nil || limit.Cur >= unlimited || os.Getenv(supervisedVariable) != "" {
		return work()
	}
	code, last, err := supervise()
	switch {
	case err != nil:
		return work()
	case isStarved(last):
		fmt.Fprintf(os.Stderr, "ohmledger: this session is limited to %d MB of address space (ulimit -v), and they did not suffice; allow more, or judge a large job in parts (report --part); what there was before is as it was\n", limit.Cur>>20)
		return exitBroken
	case last != "":
		fmt.Fprint(os.Stderr, last)
		return exitBroken
	}
	return code
}

// supervise runs the program once more with the same arguments and gives its exit code, and its last words where Go ended it.
func supervise() (code int, last string, err error) {
	runtime.LockOSThread() // by which the child knows that this process lives
	defer runtime.UnlockOSThread()
	name, err := os.Executable()
	if err != nil {
		return 0, "", err
	}
	from, to, err := os.Pipe()
	if err != nil {
		return 0, "", err
	}
	defer from.Close()
	child, err := os.StartProcess(name, os.Args, &os.ProcAttr{
		Env: append(os.Environ(), supervisedVariable+"=1"), Files: []*os.File{os.Stdin, os.Stdout, to},
		Sys: &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL},
	})
	to.Close()
	if err != nil {
		return 0, "", err
	}
	defer passOn(child)()
	last = relay(os.Stderr, from)
	state, err := child.Wait()
	if err == nil && !state.Exited() {
		return exitBroken, "ohmledger: " + state.String() + "\n", nil
	}
	return state.ExitCode(), last, err
}

// passOn hands signals that end a run on to a process, until it is told to stop.
func passOn(child *os.Process) (stop func()) {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		for s := range signals {
			child.Signal(s)
		}
	}()
	return func() { signal.Stop(signals); close(signals) }
}

// relay copies lines, up to the first that Go's runtime writes when it gives up. From there on it returns them.
func relay(to io.Writer, from io.Reader) (last string) {
	lines := bufio.NewReader(from)
	var kept strings.Builder
	for {
		line, err := lines.ReadString('\n')
		if kept.Len() > 0 || strings.HasPrefix(line, "runtime: ") || strings.HasPrefix(line, "fatal error: ") {
			kept.WriteString(line)
		} else {
			io.WriteString(to, line)
		}
		if err != nil {
			return kept.String()
		}
	}
}

// isStarved says whether Go's last words are those of a process that gets no memory, be it for a thread.
func isStarved(last string) bool {
	return slices.ContainsFunc([]string{"out of memory", "cannot allocate", "cannot map pages", "failed to create new OS thread"},
		func(words string) bool { return strings.Contains(last, words) })
}
