"""Tables of pressure waves in lines of constant bore and constant wave speed."""

from math import sqrt

import numpy as np

from .closed import BAR
from .table import Table


class Line:
    """A line between two ends by the method of characteristics: pressure in Pa, speed in m/s at
    `n + 1` points, one time step for one reach. Friction is quasi-steady, taken at the foot of
    each characteristic."""

    def __init__(self, length, wave_speed, n, rho=1000.0, bore=1.0, factor=0.0):
        self.step = length / (n * wave_speed)
        self.impedance = rho * wave_speed
        self.loss = factor * length / n / bore * rho / 2.0
        self.p = np.zeros(n + 1)
        self.v = np.zeros(n + 1)

    def steady(self, pressure, speed):
        """Sets a steady flow, by the pressure at the upper end."""
        self.v[:] = speed
        self.p[:] = pressure - self.loss * speed * abs(speed) * np.arange(len(self.p))

    def waves(self):
        """What runs down to the points but the first, and up to the points but the last."""
        drag = self.loss * self.v * np.abs(self.v)
        down = self.p + self.impedance * self.v - drag
        up = self.p - self.impedance * self.v + drag
        return down[:-1], up[1:]

    def advance(self, upper, lower):
        """A step. Each end is given the wave that comes to it and tells pressure and speed."""
        down, up = self.waves()
        p, v = np.empty_like(self.p), np.empty_like(self.v)
        p[1:-1] = (down[:-1] + up[1:]) / 2.0
        v[1:-1] = (down[:-1] - up[1:]) / (2.0 * self.impedance)
        p[0], v[0] = upper(up[0])
        p[-1], v[-1] = lower(down[-1])
        self.p, self.v = p, v


def held(pressure, impedance):
    """An upper end whose pressure is held."""
    return lambda up: (pressure, (pressure - up) / impedance)


def valve(opening, pressure, speed, impedance):
    """A lower end that passes `speed` at `pressure` and opening 1, into no pressure."""
    lead = impedance * opening**2 * speed**2 / (2.0 * pressure)

    def pass_on(down):
        # The positive root of v^2 = k (down - Z v).
        k = opening**2 * speed**2 / pressure
        v = -lead + sqrt(lead**2 + k * down) if down > 0.0 else 0.0
        return down - impedance * v, v

    return pass_on


def linear(time, closing):
    """Opening of a valve that closes evenly from time 0."""
    return max(0.0, 1.0 - time / closing) if closing > 0.0 else 0.0


def allievi(pressure, rho, speed, wave_speed, opening, count):
    """Pressures at the valve at multiples of 2L/a, from time 0, without friction, by the
    interlocking equations; `opening` tells the valve's opening at each."""
    theta = rho * wave_speed * speed / (2.0 * pressure)
    z, before = 1.0, 1.0
    out = [pressure]
    for i in range(1, count + 1):
        now = opening(i)
        # z^2 + z0^2 - 2 = 2 theta (tau0 z0 - tau z), z the root of the pressure ratio.
        half = theta * now
        z = -half + sqrt(half**2 + 2.0 - z**2 + 2.0 * theta * before * z)
        before = now
        out.append(pressure * z**2)
    return out


def closures():
    for length, wave_speed, speed, bar, closing in (
        (20, 1200, 5, 1000, 0.02),
        (20, 1200, 5, 1000, 0.06),
        (60, 1000, 8, 700, 0.05),
        (600, 1200, 1, 20, 0),
        (600, 1200, 1, 20, 3),
    ):
        n, pressure = 200, bar * BAR
        line = Line(length, wave_speed, n)
        line.steady(pressure, speed)
        period = 2.0 * length / wave_speed
        upper = held(pressure, line.impedance)
        most = least = pressure
        for i in range(1, int((max(closing, period) + 4.0 * period) / line.step)):
            opening = linear(i * line.step, closing)
            line.advance(upper, valve(opening, pressure, speed, line.impedance))
            most, least = max(most, line.p[-1]), min(least, line.p[-1])
        chain = allievi(
            pressure, 1000.0, speed, wave_speed, lambda i: linear(i * period, closing), 40
        )
        yield (
            length, wave_speed, speed, bar, closing, period, 1000.0 * wave_speed * speed / BAR,
            most / BAR, least / BAR, max(chain) / BAR, chain[1] / BAR,
            "slow" if closing > period else "instant",
        )  # fmt: skip


def packing():
    line = Line(20.0, 1200.0, 100, bore=0.0127, factor=0.018)
    line.steady(1000.0 * BAR, 10.0)
    upper = held(1000.0 * BAR, line.impedance)
    for i in range(0, 1201):
        if i % 5 == 0:
            yield i * line.step, line.p[-1] / BAR, line.p[50] / BAR
        line.advance(upper, lambda down: (down, 0.0))

TABLES = [
    Table(
        "waterhammer_valve.csv",
        [
            "Frictionless reservoir-line-valve, valve opening falls linearly from 1 to 0 in Tc (orifice law to zero head); peak/min absolute pressure at the valve by method of characteristics (N=200) and by the Allievi interlocking equations (exact at multiples of 2L/a). rho=1000. Negative min means cavitation would occur",
            "computed with: own MOC (make/waves.py), numpy 2.4.6",
        ],
        "L_m,a_m_s,V0_m_s,P0_bar,Tc_s,2L_over_a_s,joukowsky_bar,Pmax_valve_MOC_bar,Pmin_valve_MOC_bar,Pmax_allievi_bar,P_allievi_at_2L_over_a_bar,closure",
        closures,
    ),
    Table(
        "waterhammer_series_friction.csv",
        [
            "MOC, reservoir 1000 bar - hose L=20 m, ID 12.7 mm, a=1200 m/s, V0=10 m/s, Darcy f=0.018 (quasi-steady), instant closure at t=0+, N=100; pressure at valve and mid-length",
            "computed with: own MOC (make/waves.py), numpy 2.4.6",
        ],
        "t_s,P_valve_bar,P_mid_bar",
        packing,
    ),
]
