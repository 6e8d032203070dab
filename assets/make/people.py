"""People: the worker with his protective equipment piece by piece, and one's own arms."""
from kit import *
from hand import GRIP, REACH, RELAX, glove, skin, sleeve, spline, worm

J = {"hips": (0, 0, .98), "spine": (0, -.01, 1.14), "chest": (0, -.01, 1.30), "neck": (0, 0, 1.50), "head": (0, .015, 1.58), "top": (0, .015, 1.78)}
for s, x in (("L", -1), ("R", 1)):
    J |= {f"sh.{s}": (x * .195, -.01, 1.43), f"el.{s}": (x * .295, -.03, 1.165), f"wr.{s}": (x * .345, .035, .925), f"ha.{s}": (x * .365, .065, .80), f"hp.{s}": (x * .098, 0, .95), f"kn.{s}": (x * .112, .015, .52), f"an.{s}": (x * .122, -.02, .09), f"to.{s}": (x * .135, .17, .035)}
BONES = [("hips", "hips", "spine", None), ("spine", "spine", "chest", "hips"), ("chest", "chest", "neck", "spine"), ("head", "neck", "top", "chest")]
for s in "LR": BONES += [(f"upper_arm.{s}", f"sh.{s}", f"el.{s}", "chest"), (f"forearm.{s}", f"el.{s}", f"wr.{s}", f"upper_arm.{s}"), (f"hand.{s}", f"wr.{s}", f"ha.{s}", f"forearm.{s}"), (f"thigh.{s}", f"hp.{s}", f"kn.{s}", "hips"), (f"shin.{s}", f"kn.{s}", f"an.{s}", f"thigh.{s}"), (f"foot.{s}", f"an.{s}", f"to.{s}", f"shin.{s}")]
def blend(x, a, b): t = max(0.0, min(1.0, (x - a) / (b - a))); return t * t * (3 - 2 * t)
class Piece(Part):
    """A part of the worker that is shown or hidden by itself; every corner of it knows the bones that carry it."""
    def bones(s, of):
        """What was added since the last call is carried by of(place) -> {bone: share}."""
        s.bm.verts.ensure_lookup_table()
        for v in s.bm.verts[getattr(s, "n", 0):]: s.carried.append(of(v.co))
        s.n = len(s.bm.verts)
    def __init__(s, name): super().__init__(name); s.carried = []; s.n = 0
    def fasten(s, R, rig):
        bmesh.ops.triangulate(s.bm, faces=[f for f in s.bm.faces if len(f.verts) > 3]); me = bpy.data.meshes.new(s.name); s.bm.to_mesh(me); s.bm.free()
        for m in s.mats: me.materials.append(material(m))
        me.set_sharp_from_angle(angle=rad(48)); o = bpy.data.objects.new(s.name, me); bpy.context.scene.collection.objects.link(o); o.parent = rig; o.modifiers.new("arm", "ARMATURE").object = rig; G = {}
        for i, w in enumerate(s.carried):
            tot = sum(w.values())
            for n, k in w.items():
                if k > 1e-3: G.setdefault(n, o.vertex_groups.get(n) or o.vertex_groups.new(name=n)).add([i], k / tot, "REPLACE")
        return o
def trunk(c):
    return {"hips": 1 - blend(c.z, .98, 1.16), "spine": blend(c.z, .98, 1.16) * (1 - blend(c.z, 1.18, 1.34)), "chest": blend(c.z, 1.18, 1.34) * (1 - blend(c.z, 1.50, 1.58)), "head": blend(c.z, 1.50, 1.58)}
def along(c, a, b): a, d = Vector(J[a]), Vector(J[b]) - Vector(J[a]); return (c - a).dot(d) / d.length_squared
def arm_of(s):
    def of(c):
        u, f = along(c, f"sh.{s}", f"el.{s}"), along(c, f"el.{s}", f"wr.{s}"); k, e, h = blend(u, -.22, .22), blend(f, -.16, .16), blend(f, .90, 1.06)
        return {"chest": 1 - k, f"upper_arm.{s}": k * (1 - e), f"forearm.{s}": k * e * (1 - h), f"hand.{s}": k * e * h}
    return of
def leg_of(s):
    def of(c): t, k, f = blend(-c.z, -.99, -.83), blend(-c.z, -.60, -.44), blend(-c.z, -.14, -.07); return {"hips": 1 - t, f"thigh.{s}": t * (1 - k), f"shin.{s}": t * k * (1 - f), f"foot.{s}": t * k * f}
    return of
