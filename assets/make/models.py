"""Builds every model of the game from numbers (bpy 5.0, headless) and exports .glb.
usage: python models.py OUT_DIR TEX_DIR [pump lance coupling head worker ...] [--tex] [--still]
Conventions: metres; Blender Z up -> glTF +Y up. Machine operator side = Blender -Y = glTF +Z.
Hand tools point along Blender +Y = glTF -Z (Bevy "forward").
MOVING NODES: own mesh, origin on the pivot, axis = Blender local +Z = glTF local +Y. One rule for all of them.
ATTACHMENTS: empties named at_*; their local +Z (glTF +Y) points OUT of the fitting."""
import bpy, bmesh, sys, time, math, json, os, struct
import numpy as np
from mathutils import Vector, Matrix, Euler
from mathutils.bvhtree import BVHTree
from math import radians as rad, pi, sin, cos

DETAIL = 0.5 if "--lod1" in sys.argv else 1.0      # parametric level of detail: fewer segments, single bevel, no bolts
ARGS = sys.argv[1:]; OUT, TEX = ARGS[0], ARGS[1]
WANT = [a for a in ARGS[2:] if not a.startswith("--")]; USE_TEX = "--tex" in ARGS; STILL = "--still" in ARGS

# ------------------------------------------------------------------ materials (names = contract with the game)
# name: (base rgb linear, metallic, roughness, texture set, extra)
def srgb(h):
    c = [int(h[i:i + 2], 16) / 255 for i in (0, 2, 4)]; return tuple(((x + .055) / 1.055) ** 2.4 if x > .04045 else x / 12.92 for x in c)
MATS = {
    "m_paint_frame":  (srgb("2f4a52"), 0, .45, "paint"),   "m_paint_body": (srgb("97a3a3"), 0, .42, "paint"),
    "m_paint_accent": (srgb("d8562a"), 0, .42, "paint"),   "m_paint_dark": (srgb("2b2e31"), 0, .55, "paint"),
    "m_guard":        (srgb("f0b51e"), 0, .45, "paint"),   "m_steel":      (srgb("c9cbcc"), 1, .34, "steel"),
    "m_steel_hot":    (srgb("8a6f5c"), 1, .55, "steel"),   "m_brass":      (srgb("d9b25f"), 1, .28, "steel"),
    "m_rubber":       (srgb("26282a"), 0, .80, "rubber"),  "m_tread":      (srgb("cfd1d2"), .85, .5, "tread"),
    "m_glass":        ((.85, .93, .95), 0, .06, None, dict(alpha=.18)),
    "m_plastic":      (srgb("dfe6ea"), 0, .35, None, dict(alpha=.86)),
    "m_decal":        ((1, 1, 1), 0, .40, "DECAL"),        "m_red":        (srgb("c4161c"), 0, .35, None),
    "m_lamp":         (srgb("ff9a1f"), 0, .25, None, dict(emit=1.5)),
    "m_suit":         (srgb("e0662a"), 0, .62, None),      "m_suit_dark":  (srgb("2c3238"), 0, .70, None),
    "m_skin":         (srgb("c58c6a"), 0, .60, None),      "m_reflect":    (srgb("d8dcd8"), 0, .30, None, dict(emit=.08)),
    "m_visor":        ((.75, .85, .80), 0, .05, None, dict(alpha=.30)), "m_helmet": (srgb("f2f2ee"), 0, .30, None),
}
def material(name):
    m = bpy.data.materials.get(name)
    if m: return m
    base, met, rough, tex, *x = MATS[name]; x = x[0] if x else {}
    m = bpy.data.materials.new(name); m.use_nodes = True; nt = m.node_tree; b = nt.nodes["Principled BSDF"]
    b.inputs["Base Color"].default_value = (*base, 1); b.inputs["Metallic"].default_value = met; b.inputs["Roughness"].default_value = rough
    if "alpha" in x: b.inputs["Alpha"].default_value = x["alpha"]; m.surface_render_method = "BLENDED"
    if "emit" in x: b.inputs["Emission Color"].default_value = (*base, 1); b.inputs["Emission Strength"].default_value = x["emit"]
    m.use_backface_culling = True
    def img(f, cs):
        n = nt.nodes.new("ShaderNodeTexImage"); n.image = bpy.data.images.load(os.path.join(TEX, f), check_existing=True); n.image.colorspace_settings.name = cs; return n
    if tex == "DECAL": nt.links.new(img("decals.png", "sRGB").outputs[0], b.inputs["Base Color"])
    elif tex and USE_TEX:
        mul = nt.nodes.new("ShaderNodeMix"); mul.data_type = "RGBA"; mul.blend_type = "MULTIPLY"; mul.inputs[0].default_value = 1
        nt.links.new(img(tex + "_a.png", "sRGB").outputs[0], mul.inputs[6]); mul.inputs[7].default_value = (*base, 1); nt.links.new(mul.outputs[2], b.inputs["Base Color"])
        s = nt.nodes.new("ShaderNodeSeparateColor"); nt.links.new(img(tex + "_orm.png", "Non-Color").outputs[0], s.inputs[0])
        nt.links.new(s.outputs[1], b.inputs["Roughness"]); nt.links.new(s.outputs[2], b.inputs["Metallic"])
        nm = nt.nodes.new("ShaderNodeNormalMap"); nm.inputs[0].default_value = .6; nt.links.new(img(tex + "_n.png", "Non-Color").outputs[0], nm.inputs[1]); nt.links.new(nm.outputs[0], b.inputs["Normal"])
    return m

# ------------------------------------------------------------------ geometry kit
def uvl(b): return b.loops.layers.uv.get("UVMap") or b.loops.layers.uv.new("UVMap")   # names must match or from_mesh drops the UVs
def fillet(pts, r, n=3, closed=False):
    """round the corners of a polyline (2D or 3D tuples)"""
    P = [Vector(p) for p in pts]; out = []; N = len(P)
    for i, p in enumerate(P):
        if not closed and i in (0, N - 1): out.append(p); continue
        a, b = P[i - 1] - p, P[(i + 1) % N] - p; la, lb = a.length, b.length
        if la < 1e-6 or lb < 1e-6: continue
        ang = a.angle(b)
        if ang > pi - .02 or r <= 0: out.append(p); continue
        t = min(r / math.tan(ang / 2), la * .48, lb * .48); p0, p1 = p + a * (t / la), p + b * (t / lb)
        for k in range(n + 1):
            s = k / n; out.append(p0 * (1 - s) ** 2 + p * 2 * s * (1 - s) + p1 * s * s)
    return out
AX = {"x": Matrix.Rotation(rad(90), 4, "Y"), "-x": Matrix.Rotation(rad(-90), 4, "Y"), "y": Matrix.Rotation(rad(-90), 4, "X"), "-y": Matrix.Rotation(rad(90), 4, "X"), "z": Matrix.Identity(4), "-z": Matrix.Rotation(pi, 4, "X")}
def at(loc=(0, 0, 0), axis="z", spin=0): return Matrix.Translation(loc) @ AX[axis] @ Matrix.Rotation(rad(spin), 4, "Z")

