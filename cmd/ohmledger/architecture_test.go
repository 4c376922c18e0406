package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const (
	module = "ohmledger"
	root   = "../.."
)

// mayImport is the drawing of the architecture as a table: what each package may use of the others. Everything not listed
// is forbidden; a new package needs a line here. Tests may use more.
var mayImport = map[string]string{
	"cmd/ohmledger":               "report/pdf report/xlsx report/part report/figure report/notation report health health/job health/parallel fit/spectrum templates",
	"report/pdf":                  "report/pdf/internal/deflate report/figure report/notation report health health/job health/parallel fit fit/kramerskronig fit/spectrum",
	"report/pdf/internal/deflate": "",
	"report/xlsx":                 "report/figure report/notation report health health/job health/sampling health/statistics fit fit/kramerskronig fit/spectrum",
	"report/part":                 "report health health/job health/plain fit",
	"report/figure":               "report/notation report health health/job fit fit/kramerskronig fit/spectrum",
	"report/notation":             "health/job fit",
	"report":                      "report/notation health health/job health/sampling health/statistics fit fit/kramerskronig fit/spectrum",
	"report/internal/specimen":    "health health/job fit fit/kramerskronig fit/spectrum",
	"health":                      "health/job health/matching health/parallel health/plain health/sampling health/statistics fit fit/kramerskronig fit/spectrum",
	"health/matching":             "",
	"health/parallel":             "",
	"health/plain":                "fit",
	"health/sampling":             "health/statistics",
	"health/statistics":           "fit",
	"health/internal/published":   "",
	"health/job":                  "fit/spectrum",
	"fit":                         "fit/spectrum fit/internal/leastsq",
	"fit/kramerskronig":           "fit/spectrum fit/internal/leastsq",
	"fit/spectrum":                "",
	"fit/internal/leastsq":        "",
	"templates":                   "",
}

// confined are libraries that only some packages may know, so that each can be replaced in one place.
var confined = map[string][]string{
	"github.com/alecthomas/kong":       {"cmd/ohmledger"},
	"golang.org/x/term":                {"cmd/ohmledger"},
	"github.com/fsnotify/fsnotify":     {"cmd/ohmledger"},
	"golang.org/x/sys":                 {"cmd/ohmledger"},
	"github.com/johnfercher/maroto/v2": {"report/pdf"},
	"codeberg.org/go-pdf/fpdf":         {"report/pdf"},
	"gonum.org/v1/plot":                {"report/figure", "report/pdf"},
	"github.com/xuri/excelize/v2":      {"report/xlsx", "fit/spectrum"},
	"github.com/goccy/go-yaml":         {"health/job"},
	"os":                               {"cmd/ohmledger", "health/internal/published", "report/internal/specimen"},
	"flag":                             {},
	"log":                              {},
	"os/exec":                          {},
	"net/http":                         {},
	"unsafe":                           {},
}

// source is one file of the project, parsed.
type source struct {
	pkg  string // folder, from the root
	file string
	tree *ast.File
	set  *token.FileSet
}

// sources are all Go files but tests.
func sources(t *testing.T) (list []source) {
	t.Helper()
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && (e.Name() == "testdata" || name != "." && strings.HasPrefix(e.Name(), ".")):
			return fs.SkipDir
		case e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, filepath.Join(root, name), nil, parser.ParseComments)
		list = append(list, source{path.Dir(name), name, tree, set})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestImportsRunOneWay(t *testing.T) {
	for _, s := range sources(t) {
		allowed, known := mayImport[s.pkg]
		if !known {
			t.Errorf("%s: package %s has no line in the table of imports", s.file, s.pkg)
		}
		for _, spec := range s.tree.Imports {
			name := must(strconv.Unquote(spec.Path.Value))
			if own, is := strings.CutPrefix(name, module+"/"); is && !slices.Contains(strings.Fields(allowed), own) {
				t.Errorf("%s: %s may not import %s", s.file, s.pkg, own)
			}
			if where := confinement(name); where != nil && !slices.Contains(where, s.pkg) {
				t.Errorf("%s: %s is for %v alone", s.file, name, where)
			}
		}
	}
}

// confinement is where a library, or a package of it, may be used; nil: anywhere.
func confinement(name string) []string {
	for library, where := range confined {
		if name == library || strings.HasPrefix(name, library+"/") {
			return where
		}
	}
	return nil
}

// The clock belongs to the command alone, and nothing happens by itself at the start.
func TestNoClockAndNoInit(t *testing.T) {
	for _, s := range sources(t) {
		ast.Inspect(s.tree, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Name.Name == "init" && n.Recv == nil {
					t.Errorf("%s: an init function", s.set.Position(n.Pos()))
				}
			case *ast.SelectorExpr:
				of, ok := n.X.(*ast.Ident)
				if ok && of.Name == "time" && slices.Contains([]string{"Now", "Since", "Until"}, n.Sel.Name) && s.pkg != "cmd/ohmledger" {
					t.Errorf("%s: a clock in a library", s.set.Position(n.Pos()))
				}
			}
			return true
		})
	}
}

// The top level is the customer's.
func TestTopLevel(t *testing.T) {
	allowed := strings.Fields("cmd report health fit templates testdata README.md DEVELOPERS.md go.mod go.sum")
	for _, e := range must(os.ReadDir(root)) {
		if name := e.Name(); !strings.HasPrefix(name, ".") && !slices.Contains(allowed, name) && !ignored(name) {
			t.Errorf("%s does not belong at the top level", name)
		}
	}
}

// ignored are what building and the README's commands leave.
func ignored(name string) bool {
	return slices.Contains([]string{"ohmledger", "ohmledger-demo", "ohmledger.exe"}, name) || strings.HasSuffix(name, ".test") || strings.HasSuffix(name, ".prof")
}

// The size of functions and files: median under 12 lines, nine in ten under 35; files up to 250.
func TestShape(t *testing.T) {
	var lengths []int
	for _, s := range sources(t) {
		lines := s.set.Position(s.tree.End()).Line
		if name := path.Base(s.file); lines > 250 && name != "main.go" { // main.go is the manual
			t.Errorf("%s has %d lines", s.file, lines)
		}
		for _, d := range s.tree.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				lengths = append(lengths, s.set.Position(f.End()).Line-s.set.Position(f.Pos()).Line+1)
			}
		}
	}
	slices.Sort(lengths)
	median, ninetieth := lengths[len(lengths)/2], lengths[len(lengths)*9/10]
	t.Logf("%d functions: median %d lines, nine in ten under %d, longest %d", len(lengths), median, ninetieth, lengths[len(lengths)-1])
	if median >= 12 || ninetieth >= 35 {
		t.Errorf("functions have grown: median %d lines, ninth decile %d", median, ninetieth)
	}
}

// Packages are named for what they hold.
func TestNamesSaySomething(t *testing.T) {
	for _, s := range sources(t) {
		for _, word := range strings.FieldsFunc(s.file, func(r rune) bool { return strings.ContainsRune("/_.", r) }) {
			if slices.Contains(strings.Fields("manager helper helpers util utils common types misc"), word) {
				t.Errorf("%s: %q says nothing", s.file, word)
			}
		}
	}
}
