package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// notRun are commands of the README for which there are other tests, or this one.
var notRun = []string{"go test ./...", "go build -o ohmledger ./cmd/ohmledger"}

// TestCommandsOfTheReadme runs what the README tells its reader to run, in its order, in one folder.
func TestCommandsOfTheReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	var commands []string
	for _, block := range regexp.MustCompile("(?s)```sh\n(.*?)```").FindAllStringSubmatch(string(must(os.ReadFile(readme))), -1) {
		commands = append(commands, strings.Split(strings.TrimSpace(block[1]), "\n")...)
	}
	runAll(t, commands, 4)
}

// TestCommandsOfTheManual does the same for the manual.
func TestCommandsOfTheManual(t *testing.T) {
	var commands []string
	for _, line := range strings.Split(string(must(os.ReadFile("main.go"))), "\n") {
		if command, ok := strings.CutPrefix(line, "//\tohmledger "); ok && !strings.ContainsAny(command, "[ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
			commands = append(commands, "ohmledger "+command)
		}
	}
	runAll(t, commands, 4)
}

// runAll carries out command lines that are to be done: exit code 0, or 1 where a cell failed.
func runAll(t *testing.T, commands []string, least int) {
	t.Helper()
	t.Chdir(t.TempDir())
	ran := 0
	for _, command := range commands {
		command, _, _ = strings.Cut(command, "#")
		command = strings.TrimSpace(command)
		if slices.Contains(notRun, command) {
			continue
		}
		words := strings.Fields(strings.Replace(command, "go run ./cmd/ohmledger", "ohmledger", 1))
		if words[0] != "ohmledger" {
			t.Errorf("%q is not known here", command)
			continue
		}
		var out, err bytes.Buffer
		if code := run(words[1:], &out, &err); code > exitFailed || err.Len() > 0 {
			t.Errorf("%s: exit code %d: %s", command, code, err.String())
		}
		ran++
	}
	if ran < least {
		t.Errorf("only %d commands were found", ran)
	}
}

// TestReferencesAgree holds the README and the manual against the program: commands, flags and exit codes.
func TestReferencesAgree(t *testing.T) {
	manual, page := string(must(os.ReadFile("main.go"))), string(must(os.ReadFile(readme)))
	for _, command := range []string{"report", "check", "new", "demo", "version"} {
		var out, err bytes.Buffer
		if code := run([]string{command, "--help"}, &out, &err); code != exitDone {
			t.Fatalf("%s --help: %s", command, err.String())
		}
		words := []string{"ohmledger " + command}
		for _, flag := range regexp.MustCompile(`--[a-z-]+`).FindAllString(out.String(), -1) {
			if flag != "--help" && flag != "--out" && flag != "--no-verdict-exit" {
				words = append(words, flag)
			}
		}
		for _, word := range words {
			if !strings.Contains(manual, word) || !strings.Contains(page, word) {
				t.Errorf("%s stands in -h, but not in both README and manual", word)
			}
		}
	}
}

// TestPagesOfTheReadme: a picture that the README shows is there.
func TestPagesOfTheReadme(t *testing.T) {
	shown := regexp.MustCompile(`\]\(([^)#:]+)\)`).FindAllStringSubmatch(string(must(os.ReadFile(readme))), -1)
	for _, link := range shown {
		if _, err := os.Stat(filepath.Join(root, link[1])); err != nil {
			t.Errorf("%v", err)
		}
	}
	if len(shown) == 0 {
		t.Error("no links in the README")
	}
}
