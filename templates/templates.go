// Package templates carries the files that the program ships: the starter job, the schemas, the report's wording.
package templates

import (
	"embed"
	"io/fs"
)

//go:embed all:demo all:job all:schema all:wording
var files embed.FS

// FS holds the folders of this package: demo (the job of `ohmledger demo`), job (the starter of `ohmledger new`),
// schema (JSON Schemas of job.yaml and results.json) and wording (the report's sentences).
func FS() fs.FS { return files }
