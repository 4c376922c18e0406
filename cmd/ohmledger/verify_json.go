package main

import "encoding/json"

// verifySchema names the form of the JSON; its JSON Schema is templates/schema/verify.schema.json.
const verifySchema = "ohmledger/verify/1"

type (
	verifyDocument struct {
		Schema     string       `json:"schema"`
		Tool       verifyTool   `json:"tool"`
		Matches    bool         `json:"matches"`
		MadeWith   *verifyTool  `json:"made_with"`
		Files      []verifyFile `json:"files"`
		Job        *string      `json:"job"`
		Inputs     int          `json:"inputs"`
		Recomputed bool         `json:"recomputed"`
		Mismatches []mismatch   `json:"mismatches"`
		More       int          `json:"mismatches_not_listed"`
		Notes      []string     `json:"notes"`
	}
	verifyTool struct {
		Name    string `json:"name"`
		Version string `json:"version"`
		Model   string `json:"model"`
		Build   string `json:"build"`
	}
	verifyFile struct {
		Name   string `json:"name"`
		Path   string `json:"path"`
		SHA256 string `json:"sha256"`
		Bytes  int    `json:"bytes"`
	}
)

func (v *verification) printJSON(c *console) error {
	d := verifyDocument{
		Schema: verifySchema, Tool: verifyTool(tool()), Matches: len(v.mismatches) == 0, Recomputed: v.recomputed,
		Inputs: len(v.claims.Inputs), Mismatches: append([]mismatch{}, v.mismatches...), More: v.more, Notes: append([]string{}, v.notes...),
	}
	if v.results != nil {
		made := verifyTool(v.claims.Tool)
		d.MadeWith = &made
	}
	if v.folder != "" {
		d.Job = &v.folder
	}
	d.Files = []verifyFile{}
	for _, e := range v.exhibits {
		d.Files = append(d.Files, verifyFile{e.name, e.path, e.digest, len(e.data)})
	}
	out := json.NewEncoder(c.out)
	out.SetEscapeHTML(false)
	out.SetIndent("", " ")
	return out.Encode(d)
}