def rigid(n): return lambda c: {n: 1.0}

def oval(c, wx, wy, e, n, fold=0.0, seed=0.0, z=None):
    """A level ring about c, squarer with a greater e, uneven by folds."""
    r = []
    for j in range(n):
        a = 2 * pi * j / n; k = 1 + fold * (.6 * sin(3 * a + 47 * c[2] + seed) + .4 * sin(5 * a - 31 * c[2] + 2 * seed)); r.append(Vector((c[0] + k * wx * math.copysign(abs(cos(a)) ** (2 / e), cos(a)), c[1] + k * wy * math.copysign(abs(sin(a)) ** (2 / e), sin(a)), c[2])))
    return r
def pipe_skin(p, path, radius, mats, pick, n, fold, seed, cap=(False, False)):
    """A sleeve or a leg of cloth along a path: radius(share) and folds, more of them where it bends."""
    P = [Vector(q) for q in path]; L = [0.0]
    for a, b in zip(P, P[1:]): L.append(L[-1] + (b - a).length)
    rings = []; u = Vector((1, 0, 0))
    for i, q in enumerate(P):
        t = (P[min(i + 1, len(P) - 1)] - P[max(i - 1, 0)]).normalized(); u = (u - t * u.dot(t)).normalized(); w = t.cross(u); s = L[i] / L[-1]; r = []
        for j in range(n):
            a = 2 * pi * j / n; k = radius(s) + fold * (.55 * sin(41 * s + 2.2 * sin(a + seed)) + .45 * sin(23 * s + 1.8 * sin(2 * a + seed) + seed)) * (.45 + .9 * math.exp(-((s - .5) / .16) ** 2)); r.append(q + (u * cos(a) + w * sin(a)) * k)
        rings.append(r)
    skin(p, rings, mats, pick, cap)
def lerp_path(pts, n):
    P = spline(pts, 8); L = [0.0]
    for a, b in zip(P, P[1:]): L.append(L[-1] + (b - a).length)
    out = []
    for i in range(n + 1):
        t = L[-1] * i / n; k = min(range(1, len(L)), key=lambda q: (L[q] < t, L[q])); a, b = L[k - 1], L[k]; out.append(P[k - 1].lerp(P[k], (t - a) / (b - a) if b > a else 0))
    return out

