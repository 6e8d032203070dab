"""Dials, plates and signs, drawn: the sheet of decals and the face of the operator's panel. usage: plates.py OUT FONTS
Their places are shared with unit.py. Pictograms are the project's own."""
import sys, pathlib
import numpy as np
from PIL import Image, ImageDraw, ImageFont

OUT = pathlib.Path(sys.argv[1]); FONTS = pathlib.Path(sys.argv[2]); OUT.mkdir(parents=True, exist_ok=True)

# ---- sheet of decals, 1024: dials, hazard band, plates, signs
S = 2; W = 1024 * S; im = Image.new("RGB", (W, W), (235, 235, 230)); d = ImageDraw.Draw(im)
F = lambda name, px: ImageFont.truetype(str(FONTS / f"{name}.ttf"), px * S)
def dial(x, y, s, vmax, step, minor, red, unit, label):
    c = (x + s / 2, y + s / 2); d.rectangle([x, y, x + s, y + s], fill=(244, 243, 238)); R = s * .46
    ang = lambda val: np.deg2rad(225 - 270 * val / vmax)
    d.arc([c[0] - R, c[1] - R, c[0] + R, c[1] + R], 135 + 270 * red / vmax, 405, fill=(200, 30, 25), width=int(s * .035))
    for i in range(0, vmax + 1, minor):
        maj = i % step == 0; a = ang(i); r0, r1 = R * (.80 if maj else .89), R
        d.line([c[0] + r0 * np.cos(a), c[1] - r0 * np.sin(a), c[0] + r1 * np.cos(a), c[1] - r1 * np.sin(a)], fill=(15, 15, 15), width=int(s * (.012 if maj else .005)))
        if maj: d.text((c[0] + R * .635 * np.cos(a), c[1] - R * .635 * np.sin(a)), str(i), font=F("barlow-condensed-700", int(s / S * (.094 if vmax < 3000 else .082))), fill=(15, 15, 15), anchor="mm")
    d.text((c[0], c[1] + s * .20), unit, font=F("atkinson-hyperlegible-next-700", int(s / S * .075)), fill=(15, 15, 15), anchor="mm")
    d.text((c[0], c[1] + s * .29), label, font=F("barlow-condensed-500", int(s / S * .05)), fill=(60, 60, 60), anchor="mm")
dial(0, 0, 512 * S, 1600, 200, 50, 1250, "bar", "PUMP PRESSURE")
dial(768 * S, 0, 256 * S, 3000, 500, 100, 2400, "rpm", "ENGINE")
GREEN, RED = (40, 140, 70), (200, 30, 25)
def small(x, y, s, v0, v1, step, minor, bands, unit, label):
    """A small dial: few large figures, and bands that tell at a glance whether it is as it should be."""
    x, y, s = x * S, y * S, s * S; c = (x + s / 2, y + s / 2); d.rectangle([x, y, x + s, y + s], fill=(244, 243, 238)); R = s * .46
    deg = lambda val: 135 + 270 * (val - v0) / (v1 - v0)
    for a, b, fill in bands: d.arc([c[0] - R, c[1] - R, c[0] + R, c[1] + R], deg(a), deg(b), fill=fill, width=int(s * .075))
    for i in range(int(round((v1 - v0) / minor)) + 1):
        val = v0 + i * minor; maj = abs(val / step - round(val / step)) < 1e-6; a = np.deg2rad(-deg(val)); r0, r1 = R * (.76 if maj else .86), R
        d.line([c[0] + r0 * np.cos(a), c[1] - r0 * np.sin(a), c[0] + r1 * np.cos(a), c[1] - r1 * np.sin(a)], fill=(15, 15, 15), width=max(int(s * (.018 if maj else .009)), 1))
        if maj: d.text((c[0] + R * .55 * np.cos(a), c[1] - R * .55 * np.sin(a)), f"{val:.0f}".replace("-", "\u2013"), font=F("barlow-condensed-700", int(s / S * .125)), fill=(15, 15, 15), anchor="mm")
    d.text((c[0], c[1] + s * .21), unit, font=F("atkinson-hyperlegible-next-700", int(s / S * .085)), fill=(15, 15, 15), anchor="mm")
    d.text((c[0], c[1] + s * .335), label, font=F("barlow-condensed-700", int(s / S * .105)), fill=(15, 15, 15), anchor="mm")
