"""Valve closures at the end of jetting hose, of one hose, two in series, and with a dead branch;
and a line whose end opens wholly."""

from math import inf

import numpy as np

from .closed import BAR, bore
from .table import Table
from .waves import Line, allievi, held, linear

# Moments in units of the line's travel time; waves come in at its even multiples, never here.
MOMENTS = (0.5, 1, 1.5, 2.5, 3, 3.5, 5, 7, 9, 13, 17, 25)
# A quarter of it has even steps at all moments: odd and even ones are two grids of their own.
N = 1600

# length m, bore mm, wave speed m/s, speed m/s, pressure bar, closing s, density, friction factor
SINGLE = (
    (20, 13, 1000, 12, 300, 0, 1010, 0),
    (40, 12.7, 1200, 10, 1000, 0.05, 1040, 0),
    (40, 12.7, 1200, 10, 1000, 0.2, 1040, 0),
    (60, 8, 1350, 11, 1500, 0.08, 1058, 0),
    (60, 8, 1350, 11, 1500, 0.4, 1058, 0),
    (100, 5, 1500, 16, 2500, 0.13, 1089, 0),
    (100, 5, 1500, 16, 2500, 0.5, 1089, 0),
    (30, 6, 1400, 9, 2000, 0.1, 1074, 0),
    (100, 13, 1000, 14, 500, 0.6, 1020, 0),
    (40, 12.7, 1200, 10, 1000, 0, 1040, 0.018),
    (40, 12.7, 1200, 10, 1000, 0.2, 1040, 0.018),
    (60, 8, 1350, 11, 1500, 0.05, 1058, 0.02),
    (60, 8, 1350, 11, 1500, 0.4, 1058, 0.02),
    (100, 5, 1500, 10, 2500, 0, 1089, 0.022),
    (100, 5, 1500, 10, 2500, 0.5, 1089, 0.022),
    (100, 13, 1000, 14, 500, 0.6, 1020, 0.017),
)

# layout; speed at the valve, pressure, density; of each hose length, bore, wave speed and reaches
# of one unit of time: the first from the source, the second to the valve, the third a dead branch
JOINED = (
    ("series", 12, 1000, 1040, ((40, 13, 1000, 5), (20, 8, 1250, 2))),
    ("series", 6, 700, 1030, ((30, 8, 1250, 6), (26, 13, 1300, 5))),
    ("tee", 10, 1000, 1040, ((40, 12.7, 1200, 9), (15, 8, 1350, 3), (10, 8, 1350, 2))),
    ("tee", 14, 2000, 1074, ((60, 8, 1350, 4), (15, 5, 1350, 1), (30, 8, 1350, 2))),
)


class Trapezoid(Line):
    """A line whose friction is the mean of both ends of each characteristic, which converges by
    the square of the reaches. Each end is told by two numbers: a held pressure and the pressure
    that a speed of 1 m/s adds to it, going up with the square; an infinite one is a shut end."""

    def advance(self, upper, lower):
        drag = self.loss / 2.0 * self.v * np.abs(self.v)
        down = (self.p + self.impedance * self.v - drag)[:-1]
        up = (self.p - self.impedance * self.v + drag)[1:]
        p, v = np.empty_like(self.p), np.empty_like(self.v)
        p[1:-1] = (down[:-1] + up[1:]) / 2.0
        v[1:-1] = root(down[:-1] - up[1:], 2.0 * self.impedance, self.loss)
        pressure, square = upper
        v[0] = 0.0 if square == inf else root(pressure - up[0], self.impedance, self.loss / 2.0)
        p[0] = up[0] + self.impedance * v[0] + self.loss / 2.0 * v[0] * abs(v[0])
        pressure, square = lower
        rest = down[-1] - pressure
        v[-1] = 0.0 if square == inf else root(rest, self.impedance, self.loss / 2.0 + square)
        p[-1] = down[-1] - self.impedance * v[-1] - self.loss / 2.0 * v[-1] * abs(v[-1])
        self.p, self.v = p, v


def root(drives, linear_part, square_part):
    """The speed v of `linear_part v + square_part v|v| = drives`."""
    size = np.abs(drives)
    return 2.0 * drives / (linear_part + np.sqrt(linear_part**2 + 4.0 * square_part * size))


SHUT = (0.0, inf)