class Part:
    """one node; primitives are merged into it. Every face has metric UVs (1 unit = 1 m)."""
    def __init__(s, name): s.name = name; s.bm = bmesh.new(); s.uv = s.bm.loops.layers.uv.new("UVMap"); s.mats = []
    def _mi(s, m):
        if m not in s.mats: s.mats.append(m)
        return s.mats.index(m)
    def _merge(s, b, mat, M, uv="box"):
        l = uvl(b)
        if uv == "box":
            for f in b.faces:
                n = f.normal; k = max(range(3), key=lambda i: abs(n[i]))
                for lp in f.loops:
                    c = lp.vert.co; lp[l].uv = ((c.y, c.z), (c.x, c.z), (c.x, c.y))[k]
        i = s._mi(mat)
        for f in b.faces: f.material_index = i; f.smooth = True
        b.transform(M); me = bpy.data.meshes.new("t"); b.to_mesh(me); b.free()
        if M.determinant() < 0: me.flip_normals()
        s.bm.from_mesh(me); bpy.data.meshes.remove(me)
    def _bevel(s, b, w, seg, ang=35):
        if w <= 0: return
        if DETAIL < 1: seg = 1
        if DETAIL < 1 and w < .005: return
        e = [e for e in b.edges if len(e.link_faces) == 2 and e.calc_face_angle(0) > rad(ang)]
        bmesh.ops.bevel(b, geom=e, offset=w, segments=seg, profile=.6, affect="EDGES", clamp_overlap=True)
        bmesh.ops.recalc_face_normals(b, faces=b.faces)
    def box(s, size, M, mat, bev=.006, seg=2, taper=(1, 1)):
        b = bmesh.new(); bmesh.ops.create_cube(b, size=1)
        for v in b.verts:
            t = v.co.z + .5; v.co = Vector((v.co.x * size[0] * (1 + (taper[0] - 1) * t), v.co.y * size[1] * (1 + (taper[1] - 1) * t), v.co.z * size[2]))
        s._bevel(b, bev, seg); s._merge(b, mat, M)
    def prism(s, poly, depth, M, mat, bev=.006, seg=2):
        """extrude a closed 2D polygon (local XY) along local Z, centred"""
        b = bmesh.new(); vs = [b.verts.new((p[0], p[1], -depth / 2)) for p in poly]; f = b.faces.new(vs)
        r = bmesh.ops.extrude_face_region(b, geom=[f]); bmesh.ops.translate(b, vec=(0, 0, depth), verts=[g for g in r["geom"] if isinstance(g, bmesh.types.BMVert)])
        bmesh.ops.recalc_face_normals(b, faces=b.faces); s._bevel(b, bev, seg); s._merge(b, mat, M)
    def lathe(s, prof, M, mat, seg=24, bev=0.0, sweep=360, uv=None):
        """profile [(r,z)...] turned about local Z; corners rounded by bev"""
        seg = max(6, int(seg * DETAIL)); P = fillet([(r, z) for r, z in prof], bev, 2 if DETAIL == 1 else 1) if bev and (DETAIL == 1 or bev > .006) else [Vector(p) for p in prof]
        b = bmesh.new(); l = uvl(b); full = sweep == 360; cols = seg if full else seg + 1
        L = [0]
        for i in range(1, len(P)): L.append(L[-1] + (P[i] - P[i - 1]).length)
        rings = [[b.verts.new((p[0] * cos(rad(sweep) * j / seg), p[0] * sin(rad(sweep) * j / seg), p[1])) for j in range(cols)] if p[0] > 1e-5 else [b.verts.new((0, 0, p[1]))] for p in P]
        rm = max(p[0] for p in P); circ = rad(sweep) * rm
        for i in range(len(P) - 1):
            a, c = rings[i], rings[i + 1]
            for j in range(seg):
                j2 = (j + 1) % cols
                if len(a) == 1 and len(c) == 1: continue
                if len(a) == 1: vs, us = [a[0], c[j], c[j2]], [(j + .5, L[i]), (j, L[i + 1]), (j + 1, L[i + 1])]
                elif len(c) == 1: vs, us = [a[j], c[0], a[j2]], [(j, L[i]), (j + .5, L[i + 1]), (j + 1, L[i])]
                else: vs, us = [a[j], c[j], c[j2], a[j2]], [(j, L[i]), (j, L[i + 1]), (j + 1, L[i + 1]), (j + 1, L[i])]
                f = b.faces.new(vs)
                for lp, u in zip(f.loops, us): lp[l].uv = (u[0] / seg * circ, u[1])
        bmesh.ops.recalc_face_normals(b, faces=b.faces)
        if full and P[0][0] < 1e-5 and P[-1][0] < 1e-5 and b.calc_volume(signed=True) < 0: bmesh.ops.reverse_faces(b, faces=b.faces)
        s._merge(b, mat, M, uv="keep")
    def cyl(s, r, h, M, mat, seg=24, bev=.004, r2=None):
        r2 = r if r2 is None else r2; s.lathe([(0, 0), (r, 0), (r2, h), (0, h)], M, mat, seg, bev)
    def ring(s, r, t, h, M, mat, seg=32, bev=.003):
        s.lathe([(r - t, 0), (r, 0), (r, h), (r - t, h), (r - t, 0)], M, mat, seg, bev)
    def torus(s, R, r, M, mat, seg=28, n=8):
        n = max(4, int(n * DETAIL)); s.lathe([(R + r * cos(2 * pi * k / n), r * sin(2 * pi * k / n)) for k in range(n + 1)], M, mat, seg)
    def hexnut(s, af, h, M, mat, bev=.0015):
        b = bmesh.new(); r = af / 3 ** .5; bmesh.ops.create_cone(b, cap_ends=True, segments=6, radius1=r, radius2=r, depth=h)
        bmesh.ops.translate(b, vec=(0, 0, h / 2), verts=b.verts); s._bevel(b, bev, 1); s._merge(b, mat, M)
    def bolt(s, d, M, mat="m_steel"):   # cheap: 6-gon prism, no bevel
        if DETAIL < 1: return
        b = bmesh.new(); bmesh.ops.create_cone(b, cap_ends=True, segments=6, radius1=d, radius2=d * .96, depth=d * 1.1)
        bmesh.ops.translate(b, vec=(0, 0, d * .5), verts=b.verts); s._merge(b, mat, M)
    def tube(s, pts, r, mat, bend=.08, n=10, bseg=5, cap=True, M=Matrix.Identity(4), radii=None):
        n = max(3, int(n * DETAIL)); bseg = max(2, int(bseg * DETAIL)); P = fillet(pts, bend, bseg) if bend else [Vector(p) for p in pts]
        b = bmesh.new(); l = uvl(b); rings = []; T = []; L = [0]
        for i in range(len(P)):
            a, c = P[max(i - 1, 0)], P[min(i + 1, len(P) - 1)]; T.append((c - a).normalized())
            if i: L.append(L[-1] + (P[i] - P[i - 1]).length)
        u = T[0].orthogonal().normalized()
        for i, p in enumerate(P):
            u = (u - T[i] * u.dot(T[i])).normalized(); w = T[i].cross(u); rr = radii[i] if radii else r
            rings.append([b.verts.new(p + (u * cos(2 * pi * j / n) + w * sin(2 * pi * j / n)) * rr) for j in range(n)])
        for i in range(len(P) - 1):
            for j in range(n):
                k = (j + 1) % n; f = b.faces.new([rings[i][j], rings[i][k], rings[i + 1][k], rings[i + 1][j]])
                for lp, q in zip(f.loops, [(j, i), (j + 1, i), (j + 1, i + 1), (j, i + 1)]): lp[l].uv = (q[0] / n * 2 * pi * r, L[q[1]])
        if cap: b.faces.new(rings[0][::-1]); b.faces.new(rings[-1])
        bmesh.ops.recalc_face_normals(b, faces=b.faces); s._merge(b, mat, M, uv="keep")
    def quad(s, w, h, M, rect, mat="m_decal"):
        """flat label facing local +Z; rect = x,y,w,h in atlas pixels (1024, y down)"""
        b = bmesh.new(); l = uvl(b); x, y, a, c = [q / 1024 for q in rect]
        f = b.faces.new([b.verts.new(p) for p in ((-w / 2, -h / 2, 0), (w / 2, -h / 2, 0), (w / 2, h / 2, 0), (-w / 2, h / 2, 0))])
        for lp, q in zip(f.loops, ((x, 1 - y - c), (x + a, 1 - y - c), (x + a, 1 - y), (x, 1 - y))): lp[l].uv = q
        s._merge(b, mat, M, uv="keep")
    def disc(s, r, M, rect, seg=28, mat="m_decal"):
        b = bmesh.new(); l = uvl(b); x, y, a, c = [q / 1024 for q in rect]
        vs = [b.verts.new((r * cos(2 * pi * i / seg), r * sin(2 * pi * i / seg), 0)) for i in range(seg)]; f = b.faces.new(vs)
        for lp in f.loops: lp[l].uv = (x + a * (.5 + .46 * lp.vert.co.x / r), 1 - (y + c * (.5 - .46 * lp.vert.co.y / r)))
        s._merge(b, mat, M, uv="keep")
    def mesh_panel(s, w, h, M, mat, pitch=.04, r=.0025, frame=.012):
        """wire guard: crossing square wires + frame (cheap: 3-sided wires, no caps)"""
        for i in range(1, int(w / pitch)): s.tube([(-w / 2 + i * pitch, -h / 2, 0), (-w / 2 + i * pitch, h / 2, 0)], r, mat, 0, 3, cap=False, M=M)
        for i in range(1, int(h / pitch)): s.tube([(-w / 2, -h / 2 + i * pitch, 0), (w / 2, -h / 2 + i * pitch, 0)], r, mat, 0, 3, cap=False, M=M)
        a, b = w / 2, h / 2; s.tube([(-a, -b, 0), (a, -b, 0), (a, b, 0), (-a, b, 0), (-a, -b + .001, 0)], frame, mat, .02, 6, 2, cap=False, M=M)
    def done(s, parent, M=Matrix.Identity(4), extras=None):
        bmesh.ops.remove_doubles(s.bm, verts=s.bm.verts, dist=1e-6); bmesh.ops.triangulate(s.bm, faces=[f for f in s.bm.faces if len(f.verts) > 3])   # tangents need triangles
        me = bpy.data.meshes.new(s.name); s.bm.to_mesh(me); s.bm.free()
        for m in s.mats: me.materials.append(material(m))
        me.set_sharp_from_angle(angle=rad(38)); o = bpy.data.objects.new(s.name, me); bpy.context.scene.collection.objects.link(o)
        o.parent = parent; o.matrix_local = M
        w = o.modifiers.new("wn", "WEIGHTED_NORMAL"); w.keep_sharp = True; w.weight = 80
        for k, v in (extras or {}).items(): o[k] = v
        return o
def empty(name, parent, M, extras=None):
    o = bpy.data.objects.new(name, None); o.empty_display_size = .1; bpy.context.scene.collection.objects.link(o); o.parent = parent; o.matrix_local = M
    for k, v in (extras or {}).items(): o[k] = v
    return o
def root(name, **x):
    o = bpy.data.objects.new(name, None); bpy.context.scene.collection.objects.link(o)
    for k, v in x.items(): o[k] = v
    return o

def bake_vertex_ao(objs, rays=20, dist=.45, floor=True):
    """ambient occlusion into COLOR_0 (multiplies base colour in Bevy): free at run time, no second UV set"""
    vs, fs, off = [], [], 0; deps = bpy.context.evaluated_depsgraph_get()
    for o in objs:
        m = o.data; M = o.matrix_world
        for v in m.vertices: vs.append(M @ v.co)
        fs += [[i + off for i in p.vertices] for p in m.polygons if m.materials[p.material_index].name not in ("m_glass", "m_visor")]; off += len(m.vertices)
    if floor: n = len(vs); vs += [Vector((-9, -9, 0)), Vector((9, -9, 0)), Vector((9, 9, 0)), Vector((-9, 9, 0))]; fs.append([n, n + 1, n + 2, n + 3])
    bvh = BVHTree.FromPolygons(vs, fs); g = (1 + 5 ** .5) / 2
    dirs = [Vector((cos(2 * pi * i / g) * (1 - z * z) ** .5, sin(2 * pi * i / g) * (1 - z * z) ** .5, z)) for i, z in ((i, 1 - 2 * (i + .5) / (rays * 2)) for i in range(rays * 2))]
    for o in objs:
        m = o.data; R = o.matrix_world; N3 = R.to_3x3(); cols = np.ones((len(m.vertices), 4), np.float32)
        for v in m.vertices:
            n = (N3 @ v.normal).normalized(); p = R @ v.co + n * .004; hit = wt = 0.0
            for d in dirs:
                c = d.dot(n)
                if c <= .05: continue
                wt += c; h = bvh.ray_cast(p, d, dist)
                if h[0] is not None: hit += c * (1 - h[3] / dist) ** .7
            a = 1 - .85 * (hit / wt if wt else 0); cols[v.index, :3] = a
        ca = m.color_attributes.new("Color", "FLOAT_COLOR", "POINT"); ca.data.foreach_set("color", cols.ravel()); m.color_attributes.active_color = ca; m.color_attributes.render_color_index = 0

# ------------------------------------------------------------------ shared small parts
def needle(name, parent, M, r, **x):
    p = Part(name); p.prism([(-.035 * r, -.22 * r), (.035 * r, -.22 * r), (.012 * r, .80 * r), (-.012 * r, .80 * r)], .002, at((0, 0, .001), "z", 135), "m_red", 0); p.cyl(.09 * r, .006, at(), "m_paint_dark", 12, .001)
    return p.done(parent, M, x)
