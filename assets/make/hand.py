"""Gloved hands and sleeves, for one's own arms and for the worker. A hand is built palm down, fingers along +Y, the
thumb at -X (a right hand); the left one is its mirror image."""
from kit import *

def spline(pts, per=6):
    """A smooth line through points (Catmull-Rom)."""
    P = [Vector(p) for p in pts]; P = [P[0] * 2 - P[1]] + P + [P[-1] * 2 - P[-2]]; out = []
    for i in range(1, len(P) - 2):
        a, b, c, d = P[i - 1:i + 3]
        for k in range(per):
            t = k / per; out.append(.5 * ((2 * b) + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t ** 3))
    return out + [P[-2]]

def skin(p, rings, mats, pick=None, cap=(True, True), M=Matrix.Identity(4)):
    """Closed rings of points joined into a skin; pick(face centre, normal) chooses among mats."""
    b = bmesh.new(); R = [[b.verts.new(q) for q in r] for r in rings]; n = len(R[0])
    for i in range(len(R) - 1):
        for j in range(n): b.faces.new((R[i][j], R[i][(j + 1) % n], R[i + 1][(j + 1) % n], R[i + 1][j]))
    for flag, r in zip(cap, (R[0][::-1], R[-1])):
        if flag:
            c = b.verts.new(sum((v.co for v in r), Vector()) / n)
            for j in range(n): b.faces.new((r[j], r[(j + 1) % n], c))
    bmesh.ops.recalc_face_normals(b, faces=b.faces)
    if pick:
        b.normal_update(); groups = [pick(f.calc_center_median(), f.normal) for f in b.faces]
        for k, mat in enumerate(mats):
            c = b.copy(); c.faces.ensure_lookup_table(); bmesh.ops.delete(c, geom=[f for f, g in zip(c.faces, groups) if g != k], context="FACES")
            if c.faces: p._merge(c, mat, M)
            else: c.free()
        b.free()
    else: p._merge(b, mats[0], M)

def worm(p, path, radius, mats, pick=None, n=12, M=Matrix.Identity(4), flat=1.0):
    """A round skin along a path, closed by round ends; radius is a function of the share of the length."""
    n = max(6, int(n * DETAIL)); T = [(path[min(i + 1, len(path) - 1)] - path[max(i - 1, 0)]).normalized() for i in range(len(path))]
    L = [0.0]
    for a, b in zip(path, path[1:]): L.append(L[-1] + (b - a).length)
    u = Vector((1, 0, 0)); rings = []
    def ring(c, t, r):
        nonlocal u
        u = (u - t * u.dot(t)).normalized(); w = t.cross(u); return [c + (u * cos(2 * pi * j / n) + w * flat * sin(2 * pi * j / n)) * r for j in range(n)]
    r0, r1 = radius(0), radius(1)
    for a in (80, 45): rings.append(ring(path[0] - T[0] * r0 * sin(rad(a)), T[0], r0 * cos(rad(a))))
    for c, t, l in zip(path, T, L): rings.append(ring(c, t, radius(l / L[-1])))
    for a in (30, 55, 78): rings.append(ring(path[-1] + T[-1] * r1 * sin(rad(a)), T[-1], r1 * cos(rad(a))))
    skin(p, rings, mats, pick, M=M)

# A hand closed round a bar of 32 mm along x: knuckle, two joints and tip of each finger, index to little; root, two joints and tip of the thumb
GRIP = dict(wrist=(.004, -.088, .030), fingers=[
    [(-.032, .020, .036), (-.033, .036, -.004), (-.032, .016, -.030), (-.030, -.008, -.031)],
    [(-.011, .025, .037), (-.011, .040, -.006), (-.011, .017, -.031), (-.011, -.009, -.031)],
    [(.010, .023, .036), (.010, .037, -.005), (.010, .015, -.030), (.010, -.009, -.030)],
    [(.030, .015, .033), (.030, .030, -.003), (.029, .013, -.027), (.028, -.008, -.028)]],
    thumb=[(-.030, -.060, .024), (-.050, -.034, .004), (-.050, -.010, -.026), (-.036, .012, -.044)])
