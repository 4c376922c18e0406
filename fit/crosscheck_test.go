package fit

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"
)

// independent is what SciPy's least_squares makes of the same spectra.
type independent struct {
	RMS     float64 `json:"rms"`
	Spectra []struct {
		Ohmic          float64 `json:"ohmic"`
		Film           float64 `json:"film"`
		ChargeTransfer float64 `json:"charge_transfer"`
	} `json:"spectra"`
	U []float64 `json:"u"` // relative, of charge transfer
}

// python is an interpreter that has SciPy; the test is skipped where there is none.
func python(t *testing.T) string {
	t.Helper()
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import scipy.optimize").Run() == nil {
			return p
		}
	}
	t.Skip("no Python with SciPy at hand (Debian's python3-scipy): no independent fit to compare with")
	return ""
}

func fitIndependently(t *testing.T, history []Measured, start []Parameters) independent {
	t.Helper()
	type points struct {
		F  []float64 `json:"f"`
		Re []float64 `json:"re"`
		Im []float64 `json:"im"`
	}
	p := start[0]
	task := struct {
		Spectra []points  `json:"spectra"`
		Start   []float64 `json:"start"`
	}{Start: []float64{p.LeadExponent, p.FilmExponent, p.ChargeTransferExponent, p.DiffusionExponent}}
	for i, m := range history {
		var q points
		for k, f := range m.Spectrum.Frequency {
			q.F, q.Re, q.Im = append(q.F, f), append(q.Re, real(m.Spectrum.Impedance[k])), append(q.Im, imag(m.Spectrum.Impedance[k]))
		}
		task.Spectra = append(task.Spectra, q)
		p := start[i]
		for _, v := range []float64{p.LeadCoefficient, p.Ohmic, p.Film, p.FilmTimeConstant, p.ChargeTransfer, p.ChargeTransferTimeConstant, p.Diffusion} {
			task.Start = append(task.Start, math.Log(v))
		}
	}
	in, err := json.Marshal(task)
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(python(t), "testdata/crosscheck.py")
	c.Stdin = bytes.NewReader(in)
	out, err := c.Output()
	if err != nil {
		t.Fatalf("SciPy: %v", err)
	}
	var got independent
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	return got
}

// The same history, one spectrum and eight with shared exponents, by SciPy's least_squares from the truth: the least
// sums of squares agree, and so do the resistances within a fraction of their uncertainty (ours also holds
// exponents to what is expected of them, which SciPy's fit does not).
func TestAgainstIndependentFit(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for _, n := range []int{1, 8} {
		var history []Measured
		var truth []Parameters
		rng := seeded(uint64(300 + n))
		for i := range n {
			truth = append(truth, aged(cellVector(), float64(i)/8))
			history = append(history, sweep{1e4, 0.05, 50, 0.002}.measured(truth[i], rng))
		}
		want := fitIndependently(t, history, truth)
		h := Cell(history)
		var square float64
		for i, r := range h.Results {
			for _, d := range r.Residuals {
				square += real(d)*real(d) + imag(d)*imag(d)
			}
			w := want.Spectra[i]
			u := r.ChargeTransfer.Relative()
			t.Logf("%d spectra, %d: charge transfer %.6g against %.6g Ω (u %.3f %% against %.3f %%), ohmic %.6g against %.6g Ω",
				n, i, r.ChargeTransfer.Estimate(), w.ChargeTransfer, 100*u, 100*want.U[i], r.Ohmic.Estimate(), w.Ohmic)
			if d := math.Abs(math.Log(r.ChargeTransfer.Estimate() / w.ChargeTransfer)); d > 0.6*u {
				t.Errorf("charge transfer differs by %.2f standard uncertainties", d/u)
			}
			if d := math.Abs(math.Log(r.Ohmic.Estimate() / w.Ohmic)); d > 0.8*r.Ohmic.Relative() {
				t.Errorf("ohmic resistance differs by %.2f standard uncertainties", d/r.Ohmic.Relative())
			}
			if q := u / want.U[i]; q < 0.4 || q > 1.5 {
				t.Errorf("uncertainty is %.2f times the independent one", q)
			}
		}
		if rms := math.Sqrt(square / float64(2*n*50)); rms < want.RMS*(1-1e-6) || rms > want.RMS*1.01 {
			t.Errorf("rms residual %.6g, the least is %.6g", rms, want.RMS)
		}
	}
}