def gauge(p, parent, M, r, rect, nm, **x):
    """case faces local +Z; needle at rest (identity) points at value_min; it sweeps -270 degrees about its own +Z (glTF +Y)"""
    p.lathe([(0, -.35 * r), (.96 * r, -.35 * r), (1.0 * r, -.30 * r), (1.0 * r, .10 * r), (.95 * r, .16 * r), (.88 * r, .16 * r), (.86 * r, .02 * r), (.86 * r, 0)], M, "m_steel", 32, .004)
    p.disc(.875 * r, M @ at((0, 0, .001)), rect, 32); p.lathe([(.90 * r, .10 * r), (.5 * r, .135 * r), (0, .14 * r)], M, "m_glass", 24)
    needle(nm, parent, M @ at((0, 0, .004 + .02 * r)), r * .86, **x)
def estop(p, parent, M, name="estop_button"):
    p.box((.09, .09, .06), M @ at((0, 0, .03)), "m_guard", .008); p.ring(.034, .006, .012, M @ at((0, 0, .06)), "m_paint_dark", 24)
    b = Part(name); b.lathe([(0, -.02), (.012, -.02), (.012, .004), (.026, .006), (.031, .014), (.029, .026), (.014, .033), (0, .034)], at(), "m_red", 24, .002)
    b.done(parent, M @ at((0, 0, .068)), {"role": "push", "travel_m": -.008, "latch": True})
def handwheel(name, parent, M, R, mat="m_paint_accent", **x):
    w = Part(name); w.torus(R, R * .13, at((0, 0, .03)), mat, 32, 10); w.cyl(R * .28, .045, at(), "m_steel", 16); w.hexnut(.018, .012, at((0, 0, .045)), "m_steel")
    for i in range(4): a = i * pi / 2; w.tube([(.2 * R * cos(a), .2 * R * sin(a), .022), (.95 * R * cos(a), .95 * R * sin(a), .03)], R * .075, mat, 0, 8)
    w.tube([(R, 0, .03), (R, 0, .085)], R * .1, "m_rubber", 0, 10)
    return w.done(parent, M, x)
def coupling_male(p, M, d=.025):
    """threaded stub, axis local +Z"""
    p.hexnut(d * 1.9, d * .8, M, "m_steel"); prof = [(0, 0), (d * .72, 0)]
    for i in range(7): z = d * (.8 + .14 * i); prof += [(d * .72, z), (d * .64, z + d * .07)]
    p.lathe(prof + [(d * .60, d * 1.85), (d * .34, d * 1.85), (d * .34, d * 1.2), (0, d * 1.2)], M, "m_steel", 20)
def hose_end(p, M, d=.025, mat="m_steel"):
    """crimped ferrule + swivel nut body, hose leaves along -Z"""
    p.lathe([(0, 0), (d * .62, 0), (d * .62, -d * .5), (d * .8, -d * .6), (d * .8, -d * 1.1), (d * .74, -d * 1.2), (d * .84, -d * 1.35), (d * .74, -d * 1.6), (d * .84, -d * 1.8), (d * .74, -d * 2.1), (d * .84, -d * 2.3), (d * .8, -d * 2.9), (d * .6, -d * 2.95)], M, mat, 20)

