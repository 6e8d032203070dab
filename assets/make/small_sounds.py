"""The small sounds of the yard, from numpy: what runs, hisses, drips, clicks and falls beside the big machines.
Loops are made in a circle (FFT-shaped noise, circular adding), so that their join is exact. Every clip has a seed of
its own, so that one can be changed without changing the others. Usage: python small_sounds.py FOLDER"""
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
import soundfile as sf
from scipy.signal import butter, sosfilt

OUT = pathlib.Path(sys.argv[1])
SR = 44100


class Part(np.ndarray):
    """A sound of some length; a shorter one added to a longer one sounds at its start."""

    def __add__(self, other):
        a, b = np.asarray(self), np.asarray(other)
        if b.ndim and len(a) != len(b):
            n = max(len(a), len(b))
            a, b = np.pad(a, (0, n - len(a))), np.pad(b, (0, n - len(b)))
        return np.add(a, b).view(Part)

    __radd__ = __add__


class Clip:
    """A stretch of sound; with `loop` whatever runs over its end comes in again at its start."""

    def __init__(self, name, seconds, loop, seed):
        self.name, self.loop = name, loop
        self.n = int(seconds * SR)
        self.x = np.zeros(self.n)
        self.rng = np.random.default_rng(seed)

    def t(self):
        return np.arange(self.n) / SR

    def noise(self, curve):
        """Noise with a spectrum of [(Hz, dB)...], periodic over the clip."""
        f = np.fft.rfftfreq(self.n, 1 / SR)
        at, db = zip(*curve)
        gain = 10 ** (np.interp(np.log(np.maximum(f, 1)), np.log(at), db) / 20)
        gain[0] = 0
        rough = np.sqrt(self.rng.exponential(1, len(f))) * np.exp(2j * np.pi * self.rng.random(len(f)))
        z = np.fft.irfft(gain * rough, self.n)
        return z / z.std()

    def slow(self, low, high):
        """A slow wavering, periodic over the clip, standard deviation 1."""
        f = np.fft.rfftfreq(self.n, 1 / SR)
        gain = ((f >= low) & (f <= high)).astype(float)
        z = np.fft.irfft(gain * np.exp(2j * np.pi * self.rng.random(len(f))), self.n)
        return z / (z.std() + 1e-12)

    def whole(self, hz):
        """The nearest frequency of which whole periods fit."""
        return max(1, round(hz * self.n / SR)) * SR / self.n

    def add(self, x, at, gain=1.0):
        i = int(round(at * SR)) + np.arange(len(x))
        if self.loop:
            np.add.at(self.x, i % self.n, gain * x)
        else:
            keep = i < self.n
            np.add.at(self.x, i[keep], gain * x[keep])

    def ring(self, hz, tau, seconds, phase=None):
        t = np.arange(int(seconds * SR)) / SR
        phase = self.rng.random() * 6.28 if phase is None else phase
        return (np.sin(2 * np.pi * hz * t + phase) * np.exp(-t / tau)).view(Part)

    def burst(self, tau, seconds, low, high):
        n = int(seconds * SR)
        z = self.rng.standard_normal(n) * np.exp(-np.arange(n) / SR / tau)
        return sosfilt(butter(2, (low, high), "band", fs=SR, output="sos"), z).view(Part)

    def plate(self, base, tau, seconds):
        """Struck metal: modes that are no harmonics, the high ones shorter."""
        r = np.array([1, 1.53, 2.31, 2.92, 3.87, 5.21])
        return sum(self.ring(base * k, tau / k**0.8, seconds) / k**0.6 for k in r)

    def save(self, rms_db=None, peak=0.85, quality=5):
        x = self.x - self.x.mean()
        if rms_db is not None:
            x = x / x.std() * 10 ** (rms_db / 20)
        top = np.abs(x).max()
        if rms_db is None or top > peak:
            x = x * peak / top
        if not self.loop:
            fade = min(1200, self.n // 4)
            x[-fade:] *= np.linspace(1, 0, fade)
        with tempfile.NamedTemporaryFile(suffix=".wav") as wav:
            sf.write(wav.name, x.astype(np.float32), SR, subtype="PCM_16")
            # A fixed serial number: the same sound is the same file.
            command = ["oggenc", "-Q", "-q", str(quality), "--serial", "1", "-o", str(OUT / f"{self.name}.ogg"), wav.name]
            subprocess.run(command, check=True)


def pump_run():
    """Gears and three plungers at 7.5 turns a second, nothing starved: a soft beat under a whine."""
    rev_s, turns = 7.5, 24
    c = Clip("pump_run", turns / rev_s, True, 41)
    per = 1 / rev_s
    for turn in range(turns):
        for plunger, g in enumerate((1.0, 0.93, 1.05)):
            at = turn * per + plunger * per / 3
            c.add(c.ring(128, 0.03, 0.16) + 0.5 * c.ring(262, 0.02, 0.1), at, 0.8 * g)
            c.add(c.burst(0.012, 0.06, 500, 2600), at + 0.18 * per, 0.5 * g)
            c.add(c.burst(0.008, 0.05, 900, 4200), at + 0.22 * per, 0.22 * g)
    x = c.x / c.x.std()
    t = c.t()
    whine = sum(
        a * np.sin(2 * np.pi * c.whole(rev_s * k) * t + p) for k, a, p in ((73, 1, 0), (146, 0.55, 1), (219, 0.3, 2), (292, 0.12, 4))
    )
    beat = 1 + 0.25 * np.sin(2 * np.pi * c.whole(rev_s * 3) * t)
    flow = c.noise([(60, -16), (400, -2), (1500, 0), (5000, -12), (14000, -34)])
    c.x = x + 0.30 * whine * beat + 0.35 * flow * beat
    c.save(-18)


def bypass_hiss():
    """Water throttled through a small gap: bright, with a faint whistle that wanders."""
    c = Clip("bypass_hiss", 3.4, True, 42)
    x = c.noise([(80, -44), (500, -20), (1600, -6), (4200, 0), (8000, -2), (13000, -9), (20000, -24)])
    x *= 1 + 0.08 * c.slow(6, 30) + 0.08 * c.slow(0.4, 3)
    tone = c.noise([(2500, -80), (3050, -18), (3200, 0), (3350, -18), (4000, -80)])
    low = c.noise([(60, -12), (180, 0), (500, -14), (1500, -40)])
    c.x = x + 0.16 * tone * (1 + 0.4 * c.slow(0.4, 3)) + 0.12 * low
    c.save(-20)


def starter():
    """A starter motor that drags an engine over its compressions, five a second."""
    c = Clip("starter", 2.4, True, 43)
    t = c.t()
    stroke = c.whole(5)
    swing = np.sin(2 * np.pi * stroke * t)
    # The motor slows against each compression; its phase is periodic over the clip.
    phase = 2 * np.pi * c.whole(310) * t - (310 * 0.16 / stroke) * np.cos(2 * np.pi * stroke * t)
    motor = sum(np.sin(k * phase) / k**0.9 for k in (1, 2, 3, 4, 6, 9))
    grind = c.noise([(300, -20), (1200, -2), (2600, 0), (6000, -12), (14000, -36)])
    c.x = motor * (1 - 0.35 * swing) / 2 + 0.55 * grind * (0.75 - 0.35 * swing)
    for n in range(int(round(stroke * 2.4))):
        c.add(c.ring(62, 0.05, 0.2) + 0.4 * c.burst(0.03, 0.12, 120, 900), n / stroke, 1.5)
    c.save(-17)


def drip():
    """Drops and a thin thread of water on concrete."""
    c = Clip("drip", 3.2, True, 44)
    for _ in range(26):
        at, f = c.rng.random() * 3.2, c.rng.uniform(700, 1900)
        n = int(0.09 * SR)
        t = np.arange(n) / SR
        # A bubble closes: its tone rises.
        drop = np.sin(2 * np.pi * (f * t + 0.5 * f * 5 * t**2)) * np.exp(-t / 0.016)
        c.add(drop, at, c.rng.uniform(0.3, 1))
        c.add(c.burst(0.004, 0.03, 1500, 7000), at - 0.004, 0.35)
    thread = c.noise([(300, -30), (1500, -6), (4000, 0), (9000, -10), (16000, -30)])
    c.x = c.x + 0.05 * thread * (1 + 0.4 * c.slow(2, 12))
    c.save(-24)


def air_spit():
    """Air and water by turns out of a small cock."""
    c = Clip("air_spit", 2.6, True, 45)
    air = c.noise([(200, -34), (1500, -10), (5000, 0), (10000, -3), (18000, -16)])
    wet = c.noise([(150, -18), (600, -2), (1800, 0), (5000, -12), (12000, -34)])
    gate = np.clip(0.5 + 0.9 * c.slow(3, 14), 0, 1)
    c.x = air * gate + 0.7 * wet * (1 - gate) * np.clip(0.6 + 0.5 * c.slow(8, 30), 0, 2)
    c.save(-20)


def breath():
    """Somebody who works hard, behind a visor: four breaths in ten seconds."""
    c = Clip("breath", 10.0, True, 46)
    inward = c.noise([(200, -30), (700, -8), (1600, 0), (3600, -6), (9000, -30)])
    outward = c.noise([(150, -20), (450, -2), (900, 0), (2400, -9), (8000, -36)])
    t = c.t()
    for k in range(4):
        start = 2.5 * k + 0.06 * c.rng.standard_normal()
        for noise, at, long, g in ((inward, 0.05, 0.85, 0.7), (outward, 1.1, 1.0, 1.0)):
            s = ((t - start - at) % 10.0) / long
            c.x += g * noise * np.where(s < 1, np.sin(np.pi * np.minimum(s, 1)) ** 1.4 * (1.15 - 0.5 * np.minimum(s, 1)), 0)
    c.save(-24)


def fall():
    """A body in wet gear, and a helmet, on concrete."""
    c = Clip("fall", 0.9, False, 47)
    for at, g in ((0.01, 1.0), (0.13, 0.7), (0.24, 0.35)):
        c.add(c.ring(88, 0.04, 0.2) + 0.7 * c.ring(172, 0.03, 0.15), at, 0.6 * g)
        c.add(c.burst(0.03, 0.16, 220, 1800), at, 2.2 * g)
    c.add(c.burst(0.05, 0.3, 900, 5000), 0.02, 0.6)
    c.add(c.plate(640, 0.02, 0.2), 0.26, 0.30)
    c.save(peak=0.9)


def hose_jump():
    """A hose that stiffens with a jerk and slaps the ground."""
    c = Clip("hose_jump", 0.6, False, 48)
    c.add(c.ring(112, 0.035, 0.2) + 0.8 * c.ring(205, 0.03, 0.16), 0.012, 0.7)
    c.add(c.burst(0.018, 0.1, 300, 2400), 0.010, 2.0)
    c.add(c.ring(140, 0.025, 0.15), 0.15, 0.35)
    c.add(c.burst(0.02, 0.1, 400, 3200), 0.15, 0.9)
    c.save(peak=0.85)


def catch_click():
    """A small steel catch over its spring."""
    c = Clip("catch_click", 0.14, False, 49)
    c.add(c.burst(0.0012, 0.01, 2200, 9000) + 0.5 * c.ring(2600, 0.004, 0.03), 0.004, 0.6)
    c.add(c.burst(0.0018, 0.015, 1600, 7000) + 0.6 * c.ring(1750, 0.006, 0.04), 0.034, 1.0)
    c.save(peak=0.6)


def trigger_click():
    """A long trigger that comes to its stop."""
    c = Clip("trigger_click", 0.16, False, 50)
    c.add(c.burst(0.008, 0.04, 700, 3000), 0.004, 0.35)
    c.add(c.burst(0.0025, 0.02, 900, 5200) + 0.5 * c.ring(880, 0.01, 0.05), 0.045, 1.0)
    c.save(peak=0.6)


def key_click():
    """An ignition lock."""
    c = Clip("key_click", 0.18, False, 51)
    c.add(c.burst(0.0016, 0.012, 1800, 8000), 0.004, 0.5)
    c.add(c.burst(0.0025, 0.02, 1200, 6000) + 0.5 * c.ring(1320, 0.007, 0.05), 0.05, 1.0)
    c.save(peak=0.6)


def gate():
    """A gate of wire mesh that falls into its bolt."""
    c = Clip("gate", 1.1, False, 52)
    squeak = np.arange(int(0.32 * SR)) / SR
    line = np.sin(2 * np.pi * (820 * squeak + 240 * squeak**2)) * np.hanning(len(squeak))
    c.add(line, 0.01, 0.10)
    for at, g in ((0.40, 1.0), (0.47, 0.5), (0.56, 0.28), (0.68, 0.14)):
        c.add(c.plate(410, 0.09, 0.5), at, 0.5 * g)
        c.add(c.burst(0.006, 0.05, 1200, 8000), at, 0.8 * g)
    c.save(peak=0.85)


def cloth():
    """Waterproof cloth, and a strap."""
    c = Clip("cloth", 0.55, False, 53)
    for at, long, g in ((0.01, 0.22, 1.0), (0.24, 0.18, 0.7)):
        n = int(long * SR)
        z = np.asarray(c.burst(10.0, long, 900, 6500)) * np.hanning(n)
        crackle = 1 + 1.2 * np.clip(c.rng.standard_normal(n // 200 + 1), 0, 3).repeat(200)[:n]
        c.add(z * crackle, at, g)
    c.add(c.burst(0.002, 0.02, 1500, 7000), 0.44, 0.8)
    c.save(peak=0.5)


def leak_hiss():
    """A needle of water out of a pin hole: thin and sharp, nearly all of it above speech, a little torn."""
    c = Clip("leak_hiss", 3.0, True, 54)
    x = c.noise([(200, -60), (1500, -26), (4000, -8), (8000, 0), (12000, 0), (16000, -5), (20000, -16)])
    x *= 1 + 0.12 * c.slow(9, 45) + 0.06 * c.slow(0.5, 3)
    edge = c.noise([(5200, -80), (6100, -14), (6400, 0), (6700, -14), (7600, -80)])
    c.x = x + 0.20 * edge * (1 + 0.5 * c.slow(0.6, 4))
    c.save(-20)


def gush():
    """A full bore of water that falls on concrete: low, broad and lumpy."""
    c = Clip("gush", 3.6, True, 55)
    body = c.noise([(40, -18), (120, -4), (350, 0), (900, -3), (2500, -9), (7000, -20), (15000, -40)])
    splash = c.noise([(300, -26), (1500, -4), (3500, 0), (8000, -8), (16000, -26)])
    c.x = body * (1 + 0.30 * c.slow(2, 9)) + 0.45 * splash * np.clip(1 + 0.6 * c.slow(4, 20), 0.1, None)
    for _ in range(90):
        f = c.rng.uniform(300, 1100)
        n = int(0.07 * SR)
        t = np.arange(n) / SR
        # Lumps of water that close over air.
        lump = np.sin(2 * np.pi * (f * t + 0.5 * f * 4 * t**2)) * np.exp(-t / 0.018)
        c.add(lump, c.rng.random() * 3.6, c.rng.uniform(0.3, 1.2))
    c.save(-18)


def trickle():
    """A few threads of water that run down metal and off its edge."""
    c = Clip("trickle", 3.4, True, 56)
    for _ in range(70):
        at, f = c.rng.random() * 3.4, c.rng.uniform(500, 1500)
        n = int(0.06 * SR)
        t = np.arange(n) / SR
        drop = np.sin(2 * np.pi * (f * t + 0.5 * f * 6 * t**2)) * np.exp(-t / 0.012)
        c.add(drop, at, c.rng.uniform(0.15, 0.8))
    thread = c.noise([(200, -26), (900, -4), (2600, 0), (7000, -10), (15000, -30)])
    c.x = c.x + 0.16 * thread * np.clip(1 + 0.5 * c.slow(3, 15), 0.1, None)
    c.save(-22)


def guard_trip():
    """A relay that falls, and the stop solenoid of the engine that slams home."""
    c = Clip("guard_trip", 0.5, False, 57)
    c.add(c.burst(0.0014, 0.012, 2000, 9000) + 0.4 * c.ring(2300, 0.005, 0.03), 0.004, 0.8)
    c.add(c.burst(0.005, 0.04, 500, 3600) + 0.8 * c.ring(310, 0.03, 0.18), 0.075, 1.6)
    c.add(c.plate(720, 0.04, 0.3), 0.078, 0.35)
    c.add(c.burst(0.003, 0.02, 900, 5000), 0.118, 0.5)
    c.save(peak=0.85)


def disc_burst():
    """A disc of metal that tears under pressure: a crack like a shot, a holder that rings, and water that lets go behind it."""
    c = Clip("disc_burst", 1.5, False, 58)
    c.add(c.burst(0.0022, 0.02, 700, 14000), 0.003, 4.0)
    c.add(c.burst(0.012, 0.07, 180, 3200) + 1.4 * c.ring(96, 0.05, 0.3) + 0.8 * c.ring(171, 0.035, 0.2), 0.005, 2.6)
    c.add(c.plate(530, 0.10, 0.8), 0.006, 0.40)
    c.add(c.burst(0.34, 1.3, 250, 6500), 0.012, 1.3)
    # Off the walls of the yard.
    for at, g in ((0.11, 0.30), (0.19, 0.16)):
        c.add(c.burst(0.02, 0.12, 200, 2200), at, g)
    c.save(peak=0.95)


if __name__ == "__main__":
    OUT.mkdir(parents=True, exist_ok=True)
    for make in (
        pump_run, bypass_hiss, starter, drip, air_spit, breath,
        fall, hose_jump, catch_click, trigger_click, key_click, gate, cloth,
        leak_hiss, gush, trickle, guard_trip, disc_burst,
    ):
        make()
