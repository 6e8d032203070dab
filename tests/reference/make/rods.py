"""Bending rods: the elastica by elliptic integrals, heavy ones by a solver of boundary values."""

import numpy as np
from scipy.integrate import solve_bvp
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc
from scipy.optimize import brentq

from .table import Table


def elastica():
    """Clamped level rod without weight under a load P at its tip that stays vertical.

    With k the modulus, sin(theta_tip) = 2 k^2 - 1 and sin(phi) = 1 / (k sqrt 2):
    sqrt(P L^2 / EI) = K(k) - F(phi, k).
    """
    for alpha in (0.5, 1.0, 2.0, 5.0, 10.0):

        def load(k):
            return (ellipk(k * k) - ellipkinc(np.arcsin(1.0 / (k * np.sqrt(2.0))), k * k)) ** 2

        k = brentq(lambda k: load(k) - alpha, np.sqrt(0.5) + 1e-12, 1.0 - 1e-12, xtol=1e-15)
        phi = np.arcsin(1.0 / (k * np.sqrt(2.0)))
        down = 1.0 - 2.0 * (ellipe(k * k) - ellipeinc(phi, k * k)) / np.sqrt(alpha)
        tip = np.arcsin(2.0 * k * k - 1.0)
        along = np.sqrt(2.0 * np.sin(tip) / alpha)
        yield alpha, down, along, np.degrees(tip)


def solved(f, ends, mesh, guess, p=None):
    """Solution of a boundary value problem, or an error."""
    found = solve_bvp(f, ends, mesh, guess, p=p, tol=1e-10, max_nodes=200_000)
    if not found.success:
        raise RuntimeError(found.message)
    return found


def heavy():
    """Clamped level rod that bends under its own weight: theta'' = b (1 - s) cos theta."""
    for b in (1.0, 3.0, 10.0, 30.0):
        mesh = np.linspace(0.0, 1.0, 400)

        def f(s, y):
            theta, curl, _, _ = y
            return np.array([curl, -b * (1.0 - s) * np.cos(theta), np.cos(theta), np.sin(theta)])

        def ends(start, tip):
            return np.array([start[0], tip[1], start[2], start[3]])

        guess = np.array([np.minimum(mesh, 0.8), 1.0 - mesh, mesh, 0.5 * mesh])
        tip = solved(f, ends, mesh, guess).y[:, -1]
        yield b, tip[3], tip[2], np.degrees(tip[0])


def hanging():
    """Rod hung by its two ends on a level, free to turn there: EI theta'' = H sin - w s cos.

    s from the middle. Without stiffness it is the catenary.
    """
    for span, length, weight, stiffness in (
        (8.0, 10.0, 6.4, 4.0),
        (2.0, 2.5, 6.4, 4.0),
        (3.0, 4.0, 33.0, 42.0),
        (2.0, 2.4, 33.0, 42.0),
        (1.0, 1.6, 8.0, 12.0),
    ):
        half = 0.5 * length
        mesh = np.linspace(0.0, half, 400)

        def f(s, y, p):
            theta, curl, _, _ = y
            turn = (p[0] * np.sin(theta) - weight * s * np.cos(theta)) / stiffness
            return np.array([curl, turn, np.cos(theta), np.sin(theta)])

        def ends(middle, end, p):
            return np.array([middle[0], end[1], middle[2], middle[3], end[2] - 0.5 * span])

        a = brentq(lambda a: 2.0 * a * np.arcsinh(half / a) - span, 1e-3 * span, 1e3 * span)
        theta = np.arctan(mesh / a)
        guess = np.array([theta, 1.0 / a / (1.0 + (mesh / a) ** 2), a * np.arcsinh(mesh / a), np.hypot(a, mesh) - a])
        found = solved(f, ends, mesh, guess, p=[weight * a])
        catenary = np.hypot(a, half) - a
        yield span, length, weight, stiffness, found.y[3, -1], found.p[0], stiffness * found.sol(0.0)[1], catenary


TABLES = [
    Table(
        "elastica.csv",
        [
            "Elastica: clamped level rod without weight, load P at its tip that stays vertical; tip down and along in units of the length, and its slope",
            "computed with: elliptic integrals of scipy 1.17.1",
        ],
        "PL2_over_EI,down_over_L,along_over_L,slope_deg",
        elastica,
    ),
    Table(
        "heavy_elastica.csv",
        [
            "Clamped level rod that bends under its own weight w per length; tip down and along in units of the length, and its slope",
            "computed with: scipy 1.17.1 solve_bvp, tol 1e-10",
        ],
        "wL3_over_EI,down_over_L,along_over_L,slope_deg",
        heavy,
    ),
    Table(
        "hanging_rod.csv",
        [
            "Rod hung by both ends on a level, free to turn there: sag, horizontal pull, moment in the middle; last column the sag of a chain (catenary, closed form)",
            "computed with: scipy 1.17.1 solve_bvp, tol 1e-10",
        ],
        "span_m,L_m,w_N_m,EI_N_m2,sag_m,pull_N,moment_N_m,chain_sag_m",
        hanging,
    ),
]
