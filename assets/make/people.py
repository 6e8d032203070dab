"""People: the worker, and one's own arms."""
from kit import *
from hand import GRIP, glove, skin, sleeve

J = {"hips": (0, 0, .98), "spine": (0, -.01, 1.14), "chest": (0, -.01, 1.30), "neck": (0, 0, 1.50), "head": (0, .015, 1.58), "top": (0, .015, 1.78)}
for s, x in (("L", -1), ("R", 1)):
    J |= {f"sh.{s}": (x * .195, -.01, 1.43), f"el.{s}": (x * .295, -.03, 1.165), f"wr.{s}": (x * .345, .035, .925), f"ha.{s}": (x * .365, .065, .80), f"hp.{s}": (x * .098, 0, .95), f"kn.{s}": (x * .112, .015, .52), f"an.{s}": (x * .122, -.02, .09), f"to.{s}": (x * .135, .17, .035)}
BONES = [("hips", "hips", "spine", None), ("spine", "spine", "chest", "hips"), ("chest", "chest", "neck", "spine"), ("head", "neck", "top", "chest")]
for s in "LR": BONES += [(f"upper_arm.{s}", f"sh.{s}", f"el.{s}", "chest"), (f"forearm.{s}", f"el.{s}", f"wr.{s}", f"upper_arm.{s}"), (f"hand.{s}", f"wr.{s}", f"ha.{s}", f"forearm.{s}"), (f"thigh.{s}", f"hp.{s}", f"kn.{s}", "hips"), (f"shin.{s}", f"kn.{s}", f"an.{s}", f"thigh.{s}"), (f"foot.{s}", f"an.{s}", f"to.{s}", f"shin.{s}")]
# ------------------------------------------------------------------ the worker: blobs, joined, thinned, cut into stuffs; own weights; poses
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
        blob((x * .10, -.01, 1.41), .085, f"sh.{s}", .082); blob(f"sh.{s}", .078, f"el.{s}", .060); blob(f"el.{s}", .062, f"wr.{s}", .050); blob(f"wr.{s}", .050, Vector(J[f"wr.{s}"]).lerp(Vector(J[f"el.{s}"]), .18), .058, n=3)
        if DETAIL < 1:      # a mitten will do from afar
            blob(f"wr.{s}", .046, f"ha.{s}", .042); blob((x * .345, .085, .86), .020, (x * .35, .10, .83), .018, n=3)
        blob(f"hp.{s}", .112, f"kn.{s}", .080); blob(f"kn.{s}", .082, (x * .12, -.015, .30), .078)
    me = bpy.data.meshes.new("w0"); b.to_mesh(me); b.free(); o = bpy.data.objects.new("w0", me); bpy.context.scene.collection.objects.link(o)
    m = o.modifiers.new("r", "REMESH"); m.mode = "VOXEL"; m.voxel_size = .014; m = o.modifiers.new("s", "SMOOTH"); m.iterations = 6; m.factor = .5
    m = o.modifiers.new("d", "DECIMATE"); m.ratio = .115 if DETAIL == 1 else .055
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
    if DETAIL == 1:
        for x in (-.130, -.092, .092, .130): cut((x, 0, 0), (1, 0, 0), lambda c: 1.16 < c.z < 1.50 and abs(c.x) < .19)
    bmesh.ops.triangulate(b, faces=[f for f in b.faces if len(f.verts) > 4])
    l = uvl(b); idx = {k: W._mi(k) for k in ("m_suit", "m_suit_dark", "m_reflect")}
    for f in b.faces:
        c = f.calc_center_median(); k = "m_suit"
        arm = abs(c.x) > (.285 if c.z < 1.0 else .20) and c.z > .72
        if arm:
            s = "R" if c.x > 0 else "L"; w_, e_, h_ = Vector(J[f"wr.{s}"]), Vector(J[f"el.{s}"]), Vector(J[f"sh.{s}"])
            if (c - w_.lerp(e_, .22)).dot((w_ - e_).normalized()) > 0 and c.z < 1.08: k = "m_suit_dark"
            elif abs(c.x) > .19 and .45 < (c - h_).dot((e_ - h_).normalized()) / (e_ - h_).length < .62: k = "m_reflect"
        elif DETAIL == 1 and .092 < abs(c.x) < .130 and 1.16 < c.z < 1.50: k = "m_reflect"
        elif .60 < c.z < .655 or 1.10 < c.z < 1.16: k = "m_reflect"
        f.material_index = idx[k]; f.smooth = True; n = f.normal; a = max(range(3), key=lambda i: abs(n[i]))
        for lp in f.loops: p = lp.vert.co; lp[l].uv = ((p.y, p.z), (p.x, p.z), (p.x, p.y))[a]
    W.bm.free(); W.bm = b; whole = [None]      # what is built from here on goes with one bone each, or with two where a boot bends
    W.bm.verts.layers.int.new("bone")
    def rigid(bone):
        W.bm.verts.ensure_lookup_table(); l = W.bm.verts.layers.int["bone"]
        if len(whole) > 1:
            for v in W.bm.verts[whole[0]:]: v[l] = len(whole) - 1
        whole[0] = len(W.bm.verts); whole.append(bone)
    for s, x in (("L", -1), ("R", 1)): boot(W, x, s, rigid)
    if DETAIL == 1:
        for s, x in (("L", -1), ("R", 1)):
            w_, h_ = Vector(J[f"wr.{s}"]), Vector(J[f"ha.{s}"]); d = (h_ - w_).normalized(); out = Vector((x, 0, 0)); out = (out - d * out.dot(d)).normalized(); side = d.cross(out)
            M = Matrix.Translation(w_ - d * .010) @ Matrix((side, d, out)).transposed().to_4x4() @ Matrix.Translation((-.004, .088, -.030))
            rigid(f"hand.{s}"); glove(W, GRIP, M, pads=False, fine=.4)
        rigid("chest"); C = Matrix.Translation((0, .105, 1.30))
        W.box((.030, .012, .34), C, "m_suit_dark", .004, 1); [W.box((.085, .014, .095), C @ Matrix.Translation((x * .062, -.004, .01)) , "m_suit_dark", .006, 1) for x in (-1, 1)]
        W.torus(.080, .020, Matrix.Translation((0, -.004, 1.478)) @ Matrix.Rotation(rad(-10), 4, "X"), "m_suit", 20, 8)
    rigid("head"); hx, hy, hz = 0, .02, 1.645
    H = Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1))
    W.lathe([(0, -.13), (.055, -.115), (.080, -.07), (.092, 0), (.088, .06), (.06, .105), (0, .12)], H, "m_skin", 18); W.lathe([(.087, -.13), (.100, -.08), (.103, .0), (.098, .06)], Matrix.Translation((hx, hy, hz)) @ Matrix.Diagonal((.92, 1.12, 1, 1)) @ Matrix.Rotation(rad(155), 4, "Z"), "m_suit_dark", 14, sweep=230)
    W.lathe([(.112, .035), (.120, .035), (.121, .06), (.113, .115), (.085, .155), (.04, .175), (0, .178)], H, "m_helmet", 18, 0); W.lathe([(.110, .045), (.150, .030), (.152, .036), (.112, .055)], H @ Matrix.Rotation(rad(35), 4, "Z"), "m_helmet", 12, sweep=110); W.torus(.118, .006, H @ Matrix.Translation((0, 0, .038)), "m_helmet", 18, 5)
    if DETAIL == 1:      # a face: brow, nose, mouth, eyes
        F = lambda x, y, z: Matrix.Translation((hx + x, hy + y, hz + z))
        W.tube([(hx, hy + .098, hz + .012), (hx, hy + .112, hz - .018), (hx, hy + .120, hz - .034), (hx, hy + .098, hz - .044)], .011, "m_skin", .01, 8, 3); W.box((.086, .020, .016), F(0, .094, .022), "m_skin", .006, 2)
        W.box((.046, .010, .007), F(0, .090, -.066), "m_lip", .003, 2); W.lathe([(0, 0), (.030, .004), (.034, .016), (0, .030)], F(0, .060, -.105) @ AX["y"], "m_skin", 14, .004)
        for x in (-.033, .033):
            W.lathe([(0, -.009), (.008, -.006), (.0105, 0), (.008, .006), (0, .008)], F(x, .090, .004) @ AX["y"], "m_eye", 12); W.lathe([(0, 0), (.0055, 0), (.004, .003), (0, .004)], F(x, .0975, .004) @ AX["y"], "m_dark", 10); W.box((.032, .006, .005), F(x, .100, .022), "m_hair", .002, 1)
    for dx in (-.035, 0, .035): W.tube([(hx + dx, hy - .11, hz + .10), (hx + dx, hy - .05, hz + .165), (hx + dx, hy + .05, hz + .168), (hx + dx, hy + .115, hz + .10)], .008, "m_helmet", .05, 5, 2)
    W.lathe([(.128, -.125), (.134, -.02), (.130, .045)], H @ Matrix.Rotation(rad(12), 4, "Z"), "m_visor", 14, sweep=156); W.tube([(hx + .137 * cos(a) * .92, hy + .137 * sin(a) * 1.12, hz + .05) for a in np.linspace(rad(8), rad(172), 12)], .007, "m_paint_dark", 0, 6)
    for s in (-1, 1): W.lathe([(0, 0), (.040, 0), (.042, .012), (.034, .034), (0, .038)], at((hx + s * .082, hy - .005, hz - .01), "x" if s > 0 else "-x"), "m_paint_accent", 14, 0)
    rigid(None); o = W.done(R); o.modifiers.clear(); me = o.data; of = [d.value for d in me.attributes["bone"].data]; me.attributes.remove(me.attributes["bone"])
    # armature
    A = bpy.data.armatures.new("rig"); ao_ = bpy.data.objects.new("rig", A); bpy.context.scene.collection.objects.link(ao_); ao_.parent = R; bpy.context.view_layer.objects.active = ao_; bpy.ops.object.mode_set(mode="EDIT")
    for n, h, t, p in BONES:
        e = A.edit_bones.new(n); e.head, e.tail = J[h], J[t]
        if p: e.parent = A.edit_bones[p]
    bpy.ops.object.mode_set(mode="OBJECT"); o.parent = ao_; mod = o.modifiers.new("arm", "ARMATURE"); mod.object = ao_
    G = {n: o.vertex_groups.new(name=n) for n, *_ in BONES}
    for v in me.vertices:
        c = v.co
        if of[v.index]:
            bone = whole[of[v.index]]
            if bone.startswith("foot"):      # the shaft of a boot goes with the shin
                t = max(0, min(1, (c.z - .10) / .08)); G[bone].add([v.index], 1 - t, "REPLACE"); G[bone.replace("foot", "shin")].add([v.index], t, "REPLACE")
            else: G[bone].add([v.index], 1, "REPLACE")
            continue
        if c.z > 1.56: G["head"].add([v.index], 1, "REPLACE"); continue
        ws = []
        for n, h, t, p in BONES:
            if (n.endswith(".L") and c.x > .03) or (n.endswith(".R") and c.x < -.03): continue
            if "arm" in n or "hand" in n:
                if abs(c.x) < (.235 if c.z < 1.08 else .19 if c.z < 1.34 else .12) or c.z < .70: continue
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