def cloth(p, m, dark, reflect, swell, fold, radio):
    """Jacket and trousers; the waterproof suit is a wider cut of what is worn under it."""
    n = 26 if DETAIL == 1 else 14; Z = [(.845, .196, .142), (.862, .200, .146), (.90, .198, .146), (.95, .194, .143), (1.00, .188, .139), (1.05, .184, .135), (1.075, .183, .134), (1.13, .183, .135), (1.19, .188, .138), (1.25, .195, .141), (1.31, .203, .143), (1.37, .203, .138), (1.41, .190, .128), (1.445, .158, .112), (1.475, .118, .094), (1.50, .090, .082)]
    if DETAIL < 1: Z = Z[1::2] + [Z[-1]] if Z[-1] not in Z[1::2] else Z[1::2]
    skin(p, [oval((0, -.008, z), wx + swell, wy + swell, 2.5, n, fold * (1 if z < 1.40 else .3), 1.0) for z, wx, wy in Z], (m, reflect), (lambda c, nn: 1 if reflect and 1.075 < c.z < 1.13 else 0), (False, False))
    skin(p, [oval((0, .002, z), w, w * .98, 2.1, n) for z, w in ((1.485, .092), (1.51, .080), (1.545, .077 + swell * .5), (1.552, .074 + swell * .5), (1.53, .068))], (dark or m,), None, (False, False)); p.bones(trunk)
    if radio:      # flap over the zip, pockets, and the radio on the left breast
        worm(p, [Vector((0, .132 + swell + .012 * (z < 1.3) - (.055 * max(0, z - 1.36) / .12), z)) for z in np.linspace(.875, 1.47, 9)], lambda t: .017, (m,), None, 8, Matrix.Identity(4), .42); p.bones(trunk)
        for x in (-.105, .105): p.box((.105, .014, .115), Matrix.Translation((x, .131 + swell, .945)) @ Matrix.Rotation(rad(-14 if x > 0 else 14), 4, "Z"), m, .005); p.box((.110, .017, .036), Matrix.Translation((x, .133 + swell, .995)) @ Matrix.Rotation(rad(-14 if x > 0 else 14), 4, "Z"), m, .005)
        p.box((.052, .026, .094), Matrix.Translation((-.098, .136 + swell, 1.335)) @ Matrix.Rotation(rad(14), 4, "Z"), "m_dark", .006); p.cyl(.0055, .085, at((-.115, .135 + swell, 1.38)), "m_dark", 8, .001); p.box((.030, .006, .034), Matrix.Translation((-.095, .151 + swell, 1.345)) @ Matrix.Rotation(rad(14), 4, "Z"), "m_zinc", .002); p.bones(trunk)
    k = 15 if DETAIL == 1 else 7; na = 14 if DETAIL == 1 else 8; z0 = .13 if m != "m_cloth" else .105
    for s, x in (("L", -1), ("R", 1)):
        arm = lerp_path([(x * .085, -.008, 1.425), (x * .150, -.010, 1.438), Vector(J[f"sh.{s}"]) + Vector((x * .012, 0, -.006)), Vector(J[f"sh.{s}"]).lerp(Vector(J[f"el.{s}"]), .5) + Vector((x * .012, 0, 0)), J[f"el.{s}"], Vector(J[f"el.{s}"]).lerp(Vector(J[f"wr.{s}"]), .55), Vector(J[f"wr.{s}"]).lerp(Vector(J[f"el.{s}"]), .10)], k)
        pipe_skin(p, arm, lambda t: (.082 - .012 * blend(t, .12, .42) - .016 * blend(t, .45, 1.0)) * 1.0 + swell * .8, (m, reflect), (lambda c, nn, s=s: 1 if reflect and .40 < along(c, f"sh.{s}", f"el.{s}") < .58 and c.z > 1.1 else 0), na, fold * .075, 2.0 + x, (True, True)); p.bones(arm_of(s))
        leg = lerp_path([(x * .088, -.004, .99), (x * .098, 0, .90), (x * .106, .008, .70), J[f"kn.{s}"], (x * .117, -.004, .34), (x * .121, -.020, z0)], k)
        pipe_skin(p, leg, lambda t: .108 - .022 * blend(t, .1, .5) - .018 * blend(t, .55, 1) + swell * .6, (m, reflect), (lambda c, nn: 1 if reflect and .585 < c.z < .65 else 0), na + 2, fold * .085, x, (True, True)); p.bones(leg_of(s))

def hands(p, mats, pads, cuff):
    for s, x in (("L", -1), ("R", 1)):
        w, d = Vector(J[f"wr.{s}"]), (Vector(J[f"ha.{s}"]) - Vector(J[f"wr.{s}"])); wr, dr = Vector((abs(w.x), w.y, w.z)), Vector((abs(d.x), d.y, d.z)).normalized(); z = (Vector((1, 0, .1)) - dr * dr.dot(Vector((1, 0, .1)))).normalized(); X = dr.cross(z); M = Matrix((X, dr, z)).transposed().to_4x4(); M.translation = wr - M.to_3x3() @ Vector(RELAX["wrist"])
        M = Matrix.Diagonal((x, 1, 1, 1)) @ M; glove(p, RELAX, M, mats, False, .62 if DETAIL == 1 else .9); p.bones(rigid(f"hand.{s}"))
        if cuff: e = Vector(J[f"el.{s}"]); path = [w.lerp(e, t) for t in (-.10, .0, .10, .24, .38, .40)]; pipe_skin(p, path, lambda t: .036 + .030 * t, (mats[0], "m_glove_cuff"), (lambda c, nn, s=s: 1 if along(c, f"el.{s}", f"wr.{s}") < .84 else 0), 14 if DETAIL == 1 else 8, 0, 0); p.bones(arm_of(s))
        else: pipe_skin(p, [w.lerp(Vector(J[f"el.{s}"]), t) for t in (-.08, .1, .3)], lambda t: .029 + .008 * t, (mats[0],), None, 10, 0, 0); p.bones(arm_of(s))