# ------------------------------------------------------------------ 1. pump unit (own invention)
def build_pump():
    R = root("pump_unit", kind="pump", axis="x=length, operator side = +Z (glTF)", size_m=[3.1, 1.36, 2.0]); F = Part("frame"); E_ = Part("engine"); P = Part("pump"); X = Part("fittings"); G = Part("guards")
    PF, PB, PA, PD, ST, RB, BR = "m_paint_frame", "m_paint_body", "m_paint_accent", "m_paint_dark", "m_steel", "m_rubber", "m_brass"
    # --- skid: two long rails, cross members, fork pockets, deck, bumpers, lifting arch
    for y in (-.60, .60):
        F.box((3.0, .10, .16), at((0, y, .10)), PF, .012); F.box((2.98, .13, .018), at((0, y, .19)), PF, .004)
        for x in (-1.42, 1.42): F.box((.16, .14, .03), at((x, y, .015)), PF, .004)
    for x in (-1.45, -.95, .0, .95, 1.45): F.box((.10, 1.12, .12), at((x, 0, .11)), PF, .008)
    for x in (-.50, .50):
        for z in (.052, .158): F.box((.26, 1.36, .014), at((x, 0, z)), PF, .003)
        for dx in (-.123, .123): F.box((.014, 1.36, .10), at((x + dx, 0, .105)), PF, .003)
        for y in (-.56, .56): F.box((.235, .02, .095), at((x, y, .105)), PD, 0)
    F.box((2.9, 1.10, .012), at((0, 0, .184)), "m_tread", .003)
    for sx in (-1, 1):
        F.tube([(sx * 1.44, -.62, .2), (sx * 1.44, -.62, .62), (sx * 1.44, .62, .62), (sx * 1.44, .62, .2)], .030, PF, .14, 12); F.tube([(sx * 1.44, -.62, .40), (sx * 1.44, .62, .40)], .022, PF, 0, 10)
        for y in (-.62, .62): F.box((.12, .12, .02), at((sx * 1.44, y, .206)), PF, .004); [F.bolt(.010, at((sx * 1.44 + a, y + b, .216))) for a in (-.04, .04) for b in (-.04, .04)]
    for y in (-.62, .62):
        F.box((.09, .09, 1.62), at((.06, y, 1.0)), PF, .010); F.prism([(-.22, 0), (.22, 0), (.05, .26), (-.05, .26)], .016, Matrix.Translation((.06, y, .2)) @ AX["-y"], PF, .003)
    F.box((.11, 1.36, .12), at((.06, 0, 1.83)), PF, .012); F.prism(fillet([(-.11, 0), (.11, 0), (.05, .15), (-.05, .15)], .03, 4, True), .03, Matrix.Translation((.06, 0, 1.885)) @ AX["-y"], PF, .004)
    F.torus(.048, .014, Matrix.Translation((.06, 0, 1.99)) @ AX["y"], ST, 24, 8)
    for y in (-.651,): F.quad(.75, .094, Matrix.Translation((-1.04, y, .1)) @ AX["-y"], (0, 512, 768, 96)); F.quad(.75, .094, Matrix.Translation((1.04, y, .1)) @ AX["-y"], (0, 512, 768, 96)); F.quad(.62, .094, Matrix.Translation((0, y, .1)) @ AX["-y"], (0, 512, 640, 96))
    # --- engine: sump, block, head, rocker cover, manifolds, filters, radiator, stack
    ex = -.62
    for dx in (-.34, .30):
        for y in (-.25, .25): F.box((.10, .10, .20), at((ex + dx, y, .29)), PF, .008, taper=(.8, .8)); E_.cyl(.045, .05, at((ex + dx, y, .385)), RB, 16, .006)
    E_.box((.70, .30, .18), at((ex, 0, .36)), PD, .02, 3); E_.box((.78, .40, .40), at((ex, 0, .63)), PB, .022, 3); E_.box((.80, .43, .035), at((ex, 0, .455)), PB, .008); E_.box((.76, .34, .13), at((ex, 0, .89)), PB, .014, 3)
    for i in range(4):
        cx = ex - .27 + .18 * i
        for sy in (-1, 1): E_.prism(fillet([(-.062, -.13), (.062, -.13), (.062, .13), (-.062, .13)], .03, 4, True), .02, Matrix.Translation((cx, sy * .203, .64)) @ AX["-y"], PB, .006)
        E_.tube([(cx, -.16, .90), (cx, -.30, .93)], .026, PB, 0, 12); E_.tube([(cx, .15, .90), (cx, .285, .93)], .026, "m_steel_hot", 0, 12); E_.cyl(.017, .05, at((cx + .05, -.05, .99), "z"), BR, 10)
        E_.tube([(cx + .05, -.05, 1.03), (cx + .05, -.12, 1.05), (cx + .02, -.19, .80)], .005, ST, .03, 6)
    E_.box((.70, .22, .10), at((ex, .0, 1.0)), PA, .026, 3, taper=(.96, .88)); [E_.box((.012, .20, .012), at((ex - .28 + .08 * i, 0, 1.052)), PA, .003, 1) for i in range(8)]
    for i in range(5): [E_.bolt(.008, at((ex - .32 + .16 * i, y, .957))) for y in (-.125, .125)]
    E_.lathe([(0, 0), (.035, 0), (.04, .01), (.04, .022), (0, .026)], at((ex + .22, 0, 1.05)), PD, 20, .003)
    E_.tube([(ex - .36, -.31, .93), (ex + .36, -.31, .93)], .042, PB, 0, 14); E_.tube([(ex - .36, .30, .93), (ex + .34, .30, .93)], .046, "m_steel_hot", 0, 14)
    E_.box((.34, .09, .11), at((ex - .02, -.235, .56)), PD, .01); [E_.cyl(.014, .05, at((ex - .14 + .08 * i, -.235, .615)), BR, 10) for i in range(4)]       # injection pump
    E_.lathe([(0, 0), (.052, 0), (.055, .02), (.055, .15), (.045, .17), (0, .17)], at((ex + .26, -.26, .42)), "m_guard", 24, .008)                               # oil filter
    for i in range(2): E_.lathe([(0, 0), (.04, 0), (.043, .02), (.043, .12), (.035, .14), (0, .14)], at((ex - .28 + .11 * i, -.27, .70)), PA if i else "m_glass", 20, .006)
    E_.cyl(.075, .15, at((ex - .36, .26, .62), "x"), PD, 22, .01); E_.cyl(.055, .05, at((ex - .42, .26, .62), "x"), ST, 22)                                      # alternator
    E_.lathe([(0, 0), (.145, 0), (.15, .02), (.15, .34), (.135, .37), (.06, .38), (0, .38)], at((ex - .06, -.02, 1.21), "x"), PD, 28, .012); E_.torus(.151, .006, at((ex + .24, -.02, 1.21), "x"), ST, 28, 6)   # air cleaner
    for dx in (.02, .22): E_.box((.03, .26, .16), at((ex + dx, -.02, 1.12)), PD, .006)
    E_.tube([(ex - .06, -.02, 1.21), (ex - .22, -.02, 1.21), (ex - .30, -.31, 1.10), (ex - .30, -.31, .95)], .045, RB, .12, 14, 7)
    E_.tube([(ex + .34, .30, .93), (ex + .42, .30, .93), (ex + .42, .34, 1.20)], .045, "m_steel_hot", .08, 14); E_.lathe([(0, 0), (.05, 0), (.095, .04), (.10, .06), (.10, .38), (.095, .40), (.05, .44), (.045, .44), (.045, .62), (.038, .62), (.036, .56), (0, .56)], at((ex + .42, .34, 1.20)), "m_steel_hot", 26, .01)
    [G.tube([(ex + .42 + .125 * cos(a), .34 + .125 * sin(a), 1.25), (ex + .42 + .125 * cos(a), .34 + .125 * sin(a), 1.60)], .006, ST, 0, 6, cap=False) for a in np.linspace(0, 2 * pi, 10, endpoint=False)]
    [G.torus(.125, .007, at((ex + .42, .34, z)), ST, 20, 6) for z in (1.25, 1.42, 1.60)]
    # radiator + shroud + fan
    rx = -1.28; E_.box((.10, .86, .82), at((rx, 0, .72)), PD, .012); E_.box((.13, .90, .10), at((rx, 0, 1.14)), PD, .02, 3); E_.box((.13, .90, .08), at((rx, 0, .29)), PD, .02, 3)
    for i in range(36): E_.box((.010, .80, .006), at((rx - .052, 0, .36 + .021 * i)), PD, 0)
    E_.lathe([(.33, 0), (.36, .0), (.36, .10), (.345, .14), (.33, .14), (.33, 0)], at((rx + .05, 0, .74), "x"), PD, 36, .004); E_.box((.02, .80, .78), at((rx + .05, 0, .72)), PD, .004)
    E_.lathe([(0, 0), (.035, 0), (.035, .025), (.028, .03), (0, .03)], at((rx, .18, 1.19)), BR, 20, .003); E_.tube([(rx + .06, -.28, 1.12), (rx + .20, -.28, 1.12), (ex - .36, -.12, .92)], .028, RB, .08, 12); E_.tube([(rx + .06, .28, .34), (rx + .22, .28, .34), (ex - .38, .10, .52)], .028, RB, .08, 12)
    for z, r in ((.55, .11), (.82, .07)): E_.lathe([(0, 0), (r, 0), (r, .012), (r * .88, .025), (r, .038), (r, .05), (0, .05)], at((ex - .46, 0, z), "x"), PD, 26, .002)
    E_.cyl(.03, .16, at((ex - .46, 0, .74), "x"), ST, 14)
    fan = Part("engine_fan"); fan.cyl(.075, .05, at((0, 0, -.025)), PD, 20)
    for i in range(7): fan.box((.235, .10, .006), Matrix.Rotation(2 * pi * i / 7, 4, "Z") @ Matrix.Translation((.185, 0, 0)) @ Matrix.Rotation(rad(32), 4, "X"), PD, .002, 1)
    fan.done(R, at((rx + .13, 0, .74), "x"), {"role": "spin", "rpm_ratio": 1.1})
    [G.torus(r, .004, at((rx + .20, 0, .74), "x"), "m_guard", 32, 5) for r in (.12, .20, .28, .35)]; [G.tube([(rx + .20, .05 * cos(a), .74 + .05 * sin(a)), (rx + .20, .355 * cos(a), .74 + .355 * sin(a))], .004, "m_guard", 0, 5, cap=False) for a in np.linspace(0, 2 * pi, 12, endpoint=False)]
    # fuel tank + filler, battery
    E_.box((.78, .20, .26), at((-.72, -.46, .33)), PD, .03, 3); [E_.box((.03, .212, .27), at((-.72 + s, -.46, .33)), ST, .004) for s in (-.26, .26)]; E_.quad(.16, .06, Matrix.Translation((-.72, -.562, .36)) @ AX["-y"], (256, 704, 256, 96))
    cap = Part("fuel_cap"); cap.lathe([(0, 0), (.045, 0), (.045, .03), (.035, .036), (0, .036)], at(), BR, 20, .004); [cap.box((.012, .10, .02), at((0, 0, .03), "z", 90 * i), BR, .003) for i in range(2)]; cap.done(R, at((-1.0, -.46, .46)), {"role": "cap"})
    E_.box((.28, .18, .20), at((-.95, .46, .30)), PD, .012); [E_.cyl(.014, .03, at((-.95 + s, .46, .40)), BR, 10) for s in (-.09, .09)]; E_.tube([(-.86, .46, .43), (-.86, .42, .50), (-.70, .30, .55)], .010, RB, .05, 8)
    # --- bell housing + coupling guard + gearbox
    E_.lathe([(0, 0), (.25, 0), (.25, .05), (.20, .14), (.17, .16), (0, .16)], at((ex + .39, 0, .63), "x"), PB, 32, .01); [E_.bolt(.010, at((ex + .44, .235 * cos(a), .63 + .235 * sin(a)), "x")) for a in np.linspace(0, 2 * pi, 12, endpoint=False)]
    G.lathe([(0, 0), (.17, 0), (.17, .30), (0, .30)], at((-.07, 0, .63), "x"), "m_guard", 32, .01); [G.ring(.174, .01, .02, at((-.07 + s, 0, .63), "x"), "m_guard", 32) for s in (.04, .24)]
    # --- power end: crankcase profile (side view in Y-Z), extruded along X
    px, w = .66, .86; prof = fillet([(.50, .28), (-.06, .28), (-.10, .40), (-.10, .86), (.06, .98), (.30, 1.02), (.50, .86)], .07, 5, True)
    MX = Matrix(((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1)))      # local x->Y, y->Z, z->X
    P.prism(prof, w, Matrix.Translation((px, 0, 0)) @ MX, PB, .014, 3)
    for s in (-1, 1):
        P.prism(fillet([(.44, .34), (.0, .34), (-.04, .42), (-.04, .82), (.08, .92), (.28, .95), (.44, .82)], .05, 4, True), .03, Matrix.Translation((px + s * (w / 2 + .012), 0, 0)) @ MX, PB, .006)
        P.cyl(.11, .05, at((px + s * (w / 2 + .02), .20, .63), "x" if s > 0 else "-x"), PA, 28, .008); [P.bolt(.011, at((px + s * (w / 2 + .065), .20 + .085 * cos(a), .63 + .085 * sin(a)), "x" if s > 0 else "-x")) for a in np.linspace(0, 2 * pi, 8, endpoint=False)]
    for i in range(5): P.box((.014, .34, .02), Matrix.Translation((px - .34 + .17 * i, .20, 1.008)) @ Matrix.Rotation(rad(8), 4, "X"), PB, .004)
    P.box((.60, .02, .22), at((px, .505, .58)), PA, .006); [P.bolt(.010, at((px + a, .515, .58 + b), "y")) for a in (-.27, -.09, .09, .27) for b in (-.085, .085)]
    P.lathe([(0, 0), (.03, 0), (.03, .05), (.045, .06), (.045, .10), (.03, .12), (0, .12)], at((px + .30, .16, .99)), ST, 18, .003)         # breather
    P.cyl(.035, .02, at((px + .34, -.10, .46), "-y"), BR, 20); P.cyl(.026, .024, at((px + .34, -.10, .46), "-y"), "m_glass", 18)             # sight glass
    for dx in (-.36, .36):
        for y in (.02, .38): F.box((.14, .12, .12), at((px + dx, y, .24)), PF, .008)
    P.box((.92, .56, .03), at((px, .20, .287)), PB, .006)
    # crosshead windows + plungers + stuffing boxes
    pitch = .25; ys = -.10
    P.box((.84, .05, .30), at((px, -.115, .63)), PB, .01)
    for i in range(3):
        cx = px + (i - 1) * pitch
        P.cyl(.058, .035, at((cx, -.14, .63), "-y"), ST, 22, .004); P.cyl(.024, .22, at((cx, -.16, .63), "-y"), ST, 18, 0)
        P.lathe([(0, 0), (.050, 0), (.055, .01), (.055, .035), (.046, .045), (.062, .05), (.062, .075), (0, .075)], at((cx, -.27, .63), "-y"), BR, 24, .003)
        for a in np.linspace(0, 2 * pi, 6, endpoint=False): P.box((.008, .02, .012), Matrix.Translation((cx + .057 * cos(a), -.285, .63 + .057 * sin(a))) @ Matrix.Rotation(-a, 4, "Y"), BR, 0)
    for i in range(4):
        cx = px + (i - 1.5) * pitch
        for z in (.53, .73): P.cyl(.013, .22, at((cx, -.13, z), "-y"), ST, 12, 0); P.hexnut(.034, .022, at((cx, -.345 + .205, z), "-y"), ST)
    # fluid end block, valve caps, discharge plugs, suction manifold
    fy = -.425; P.box((.86, .17, .30), at((px, fy, .63)), ST, .010, 3)
    for i in range(3):
        cx = px + (i - 1) * pitch
        P.cyl(.056, .022, at((cx, fy, .78)), ST, 24, .004); P.hexnut(.072, .035, at((cx, fy, .80)), ST, .003)
        P.cyl(.048, .016, at((cx, fy - .085, .63), "-y"), ST, 24, .004); P.hexnut(.058, .026, at((cx, fy - .10, .63), "-y"), ST, .003)
        P.cyl(.040, .10, at((cx, fy, .40)), ST, 18); P.ring(.056, .02, .016, at((cx, fy, .465)), ST, 22)
    for i in range(4):
        cx = px + (i - 1.5) * pitch
        for z in (.53, .73): P.hexnut(.036, .026, at((cx, fy - .085, z), "-y"), ST, .002); P.cyl(.010, .04, at((cx, fy - .085, z), "-y"), ST, 10, .002)
    P.tube([(px - .44, fy, .375), (px + .56, fy, .375)], .062, PF, 0, 20); [P.ring(.075, .03, .02, at((px + x, fy, .375), "x"), PF, 24) for x in (-.46, .50)]; P.cyl(.074, .02, at((px - .47, fy, .375), "x"), PF, 24)
    # discharge manifold (high pressure, front-top), with branches
    my, mz = -.545, .735; P.box((.98, .085, .095), at((px + .02, my, mz)), ST, .012, 3)
    for i in range(3): P.cyl(.024, .05, at((px + (i - 1) * pitch, my + .065, mz), "-y"), ST, 14)
    P.cyl(.03, .035, at((px + .51, my, mz), "x"), ST, 20, .004); P.hexnut(.045, .025, at((px + .54, my, mz), "x"), ST)
    # hose outlet (operator side, left), whip-check eye
    X.cyl(.036, .05, at((px - .38, my - .04, mz), "-y"), ST, 22, .004); M = at((px - .38, my - .085, mz), "-y"); coupling_male(X, M, .032)
    empty("at_old_hose", R, M @ Matrix.Translation((0, 0, .06)), {"role": "attach", "fits": "hp_hose", "bore_m": .013}); X.torus(.022, .006, at((px - .47, my - .04, mz - .03), "x"), ST, 18, 6); empty("at_whipcheck", R, at((px - .47, my - .05, mz - .03), "-y"))
    X.quad(.15, .056, Matrix.Translation((px - .38, my - .044, mz + .0)) @ Matrix.Translation((0, 0, -.085)) @ AX["-y"], (768, 608, 256, 96)); X.box((.155, .004, .062), at((px - .38, my - .040, mz - .085)), ST, 0)
    # regulator (unloader) with hand wheel
    ux = px + .13; X.box((.11, .10, .15), at((ux, my - .01, mz + .11)), ST, .012, 3); X.lathe([(0, 0), (.042, 0), (.042, .05), (.034, .06), (.034, .14), (.038, .145), (.038, .165), (.014, .17), (.014, .24), (0, .24)], at((ux, my - .01, mz + .18)), BR, 24, .003)
    for i in range(4): X.torus(.035, .004, at((ux, my - .01, mz + .255 + .016 * i)), ST, 22, 6)
    X.box((.135, .004, .054), at((ux, my - .062, mz + .11)), ST, 0); X.quad(.13, .05, Matrix.Translation((ux, my - .0645, mz + .11)) @ AX["-y"], (512, 608, 256, 96))
    X.tube([(ux + .05, my - .01, mz + .12), (ux + .13, my - .01, mz + .12), (ux + .13, my + .12, mz + .2), (ux + .22, my + .40, mz + .30), (1.23, .0, 1.08)], .020, RB, .08, 12, 6)
    # dump valve with lever: lever axis = valve stem, pointing at the operator
    vx = px + .36; X.cyl(.055, .12, at((vx, my, mz - .16)), ST, 26, .008); X.tube([(vx, my, mz - .02), (vx, my, mz - .09)], .026, ST, 0, 14); X.hexnut(.07, .03, at((vx, my, mz - .08)), ST)
    X.cyl(.034, .05, at((vx, my - .04, mz - .10), "-y"), BR, 22, .004); X.cyl(.016, .07, at((vx, my - .06, mz - .10), "-y"), ST, 16)
    X.tube([(vx, my, mz - .16), (vx, my, mz - .26), (vx, my - .12, mz - .36), (vx, my - .14, .12)], .024, ST, .07, 14); empty("at_old_dump_out", R, at((vx, my - .14, .11), "-z"), {"role": "vfx", "effect": "dump_spray"})
    X.box((.135, .004, .054), at((vx - .115, my - .044, mz + .0)), ST, 0); X.quad(.13, .05, Matrix.Translation((vx - .115, my - .0465, mz + .0)) @ AX["-y"], (256, 608, 256, 96))
    # relief valve on the far end, vent pipe down
    X.lathe([(0, 0), (.026, 0), (.026, .04), (.036, .045), (.036, .11), (.028, .13), (.028, .17), (.012, .18), (0, .18)], at((px + .46, my, mz + .045)), ST, 22, .003); X.torus(.014, .003, at((px + .46, my, mz + .235), "x"), ST, 16, 5); X.tube([(px + .46, my, mz + .12), (px + .56, my, mz + .12), (px + .56, my + .10, .30)], .016, ST, .05, 10); empty("at_relief_out", R, at((px + .56, my + .10, .29), "-z"), {"role": "vfx"})
    # --- water tank + strainer + suction hose
    tx = 1.25; t = Part("tank"); t.box((.34, .74, .78), at((tx, .14, .66)), "m_plastic", .06, 4); t.lathe([(0, 0), (.11, 0), (.11, .02), (.125, .025), (.125, .055), (.115, .06), (0, .065)], at((tx, .14, 1.04)), PD, 28, .006)
    [t.box((.352, .752, .03), at((tx, .14, z)), PF, .006) for z in (.42, .88)]; t.box((.40, .80, .06), at((tx, .14, .235)), PF, .01); t.tube([(tx - .05, -.245, .36), (tx - .05, -.245, .96)], .011, "m_glass", 0, 12); [t.cyl(.018, .03, at((tx - .05, -.23, z), "-y"), BR, 14) for z in (.36, .96)]
    t.box((.165, .004, .066), at((tx + .06, -.232, .66)), ST, 0); t.quad(.16, .06, Matrix.Translation((tx + .06, -.2345, .66)) @ AX["-y"], (0, 704, 256, 96)); t.done(R, extras={"role": "static"})
    M = at((tx + .17, .30, .95), "x"); X.cyl(.04, .05, M, BR, 22, .004); X.ring(.052, .014, .02, M @ Matrix.Translation((0, 0, .05)), BR, 22); empty("at_water_in", R, M @ Matrix.Translation((0, 0, .07)), {"role": "attach", "fits": "lp_hose"})
    X.tube([(px + .54, fy, .375), (tx - .02, fy, .375), (tx - .02, fy, .33), (tx - .02, -.24, .33)], .045, RB, .10, 16, 6); X.lathe([(0, 0), (.05, 0), (.06, .02), (.06, .15), (.07, .16), (.07, .20), (0, .21)], at((tx + .06, -.43, .26)), "m_glass", 24, .008); X.lathe([(0, 0), (.072, 0), (.072, .05), (.04, .07), (0, .07)], at((tx + .06, -.43, .45)), BR, 24, .005)
    M = at((tx + .06, -.43, .62), "-y"); gauge(X, R, M, .05, (512, 0, 256, 256), "supply_needle", role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=0.0, value_max=10.0, unit="bar"); X.tube([(tx + .06, -.415, .50), (tx + .06, -.415, .60)], .009, BR, 0, 10)
    # --- guards: mesh in front of the plungers (top), belt side
    G.mesh_panel(.82, .19, Matrix.Translation((px, -.245, .80)) @ Matrix.Rotation(rad(8), 4, "X"), "m_guard", .03, .0022, .008)

    # beacon on the arch, sound and lift points
    F.cyl(.05, .03, at((.06, .52, 1.89)), PD, 22); bc = Part("beacon"); bc.lathe([(0, 0), (.042, 0), (.042, .06), (.03, .085), (0, .09)], at(), "m_lamp", 22, .006); bc.done(R, at((.06, .52, 1.92)), {"role": "lamp"})
    for s, z, y in ((512, .37, -.651), (704, .37, -.651)): pass
    X.box((.13, .003, .13), at((.06, -.668, .95)), ST, 0); X.quad(.125, .125, Matrix.Translation((.06, -.6702, .95)) @ AX["-y"], (512, 704, 192, 192)); X.box((.13, .003, .13), at((.06, -.668, .80)), ST, 0); X.quad(.125, .125, Matrix.Translation((.06, -.6702, .80)) @ AX["-y"], (704, 704, 192, 192))
    for n, p in (("at_snd_engine", (ex, 0, .7)), ("at_snd_fluid_end", (px, fy, .7)), ("at_snd_exhaust", (ex + .42, .34, 1.85)), ("at_exhaust", (ex + .42, .34, 1.82)), ("at_lift", (.06, 0, 2.0))): empty(n, R, Matrix.Translation(p))
    for p in (F, E_, P, X, G): p.done(R, extras={"role": "static"})
    return R