def single(case, n):
    """Pressures at the valve by step of time."""
    length, bore_mm, wave_speed, speed, bar, closing, rho, factor = case
    line = Trapezoid(length, wave_speed, n, rho, bore_mm / 1000.0, factor)
    line.steady(bar * BAR, speed)
    before = line.p[-1]
    out = [before]
    for i in range(1, int(MOMENTS[-1] * n) + 1):
        opening = linear(i * line.step, closing)
        resists = before / (opening * speed) ** 2 if opening > 0.0 else inf
        line.advance((bar * BAR, 0.0), (0.0, resists))
        out.append(line.p[-1])
    return out


def joined(case, n):
    """Pressures at the valve, where the hoses meet, and at the dead end, by step of time; `n`
    reaches in a unit of time."""
    _, speed, bar, rho, hoses = case
    lines = [Line(h[0], h[2], round(h[3] * n), rho) for h in hoses]
    areas = [bore(h[1]) for h in hoses]
    through = speed * areas[1]
    for line, area, flow in zip(lines, areas, (through, through, 0.0)):
        line.steady(bar * BAR, flow / area)
    admit = [area / line.impedance for area, line in zip(areas, lines)]
    ends = [[], [], []]
    for _ in range(int(MOMENTS[-1] * n) + 1):
        for end, p in zip(ends, (lines[1].p[-1], lines[1].p[0], lines[-1].p[-1])):
            end.append(p)
        comes = [lines[0].waves()[0][-1], *(line.waves()[1][0] for line in lines[1:])]
        meet = sum(y * wave for y, wave in zip(admit, comes)) / sum(admit)
        first = lines[0].impedance
        lines[0].advance(held(bar * BAR, first), lambda down: (meet, (down - meet) / first))
        for line in lines[1:]:
            line.advance(held(meet, line.impedance), lambda down: (down, 0.0))
    return ends


