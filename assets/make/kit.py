"""The kit that every model is built with (bpy 5.0, headless): materials, shapes, shade, export.
Metres. Blender's Z up becomes glTF's +Y up, Blender's -Y becomes glTF's +Z: the operator's side of a machine.
Hand tools point along Blender's +Y = glTF's -Z. A moving node has its origin on its pivot and turns about, or slides
along, its own +Z here = +Y in glTF. Empties named at_* point out of their fitting with that same axis."""
import bpy, bmesh, sys, time, math, json, os, struct
import numpy as np
from mathutils import Vector, Matrix, Euler
from mathutils.bvhtree import BVHTree
from math import radians as rad, pi, sin, cos

DETAIL = 0.5 if "--low" in sys.argv else 1.0      # the plainer model: fewer segments, single bevels, no bolts
TEX = os.environ.get("TEX", "/tmp/tex"); USE_TEX = False

# ------------------------------------------------------------------ materials (names = contract with the game)
# name: (base rgb linear, metallic, roughness, texture set, extra)
def srgb(h):
    c = [int(h[i:i + 2], 16) / 255 for i in (0, 2, 4)]; return tuple(((x + .055) / 1.055) ** 2.4 if x > .04045 else x / 12.92 for x in c)
MATS = {
    "m_paint_frame":  (srgb("2f4a52"), 0, .45, "paint"),   "m_paint_body": (srgb("97a3a3"), 0, .42, "paint"),
    "m_paint_accent": (srgb("c98a2b"), 0, .42, "paint"),   "m_paint_dark": (srgb("2b2e31"), 0, .55, "paint"),
    "m_guard":        (srgb("f0b51e"), 0, .45, "paint"),   "m_steel":      (srgb("c9cbcc"), 1, .34, "steel"),
    "m_steel_hot":    (srgb("8a6f5c"), 1, .55, "steel"),   "m_brass":      (srgb("d9b25f"), 1, .28, "steel"),
    "m_rubber":       (srgb("26282a"), 0, .80, "rubber"),  "m_tread":      (srgb("cfd1d2"), .85, .5, "tread"),
    "m_glass":        ((.85, .93, .95), 0, .06, None, dict(alpha=.18)),
    "m_plastic":      (srgb("dfe6ea"), 0, .35, None, dict(alpha=.86)),
    "m_decal":        ((1, 1, 1), 0, .40, "DECAL"),        "m_red":        (srgb("c4161c"), 0, .35, None),
    "m_lamp":         (srgb("ff9a1f"), 0, .25, None, dict(emit=1.5)),
    "m_lamp_red":     (srgb("ff2a1a"), 0, .25, None, dict(emit=1.5)), "m_lamp_dark": (srgb("4a1512"), 0, .20, None),
    "m_suit":         (srgb("e0662a"), 0, .62, None),      "m_suit_dark":  (srgb("2c3238"), 0, .70, None),
    "m_skin":         (srgb("c58c6a"), 0, .60, None),      "m_reflect":    (srgb("d8dcd8"), 0, .30, None, dict(emit=.08)),
    "m_visor":        ((.75, .85, .80), 0, .05, None, dict(alpha=.30)), "m_helmet": (srgb("f2f2ee"), 0, .30, None),
    "m_panel":        ((1, 1, 1), 0, .38, "PANEL"),        "m_boot":       (srgb("24272a"), 0, .55, None),
    "m_glove":        (srgb("2e5a5e"), 0, .72, None),      "m_glove_grip": (srgb("25282b"), 0, .62, None),
    "m_glove_cuff":   (srgb("b9bdb4"), 0, .75, None),      "m_cloth":      (srgb("3b4653"), 0, .85, None),
    "m_lip":          (srgb("8f4f45"), 0, .55, None),      "m_hair":         (srgb("3a2c22"), 0, .80, None),      "m_eye":        (srgb("f0eee8"), 0, .25, None),
    "m_dark":         (srgb("15181a"), 0, .45, None),      "m_concrete":   (srgb("b5b3ac"), 0, .90, "concrete"),
    "m_wood":         (srgb("a98a62"), 0, .80, None),      "m_zinc":       (srgb("aeb4b6"), .8, .45, "steel"),
    "m_leaf":         (srgb("4d6b3c"), 0, .85, None),      "m_sign":       ((1, 1, 1), 0, .45, "DECAL"),
    "m_board":        (srgb("e9e6dc"), 0, .60, None),      "m_teal":       (srgb("2f8f8a"), 0, .40, "paint"),
    "m_blue":         (srgb("2d5d94"), 0, .45, "paint"),   "m_white":      (srgb("e6e8e6"), 0, .45, "paint"),
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
    if tex in ("DECAL", "PANEL"): nt.links.new(img(("panel" if tex == "PANEL" else "decals") + ".png", "sRGB").outputs[0], b.inputs["Base Color"])
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
        if DETAIL < .7 and w < .012: return
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
        if DETAIL < .7: return
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
def needle(name, parent, M, r, hub="m_paint_dark", **x):
    """A hub of the needle's own stuff makes it one draw."""
    p = Part(name); p.prism([(-.035 * r, -.22 * r), (.035 * r, -.22 * r), (.012 * r, .80 * r), (-.012 * r, .80 * r)], .002, at((0, 0, .001), "z", 135), "m_red", 0)
    if hub != "m_red" or DETAIL >= .7: p.cyl(.09 * r, .006, at(), hub, 12, .001)
    return p.done(parent, M, x)
def small_gauge(p, parent, M, r, rect, nm, **x):
    """the same on a board that hides its back, with a needle of one stuff; the plainer model has no glass on it"""
    fine = DETAIL >= .7; rim = [(1.0 * r, -.30 * r), (1.0 * r, .10 * r), (.95 * r, .16 * r), (.88 * r, .16 * r), (.86 * r, 0)] if fine else [(1.0 * r, -.30 * r), (1.0 * r, .12 * r), (.88 * r, .12 * r), (.86 * r, 0)]
    p.lathe(rim, M, "m_steel", 24 if fine else 16, .004); p.disc(.875 * r, M @ at((0, 0, .001)), rect, 24 if fine else 8)
    if fine: p.lathe([(.90 * r, .10 * r), (.5 * r, .135 * r), (0, .14 * r)], M, "m_glass", 24)
    needle(nm, parent, M @ at((0, 0, .004 + .02 * r)), r * .86, hub="m_red", **x)
def gauge(p, parent, M, r, rect, nm, **x):
    """case faces local +Z; needle at rest (identity) points at value_min; it sweeps -270 degrees about its own +Z (glTF +Y)"""
    p.lathe([(0, -.35 * r), (.96 * r, -.35 * r), (1.0 * r, -.30 * r), (1.0 * r, .10 * r), (.95 * r, .16 * r), (.88 * r, .16 * r), (.86 * r, .02 * r), (.86 * r, 0)], M, "m_steel", 32, .004)
    p.disc(.875 * r, M @ at((0, 0, .001)), rect, 32); p.lathe([(.90 * r, .10 * r), (.5 * r, .135 * r), (0, .14 * r)], M, "m_glass", 24)
    needle(nm, parent, M @ at((0, 0, .004 + .02 * r)), r * .86, **x)
def coupling_male(p, M, d=.025):
    """threaded stub, axis local +Z"""
    p.hexnut(d * 1.9, d * .8, M, "m_steel"); prof = [(0, 0), (d * .72, 0)]
    for i in range(7): z = d * (.8 + .14 * i); prof += [(d * .72, z), (d * .64, z + d * .07)]
    p.lathe(prof + [(d * .60, d * 1.85), (d * .34, d * 1.85), (d * .34, d * 1.2), (0, d * 1.2)], M, "m_steel", 20)
def hose_end(p, M, d=.025, mat="m_steel"):
    """crimped ferrule + swivel nut body, hose leaves along -Z"""
    p.lathe([(0, 0), (d * .62, 0), (d * .62, -d * .5), (d * .8, -d * .6), (d * .8, -d * 1.1), (d * .74, -d * 1.2), (d * .84, -d * 1.35), (d * .74, -d * 1.6), (d * .84, -d * 1.8), (d * .74, -d * 2.1), (d * .84, -d * 2.3), (d * .8, -d * 2.9), (d * .6, -d * 2.95)], M, mat, 20)