def station(R):
    PF, PD, ST, PB = "m_paint_frame", "m_paint_dark", "m_steel", "m_paint_body"
    def W(x, y, z): return (x - .6, -(z + .4), y)           # world of the levels -> Blender
    def out(x, y, z): return at(W(x, y, z), "-y")            # own +Z towards the operator
    S = Part("station")
    for x in (-.12, 1.26):
        S.box((.06, .06, 1.42), at(W(x, .71, .40)), PF, .008); S.box((.16, .30, .02), at(W(x, .01, .40)), PF, .004)
    S.box((1.44, .05, .05), at(W(.57, 1.44, .40)), PF, .008); S.box((1.44, .05, .05), at(W(.57, .62, .40)), PF, .008)
    S.box((1.34, .035, .34), at(W(.57, 1.23, .43)), PB, .010, 3)                 # the board with the engine's controls
    S.box((1.34, .03, .03), at(W(.57, 1.415, .45)), PD, .004)
    for x, y in ((.0, .8), (.2, 1.0), (.9, 1.1), (1.1, .9)):                       # valve bodies on pipes
        S.cyl(.034, .10, at(W(x, y, .38), "y"), ST, 20, .004); S.hexnut(.042, .03, at(W(x, y, .43), "-y"), ST); S.cyl(.030, .05, at(W(x, y, .44), "-y"), "m_brass", 18, .003)
    S.tube([W(.0, .8, .36), W(.0, .55, .36), W(.0, .30, .20), W(.1, .30, -.1)], .024, ST, .06, 12)
    S.tube([W(.2, 1.0, .36), W(.2, .70, .30), W(.3, .55, -.05)], .014, ST, .05, 10)
    S.tube([W(.9, 1.1, .36), W(.9, .70, .34), W(.9, .18, .34)], .026, ST, .05, 14); S.tube([W(.9, 1.1, .36), W(.9, 1.1, .2), W(.9, .62, .05)], .020, ST, .06, 12)
    S.tube([W(1.1, .9, .36), W(1.1, .60, .34), W(1.1, .20, .34)], .014, ST, .05, 10); S.tube([W(1.1, .9, .36), W(1.1, .9, .15), W(1.1, .55, .02)], .014, ST, .06, 10)
    S.tube([W(.9, .62, .05), W(1.5, .55, .05), W(1.7, .40, .1), W(1.7, .14, .2)], .020, "m_rubber", .08, 12)
    S.tube([W(.62, 1.62, .34), W(.62, 1.30, .34), W(.7, 1.0, .1)], .012, ST, .05, 10)
    # hazard band and plates
    S.box((1.30, .006, .06), at(W(.57, 1.075, .452)), PD, .002)
    S.quad(1.28, .055, Matrix.Translation(W(.57, 1.075, .4565)) @ AX["-y"], (0, 512, 768, 96))
    for i, x in enumerate((-.03, 1.19)): S.box((.125, .003, .125), at(W(x, 1.255, .449)), ST, 0); S.quad(.12, .12, Matrix.Translation(W(x, 1.255, .4525)) @ AX["-y"], ((512, 704)[i], 704, 192, 192))
    M = out(.62, 1.62, .40); gauge(S, R, M, .135, (0, 0, 512, 512), "gauge_needle", role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=0.0, value_max=1600.0, unit="bar")
    empty("at_gauge", R, M @ Matrix.Translation((0, 0, .02)), {"role": "look_at"})
    M = out(.25, 1.32, .447); gauge(S, R, M, .055, (768, 0, 256, 256), "tacho_needle", role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=0.0, value_max=3000.0, unit="rpm")
    S.done(R, extras={"role": "static"})
    # controls: own +Y (glTF) points at the operator, share 0 = as built
    def lever(name, x, y, deg, length, mat):
        l = Part(name); l.cyl(.022, .03, at((0, 0, -.015)), ST, 18); l.tube([(0, 0, .012), (0, length * .4, .012), (0, length * .55, .03), (0, length, .03)], .008, ST, .02, 10); l.tube([(0, length * .55, .03), (0, length + .01, .03)], .014, mat, 0, 14)
        l.done(R, out(x, y, .5), {"kind": "lever", "deg_min": 0.0, "deg_max": deg})
    lever("ctl_supply", .0, .8, -90.0, .17, "m_paint_frame"); lever("ctl_air_bleed", .2, 1.0, -90.0, .07, "m_brass")
    lever("ctl_dump", .9, 1.1, -90.0, .24, "m_red"); lever("ctl_bleed", 1.1, .9, -90.0, .10, "m_guard")
    k = Part("ctl_key"); k.ring(.022, .008, .010, at((0, 0, -.03)), ST, 20); k.cyl(.014, .02, at((0, 0, -.03)), ST, 16); k.box((.007, .036, .034), at((0, 0, .0)), ST, .003); k.done(R, out(.4, 1.3, .5), {"kind": "selector", "deg_min": 0.0, "deg_max": -90.0})
    S2 = Part("bosses"); S2.cyl(.03, .05, out(.4, 1.3, .44), PD, 20, .003); S2.cyl(.035, .04, out(.5, 1.2, .44), PD, 20, .003); S2.cyl(.03, .05, out(.7, 1.2, .44), ST, 20, .003); S2.cyl(.045, .035, out(.6, 1.4, .44), "m_guard", 24, .004); S2.done(R, extras={"role": "static"})
    t = Part("ctl_throttle"); t.lathe([(0, -.03), (.034, -.03), (.036, -.024), (.030, .006), (0, .008)], at(), PD, 24, .003); t.box((.008, .028, .005), at((0, .014, .008)), "m_guard", 0); t.done(R, out(.5, 1.2, .5), {"kind": "knob", "deg_min": 130.0, "deg_max": -130.0})
    r = Part("ctl_regulator"); r.torus(.062, .010, at((0, 0, 0)), "m_paint_accent", 32, 10); [r.tube([(0, 0, -.006), (.062 * cos(a), .062 * sin(a), 0)], .006, "m_paint_accent", 0, 8) for a in np.linspace(0, 2 * pi, 5, endpoint=False)]; r.cyl(.016, .05, at((0, 0, -.045)), ST, 16); r.tube([(.062, 0, 0), (.062, 0, .034)], .008, PD, 0, 10); r.done(R, out(.7, 1.2, .5), {"kind": "knob", "deg_min": 0.0, "deg_max": -2160.0})
    e = Part("ctl_emergency_stop"); e.lathe([(0, -.02), (.012, -.02), (.012, -.004), (.034, -.002), (.037, .010), (.028, .022), (0, .026)], at(), "m_red", 28, .003); e.done(R, out(.6, 1.4, .5), {"kind": "push", "travel_m": -.014})
    empty("at_dump_out", R, at(W(.9, .18, .34), "-z")); empty("at_bleed_out", R, at(W(1.1, .20, .34), "-z")); empty("at_air_spit", R, at(W(.2, 1.06, .46), "z")); empty("at_hose", R, at(W(1.7, .14, .2), "-z"))
