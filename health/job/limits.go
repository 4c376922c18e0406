package job

// limits is a list of {quantity, max, min}. A limit with both becomes two.
type limits struct{}

// statedLimit is a limit as job.yaml writes it.
type statedLimit struct {
	quantity Quantity
	max, min *float64
}

// bounds are what a limit of each quantity may be; beyond them a percentage or another unit is meant.
var bounds = map[Quantity]number{
	ChargeTransferGrowth:    growthBound,
	OhmicGrowth:             growthBound,
	TotalResistanceGrowth:   growthBound,
	ChargeTransferOhm:       resistanceBound,
	OhmicOhm:                resistanceBound,
	ACResistance1kHzOhm:     resistanceBound,
	CapacityAh:              {0, 100_000, true, "in ampere-hours", nil},
	CapacityRetention:       {0, 1.5, true, "as a fraction (0.8 for 80 %)", nil},
	ResistanceStateOfHealth: {0, 1, true, "as a fraction (0.8 for 80 %)", nil},
}

var (
	growthBound     = number{0, 100, true, "as a ratio to the baseline (1.5 for half as much again)", nil}
	resistanceBound = number{0, 1e6, true, "in ohms", nil}
	anyBound        = number{0, 1e6, true, "in the quantity's own unit", nil}
)

// limitKeys reads a limit whose bounds are those of its quantity.
func limitKeys(bound number) record[statedLimit] {
	return record[statedLimit]{
		{name: "quantity", meaning: "The quantity that the limit is about.", needed: true,
			form: part(func(l *statedLimit) *Quantity { return &l.quantity }, form[Quantity](choice[Quantity]{Quantities}))},
		{name: "max", meaning: "The value must not be above this: ohms, ampere-hours, or a ratio (2.0 for twice the baseline).",
			form: part(func(l *statedLimit) **float64 { return &l.max }, form[*float64](optional[float64]{bound}))},
		{name: "min", meaning: "The value must not be below this: ohms, ampere-hours, or a fraction (0.80 for 80 %).",
			form: part(func(l *statedLimit) **float64 { return &l.min }, form[*float64](optional[float64]{bound}))},
	}
}

func (limits) schema() *schema {
	s := several[statedLimit]{item: limitKeys(anyBound)}.schema()
	s.Items.Type = []string{"object"}
	return s
}

func (limits) read(into *[]Limit, at place, r *reading) {
	var stated []statedLimit
	several[statedLimit]{item: boundedLimit{}}.read(&stated, at, r)
	for _, l := range stated {
		if l.max != nil {
			*into = append(*into, Limit{l.quantity, Max, *l.max})
		}
		if l.min != nil {
			*into = append(*into, Limit{l.quantity, Min, *l.min})
		}
	}
	r.doubledLimits(at)
}

// doubledLimits refuses two limits of one quantity on one side.
func (r *reading) doubledLimits(at place) {
	type side struct{ quantity, side string }
	first := map[side]int{}
	for _, item := range at.items {
		quantity := item.under("quantity").text
		for _, name := range []string{"max", "min"} {
			bound := item.under(name)
			if quantity == "" || bound.empty() {
				continue
			}
			if line, doubled := first[side{quantity, name}]; doubled {
				r.fault(bound, "keep the one that holds", "%s: %s has a %s already, in line %d", at.path, quantity, name, line)
				continue
			}
			first[side{quantity, name}] = bound.line
		}
	}
}

// boundedLimit reads one limit.
type boundedLimit struct{}

func (boundedLimit) schema() *schema { return limitKeys(anyBound).schema() }

func (boundedLimit) read(into *statedLimit, at place, r *reading) {
	before := len(r.faults)
	bound, known := bounds[Quantity(at.under("quantity").text)]
	if !known {
		bound = anyBound
	}
	limitKeys(bound).read(into, at, r)
	switch {
	case len(r.faults) > before:
	case into.max == nil && into.min == nil:
		r.refuse(at, "add max, min or both", "%s has neither max nor min", into.quantity)
	case into.max != nil && into.min != nil && *into.min > *into.max:
		r.refuse(at, "exchange the two", "%s has min %s above max %s", into.quantity, short(*into.min), short(*into.max))
	}
}

var gradeKeys = record[Grade]{
	{name: "name", meaning: "The grade's name, e.g. A.", needed: true,
		form: asText(func(g *Grade) *string { return &g.Name })},
	{name: "limits", meaning: "Limits that a cell of this grade meets, all of them.", needed: true,
		form: part(func(g *Grade) *[]Limit { return &g.Limits }, form[[]Limit](limits{}))},
}

// temperatureRange is [lowest, highest].
type temperatureRange struct{}

var temperature = number{absoluteZero, hottest, true, celsius, nil}

func (temperatureRange) schema() *schema {
	return &schema{Type: []string{"array", "null"}, Items: temperature.schema(), MinItems: 2, MaxItems: 2}
}

func (temperatureRange) read(into *Conditions, at place, r *reading) {
	const pair = "the lowest and the highest temperature, e.g. [15, 35]"
	if at.shape == scalar && !at.empty() {
		r.refuse(at, "", "%s is no list; allowed: %s", at.found(), pair)
		return
	}
	before := len(r.faults)
	var ends []float64
	several[float64]{item: temperature}.read(&ends, at, r)
	switch {
	case len(r.faults) > before:
	case len(ends) != 2:
		r.refuse(at, "", "a list of %d; allowed: %s", len(ends), pair)
	case ends[0] >= ends[1]:
		r.refuse(at, "write the lower one first", "%s is not below %s", short(ends[0]), short(ends[1]))
	default:
		into.TemperatureMinC, into.TemperatureMaxC = ends[0], ends[1]
	}
}
