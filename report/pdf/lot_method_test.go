package pdf

import (
	"strings"
	"testing"
)

// The method of a lot is told with the other methods, and only where there is a lot.
func TestMethodOfALot(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in TestPages too")
	}
	all := strings.Join(pagesOfDelivery(t), " ")
	for _, want := range []string{"Lot statistics", "natural logarithm", "(Rosner 1983, 5 % for all steps together)", "Welch’s test against the rest", "single plans of MIL-STD-105E"} {
		if !strings.Contains(strings.ReplaceAll(all, "\u00a0", " "), want) {
			t.Errorf("%q not found", want)
		}
	}
	few := specimen(t, 3, 2)
	if all := strings.Join(pagesOf(t, bytesOf(t, Options{}, few)), " "); strings.Contains(all, "Lot statistics") {
		t.Error("three cells have statistics of a lot")
	}
}
