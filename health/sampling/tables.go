package sampling

// The tables of the two standards, as printed: v is an arrow down, to be followed to the first plan below, ^ an arrow up. The plan
// that an arrow leads to holds with its own sample size.

// planRow is one code letter of a table: its sample size, and a plan for each quality level.
type planRow struct {
	letter string
	size   int
	plans  string
}

// attributesLevels are the inspection levels of attributesLetters, in the order of its columns.
var attributesLevels = []string{"S-1", "S-2", "S-3", "S-4", "I", "II", "III"}

// attributesLetters is MIL-STD-105E (1989), Table I: the code letters of lots from so many units on.
var attributesLetters = []letterRow{
	{2, "AAAAAAB"},
	{9, "AAAAABC"},
	{16, "AABBBCD"},
	{26, "ABBCCDE"},
	{51, "BBCCCEF"},
	{91, "BBCDDFG"},
	{151, "BCDEEGH"},
	{281, "BCDEFHJ"},
	{501, "CCEFGJK"},
	{1201, "CDEGHKL"},
	{3201, "CDFGJLM"},
	{10001, "CDFHKMN"},
	{35001, "DEGJLNP"},
	{150001, "DEGJMPQ"},
	{500001, "DEHKNQR"},
}

// letterRow holds from a lot size on.
type letterRow struct {
	from    int
	letters string // one a level
}

// attributesAQL are the columns of attributesPlans that are percentages nonconforming. The table goes on to 1000
// nonconformities per hundred units, which a cell that conforms or does not cannot have.
var attributesAQL = []float64{0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10}

// attributesPlans is MIL-STD-105E (1989), Table II-A: acceptance numbers of single sampling, normal inspection. Columns beyond
// attributesAQL are kept so that the table can be checked whole.
var attributesPlans = []planRow{
	{"A", 2, "v v v v v v v v v v v v v v 0 v v 1 2 3 5 7 10 14 21 30"},
	{"B", 3, "v v v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44"},
	{"C", 5, "v v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^"},
	{"D", 8, "v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^ ^"},
	{"E", 13, "v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^ ^ ^"},
	{"F", 20, "v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^"},
	{"G", 32, "v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^"},
	{"H", 50, "v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^"},
	{"J", 80, "v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"K", 125, "v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"L", 200, "v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"M", 315, "v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"N", 500, "v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"P", 800, "v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"Q", 1250, "0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
	{"R", 2000, "^ ^ 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},
}

// variablesLevels are the inspection levels of variablesLetters, in the order of its columns.
var variablesLevels = []string{"I", "II", "III", "IV", "V"}

// variablesLetters is MIL-STD-414 (1957), Table A-2, from memory; its line for 26 to 40 units agrees with the standard's
// example B-1.
var variablesLetters = []letterRow{
	{3, "BBBBC"},
	{9, "BBBBD"},
	{16, "BBBCE"},
	{26, "BBBDF"},
	{41, "BBCEG"},
	{66, "BBDFH"},
	{111, "BCEGI"},
	{181, "BDFHJ"},
	{301, "CEGIK"},
	{501, "DFHJL"},
	{801, "EGIKL"},
	{1301, "FHJLM"},
	{3201, "GILMN"},
	{8001, "HJMNO"},
	{22001, "IKNOP"},
	{110001, "IKOPQ"},
	{550001, "IKPQQ"},
}

// variablesAQL are the columns of variablesPlans for normal inspection, in percent nonconforming. Tightened inspection uses the
// plan one column to the left.
var variablesAQL = []float64{0.04, 0.065, 0.1, 0.15, 0.25, 0.4, 0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15}

// variablesPlans is MIL-STD-414 (1957), Table B-1, form 1: acceptability constants k, variability unknown, standard
// deviation method.
var variablesPlans = []planRow{
	{"B", 3, "v v v v v v v v v 1.12 0.958 0.765 0.566 0.341"},
	{"C", 4, "v v v v v v v 1.45 1.34 1.17 1.01 0.814 0.617 0.393"},
	{"D", 5, "v v v v v v 1.65 1.53 1.4 1.24 1.07 0.874 0.675 0.455"},
	{"E", 7, "v v v v 2 1.88 1.75 1.62 1.5 1.33 1.15 0.955 0.755 0.536"},
	{"F", 10, "v v v 2.24 2.11 1.98 1.84 1.72 1.58 1.41 1.23 1.03 0.828 0.611"},
	{"G", 15, "2.64 2.53 2.42 2.32 2.2 2.06 1.91 1.79 1.65 1.47 1.3 1.09 0.886 0.664"},
	{"H", 20, "2.69 2.58 2.47 2.36 2.24 2.11 1.96 1.82 1.69 1.51 1.33 1.12 0.917 0.695"},
	{"I", 25, "2.72 2.61 2.5 2.4 2.26 2.14 1.98 1.85 1.72 1.53 1.35 1.14 0.936 0.712"},
	{"J", 30, "2.73 2.61 2.51 2.41 2.28 2.15 2 1.86 1.73 1.55 1.36 1.15 0.946 0.723"},
	{"K", 35, "2.77 2.65 2.54 2.45 2.31 2.18 2.03 1.89 1.76 1.57 1.39 1.18 0.969 0.745"},
	{"L", 40, "2.77 2.66 2.55 2.44 2.31 2.18 2.03 1.89 1.76 1.58 1.39 1.18 0.971 0.746"},
	{"M", 50, "2.83 2.71 2.6 2.5 2.35 2.22 2.08 1.93 1.8 1.61 1.42 1.21 1 0.774"},
	{"N", 75, "2.9 2.77 2.66 2.55 2.41 2.27 2.12 1.98 1.84 1.65 1.46 1.24 1.03 0.804"},
	{"O", 100, "2.92 2.8 2.69 2.58 2.43 2.29 2.14 2 1.86 1.67 1.48 1.26 1.05 0.819"},
	{"P", 150, "2.96 2.84 2.73 2.61 2.47 2.33 2.18 2.03 1.89 1.7 1.51 1.29 1.07 0.841"},
	{"Q", 200, "2.97 2.85 2.73 2.62 2.47 2.33 2.18 2.04 1.89 1.7 1.51 1.29 1.07 0.845"},
}
