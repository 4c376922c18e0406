package main

import (
	"fmt"
	"os"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
)

// TestDependenciesAreListed holds the list in DEVELOPERS.md against the imports and the versions that go.mod pins.
func TestDependenciesAreListed(t *testing.T) {
	pinned := map[string]string{}
	for _, line := range regexp.MustCompile(`(?m)^(?:require)?\s+(\S+\.\S+/?\S*) (v\S+)`).FindAllStringSubmatch(string(must(os.ReadFile(root+"/go.mod"))), -1) {
		pinned[line[1]] = line[2]
	}
	used := map[string]map[string]bool{} // the packages that use a module
	for _, s := range sources(t) {
		for _, spec := range s.tree.Imports {
			name := must(strconv.Unquote(spec.Path.Value))
			if first, _, _ := strings.Cut(name, "/"); !strings.Contains(first, ".") {
				continue
			}
			of := moduleOf(name, pinned)
			if of == "" {
				t.Fatalf("%s belongs to no module of go.mod", name)
			}
			if used[of] == nil {
				used[of] = map[string]bool{}
			}
			used[of][s.pkg] = true
		}
	}
	listed := map[string]string{}
	for _, row := range regexp.MustCompile(`(?m)^\| (\S+\.\S+/\S+) \| (v\S+) \| [^|]+ \| [^|]+ \| ([^|]+) \|$`).FindAllStringSubmatch(string(must(os.ReadFile(root+"/DEVELOPERS.md"))), -1) {
		listed[row[1]] = row[3]
		if pinned[row[1]] != row[2] || used[row[1]] == nil {
			t.Errorf("%s %s is listed; go.mod has %q, imported: %v", row[1], row[2], pinned[row[1]], used[row[1]] != nil)
		}
	}
	for of, packages := range used {
		for p := range packages {
			if !strings.HasPrefix(p, "report/internal/") && !strings.Contains(listed[of], fmt.Sprintf("`%s`", p)) {
				t.Errorf("%s is used in %s, which DEVELOPERS.md does not say", of, p)
			}
		}
	}
}

// TestAllModulesAreListed: every module that is linked into the program, or into its tests, stands in DEVELOPERS.md with the
// version that is built, and so its licence does.
func TestAllModulesAreListed(t *testing.T) {
	build, known := debug.ReadBuildInfo()
	if !known || len(build.Deps) == 0 {
		t.Skip("the build does not say what it is made of")
	}
	text := string(must(os.ReadFile(root + "/DEVELOPERS.md")))
	for _, m := range build.Deps {
		if !strings.Contains(text, "| "+m.Path+" | "+m.Version+" | ") && !strings.Contains(text, m.Path+" "+m.Version+" (") {
			t.Errorf("DEVELOPERS.md lacks %s %s", m.Path, m.Version)
		}
	}
}

// moduleOf is the longest module that holds a package.
func moduleOf(name string, modules map[string]string) (module string) {
	for m := range modules {
		if (name == m || strings.HasPrefix(name, m+"/")) && len(m) > len(module) {
			module = m
		}
	}
	return module
}