def feet(p, boot):
    n = 16 if DETAIL == 1 else 10
    for s, x in (("L", -1), ("R", 1)):
        M = Matrix.Translation((x * .122, -.02, 0)) @ Matrix.Rotation(rad(-6 * x), 4, "Z"); g = 1.0 if boot else .90; top = "m_boot" if boot else "m_dark"
        def foot(scale, low, high): return [[Vector((w * scale * math.copysign(abs(cos(a)) ** .8, cos(a)), y, low + max(0, min(h, high) - low) * .5 * (1 + math.copysign(abs(sin(a)) ** .8, sin(a))))) for a in (2 * pi * j / n for j in range(n))] for y, w, h in ((-.092, .018, .07), (-.078, .040, .11), (-.03, .046, .145), (.02, .046, .140), (.06, .048, .115), (.11, .053, .088), (.155, .052, .078), (.190, .042, .066), (.208, .020, .048))]
        skin(p, foot(g, .018, 9), (top,), None, (True, True), M); skin(p, foot(g * 1.10, 0, .026), ("m_dark",), None, (True, True), M)
        if boot:
            skin(p, [[Vector((.0 + r * cos(a), -.028 + y + r * 1.02 * sin(a), z)) for a in (2 * pi * j / n for j in range(n))] for z, r, y in ((.08, .060, .004), (.13, .064, 0), (.20, .070, 0), (.28, .080, .004), (.345, .085, .008), (.352, .088, .008), (.362, .088, .008), (.364, .080, .008), (.32, .076, .006))], ("m_boot",), None, (False, False), M)
            p.lathe([(.078, .15), (.090, .23), (.097, .34), (.093, .345), (.084, .23), (.074, .15)], M @ Matrix.Translation((0, -.024, 0)) @ Matrix.Rotation(rad(32), 4, "Z"), "m_paint_frame", 10, sweep=116); p.box((.082, .105, .014), M @ Matrix.Translation((0, .075, .124)) @ Matrix.Rotation(rad(-24), 4, "X"), "m_paint_frame", .006, 2, (.9, .95))
        p.bones(leg_of(s))

def face(p):
    """Head and neck: level rings, with nose, brow, sockets, mouth and chin pressed into the front."""
    O = Vector((0, .02, 1.645)); n = 34 if DETAIL == 1 else 18; Z = [(-.128, .030, .045, .030), (-.116, .052, .074, .048), (-.102, .060, .086, .058), (-.088, .065, .0895, .066), (-.077, .068, .0900, .071), (-.068, .0695, .0900, .075), (-.058, .071, .0900, .078), (-.046, .0725, .0900, .083), (-.036, .0735, .0900, .086), (-.026, .0745, .0905, .089), (-.014, .0755, .0910, .092), (-.003, .0762, .0915, .095), (.008, .0768, .0920, .097), (.020, .0772, .0930, .098), (.034, .0775, .0940, .099), (.055, .0765, .0930, .099), (.080, .0720, .0860, .094), (.102, .0600, .0710, .080), (.118, .0420, .0500, .058), (.127, .0200, .0240, .030)]
    if DETAIL < 1: Z = Z[::2] + [Z[-1]]
    g = lambda x, s: math.exp(-(x / s) ** 2)
    def press(x, z): return .027 * g(x, .0115) * g(z + .034, .013) + .017 * g(x, .0095) * g(z + .008, .024) + .006 * g(abs(x) - .030, .022) * g(z - .024, .010) - .0105 * g(abs(x) - .031, .014) * g(z - .005, .011) + .0045 * g(x, .022) * (g(z + .062, .005) + g(z + .075, .005)) - .0035 * g(x, .024) * g(z + .0685, .0032) + .007 * g(x, .020) * g(z + .102, .014) + .004 * g(abs(x) - .046, .018) * g(z + .026, .018) - .004 * g(abs(x) - .05, .016) * g(z + .07, .02)
    rings = []
    for z, w, f, b in Z:
        r = []
        for j in range(n):
            q = 2 * pi * j / n; a = q - .42 * sin(2 * q) * (1 if sin(q) > 0 else .0) * .9 if False else q + .30 * cos(q) * max(0, sin(q)); x, s = cos(a), sin(a); px, py = w * math.copysign(abs(x) ** .92, x), (f if s > 0 else b) * math.copysign(abs(s) ** .86, s)
            r.append(O + Vector((px, py + (press(px, z) if s > .15 else 0), z)))
        rings.append(r)
    skin(p, rings, ("m_skin",), None, (True, True)); p.bones(rigid("head"))
    skin(p, [oval((0, y, z), w, w * 1.02, 2, 14) for z, w, y in ((1.44, .078, -.004), (1.49, .062, 0), (1.54, .058, .006), (1.575, .058, .012))], ("m_skin",), None, (False, False)); p.bones(lambda c: {"chest": 1 - blend(c.z, 1.49, 1.56), "head": blend(c.z, 1.49, 1.56)})
    for s in (-1, 1):
        E = Matrix.Translation(O + Vector((s * .031, .0775, .005))); p.lathe([(0, -.0115), (.0081, -.0081), (.0115, 0), (.0081, .0081), (0, .0115)], E @ AX["y"], "m_eye", 10); p.cyl(.0052, .0016, E @ Matrix.Translation((0, .0103, 0)) @ AX["y"], "m_dark", 10, 0)
        worm(p, [O + Vector((s * t, .0935 - .012 * ((t - .014) / .032) ** 2, .0235 + .0035 * (t - .014) / .032)) for t in (.014, .024, .034, .045)], lambda t: .0042 - .0014 * t, ("m_hair",), None, 6, Matrix.Identity(4), .6)
        worm(p, [O + Vector((s * (.077 + .004 * k), -.012 - .010 * sin(k * 1.4), -.030 + .022 * k)) for k in range(3)], lambda t: .0095 + .004 * t, ("m_skin",), None, 8, Matrix.Identity(4), .8)
    worm(p, [O + Vector((x, .0925 - 14 * x * x, -.0688)) for x in (-.021, -.01, 0, .01, .021)], lambda t: .0016 + .0012 * sin(pi * t), ("m_lip",), None, 6, Matrix.Identity(4), .8); p.bones(rigid("head"))