def glove(p, pose, M=Matrix.Identity(4), mats=("m_glove", "m_glove_grip"), pads=True, fine=1.0):
    """A hand in a glove: knitted back, coated palm and finger insides, pads over the knuckles."""
    bar = Vector((0, 0, 0)) if pose is GRIP else None
    def inside(c, n):
        if bar is not None:
            to = Vector((0, -c.y, -c.z)); return 1 if n.dot(to.normalized()) > .12 else 0
        return 1 if n.z < -.25 else 0
    per = max(2 if fine == 1 else 1, int(4 * DETAIL * fine)); sides = 12 * fine
    for k, f in enumerate(pose["fingers"]):
        r = (.0108, .0110, .0106, .0094)[k]; path = spline([Vector(f[0]).lerp(Vector(pose["wrist"]), .18)] + f, per)
        # a little thicker at the joints, thinner at the tip; creases where a glove folds
        def radius(t, r=r): return r * (1.04 - .16 * t + .07 * math.exp(-((t - .42) / .07) ** 2) + .05 * math.exp(-((t - .74) / .05) ** 2) - .05 * math.exp(-((t - .52) / .03) ** 2))
        worm(p, path, radius, mats, inside, sides, M)
        if pads and DETAIL == 1:
            a, b = Vector(f[0]), Vector(f[1]); mid = a.lerp(b, .50); d = (b - a).normalized(); out = Vector((1, 0, 0)).cross(d).normalized(); out = out if (out.dot(mid) if bar is not None else out.z) > 0 else -out
            F = Matrix.Translation(mid + out * (r * .80)) @ Matrix(((1, d.x, out.x, 0), (0, d.y, out.y, 0), (0, d.z, out.z, 0), (0, 0, 0, 1)))
            p.box((r * 1.25, (b - a).length * .52, r * .62), M @ F, mats[1], r * .28, 2)
    path = spline(pose["thumb"], per)
    worm(p, path, lambda t: .0155 - .0042 * t - .0012 * math.exp(-((t - .55) / .06) ** 2) + .0008 * math.exp(-((t - .68) / .05) ** 2), mats, lambda c, n: 1 if n.dot(Vector((.55, .3, .3))) > .35 else 0, sides, M)
    # the palm: rounded sections from the wrist to the row of knuckles
    K = [Vector(f[0]) for f in pose["fingers"]]; w = Vector(pose["wrist"]); knuckles = sum(K, Vector()) / 4; n = max(10, int(22 * DETAIL * fine)); rings = []
    for t, wx, hz, e in ((-.02, .029, .0215, 2.3), (.10, .031, .0215, 2.4), (.28, .037, .0215, 2.6), (.50, .0415, .0200, 2.8), (.72, .0440, .0172, 2.8), (.90, .0445, .0150, 2.8), (1.0, .0435, .0128, 2.6), (1.05, .040, .0095, 2.3)):
        c = w.lerp(knuckles, t); tilt = .10 * t
        rings.append([Vector((c.x + wx * math.copysign(abs(cos(a)) ** (2 / e), cos(a)), c.y - .008 * t * cos(a), c.z + hz * math.copysign(abs(sin(a)) ** (2 / e), sin(a)) - tilt * wx * cos(a) * .6 + .003 * t * (1 - cos(a) ** 2))) for a in (2 * pi * j / n for j in range(n))])
    skin(p, rings, mats, (lambda c, n: 1 if n.z < -.2 else 0), M=M)
    th = Vector(pose["thumb"][0]); worm(p, spline([w.lerp(th, .25), th, th.lerp(Vector(pose["thumb"][1]), .7)], 3), lambda t: .0195 - .003 * t, mats, (lambda c, n: 1 if n.z < -.1 else 0), 12 * fine, M)
    if pads and DETAIL == 1:      # a raised patch on the back of the hand, and the strap at the wrist
        c = w.lerp(knuckles, .60); d = (knuckles - w).normalized(); up = Vector((1, 0, 0)).cross(d).normalized()
        F = Matrix.Translation(c + up * .0185) @ Matrix(((1, d.x, up.x, 0), (0, d.y, up.y, 0), (0, d.z, up.z, 0), (0, 0, 0, 1)))
        for i in range(4): p.box((.011, .040 - .004 * abs(i - 1.5), .006), M @ F @ Matrix.Translation((-.027 + .018 * i, .004, -.001 - .0012 * abs(i - 1.5))), mats[1], .0024, 2)

def folds(t, a, depth, seed):
    """How far cloth stands out at a share of a sleeve's length and an angle about it."""
    return depth * (.50 * sin(31 * t + 2.1 * sin(a + seed)) + .30 * sin(17 * t + 1.7 * sin(2 * a + 1.3 * seed) + seed) + .22 * sin(53 * t + 2.6 * sin(a - 2 * seed)))

def sleeve(p, pose, elbow, M=Matrix.Identity(4), suit="m_suit", cuff="m_glove_cuff", seed=0.0):
    """The gauntlet of the glove, and the suit's sleeve that goes into it, to the elbow."""
    w = Vector(pose["wrist"]); e = Vector(elbow); d = (e - w).normalized(); u = (Vector((1, 0, 0)) - d * d.x).normalized(); v = d.cross(u); n = max(12, int(24 * DETAIL)); L = .32; far = (e - w).length / L
    def rings(ts, radius, squash=.92): return [[w + d * (L * t) + (u * cos(a) + v * squash * sin(a)) * radius(t, a) for a in (2 * pi * j / n for j in range(n))] for t in ts]
    # gauntlet: snug at the wrist, wider towards the elbow, with a ribbed band and a hem
    g = lambda t, a: .0295 + .055 * max(t, 0) ** .8 + folds(t * 1.2, a, .0009, seed) + (.0016 if .10 < t < .155 and int(t * 220) % 2 else 0)
    ts = [-.06, -.03, 0, .02, .05] + ([.08, .10] + [.10 + .0045 * i for i in range(1, 13)] if DETAIL == 1 else [.1, .155]) + [.17, .20, .24, .28, .32, .352]
    skin(p, rings(ts, g), ("m_glove", cuff), lambda c, nn: 1 if (c - w).dot(d) / L > .20 else 0, (False, False), M)
    skin(p, rings((.352, .358, .362, .362, .30), lambda t, a: g(.352, a) + (.0018 if t < .3605 and t > .351 else 0) - (.006 if t == .30 else 0)), (cuff,), None, (False, False), M)
    skin(p, rings((.085, .092, .108, .115), lambda t, a: g(t, a) + (.0030 if .09 < t < .11 else .0008)), ("m_glove_grip",), None, (False, False), M)      # strap
    s = lambda t, a: .0415 + .022 * t - .004 * math.exp(-((t - .33) / .05) ** 2) + folds(t, a, .0042 * min(1, .35 + t), seed + 1) + .004 * math.exp(-((t - .52) / .07) ** 2)
    k = 34 if DETAIL == 1 else 12; ts = [.30 + (far - .30) * i / k for i in range(k + 1)]
    skin(p, rings(ts, s, .95), (suit, "m_reflect"), lambda c, nn: 1 if .60 < (c - w).dot(d) / L < .72 else 0, (False, True), M)