def build_unit():
    R = build_pump(); body = bpy.data.objects.new("unit_body", None); bpy.context.collection.objects.link(body); body.parent = R
    for o in [o for o in R.children if o is not body]: o.parent = body
    body.scale = (.74, .74, .74); body.location = (0, -.06, 0)
    station(R); return R

# ------------------------------------------------------------------ 2. coupling (hose end + nut), 3. lance, 4. tank head
def build_coupling():
    R = root("coupling", kind="coupling"); h = Part("hose_end"); d = .032; hose_end(h, at(), d); h.tube([(0, 0, -d * 1.2), (0, 0, -.28), (.03, 0, -.42), (.10, 0, -.52)], d * .62, "m_rubber", .12, 16, 6)
    [h.torus(d * .66, .003, at((0, 0, -.12 - .02 * i)), "m_rubber", 18, 6) for i in range(6)]; h.done(R)
    n = Part("nut"); n.lathe([(d * .58, .01), (d * .98, .01), (d * .98, .022), (d * .92, .026), (d * .92, .058), (d * .98, .062), (d * .98, .07), (d * .74, .07), (d * .74, .012), (d * .58, .01)], at(), "m_steel", 24, .002)
    for i in range(3): a = i * 2 * pi / 3; n.box((.030, .016, .026), Matrix.Rotation(a, 4, "Z") @ Matrix.Translation((d * .98 + .011, 0, .042)), "m_steel", .004)
    n.done(R, extras={"role": "nut", "turns": 4.0, "pitch_m": .004}); empty("at_mate", R, at((0, 0, .07)), {"role": "attach", "fits": "hp_outlet"}); return R
def build_lance():
    R = root("lance", kind="lance", length_m=1.5, two_handed=True); L = Part("body"); Y = lambda y, x=0, z=0: at((x, y, z), "y")
    L.tube([(0, .10, 0), (0, 1.22, 0)], .0125, "m_steel", 0, 14); L.hexnut(.034, .03, Y(.09), "m_steel"); L.cyl(.022, .05, Y(1.20), "m_steel", 18, .004); L.hexnut(.036, .03, Y(1.25), "m_steel")
    L.lathe([(0, 0), (.016, 0), (.016, .02), (.011, .045), (.011, .05), (.004, .05), (.003, .045), (0, .045)], Y(1.28), "m_brass", 20, .001); L.ring(.024, .005, .05, Y(1.29), "m_rubber", 20)
    for i in range(10): L.torus(.0215, .0035, Y(.52 + .018 * i), "m_rubber", 16, 6)
    L.tube([(0, .50, 0), (0, .72, 0)], .021, "m_rubber", 0, 14)
    L.tube([(.0, .61, 0), (.10, .61, -.03), (.13, .61, -.03)], .010, "m_steel", .03, 10); L.tube([(.07, .61, -.021), (.16, .61, -.03)], .016, "m_rubber", .02, 12)
    L.box((.056, .20, .075), at((0, -.01, 0)), "m_paint_dark", .014, 3); L.box((.060, .12, .03), at((0, -.02, .04)), "m_paint_accent", .008); L.cyl(.028, .03, Y(.085), "m_steel", 20); [L.bolt(.005, at((s * .028, y, z), "x" if s > 0 else "-x")) for s in (-1, 1) for y in (-.08, .06) for z in (-.022, .022)]
    L.prism(fillet([(-.10, -.01), (-.055, -.01), (-.075, -.14), (-.125, -.14)], .018, 4, True), .034, Matrix(((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1))), "m_rubber", .010, 3)
    L.tube([(0, -.115, -.135), (0, .02, -.135), (0, .05, -.03)], .0055, "m_steel", .03, 8)
    L.tube([(0, -.09, 0), (0, -.30, .0), (0, -.42, -.02)], .014, "m_paint_dark", .05, 12); L.prism(fillet([(-.46, .05), (-.41, .06), (-.41, -.10), (-.46, -.12)], .02, 4, True), .04, Matrix(((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1))), "m_rubber", .012, 3)
    M = at((0, -.06, -.035), "-z"); L.tube([(0, -.02, -.03), (0, -.02, -.20), (0, -.08, -.28)], .014, "m_steel", .06, 12); hose_end(L, Matrix.Translation((0, -.08, -.28)) @ Matrix.Rotation(rad(143), 4, "X") @ Matrix.Rotation(pi, 4, "X"), .024)
    L.done(R, extras={"role": "static"})
    t = Part("trigger"); t.prism(fillet([(-.008, .008), (.012, .008), (.016, -.05), (.006, -.085), (-.004, -.085), (.004, -.04)], .006, 2, True), .016, at(), "m_steel", .003)
    # pivot axis must be local +Z: prism is drawn in local XY and turned so that local x->Y, y->Z, z->X
    t.done(R, Matrix.Translation((0, -.015, -.035)) @ Matrix(((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1))), {"role": "trigger", "deg_rest": 0.0, "deg_pulled": -16.0})
    s = Part("safety_catch"); s.cyl(.006, .07, at((0, 0, -.035)), "m_red", 12); s.box((.008, .022, .006), at((0, .008, .036)), "m_red", .002); s.done(R, at((0, -.055, -.03), "x"), {"role": "catch", "deg_safe": 0.0, "deg_free": 60.0})
    empty("at_nozzle", R, Y(1.33), {"role": "jet"}); empty("at_hose", R, Matrix.Translation((0, -.125, -.34)) @ Matrix.Rotation(rad(143), 4, "X"), {"role": "attach", "fits": "hp_hose"}); empty("at_hand_r", R, Matrix.Translation((0, -.09, -.07)), {"role": "grip"}); empty("at_hand_l", R, Matrix.Translation((.11, .61, -.03)), {"role": "grip"}); empty("at_shoulder", R, Matrix.Translation((0, -.46, -.02))); return R
