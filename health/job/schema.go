package job

import (
	"bytes"
	"encoding/json"
	"strconv"
)

// schema is the part of JSON Schema 2020-12 that job.yaml needs. A blank value is allowed everywhere.
type schema struct {
	Dialect     string             `json:"$schema,omitempty"`
	ID          string             `json:"$id,omitempty"`
	Title       string             `json:"title,omitempty"`
	Description string             `json:"description,omitempty"`
	Type        []string           `json:"type,omitempty"`
	Enum        []any              `json:"enum,omitempty"`
	Default     any                `json:"default,omitempty"`
	Minimum     *float64           `json:"minimum,omitempty"`
	Above       *float64           `json:"exclusiveMinimum,omitempty"`
	Maximum     *float64           `json:"maximum,omitempty"`
	Pattern     string             `json:"pattern,omitempty"`
	Properties  map[string]*schema `json:"properties,omitempty"`
	Additional  *bool              `json:"additionalProperties,omitempty"`
	Required    []string           `json:"required,omitempty"`
	Items       *schema            `json:"items,omitempty"`
	MinItems    int                `json:"minItems,omitempty"`
	MaxItems    int                `json:"maxItems,omitempty"`
	Unique      bool               `json:"uniqueItems,omitempty"`

	order []string // of the properties, as the table has them
}

// Schema is the JSON Schema (2020-12) of job.yaml, from the same table that reads it. It knows names, types
// and ranges; what only the whole job can tell (files, cells of the table) it leaves to Read.
func Schema() []byte {
	s := jobKeys.schema()
	s.Dialect, s.ID = "https://json-schema.org/draft/2020-12/schema", "urn:ohmledger:job:1"
	s.Title, s.Description = "job.yaml", "A job of Ohmledger: who, what, limits, baseline and decision rule."
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(s); err != nil {
		panic(err)
	}
	return text.Bytes()
}

func (keys record[T]) schema() *schema {
	closed := false
	s := &schema{Type: []string{"object", "null"}, Properties: map[string]*schema{}, Additional: &closed, order: keys.names()}
	for _, k := range keys {
		property := k.form.schema()
		property.Description = k.meaning
		if k.fallback != "" {
			property.Default = jsonValue(constant(k.fallback))
		}
		if k.needed {
			s.Required = append(s.Required, k.name)
		}
		s.Properties[k.name] = property
	}
	return s
}

// jsonValue is a fallback as JSON.
func jsonValue(n *node) any {
	if n.shape == list {
		values := make([]any, len(n.items))
		for i, item := range n.items {
			values[i] = jsonValue(item)
		}
		return values
	}
	if value, err := strconv.ParseFloat(n.text, 64); err == nil {
		return value
	}
	if n.text == "true" || n.text == "false" {
		return n.text == "true"
	}
	return n.text
}

func (s several[T]) schema() *schema {
	return &schema{Type: []string{"array", "null"}, Items: s.item.schema(), Unique: s.unique}
}

// An unquoted number or date serves as text, so editors must not complain of it.
func (text) schema() *schema { return &schema{Type: []string{"string", "number", "boolean", "null"}} }

func (c choice[S]) schema() *schema {
	s := &schema{}
	for _, word := range c.words {
		s.Enum = append(s.Enum, string(word))
	}
	s.Enum = append(s.Enum, nil)
	return s
}

func (truth) schema() *schema { return &schema{Type: []string{"boolean", "null"}} }

func (colour) schema() *schema {
	return &schema{Type: []string{"string", "null"}, Pattern: `^(#[0-9A-Fa-f]{6})?$`}
}

func (location) schema() *schema { return text{}.schema() }

func (n number) schema() *schema {
	s := &schema{Type: []string{"number", "null"}, Maximum: &n.most}
	switch {
	case n.series != nil:
		s = &schema{}
		for _, member := range n.series {
			s.Enum = append(s.Enum, member)
		}
		s.Enum = append(s.Enum, nil)
	case n.open:
		s.Above = &n.least
	default:
		s.Minimum = &n.least
	}
	return s
}

func (w whole) schema() *schema {
	least, most := float64(w.least), float64(w.most)
	return &schema{Type: []string{"integer", "null"}, Minimum: &least, Maximum: &most}
}

func (day) schema() *schema {
	return &schema{Type: []string{"string", "null"},
		Pattern: `^(\d{4}-\d{2}-\d{2}([T]\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[-+]\d{2}:\d{2}))?)?$`}
}