def boot(p, x, side, rigid):
    """A safety boot: a shaft that the shin stands in, a foot with a stiff cap, a sole with a heel."""
    n = 12 if DETAIL == 1 else 8; rigid(f"foot.{side}"); ax, ay = x * .122, -.02
    def ring(cx, cy, cz, w, l, e=2.0): return [Vector((cx + w * math.copysign(abs(cos(a)) ** (2 / e), cos(a)), cy + l * math.copysign(abs(sin(a)) ** (2 / e), sin(a)), cz)) for a in (2 * pi * j / n for j in range(n))]
    shaft = [(.365, .084, .088, .000), (.352, .088, .092, .000), (.345, .084, .088, .000), (.26, .078, .082, .002), (.17, .064, .074, .006), (.12, .058, .078, .012), (.085, .054, .094, .026)]
    rings = [ring(x * .12 + (ax - x * .12) * i / 6, -.012 + (ay + .012) * i / 6 + dy, z, w, l) for i, (z, w, l, dy) in enumerate(shaft)]
    skin(p, rings, ("m_boot",), cap=(False, False))
    def section(y, w, z0, z1, e=2.6): return [Vector((ax + x * .03 * max(y, 0) + w * math.copysign(abs(cos(a)) ** (2 / e), cos(a)), ay + y, (z0 + z1) / 2 + (z1 - z0) / 2 * math.copysign(abs(sin(a)) ** (2 / e), sin(a)))) for a in (2 * pi * j / n for j in range(n))]
    foot = [(-.088, .026, .020, .085), (-.080, .042, .016, .118), (-.040, .048, .014, .138), (.020, .050, .014, .128), (.075, .051, .014, .098), (.120, .053, .014, .080), (.165, .052, .014, .074), (.195, .042, .016, .064), (.207, .024, .020, .050)]
    skin(p, [section(*f) for f in foot], ("m_boot",))
    sole = [(-.092, .030, .0, .026), (-.084, .046, .0, .026), (-.030, .049, .0, .026), (-.022, .048, .008, .026), (.030, .050, .008, .026), (.045, .054, .0, .026), (.120, .057, .0, .026), (.170, .055, .0, .026), (.203, .043, .002, .026), (.214, .026, .006, .024)]
    skin(p, [section(*f, 5) for f in sole], ("m_dark",))

# ------------------------------------------------------------------ one's own arms, as the eyes see them
def build_arms(name="arms", pose=GRIP, elbow=(.024, -.50, -.030)):
    R = root(name, kind="arms", bar_radius_m=.016)
    for node, side in (("arm_r", 1), ("arm_l", -1)):
        M = Matrix.Diagonal((side, 1, 1, 1)); p = Part(node); glove(p, pose, M); sleeve(p, pose, elbow, M, seed=0.0 if side > 0 else 2.0)
        p.done(R, Matrix.Translation((side * .16, 0, 0)), {"role": "arm"})
    return R

BUILD = {"worker": build_worker, "arms": build_arms}
LOOKS = {"worker": [((1.7, 3.6, 1.5), (.05, .1, .92), 38, 0)], "arms": [((.10, -.46, .30), (.02, -.04, .0), 34, -.3), ((.55, .35, .15), (.10, -.08, .0), 40, -.3)]}