def build_head():
    R = root("tank_head", kind="rotating_head", arms=2); S = Part("stator"); S.lathe([(0, .30), (.030, .30), (.030, .25), (.042, .245), (.042, .18), (.055, .17), (.075, .15), (.078, .06), (.070, .05), (0, .05)], at(), "m_steel", 32, .004)
    S.hexnut(.075, .035, at((0, 0, .20)), "m_steel")
    for i in range(4): a = i * pi / 2 + pi / 4; S.tube([(.075 * cos(a), .075 * sin(a), .14), (.17 * cos(a), .17 * sin(a), .10), (.17 * cos(a), .17 * sin(a), -.16), (.10 * cos(a), .10 * sin(a), -.24)], .008, "m_steel", .06, 10)
    S.torus(.10, .008, at((0, 0, -.24)), "m_steel", 32, 8); S.torus(.17, .008, at((0, 0, .0)), "m_guard", 36, 8); S.done(R); empty("at_hose", R, at((0, 0, .30)), {"role": "attach", "fits": "hp_hose"})
    B = Part("rotor_body"); B.lathe([(0, .045), (.066, .045), (.07, .03), (.07, .005), (.05, -.01), (.05, -.10), (.04, -.12), (0, -.12)], at(), "m_steel", 30, .004); B.cyl(.045, .115, at((-.055, 0, -.05), "x"), "m_steel", 26, .004); B.cyl(.034, .02, at((-.075, 0, -.05), "x"), "m_brass", 24)
    for i in range(24): a = 2 * pi * i / 24; B.box((.010, .006, .012), Matrix.Rotation(a, 4, "Z") @ Matrix.Translation((.066, 0, .045)), "m_brass", 0)
    rb = B.done(R, extras={"role": "spin", "ratio": 1.0})
    A = Part("rotor_arms"); A.cyl(.038, .05, at(), "m_brass", 26, .004); A.cyl(.030, .03, at((0, 0, .05)), "m_steel", 24, .004)
    for i in range(20): a = 2 * pi * i / 20; A.box((.008, .006, .010), Matrix.Rotation(a, 4, "Z") @ Matrix.Translation((.038, 0, .006)), "m_brass", 0)
    for s in (-1, 1):
        A.tube([(0, 0, .035), (s * .14, 0, .035)], .012, "m_steel", 0, 14); A.hexnut(.030, .022, at((s * .055, 0, .035), "x" if s > 0 else "-x"), "m_steel"); A.box((.036, .036, .036), at((s * .145, 0, .035)), "m_steel", .006)
        A.lathe([(0, 0), (.014, 0), (.014, .02), (.010, .045), (.004, .045), (0, .04)], at((s * .145, s * .016, .035), "y" if s > 0 else "-y"), "m_brass", 18, .001)
    arms = A.done(rb, at((.062, 0, -.05), "x"), {"role": "spin", "ratio": 1.09})
    for s, n in ((1, "a"), (-1, "b")): empty(f"at_nozzle_{n}", arms, at((s * .145, s * .065, .035), "y" if s > 0 else "-y"), {"role": "jet"})
    return R

# ------------------------------------------------------------------ 5. worker: blobs -> voxel remesh -> decimate -> own weights, 3 poses
J = {"hips": (0, 0, .98), "spine": (0, -.01, 1.14), "chest": (0, -.01, 1.30), "neck": (0, 0, 1.50), "head": (0, .015, 1.58), "top": (0, .015, 1.78)}
for s, x in (("L", -1), ("R", 1)):
    J |= {f"sh.{s}": (x * .195, -.01, 1.43), f"el.{s}": (x * .295, -.03, 1.165), f"wr.{s}": (x * .345, .035, .925), f"ha.{s}": (x * .365, .065, .80), f"hp.{s}": (x * .098, 0, .95), f"kn.{s}": (x * .112, .015, .52), f"an.{s}": (x * .122, -.02, .09), f"to.{s}": (x * .135, .17, .035)}
BONES = [("hips", "hips", "spine", None), ("spine", "spine", "chest", "hips"), ("chest", "chest", "neck", "spine"), ("head", "neck", "top", "chest")]
for s in "LR": BONES += [(f"upper_arm.{s}", f"sh.{s}", f"el.{s}", "chest"), (f"forearm.{s}", f"el.{s}", f"wr.{s}", f"upper_arm.{s}"), (f"hand.{s}", f"wr.{s}", f"ha.{s}", f"forearm.{s}"), (f"thigh.{s}", f"hp.{s}", f"kn.{s}", "hips"), (f"shin.{s}", f"kn.{s}", f"an.{s}", f"thigh.{s}"), (f"foot.{s}", f"an.{s}", f"to.{s}", f"shin.{s}")]
def build_worker():
    R = root("worker", kind="worker", height_m=1.84)
    b = bmesh.new()
    def blob(a, ra, c, rc, sx=1, sy=1, n=7):
        a, c = Vector(J.get(a, a) if isinstance(a, str) else a), Vector(J.get(c, c) if isinstance(c, str) else c)
        for i in range(n + 1):
            t = i / n; p = a.lerp(c, t); r = ra + (rc - ra) * t
            bmesh.ops.create_uvsphere(b, u_segments=14, v_segments=9, radius=r, matrix=Matrix.Translation(p) @ Matrix.Diagonal((sx, sy, 1, 1)))
    blob("hips", .135, "spine", .132, 1.18, .88); blob("spine", .135, "chest", .15, 1.18, .86); blob("chest", .15, (0, -.01, 1.40), .135, 1.28, .80); blob((0, 0, 1.44), .075, (0, .005, 1.56), .066)
    for s, x in (("L", -1), ("R", 1)):
        blob((x * .10, -.01, 1.41), .085, f"sh.{s}", .082); blob(f"sh.{s}", .078, f"el.{s}", .060); blob(f"el.{s}", .062, f"wr.{s}", .054); blob(f"wr.{s}", .046, f"ha.{s}", .042, 1, 1); blob(f"wr.{s}", .056, Vector(J[f"wr.{s}"]).lerp(Vector(J[f"el.{s}"]), .18), .062, n=3)
        blob((x * .365 - x * .02, .085, .86), .020, (x * .35, .10, .83), .018, n=3)
        blob(f"hp.{s}", .112, f"kn.{s}", .080); blob(f"kn.{s}", .082, (x * .12, -.015, .26), .080); blob((x * .12, -.015, .30), .086, (x * .122, -.02, .12), .066); blob((x * .122, -.035, .07), .060, f"to.{s}", .052, .85, 1.1); blob((x * .122, -.035, .05), .052, (x * .135, .16, .035), .046, .9, 1.1)
    me = bpy.data.meshes.new("w0"); b.to_mesh(me); b.free(); o = bpy.data.objects.new("w0", me); bpy.context.scene.collection.objects.link(o)
    m = o.modifiers.new("r", "REMESH"); m.mode = "VOXEL"; m.voxel_size = .014; m = o.modifiers.new("s", "SMOOTH"); m.iterations = 6; m.factor = .5
    m = o.modifiers.new("d", "DECIMATE"); m.ratio = .13
    me2 = bpy.data.meshes.new_from_object(o.evaluated_get(bpy.context.evaluated_depsgraph_get())); bpy.data.objects.remove(o)
    W = Part("worker_mesh"); b = bmesh.new(); b.from_mesh(me2)
    for v in b.verts: v.co.z = max(v.co.z, 0.0)      # flat soles
    cut = lambda co, no, test: bmesh.ops.bisect_plane(b, geom=list({g for f in b.faces if test(f.calc_center_median()) for g in (f, *f.edges, *f.verts)}), plane_co=co, plane_no=no, dist=1e-4)
    low = lambda c: abs(c.x) < .24 or c.z < .75
    for z in (.335, .60, .655, 1.10, 1.16): cut((0, 0, z), (0, 0, 1), lambda c: low(c) and not (abs(c.x) > .25 and c.z > .7))
    for s, x in (("L", -1), ("R", 1)):
        w_, e_, h_ = Vector(J[f"wr.{s}"]), Vector(J[f"el.{s}"]), Vector(J[f"sh.{s}"]); far = lambda c, x=x: c.x * x > .235
        cut(w_.lerp(e_, .22), (w_ - e_).normalized(), lambda c: far(c) and c.z < 1.1)
        for t in (.45, .62): cut(h_.lerp(e_, t), (e_ - h_).normalized(), lambda c: c.x * x > .19 and 1.1 < c.z < 1.42)
    bmesh.ops.triangulate(b, faces=[f for f in b.faces if len(f.verts) > 4])
    l = uvl(b); idx = {k: W._mi(k) for k in ("m_suit", "m_suit_dark", "m_reflect", "m_rubber")}
    for f in b.faces:
        c = f.calc_center_median(); k = "m_suit"
        arm = abs(c.x) > (.285 if c.z < 1.0 else .20) and c.z > .72
        if arm:
            s = "R" if c.x > 0 else "L"; w_, e_, h_ = Vector(J[f"wr.{s}"]), Vector(J[f"el.{s}"]), Vector(J[f"sh.{s}"])
            if (c - w_.lerp(e_, .22)).dot((w_ - e_).normalized()) > 0 and c.z < 1.08: k = "m_suit_dark"
            elif abs(c.x) > .19 and .45 < (c - h_).dot((e_ - h_).normalized()) / (e_ - h_).length < .62: k = "m_reflect"
        elif c.z < .335: k = "m_rubber"
        elif .60 < c.z < .655 or 1.10 < c.z < 1.16: k = "m_reflect"
        f.material_index = idx[k]; f.smooth = True; n = f.normal; a = max(range(3), key=lambda i: abs(n[i]))
        for lp in f.loops: p = lp.vert.co; lp[l].uv = ((p.y, p.z), (p.x, p.z), (p.x, p.y))[a]
    W.bm.free(); W.bm = b; nb = len(b.verts); hx, hy, hz = 0, .02, 1.645
    H = Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1))
    W.lathe([(0, -.13), (.055, -.115), (.080, -.07), (.092, 0), (.088, .06), (.06, .105), (0, .12)], H, "m_skin", 18); W.lathe([(.087, -.13), (.100, -.08), (.103, .0), (.098, .06)], Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1)) @ Matrix.Rotation(rad(155), 4, "Z"), "m_suit_dark", 14, sweep=230)
    W.lathe([(.112, .035), (.120, .035), (.121, .06), (.113, .115), (.085, .155), (.04, .175), (0, .178)], H, "m_helmet", 24, .004); W.lathe([(.110, .045), (.150, .030), (.152, .036), (.112, .055)], H @ Matrix.Rotation(rad(35), 4, "Z"), "m_helmet", 12, sweep=110); W.torus(.118, .006, H @ Matrix.Translation((0, 0, .038)), "m_helmet", 24, 6)
    for dx in (-.035, 0, .035): W.tube([(hx + dx, hy - .11, hz + .10), (hx + dx, hy - .05, hz + .165), (hx + dx, hy + .05, hz + .168), (hx + dx, hy + .115, hz + .10)], .008, "m_helmet", .05, 6, 3)
    W.lathe([(.128, -.125), (.134, -.02), (.130, .045)], H @ Matrix.Rotation(rad(12), 4, "Z"), "m_visor", 14, sweep=156); W.tube([(hx + .137 * cos(a) * .92, hy + .137 * sin(a) * 1.12, hz + .05) for a in np.linspace(rad(8), rad(172), 12)], .007, "m_paint_dark", 0, 6)
    for s in (-1, 1): W.lathe([(0, 0), (.040, 0), (.042, .012), (.034, .034), (0, .038)], at((hx + s * .082, hy - .005, hz - .01), "x" if s > 0 else "-x"), "m_paint_accent", 18, .004)
    o = W.done(R); o.modifiers.clear(); me = o.data
    # armature
    A = bpy.data.armatures.new("rig"); ao_ = bpy.data.objects.new("rig", A); bpy.context.scene.collection.objects.link(ao_); ao_.parent = R; bpy.context.view_layer.objects.active = ao_; bpy.ops.object.mode_set(mode="EDIT")
    for n, h, t, p in BONES:
        e = A.edit_bones.new(n); e.head, e.tail = J[h], J[t]
        if p: e.parent = A.edit_bones[p]
    bpy.ops.object.mode_set(mode="OBJECT"); o.parent = ao_; mod = o.modifiers.new("arm", "ARMATURE"); mod.object = ao_
    G = {n: o.vertex_groups.new(name=n) for n, *_ in BONES}
    for v in me.vertices:
        c = v.co
        if v.index >= nb or c.z > 1.56: G["head"].add([v.index], 1, "REPLACE"); continue
        ws = []
        for n, h, t, p in BONES:
            if (n.endswith(".L") and c.x > .03) or (n.endswith(".R") and c.x < -.03): continue
            if "arm" in n or "hand" in n:
                if abs(c.x) < .12 or c.z < .70: continue
            if n.split(".")[0] in ("thigh", "shin", "foot") and c.z > 1.02: continue
            if n in ("hips", "spine", "chest", "head") and (abs(c.x) > .235 and c.z < 1.40): continue
            a, d = Vector(J[h]), Vector(J[t]) - Vector(J[h]); k = max(0, min(1, (c - a).dot(d) / d.length_squared)); r = {"hips": .10, "spine": .12, "chest": .13}.get(n, .05)
            ws.append((1 / max((c - a - d * k).length - r * .6, .008) ** 3, n))
        ws = sorted(ws)[-3:]; tot = sum(w for w, _ in ws)
        for w, n in ws: G[n].add([v.index], w / tot, "REPLACE")
    # poses by IK targets, then baked to plain rotations
    def pose(name, hands=None, poles=None, rots=None, frames=1):
        for pb in ao_.pose.bones: pb.matrix_basis = Matrix.Identity(4)
        for n, e in (rots or {}).items(): ao_.pose.bones[n].rotation_mode = "QUATERNION"; M0 = ao_.pose.bones[n].bone.matrix_local.to_3x3(); ao_.pose.bones[n].matrix_basis = (M0.inverted() @ Euler([rad(q) for q in e]).to_matrix() @ M0).to_4x4()
        tmp = []
        for s, tgt in (hands or {}).items():
            e = empty("ik", None, Matrix.Translation(tgt)); q = empty("pole", None, Matrix.Translation((poles or {}).get(s, (J[f"sh.{s}"][0] * 3, -.5, .9)))); c = ao_.pose.bones[f"forearm.{s}"].constraints.new("IK"); c.target = e; c.chain_count = 2; tmp += [(ao_.pose.bones[f"forearm.{s}"], c, e, q)]
        bpy.context.view_layer.update(); Ms = {pb.name: pb.matrix.copy() for pb in ao_.pose.bones}
        for pb, c, e, q in tmp: pb.constraints.remove(c); bpy.data.objects.remove(e); bpy.data.objects.remove(q)
        dg = bpy.context.evaluated_depsgraph_get(); ev = o.evaluated_get(dg); mm = ev.to_mesh(); dz = min(v.co.z for v in mm.vertices); ev.to_mesh_clear()      # stand on the ground
        for k_ in Ms: Ms[k_] = Matrix.Translation((0, 0, -dz)) @ Ms[k_]
        ao_.animation_data_create(); ao_.animation_data.action = bpy.data.actions.new(name)
        for n, *_ in BONES:
            pb = ao_.pose.bones[n]; pb.rotation_mode = "QUATERNION"; pb.matrix = Ms[n]; bpy.context.view_layer.update(); pb.keyframe_insert("rotation_quaternion", frame=1)
            if n == "hips": pb.keyframe_insert("location", frame=1)
    pose("stand", rots={"upper_arm.L": (0, -6, 0), "upper_arm.R": (0, 6, 0)})
    pose("stop_signal", hands={"R": (.42, .22, 1.86), "L": (-.36, .06, .93)}, rots={"head": (0, 0, -10)})
    pose("lance_hold", hands={"R": (.17, .20, 1.12), "L": (-.03, .50, 1.20)}, rots={"chest": (8, 0, 18), "spine": (6, 0, 0), "head": (-10, 0, -14), "thigh.L": (24, 0, 0), "shin.L": (-22, 0, 0), "thigh.R": (-16, 0, 0), "shin.R": (-10, 0, 0), "foot.R": (14, 0, 0)})
    empty("at_label", R, Matrix.Translation((0, 0, 1.95)))
    return R