def hair(p):
    O = Vector((0, .02, 1.645)); n = 22 if DETAIL == 1 else 12
    def ring(z, w, f, b, drop): return [O + Vector((w * cos(a), (f if sin(a) > 0 else b) * sin(a), z - drop * max(0, -sin(a)) + .012 * max(0, sin(a)))) for a in (2 * pi * j / n for j in range(n))]
    skin(p, [ring(.036, .080, .092, .104, .085), ring(.062, .083, .100, .108, .06), ring(.092, .075, .091, .100, .03), ring(.116, .054, .066, .074, .01), ring(.136, .022, .028, .032, 0)], ("m_hair",), None, (False, True)); p.bones(rigid("head"))

def helmet(p):
    hx, hy, hz = 0, .02, 1.645; H = Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1))
    p.lathe([(.112, .035), (.120, .035), (.121, .06), (.113, .115), (.085, .155), (.04, .175), (0, .178)], H, "m_helmet", 24, .004); p.lathe([(.110, .045), (.150, .030), (.152, .036), (.112, .055)], H @ Matrix.Rotation(rad(35), 4, "Z"), "m_helmet", 12, sweep=110); p.torus(.118, .006, H @ Matrix.Translation((0, 0, .038)), "m_helmet", 24, 6)
    for dx in (-.035, 0, .035): p.tube([(hx + dx, hy - .11, hz + .10), (hx + dx, hy - .05, hz + .165), (hx + dx, hy + .05, hz + .168), (hx + dx, hy + .115, hz + .10)], .008, "m_helmet", .05, 6, 3)
    for s in (-1, 1): p.tube([(s * .100, hy - .02, hz + .04), (s * .084, hy + .03, hz - .07), (s * .030, hy + .075, hz - .128), (0, hy + .078, hz - .133)], .0028, "m_dark", .04, 5, 3)
    p.bones(rigid("head"))
def visor(p):
    hx, hy, hz = 0, .02, 1.645; H = Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1)); p.lathe([(.128, -.135), (.136, -.02), (.131, .045)], H @ Matrix.Rotation(rad(12), 4, "Z"), "m_visor", 16, sweep=156)
    for z, r in ((.05, .137), (-.134, .1295)): p.tube([(hx + r * cos(a) * .92, hy + r * sin(a) * 1.12, hz + z) for a in np.linspace(rad(10), rad(170), 12)], .005 if z < 0 else .008, "m_paint_dark", 0, 6)
    for s in (-1, 1): p.cyl(.018, .016, at((s * .112, hy + .028, hz + .045), "x" if s > 0 else "-x"), "m_paint_dark", 12, .003)
    p.bones(rigid("head"))