small(512, 0, 256, -1, 5, 1, .5, [(-1, 0, RED), (1, 3.5, GREEN)], "bar", "INLET")
small(512, 608, 170, 0, 6, 1, .5, [(0, .8, RED), (1.5, 4.5, GREEN)], "bar", "OIL")
small(682, 608, 170, 0, 120, 20, 10, [(30, 80, GREEN), (95, 120, RED)], "\u00b0C", "OIL")
small(852, 608, 170, 0, 80, 20, 5, [(2, 40, GREEN), (45, 80, RED)], "\u00b0C", "TANK")
small(256, 608, 96, 0, 900, 300, 50, [(770, 900, RED)], "bar", "LINE")
# warning band 1024x96 at y=512: yellow/black 45-degree, tileable in x
y0, hgt, p = 512 * S, 96 * S, 128 * S
d.rectangle([0, y0, W, y0 + hgt], fill=(245, 190, 10))
for i in range(-2, W // p + 2): d.polygon([(i * p, y0 + hgt), (i * p + p / 2, y0 + hgt), (i * p + p / 2 + hgt, y0), (i * p + hgt, y0)], fill=(18, 18, 18))
def plate(x, y, w, h, txt, bg, fg, px, face="barlow-condensed-700"):
    x, y, w, h = [q * S for q in (x, y, w, h)]
    d.rectangle([x, y, x + w, y + h], fill=bg); d.rounded_rectangle([x + 6 * S, y + 6 * S, x + w - 6 * S, y + h - 6 * S], 10 * S, outline=fg, width=3 * S)
    d.multiline_text((x + w / 2, y + h / 2), txt, font=F(face, px), fill=fg, anchor="mm", align="center", spacing=4)
plate(0, 608, 256, 96, "OIL STOP", (30, 30, 30), (245, 245, 245), 60)
plate(0, 704, 256, 96, "WATER", (20, 95, 60), (250, 250, 250), 54)
# Labels of the two outlets: small and wide.
def label(x, y, w, h, txt):
    x, y, w, h = [q * S for q in (x, y, w, h)]
    d.rectangle([x, y, x + w, y + h], fill=(30, 30, 30)); d.rounded_rectangle([x + 3 * S, y + 3 * S, x + w - 3 * S, y + h - 3 * S], 6 * S, outline=(245, 245, 245), width=2 * S)
    d.text((x + w / 2, y + h / 2), txt, font=F("barlow-condensed-700", 34), fill=(245, 245, 245), anchor="mm")
label(356, 608, 156, 48, "LANCE"); label(356, 656, 156, 48, "STAND")
plate(256, 704, 256, 96, "DIESEL", (30, 30, 30), (245, 245, 245), 54)
def tri(x, y, s, draw):
    x, y, s = x * S, y * S, s * S; d.rectangle([x, y, x + s, y + s], fill=(250, 250, 248))
    P = [(x + s * .5, y + s * .07), (x + s * .95, y + s * .88), (x + s * .05, y + s * .88)]
    d.polygon(P, fill=(15, 15, 15)); c = (x + s * .5, y + s * .61)
    d.polygon([(c[0] + (px - c[0]) * .82, c[1] + (py - c[1]) * .82) for px, py in P], fill=(247, 196, 12)); draw(x, y, s)
def jet(x, y, s):   # a jet striking a hand-shaped block: own pictogram
    q = lambda a, b: (x + s * a, y + s * b)
    d.polygon([q(.27, .60), q(.40, .56), q(.40, .70), q(.27, .66)], fill=(15, 15, 15))
    for k_ in (-.09, -.03, .03, .09): d.line([q(.41, .63), q(.57, .63 + k_)], fill=(15, 15, 15), width=int(s * .016))
    d.rounded_rectangle([*q(.60, .50), *q(.67, .80)], int(s * .02), fill=(15, 15, 15))
    for i_ in range(4): d.rounded_rectangle([*q(.57 + .032 * i_, .42 + .015 * abs(i_ - 1)), *q(.592 + .032 * i_, .60)], int(s * .012), fill=(15, 15, 15))
def hot(x, y, s):
    for i_ in range(3):
        pts = [(x + s * (.40 + .1 * i_ + .025 * np.sin(t)), y + s * (.72 - .30 * t / 9)) for t in np.linspace(0, 9, 24)]
        d.line(pts, fill=(15, 15, 15), width=int(s * .03), joint="curve")
    d.rectangle([x + s * .30, y + s * .75, x + s * .70, y + s * .79], fill=(15, 15, 15))
tri(512, 272, 224, jet); tri(768, 272, 224, hot)
# what has to be worn, and who may not come in: own pictograms
def disc(x, y, s, draw, ring=None):
    x, y, s = x * S, y * S, s * S; d.rectangle([x, y, x + s, y + s], fill=(250, 250, 248)); e = s * .06
    d.ellipse([x + e, y + e, x + s - e, y + s - e], fill=(24, 84, 150) if ring is None else ring); draw(lambda a, b: (x + s * a, y + s * b), s)
WHITE = (250, 250, 248); INK = (18, 20, 22)
def ears(q, s):
    d.ellipse([*q(.34, .30), *q(.66, .74)], fill=WHITE); d.arc([*q(.27, .20), *q(.73, .72)], 180, 360, fill=WHITE, width=int(s * .05))
    for a in (.22, .66): d.rounded_rectangle([*q(a, .42), *q(a + .12, .66)], int(s * .05), fill=WHITE)
def visor(q, s):
    d.ellipse([*q(.33, .26), *q(.67, .76)], fill=WHITE); d.pieslice([*q(.28, .17), *q(.72, .61)], 180, 360, fill=WHITE); d.rectangle([*q(.24, .37), *q(.76, .42)], fill=WHITE)
    d.rounded_rectangle([*q(.30, .45), *q(.70, .72)], int(s * .05), outline=(24, 84, 150), width=int(s * .03))
def hand(q, s, fill=WHITE):
    d.rounded_rectangle([*q(.36, .48), *q(.64, .78)], int(s * .06), fill=fill)
    for i, (a, b) in enumerate(((.36, .28), (.435, .22), (.51, .24), (.585, .31))): d.rounded_rectangle([*q(a, b), *q(a + .06, .58)], int(s * .028), fill=fill)
    d.line([q(.39, .70), q(.27, .52)], fill=fill, width=int(s * .065)); d.ellipse([*q(.24, .49), *q(.30, .55)], fill=fill)
def closed(q, s):
    d.ellipse([*q(.13, .13), *q(.87, .87)], fill=WHITE); d.ellipse([*q(.44, .20), *q(.56, .32)], fill=INK); d.polygon([q(.40, .34), q(.60, .34), q(.62, .58), q(.56, .58), q(.57, .82), q(.51, .82), q(.50, .62), q(.49, .82), q(.43, .82), q(.44, .58), q(.38, .58)], fill=INK)
    d.line([q(.22, .22), q(.78, .78)], fill=(190, 25, 20), width=int(s * .07))
disc(0, 832, 191, ears); disc(192, 832, 191, visor); disc(384, 832, 191, hand); disc(576, 832, 191, closed, (190, 25, 20))
plate(768, 832, 256, 191, "HIGH\nPRESSURE\nKEEP OUT", (247, 196, 12), (18, 20, 22), 52)
im = im.resize((1024, 1024), Image.LANCZOS); im.save(OUT / "decals.png", optimize=True)

# ---- face of the operator's panel: what hangs together is drawn between the controls. 1.34 m by 0.78 m.
S = 2; PW, PH = 2048 * S, 1192 * S; im = Image.new("RGB", (PW, PH), (203, 209, 206)); d = ImageDraw.Draw(im)
X0, Y1, K = -.10, 1.48, PW / 1.34
P = lambda x, y: ((x - X0) * K, (Y1 - y) * K); mm = lambda v: v / 1000 * K
SLATE, TEAL, PETROL, PALE = (28, 36, 42), (47, 143, 138), (24, 62, 74), (222, 227, 224)
font = lambda name, size_mm: ImageFont.truetype(str(FONTS / f"{name}.ttf"), int(mm(size_mm)))
def words(x, y, t, size=15, fill=SLATE, face="barlow-condensed-700", anchor="mm"): d.text(P(x, y), t, font=font(face, size), fill=fill, anchor=anchor)
def zone(x0, y0, x1, y1, title, low=False):
    d.rounded_rectangle([*P(x0, y1), *P(x1, y0)], mm(14), fill=PALE, outline=(150, 160, 160), width=int(mm(1.6))); a = P(x0, y0 if low else y1); w = font("barlow-condensed-700", 15).getlength(title)
    d.rounded_rectangle([a[0] + mm(14), a[1] - mm(10), a[0] + mm(30) + w, a[1] + mm(10)], mm(4), fill=SLATE); d.text((a[0] + mm(22), a[1]), title, font=font("barlow-condensed-700", 15), fill=(240, 238, 230), anchor="lm")
def line(pts, wide, fill):
    q = [P(*p) for p in pts]; d.line(q, fill=fill, width=int(mm(wide)), joint="curve")
    for c in q: d.ellipse([c[0] - mm(wide) / 2, c[1] - mm(wide) / 2, c[0] + mm(wide) / 2, c[1] + mm(wide) / 2], fill=fill)
def head(x, y, turn, size, fill):
    c = P(x, y); pts = [(1, 0), (-.6, .8), (-.6, -.8)]; a = np.deg2rad(turn); d.polygon([(c[0] + mm(size) * (px * np.cos(a) - py * np.sin(a)), c[1] - mm(size) * (px * np.sin(a) + py * np.cos(a))) for px, py in pts], fill=fill)
def arc(x, y, r, a0, a1, wide, fill): c = P(x, y); d.arc([c[0] - mm(r), c[1] - mm(r), c[0] + mm(r), c[1] + mm(r)], -a1, -a0, fill=fill, width=int(mm(wide)))
def spot(x, y, r, fill, edge=None): c = P(x, y); d.ellipse([c[0] - mm(r), c[1] - mm(r), c[0] + mm(r), c[1] + mm(r)], fill=fill, outline=edge, width=int(mm(2)))
zone(.165, 1.115, .585, 1.43, "ENGINE"); zone(.605, 1.085, .815, 1.325, "REGULATOR", True); zone(-.085, .765, 1.225, 1.055, "WATER AND LINE")
# the line itself: low pressure in teal, high pressure in petrol
line([(-.07, .80), (.40, .80)], 9, TEAL); line([(.455, .832), (1.205, .832)], 13, PETROL); head(1.207, .832, 0, 15, PETROL); line([(.40, .80), (.455, .80), (.455, .832)], 9, TEAL)
line([(.44, .85), (.37, .93), (.20, .93), (.20, 1.0)], 5, TEAL); line([(.9, .832), (.9, 1.1)], 13, PETROL); line([(1.1, .832), (1.1, .9)], 9, PETROL)
line([(.7, .832), (.7, 1.2)], 8, PETROL); line([(.7, 1.02), (.33, 1.02), (.33, .80)], 5, TEAL); head(.33, .835, -90, 11, TEAL)
spot(.455, .832, 44, PALE, SLATE); head(.463, .832, 0, 24, SLATE); words(.53, .795, "PUMP", 15)
for x, y in ((.33, .80), (.7, .832), (.9, .832), (1.1, .832)): spot(x, y, 8, SLATE)
def valve(x, y, long, name, shut=True, at=None):
    """A lever upright is shut, and open to the right: a quarter turn drawn about it."""
    arc(x, y, long, 0, 90, 2.2, SLATE); head(x + long / 1000, y + .006, -90, 8, SLATE); spot(x, y, 33, (236, 239, 237), SLATE)
    words(x - .016, y + long / 1000 + .016, "SHUT", 13, anchor="mm"); words(x + long / 1000 + .006, y - .020, "OPEN", 13, anchor="mm")
    if at: words(*at, name, 19)
valve(0, .8, 172, "SUPPLY", at=(.085, .905)); valve(.2, 1.0, 82, "AIR", at=(.115, 1.00)); valve(.9, 1.1, 244, "DUMP", at=(1.00, 1.185)); valve(1.1, .9, 112, "BLEED", at=(1.03, .905))
words(1.165, .795, "HOSE", 15)
# key, engine speed, regulator, emergency stop
spot(.4, 1.3, 34, (236, 239, 237), SLATE)
for a, t in ((90, "0"), (45, "I"), (0, "START")): r = .050 if t != "START" else .064; words(.4 + r * np.cos(np.deg2rad(a)), 1.3 + r * np.sin(np.deg2rad(a)), t, 16 if t != "START" else 12)
arc(.5, 1.2, 46, -40, 220, 2.2, SLATE)
for i in range(11):
    a = np.deg2rad(220 - 26 * i); line([(.5 + .044 * np.cos(a), 1.2 + .044 * np.sin(a)), (.5 + (.053 if i % 5 else .057) * np.cos(a), 1.2 + (.053 if i % 5 else .057) * np.sin(a))], 1.6 if i % 5 else 2.6, SLATE)
for t, a in (("0", 228), ("50", 90), ("100", -48)): a = np.deg2rad(a); words(.5 + .068 * np.cos(a), 1.2 + .068 * np.sin(a), t, 12)
words(.5, 1.1305, "SPEED %", 13); words(.25, 1.245, "ENGINE SPEED", 13)
arc(.7, 1.2, 84, 25, 155, 3, SLATE); head(.7 + .084 * np.cos(np.deg2rad(22)), 1.2 + .084 * np.sin(np.deg2rad(22)), -62, 9, SLATE); words(.79, 1.205, "+", 26); words(.612, 1.205, "\u2013", 26)
spot(.6, 1.4, 62, (246, 196, 16), (20, 20, 20)); words(.705, 1.415, "EMERGENCY", 17); words(.705, 1.392, "STOP", 19)
# hazard band
y0, y1 = .705, .745; q0, q1 = P(X0, y1), P(1.24, y0); d.rectangle([0, q0[1], PW, q1[1]], fill=(245, 190, 10)); st = mm(52); hh = q1[1] - q0[1]
for i in range(-2, int(PW / st) + 2): d.polygon([(i * st, q1[1]), (i * st + st / 2, q1[1]), (i * st + st / 2 + hh, q0[1]), (i * st + hh, q0[1])], fill=(18, 18, 18))
# a little wear: faint streaks and a rubbed edge, so that it does not look printed this morning
im = im.resize((2048, 1192), Image.LANCZOS); g = np.asarray(im).astype(float); r = np.random.default_rng(5)
from scipy.ndimage import gaussian_filter
n = r.standard_normal((1192, 2048)); streak = gaussian_filter(n, (40, 1.6)); blot = gaussian_filter(n, 26); m = np.clip(.5 + .5 * streak / streak.std() * .5, 0, 1) * .035 + np.clip(blot / blot.std(), 0, 2) * .022
yy, xx = np.mgrid[0:1192, 0:2048]; edge = np.minimum.reduce([xx, 2047 - xx, yy, 1191 - yy]); m += .10 * np.exp(-edge / 14)
g = g * (1 - m[..., None]) + np.array([96, 90, 80.]) * m[..., None]; Image.fromarray(np.clip(g, 0, 255).astype(np.uint8)).save(OUT / "panel.png", optimize=True)
print("panel", (OUT / "panel.png").stat().st_size // 1024, "KiB")
