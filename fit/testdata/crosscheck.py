"""Fits the circuit to spectra with shared exponents by SciPy's least_squares, independently of the program under test.

Reads JSON on standard input: {"spectra": [{"f": [...], "re": [...], "im": [...]}], "start": [...]} where start is, in this order,
beta, alpha_f, alpha_c, gamma and then for each spectrum ln Q_L, ln R, ln R_f, ln tau_f, ln R_ct, ln tau_c, ln s.
Writes {"rms": ..., "spectra": [{"ohmic": ..., "film": ..., "charge_transfer": ...}], "u": [...]}.
"""
import json
import sys

import numpy as np
from scipy.optimize import least_squares

task = json.load(sys.stdin)
data = [(2 * np.pi * np.array(s["f"]), np.array(s["re"]) + 1j * np.array(s["im"])) for s in task["spectra"]]


def model(w, exponents, sizes):
    beta, alpha_f, alpha_c, gamma = exponents
    q, r, rf, tf, rct, tc, s = np.exp(sizes)
    jw = 1j * w
    film = rf / (1 + (jw * tf) ** alpha_f)
    branch = rct + s * jw ** (-gamma)
    return q * jw**beta + r + film + 1 / (1 / branch + (jw * tc) ** alpha_c / rct)


def residuals(x):
    out = []
    for i, (w, z) in enumerate(data):
        d = (model(w, x[:4], x[4 + 7 * i : 11 + 7 * i]) - z) / abs(z)
        out += [d.real, d.imag]
    return np.concatenate(out)


fit = least_squares(residuals, task["start"], method="trf", x_scale="jac", xtol=1e-14, ftol=1e-14, gtol=1e-14, max_nfev=2000)
variance = np.sum(fit.fun**2) / (len(fit.fun) - len(fit.x))
u = np.sqrt(np.diag(np.linalg.inv(fit.jac.T @ fit.jac)) * variance)
json.dump({
    "rms": float(np.sqrt(np.mean(fit.fun**2))),
    "spectra": [{"ohmic": float(np.exp(fit.x[5 + 7 * i])), "film": float(np.exp(fit.x[6 + 7 * i])),
                 "charge_transfer": float(np.exp(fit.x[8 + 7 * i]))} for i in range(len(data))],
    "u": [float(u[8 + 7 * i]) for i in range(len(data))],
}, sys.stdout)