def defenders(p):
    hx, hy, hz = 0, .02, 1.645
    for s in (-1, 1): p.lathe([(0, 0), (.040, 0), (.042, .012), (.034, .034), (0, .038)], at((s * .080, hy - .012, hz - .018), "x" if s > 0 else "-x") @ Matrix.Diagonal((1.15, 1, 1, 1)), "m_paint_accent", 18, .004); p.torus(.036, .008, at((s * .078, hy - .012, hz - .018), "x"), "m_dark", 16, 6); p.tube([(s * .112, hy - .012, hz), (s * .122, hy - .005, hz + .05)], .005, "m_dark", 0, 6)
    p.bones(rigid("head"))

# What is worn, and what is seen where it is not: ppe_x and bare_x are never shown together.
PIECES = [("body", face), ("bare_helmet", hair), ("bare_suit", lambda p: cloth(p, "m_cloth", None, None, -.012, .014, False)), ("bare_gloves", lambda p: hands(p, ("m_skin", "m_skin"), False, False)), ("bare_boots", lambda p: feet(p, False)),
          ("ppe_helmet", helmet), ("ppe_visor", visor), ("ppe_ear_defenders", defenders), ("ppe_gloves", lambda p: hands(p, ("m_glove", "m_glove_grip"), False, True)), ("ppe_suit", lambda p: cloth(p, "m_suit", "m_suit_dark", "m_reflect", .010, .030, True)), ("ppe_boots", lambda p: feet(p, True))]
def build_worker():
    R = root("worker", kind="worker", height_m=1.84); A = bpy.data.armatures.new("rig"); rig = bpy.data.objects.new("rig", A); bpy.context.scene.collection.objects.link(rig); rig.parent = R; bpy.context.view_layer.objects.active = rig; bpy.ops.object.mode_set(mode="EDIT")
    for n, h, t, q in BONES:
        e = A.edit_bones.new(n); e.head, e.tail = J[h], J[t]
        if q: e.parent = A.edit_bones[q]
    bpy.ops.object.mode_set(mode="OBJECT"); objs = {}
    for name, make in PIECES: p = Piece(name); make(p); objs[name] = p.fasten(R, rig)
    # poses by IK targets, then baked to plain rotations
    def pose(name, hands=None, rots=None, frame=1, turn=None):
        for pb in rig.pose.bones: pb.matrix_basis = Matrix.Identity(4)
        for n, e in (rots or {}).items(): rig.pose.bones[n].rotation_mode = "QUATERNION"; M0 = rig.pose.bones[n].bone.matrix_local.to_3x3(); rig.pose.bones[n].matrix_basis = (M0.inverted() @ Euler([rad(q) for q in e]).to_matrix() @ M0).to_4x4()
        tmp = []
        for s, tgt in (hands or {}).items():
            e = empty("ik", None, Matrix.Translation(tgt)); c = rig.pose.bones[f"forearm.{s}"].constraints.new("IK"); c.target = e; c.chain_count = 2; tmp += [(rig.pose.bones[f"forearm.{s}"], c, e)]
        bpy.context.view_layer.update(); Ms = {pb.name: pb.matrix.copy() for pb in rig.pose.bones}
        for pb, c, e in tmp: pb.constraints.remove(c); bpy.data.objects.remove(e)
        dg = bpy.context.evaluated_depsgraph_get(); dz = 9.0      # stands, or lies, on the ground
        for o in (objs["ppe_boots"], objs["ppe_suit"], objs["ppe_helmet"], objs["ppe_gloves"]): ev = o.evaluated_get(dg); mm = ev.to_mesh(); dz = min(dz, min(v.co.z for v in mm.vertices)); ev.to_mesh_clear()
        for k_ in Ms: Ms[k_] = Matrix.Translation((0, 0, -dz)) @ Ms[k_]
        rig.animation_data_create()
        if frame == 1: rig.animation_data.action = bpy.data.actions.new(name)
        for n, *_ in BONES:
            pb = rig.pose.bones[n]; pb.rotation_mode = "QUATERNION"; pb.matrix = Ms[n]; bpy.context.view_layer.update(); pb.keyframe_insert("rotation_quaternion", frame=frame)
            if n == "hips": pb.keyframe_insert("location", frame=frame)
    pose("stand", rots={"upper_arm.L": (4, -7, 0), "upper_arm.R": (4, 7, 0), "forearm.L": (10, 0, 0), "forearm.R": (10, 0, 0), "thigh.L": (2, 0, 0), "shin.L": (-4, 0, 0)})
    # one walking pace of each foot in 24 frames; the left foot strikes at 1, the right one at 13
    T, S, F = (25, 17, 4, -9, -21, -9, 14, 27), (-4, -15, -8, -4, -14, -50, -56, -20), (7, -1, 2, 6, -8, -16, 2, 8)
    for k in range(9):
        l, r = k % 8, (k + 4) % 8; w = cos(2 * pi * k / 8)
        pose("walk", frame=1 + 3 * k, rots={"thigh.L": (T[l], 0, 0), "shin.L": (S[l], 0, 0), "foot.L": (F[l], 0, 0), "thigh.R": (T[r], 0, 0), "shin.R": (S[r], 0, 0), "foot.R": (F[r], 0, 0), "spine": (2, 0, -3 * w), "chest": (2, 0, 7 * w), "head": (-3, 0, -4 * w), "upper_arm.L": (-19 * w + 2, -5, 0), "upper_arm.R": (19 * w + 2, 5, 0), "forearm.L": (16 - 9 * w, 0, 0), "forearm.R": (16 + 9 * w, 0, 0)})
    pose("stop_signal", hands={"R": (.44, .16, 1.86), "L": (-.36, .06, .93)}, rots={"head": (0, 0, -10), "chest": (-3, 0, 0), "hand.R": (-30, 0, 0)})
    pose("lance_hold", hands={"R": (.18, .12, 1.10), "L": (-.02, .44, 1.13)}, rots={"chest": (10, 0, -16), "spine": (6, 0, -6), "head": (-12, 0, 16), "thigh.L": (26, 0, 0), "shin.L": (-24, 0, 0), "thigh.R": (-18, 0, 0), "shin.R": (-12, 0, 0), "foot.R": (16, 0, 0)})
    pose("hold_control", hands={"R": (.16, .47, 1.13), "L": (-.35, .08, .93)}, rots={"chest": (6, 0, 6), "spine": (3, 0, 0), "head": (-6, 0, -4)})
    pose("radio", hands={"L": (-.105, .165, 1.23), "R": (.36, .05, .92)}, rots={"head": (-6, 0, 16), "chest": (0, 0, 2)})
    pose("fallen", hands={"R": (.50, -.05, 1.50), "L": (-.44, .10, 1.12)}, rots={"hips": (88, 0, 0), "thigh.R": (34, 0, 0), "shin.R": (-52, 0, 0), "thigh.L": (8, 0, 8), "shin.L": (-10, 0, 0), "head": (8, 0, 18)})
    empty("at_label", R, Matrix.Translation((0, 0, 1.95)))
    return R

