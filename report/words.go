package report

import "text/template"

// Words are a report's sentences: named blocks of the wording templates.
type Words struct {
	Language string // "en", "de"
	blocks   *template.Template
}
