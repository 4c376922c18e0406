package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"ohmledger": main, putter: putForever})
}

// TestCommands runs the scripts of testdata: the command line as a user meets it.
func TestCommands(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata",
		UpdateScripts: *update,
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits":   exits,
			"replace": replaceText,
			"clean":   cleanFolder,
		},
		Condition: func(condition string) (bool, error) {
			if condition == "root" { // for whom no folder is read-only
				return os.Geteuid() == 0, nil
			}
			return false, errors.New("unknown condition")
		},
		RequireExplicitExec: true,
	})
}

// exits runs a command and holds its exit code: exits 2 ohmledger report nowhere.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND [ARGUMENT…]")
	}
	code := 0
	err := ts.Exec(args[1], args[2:]...)
	var ended *exec.ExitError
	if errors.As(err, &ended) {
		code = ended.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d, want %s", code, args[0])
	}
}

// replaceText changes every occurrence in a file: replace FILE OLD NEW.
func replaceText(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: replace FILE OLD NEW")
	}
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s does not hold %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.ReplaceAll(text, args[1], args[2])), 0o666))
}

// cleanFolder holds that no staging folder was left anywhere under the working folder.
func cleanFolder(ts *testscript.TestScript, neg bool, args []string) {
	ts.Check(filepath.WalkDir(ts.Getenv("WORK"), func(name string, _ os.DirEntry, err error) error {
		if strings.HasPrefix(filepath.Base(name), stagePrefix) {
			ts.Fatalf("%s was left", name)
		}
		return err
	}))
}