# ------------------------------------------------------------------ one's own arms, as the eyes see them
def build_arms(name="arms", pose=GRIP, elbow=(.024, -.50, -.030)):
    R = root(name, kind="arms", bar_radius_m=.016)
    for node, side in (("arm_r", 1), ("arm_l", -1)):
        M = Matrix.Diagonal((side, 1, 1, 1)); p = Part(node); glove(p, pose, M); sleeve(p, pose, elbow, M, seed=0.0 if side > 0 else 2.0)
        p.done(R, Matrix.Translation((side * .16, 0, 0)), {"role": "arm"})
    return R
def build_arms_reach(): return build_arms("arms_reach", REACH, (.03, -.60, -.09))

BUILD = {"worker": build_worker, "arms": build_arms, "arms_reach": build_arms_reach}
def show(action, frame=1, bare=False):
    """For the picture only."""
    def go():
        rig = bpy.data.objects["rig"]; rig.animation_data.action = bpy.data.actions[action]; bpy.context.scene.frame_set(frame)
        for o in bpy.data.objects: o.hide_render = o.name.startswith("ppe_" if bare else "bare_")
    return go
LOOKS = {"worker": [((1.3, 2.7, 1.5), (.05, .1, .95), 36, 0, show("lance_hold")), ((1.7, 2.4, 1.5), (.0, .1, .95), 36, 0, show("walk", 4)), ((.32, .85, 1.68), (.0, .02, 1.60), 48, 0, show("stop_signal")), ((.30, .80, 1.66), (.0, .02, 1.60), 48, 0, show("stand", 1, True))], "arms": [((.10, -.46, .30), (.02, -.04, .0), 34, -.3), ((.55, .35, .15), (.10, -.08, .0), 40, -.3)], "arms_reach": [((.10, -.52, .30), (.02, -.08, .02), 34, -.3), ((.45, .35, .10), (.10, -.08, .0), 40, -.3)]}