# ------------------------------------------------------------------ scene reset, export, still
BUILD = {"pump_unit": build_unit, "pump": build_pump, "lance": build_lance, "coupling": build_coupling, "head": build_head, "worker": build_worker}
def glb_stats(path):
    with open(path, "rb") as f: f.read(12); n, _ = struct.unpack("<II", f.read(8)); g = json.loads(f.read(n))
    tri = sum(g["accessors"][p["indices"]]["count"] // 3 for m in g["meshes"] for p in m["primitives"]); vtx = sum(g["accessors"][p["attributes"]["POSITION"]]["count"] for m in g["meshes"] for p in m["primitives"])
    return dict(tris=tri, verts=vtx, draws=sum(len(m["primitives"]) for m in g["meshes"]), nodes=len(g["nodes"]), mats=len(g.get("materials", [])), imgs=len(g.get("images", [])), anims=len(g.get("animations", [])), KiB=os.path.getsize(path) // 1024)
def still(path, objs_r, cam, look, lens=40, size=(1120, 630), samples=int(os.environ.get("SAMPLES", "20"))):
    s = bpy.context.scene; s.render.engine = "CYCLES"; s.cycles.device = "CPU"; s.cycles.samples = samples; s.cycles.use_denoising = True; s.render.threads_mode = "FIXED"; s.render.threads = 2
    s.render.resolution_x, s.render.resolution_y = size; s.view_settings.view_transform = "AgX"; s.view_settings.exposure = 0.0
    w = bpy.data.worlds.new("w"); s.world = w; w.use_nodes = True; nt = w.node_tree; bg = nt.nodes["Background"]; sk = nt.nodes.new("ShaderNodeTexSky")
    for t in ("NISHITA", "MULTIPLE_SCATTERING", "SINGLE_SCATTERING"):
        try: sk.sky_type = t; break
        except TypeError: pass
    sk.sun_elevation = rad(38); sk.sun_rotation = rad(215); sk.sun_size = rad(1.5); nt.links.new(sk.outputs[0], bg.inputs[0]); bg.inputs[1].default_value = .09
    g = bmesh.new(); u = g.loops.layers.uv.verify(); f = g.faces.new([g.verts.new((x * 90, y * 90, 0)) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    for lp in f.loops: lp[u].uv = (lp.vert.co.x / 4, lp.vert.co.y / 4)
    me = bpy.data.meshes.new("floor"); g.to_mesh(me); o = bpy.data.objects.new("floor", me); s.collection.objects.link(o); o.location.z = dict(lance=-.45, coupling=-.6, head=-.35).get(path.split("/")[-1].split(".")[0], 0)
    global USE_TEX; k = USE_TEX; USE_TEX = True; MATS["m_concrete_wet"] = ((1, 1, 1), 0, .5, "concrete_wet"); me.materials.append(material("m_concrete_wet")); USE_TEX = k
    c = bpy.data.cameras.new("c"); c.lens = lens; co = bpy.data.objects.new("c", c); s.collection.objects.link(co); co.location = cam; co.rotation_euler = (Vector(look) - Vector(cam)).to_track_quat("-Z", "Y").to_euler(); s.camera = co
    s.render.filepath = path; t = time.time(); bpy.ops.render.render(write_still=True); print(f"still {os.path.basename(path)} {time.time() - t:.1f}s")
CAMS = {"pump_unit": [("_op", (.3, -3.2, 1.75), (.0, -.6, 1.0), 32)], "pump": [("_op", (-2.2, -4.5, 2.0), (-.02, 0, .88), 42), ("_close", (1.0, -1.95, 1.35), (.58, -.45, .80), 40)], "lance": [("", (1.15, -.62, .48), (0, .35, -.10), 28)], "coupling": [("", (.30, -.50, .20), (.02, 0, -.12), 34)], "head": [("", (.60, -.95, .35), (0, 0, .03), 36)], "worker": [("", (1.7, 3.6, 1.5), (.05, .1, .92), 38)]}
for name in (WANT or BUILD):
    t0 = time.time(); bpy.ops.wm.read_factory_settings(use_empty=True); r = BUILD[name](); bpy.context.view_layer.update()
    objs = [o for o in bpy.context.scene.objects if o.type == "MESH"]; t1 = time.time()
    bake_vertex_ao(objs, floor=name in ("pump_unit", "worker")); t2 = time.time()
    path = os.path.join(OUT, f"{name}{'_tex' if USE_TEX else ''}{'_lod1' if DETAIL < 1 else ''}.glb")
    bpy.ops.export_scene.gltf(filepath=path, export_format="GLB", export_yup=True, export_apply=True, export_extras=True, export_tangents=True, export_vertex_color="ACTIVE", export_all_vertex_colors=False, export_image_format="AUTO", export_animation_mode="ACTIONS", export_lights=False, export_cameras=False)
    print(name, f"build {t1 - t0:.1f}s ao {t2 - t1:.1f}s export {time.time() - t2:.1f}s", glb_stats(path), flush=True)
    if STILL:
        for suf, cam, look, lens in CAMS[name]: 
            still(os.path.join(OUT, "..", "png", f"{name}{suf}.png"), r, cam, look, lens)
            for n in ("floor", "c"): bpy.data.objects.remove(bpy.data.objects[n])