def settled(values, jump):
    """Numbers independent of the grid, and the largest change against half as many reaches;
    `values` tells the numbers with `n` reaches. Behind a jump friction converges by the reaches
    alone, not their square: there the numbers are carried on to infinitely many."""
    fine, coarse = np.array(values(N)), np.array(values(N // 2))
    if jump:
        coarser = np.array(values(N // 4))
        fine, coarse = 2.0 * fine - coarse, 2.0 * coarse - coarser
    return fine, np.abs(fine - coarse)


def at_moments(pressures, n):
    return [pressures[round(moment * n)] / BAR for moment in MOMENTS]


def closures():
    for case in SINGLE:
        length, bore_mm, wave_speed, speed, bar, closing, rho, factor = case

        def shown(n):
            p = single(case, n)
            return [max(p) / BAR, min(p) / BAR, *at_moments(p, n)]

        (most, least, *moments), change = settled(shown, closing == 0 and factor > 0)
        interlocked = "", ""
        if factor == 0:
            period = 2.0 * length / wave_speed
            chain = allievi(
                bar * BAR, rho, speed, wave_speed, lambda i: linear(i * period, closing), 12
            )
            interlocked = max(chain) / BAR, min(chain) / BAR
        yield (
            "line", length, bore_mm, wave_speed, "", "", "", "", "", "", speed, bar, closing, rho,
            factor, length / wave_speed, N, max(change), most, least,
            *interlocked, "", "", "", *moments,
        )  # fmt: skip
    for case in JOINED:
        layout, speed, bar, rho, hoses = case
        n = 200
        (fine, meeting, dead), coarse = joined(case, n), joined(case, n // 2)[0]
        shown, other = at_moments(fine, n), at_moments(coarse, n // 2)
        change = max(abs(a - b) for a, b in zip(shown, other))
        # The first wave meets the others' admittances A/(rho a).
        admit = [bore(h[1]) / (rho * h[2]) for h in hoses]
        wave = rho * hoses[1][2] * speed
        passed = 2.0 * admit[1] / sum(admit) * wave
        arrived = meeting[round((hoses[1][3] + 0.5) * n)] - bar * BAR
        if abs(arrived / passed - 1.0) > 1e-9:
            raise AssertionError(f"{layout}: {arrived} at the joint, {passed} by the impedances")
        numbers = [value for hose in hoses for value in hose[:3]]
        numbers += [""] * (9 - len(numbers))
        unit = hoses[0][0] / hoses[0][2] / hoses[0][3]
        yield (
            layout, *numbers, speed, bar, 0, rho, 0, unit, n, change, max(fine) / BAR,
            min(fine) / BAR, "", "", passed / BAR, (passed - wave) / BAR,
            max(dead) / BAR if layout == "tee" else "", *shown,
        )  # fmt: skip


RELEASED = ((1000, 1040, 1200, 20, 13), (2500, 1090, 1300, 40, 8), (700, 1030, 1100, 60, 20))


def open_end(case, closed, factor, n):
    """Speed at the open end and pressure at the other, by step of time."""
    bar, rho, wave_speed, length, bore_mm = case
    line = Trapezoid(length, wave_speed, n, rho, bore_mm / 1000.0, factor)
    line.steady(bar * BAR, 0.0)
    upper = SHUT if closed else (bar * BAR, 0.0)
    speeds, pressures = [], []
    for _ in range(4 * n + 1):
        line.advance(upper, (0.0, 0.0))
        speeds.append(line.v[-1])
        pressures.append(line.p[0])
    return speeds, pressures


def released():
    # Never where a wave arrives: at the opening at 2, at the other end at 1 and 3.
    between = (i / 4.0 for i in range(1, 16) if i not in (4, 8, 12))
    moments = sorted([0.1, *between, 1.1, 1.9, 2.1, 3.1, 3.9])
    for case in RELEASED:
        for closed in (False, True):
            for factor in (0, 0.018):

                def shown(n):
                    ends = open_end(case, closed, factor, n)
                    return [[end[round(moment * n)] for moment in moments] for end in ends]

                (speeds, pressures), (change, _) = settled(shown, factor > 0)
                bar, rho, wave_speed, length, bore_mm = case
                for moment, now, there, off in zip(moments, speeds, pressures, change):
                    yield (
                        "closed" if closed else "held", bar, rho, wave_speed, length, bore_mm,
                        factor, moment, moment * length / wave_speed, now, there / BAR, off,
                    )  # fmt: skip


MOMENT_COLUMNS = ",".join(f"P_at_{moment:g}_units_bar" for moment in MOMENTS)

TABLES = [
    Table(
        "waterhammer_moc.csv",
        [
            "Valve closures at the end of jetting hose, source of constant pressure P0 at the upper end; the valve passes V0*opening*sqrt(P/P_start), opening falls linearly from 1 to 0 in Tc (0: at once); constant density and wave speed, quasi-steady Darcy friction f taken as the mean of both ends of each characteristic. Peak, least and twelve momentary pressures at the valve over 25 travel times by the method of characteristics",
            "line: one hose; peak and least also by the Allievi interlocking equations (frictionless; at multiples of 2L/a, so that a least pressure between them is not seen). series: hose 1 from the source, hose 2 to the valve. tee: hose 3 is a dead branch where 1 and 2 meet. joint columns: first wave where the hoses meet and what is thrown back, exact by the impedances rho*a/A; then the peak at the dead end",
            f"unit_s is the travel time L/a of one hose, or the longest time that divides all of them; N reaches in it ({N} in one hose, 200 where joined); rows with friction and Tc 0 are carried on from N and N/2 to infinitely many; grid_change_bar is the largest change of all pressures of the row when there are half as many reaches",
            "computed with: own MOC and interlocking equations (make/waves.py, make/closures.py), numpy 2.4.6",
        ],
        "layout,L1_m,ID1_mm,a1_m_s,L2_m,ID2_mm,a2_m_s,L3_m,ID3_mm,a3_m_s,V0_m_s,P0_bar,Tc_s,rho,f,unit_s,N,grid_change_bar,Pmax_bar,Pmin_bar,Pmax_allievi_bar,Pmin_allievi_bar,joint_first_wave_bar,joint_thrown_back_bar,Pmax_dead_end_bar,"
        + MOMENT_COLUMNS,
        closures,
        {"grid_change_bar": 10**7},
    ),
    Table(
        "pipe_released.csv",
        [
            "The end of a line under pressure opens at once and wholly (full bore, no pressure left at the opening): speed at the opening and pressure at the other end for the first 4 L/a; constant density and wave speed, quasi-steady Darcy friction f taken as the mean of both ends of each characteristic. upper_end held: pressure held at P0, without friction V is P0/(rho*a) times 1, then 3 after 2L/a; closed: no inflow, V is P0/(rho*a), then minus that, and the pressure at the closed end falls to -P0 after L/a, where real water would boil, so after 2L/a this is the linear equations' answer and not water's",
            f"by the method of characteristics with {N} reaches, with friction carried on from {N} and {N // 2} to infinitely many; grid_change_m_s is the change of the speed when there are half as many",
            "computed with: own MOC (make/waves.py, make/closures.py), numpy 2.4.6",
        ],
        "upper_end,P0_bar,rho,a_m_s,L_m,ID_mm,f,t_over_L_a,t_s,V_open_end_m_s,P_upper_end_bar,grid_change_m_s",
        released,
        {"grid_change_m_s": 10**7},
    ),
]
