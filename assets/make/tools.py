"""What is held, and what is fitted to it: the lance, its nozzles, the hose end."""
from kit import *

YZ = Matrix(((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1)))      # a shape drawn in local xy, in the upright plane along y
def Y(y, x=0, z=0): return at((x, y, z), "y")
def ring_box(p, n, r, size, mat, M=Matrix.Identity(4), bev=0.0, turn=0.0):
    """Boxes set in a ring about local z: knurls, dogs, slots."""
    for i in range(int(n * (1 if DETAIL == 1 else .5))):
        p.box(size, M @ Matrix.Rotation(2 * pi * i / int(n * (1 if DETAIL == 1 else .5)) + turn, 4, "Z") @ Matrix.Translation((r, 0, 0)), mat, bev, 1)

# The trigger is 1.25 m from the tip, and the nozzle makes the last 60 mm of that.
LEFT = 30      # how far the left forearm comes in from the side
TIP = 1.25; SEAT = TIP - .060
def build_lance():
    R = root("lance", kind="lance", length_m=1.60, tip_to_trigger_m=TIP, two_handed=True); L = Part("body"); ST, RB, PD, PF = "m_steel", "m_rubber", "m_paint_dark", "m_paint_frame"
    # barrel: tube, lock nuts, cover where a hand may slip to, holder of the nozzle
    L.tube([(0, .10, 0), (0, SEAT - .05, 0)], .0115, ST, 0, 16); L.hexnut(.034, .03, Y(.095), ST); L.hexnut(.030, .016, Y(.128), ST)
    L.lathe([(.0118, 0), (.017, .004), (.017, .30), (.0118, .306)], Y(.17), RB, 16, .003); [L.torus(.0172, .0016, Y(.19 + .02 * i), RB, 14, 5) for i in range(14 if DETAIL == 1 else 0)]
    L.cyl(.0185, .045, Y(SEAT - .075), ST, 22, .003); L.hexnut(.034, .026, Y(SEAT - .032), ST); L.cyl(.0145, .008, Y(SEAT - .006), ST, 20, .001)
    for y in (.70, .96): L.cyl(.0150, .02, Y(y), PD, 18, .003)
    # valve body in two halves, screwed together, with a cover and a plate
    L.prism(fillet([(-.135, -.030), (-.06, -.040), (.085, -.034), (.095, -.022), (.095, .026), (.070, .044), (-.095, .044), (-.135, .028)], .012, 3, True), .041, YZ, PD, .007, 3)
    L.prism(fillet([(-.115, .004), (.075, .004), (.058, .044), (-.080, .044)], .014, 4, True), .043, YZ, PF, .009, 3)
    L.box((.0424, .215, .003), at((0, -.02, -.001)), "m_dark", 0)
    # On the cover, where the eye of who braces it is: a ribbed pad, and the screws that hold it.
    L.box((.0230, .094, .0030), at((0, -.012, .0445)), RB, .0014, 2); [L.box((.0200, .0032, .0026), at((0, -.052 + .010 * i, .0465)), RB, .0009, 1) for i in range(9 if DETAIL == 1 else 0)]
    [L.bolt(.0050, at((0, y, .0436))) for y in (-.068, .044)]
    [L.bolt(.0045, at((s * .0210, y, z), "x" if s > 0 else "-x")) for s in (-1, 1) for y, z in ((-.118, -.018), (-.05, -.027), (.03, -.026), (.082, -.016), (-.09, .030), (.055, .030))]
    for s in (-1, 1): L.box((.0012, .027, .027), at((s * .0218, -.022, .023)), ST, 0); L.quad(.024, .024, Matrix.Translation((s * .0226, -.022, .023)) @ (AX["x"] if s > 0 else AX["-x"]) @ Matrix.Rotation(rad(90 * s), 4, "Z"), (512, 272, 224, 224))
    L.cyl(.024, .022, Y(.084), ST, 22, .003)
    # pistol grip: a bar for the hand, finger stop, foot; guard from its foot to the body
    G0, G1 = Vector((0, -.030, -.020)), Vector((0, -.062, -.160)); g = (G1 - G0).normalized()
    L.tube([G0, G1], .0158, RB, 0, 18, radii=None); [L.torus(.0160, .0018, Matrix.Translation(G0.lerp(G1, .22 + .062 * i)) @ g.to_track_quat("Z", "Y").to_matrix().to_4x4(), RB, 14, 5) for i in range(11 if DETAIL == 1 else 0)]
    L.box((.040, .052, .014), Matrix.Translation(G1) @ Matrix.Rotation(rad(-13), 4, "X"), PD, .006, 2)
    L.tube([(0, -.050, -.166), (0, .020, -.166), (0, .062, -.120), (0, .066, -.034)], .0052, ST, .035, 8)
    # foregrip: a clamp on the barrel, the bar down and a little to the left
    fy = .56; L.box((.040, .046, .042), at((0, fy, 0)), PD, .008, 2); [L.bolt(.0042, at((x, fy + y, .021))) for x in (-.012, .012) for y in (-.014, .014)]
    F0, F1 = Vector((-.004, fy, -.018)), Vector((-.030, fy - .006, -.150)); f = (F1 - F0).normalized()
    L.tube([F0, F1], .0158, RB, 0, 18); [L.torus(.0160, .0018, Matrix.Translation(F0.lerp(F1, .22 + .062 * i)) @ f.to_track_quat("Z", "Y").to_matrix().to_4x4(), RB, 14, 5) for i in range(11 if DETAIL == 1 else 0)]
    L.lathe([(0, 0), (.021, 0), (.023, .004), (.021, .012), (0, .013)], Matrix.Translation(F1) @ f.to_track_quat("Z", "Y").to_matrix().to_4x4(), PD, 18, .002)
    # shoulder rest on two tubes
    for x in (-.014, .014): L.tube([(x, -.125, .012), (x, -.22, .012), (x, -.315, -.012)], .0075, ST, .05, 10)
    L.prism(fillet([(-.350, .060), (-.318, .066), (-.308, -.06), (-.318, -.100), (-.350, -.104), (-.338, -.02)], .014, 3, True), .044, YZ, RB, .010, 3); L.box((.052, .03, .03), at((0, -.312, -.008)), PD, .006)
    # where the hose comes in: an elbow behind the grip
    H0, H1 = Vector((0, -.120, -.012)), Vector((0, -.215, -.115)); h = (H1 - H0).normalized(); Q = h.to_track_quat("Z", "Y").to_matrix().to_4x4()
    L.tube([(0, -.08, -.012), H0, H1], .014, ST, .04, 12); L.hexnut(.036, .026, Matrix.Translation(H1) @ Q, ST); L.cyl(.016, .018, Matrix.Translation(H1 + h * .026) @ Q, "m_brass", 18, .002)
    L.done(R, extras={"role": "static"})
    t = Part("trigger"); t.prism(fillet([(-.006, .010), (.012, .010), (.020, -.03), (.014, -.085), (.020, -.118), (.010, -.120), (.003, -.088), (.008, -.035), (-.004, -.006)], .006, 2, True), .017, at(), ST, .003, 2); t.cyl(.0045, .034, at((.003, .003, -.017)), PD, 10)
    t.done(R, Matrix.Translation((0, .018, -.036)) @ YZ, {"role": "trigger", "deg_rest": 0.0, "deg_pulled": -17.0})
    s = Part("safety_catch"); s.cyl(.0065, .074, at((0, 0, -.037)), "m_red", 14, .001)
    for e in (-1, 1): s.box((.010, .026, .005), at((0, .010, e * .0365)), "m_red", .002)
    s.done(R, at((0, -.088, -.016), "x"), {"role": "catch", "deg_safe": 0.0, "deg_free": 60.0})
    empty("at_nozzle", R, Y(SEAT), {"role": "attach", "fits": "nozzle"}); empty("at_tip", R, Y(TIP), {"role": "jet"})
    empty("at_hose", R, Matrix.Translation(H1 + h * .044) @ Q, {"role": "attach", "fits": "hp_hose"}); empty("at_shoulder", R, Matrix.Translation((0, -.345, -.02)))
    # A hand's own x lies along the bar it grips: this is where a model of the arm goes as it is.
    def hold(a, b, share, x):
        c = a.lerp(b, share); up = (a - b).normalized()                      # the thumb is at the upper end
        bx = -up if x > 0 else up; fy_ = Vector((0, 1, 0)); fy_ = (fy_ - bx * fy_.dot(bx)).normalized(); n = bx.cross(fy_); M = Matrix((bx, fy_, n)).transposed().to_4x4(); M.translation = c; return M
    empty("at_hand_r", R, hold(G0, G1, .52, 1) @ Matrix.Rotation(rad(12), 4, "X"), {"role": "grip"}); empty("at_hand_l", R, hold(F0, F1, .55, -1) @ Matrix.Rotation(rad(LEFT), 4, "X"), {"role": "grip"})
    return R

def nozzle(name, title, head):
    R = root(name, kind="nozzle", length_m=.060); p = Part("nozzle_body"); head(p); p.done(R); empty("at_jet", R, Y(.060), {"role": "jet"}); return R
def seat(p, af=.026): p.cyl(.0105, .010, Y(0), "m_steel", 18, .001); p.hexnut(af, .017, Y(.009), "m_steel")
def build_fan():
    """A broad tip cut by a slot; two cheeks keep the edge; an amber ring."""
    def head(p):
        seat(p); p.lathe([(.0135, 0), (.0135, .010), (.0120, .014), (.0120, .024), (.0060, .030), (0, .030)], Y(.026), "m_brass", 24, .0012); p.ring(.0140, .002, .006, Y(.028), "m_guard", 24, .0008)
        for s in (-1, 1): p.prism(fillet([(-.0115, -.006), (.0115, -.006), (.0090, .008), (-.0090, .008)], .003, 3, True), .0055, Matrix.Translation((0, .052, s * .0066)) @ AX["y"] @ Matrix.Rotation(pi / 2, 4, "X"), "m_steel", .0012, 2)
        p.box((.0180, .004, .0022), at((0, .0560, 0)), "m_dark", 0)
    return nozzle("nozzle_fan", "fan", head)
def build_rotating():
    """A stout housing that the jet turns in; a blue ring, and slots that let the water out of the bearing."""
    def head(p):
        seat(p, .030); p.lathe([(.0135, 0), (.0200, .004), (.0205, .007), (.0205, .022), (.0185, .0255), (.0160, .030), (.0105, .034), (.0105, .0345)], Y(.0255), "m_steel", 28, .0014); p.ring(.0211, .002, .0055, Y(.0415), "m_blue", 28, .0008)
        ring_box(p, 10, .0204, (.002, .0032, .007), "m_dark", Y(.0350)); p.lathe([(.0105, 0), (.0088, -.001), (.0052, -.010), (0, -.012)], Y(.060), "m_dark", 22); p.cyl(.0026, .008, Matrix.Translation((.003, .047, 0)) @ AX["y"] @ Matrix.Rotation(rad(15), 4, "Y"), "m_brass", 10)
    return nozzle("nozzle_rotating", "rotating", head)
def build_coupling():
    R = root("coupling", kind="coupling"); h = Part("hose_end"); d = .032; hose_end(h, at(), d); h.tube([(0, 0, -d * 1.2), (0, 0, -.28), (.03, 0, -.42), (.10, 0, -.52)], d * .62, "m_rubber", .12, 16, 6)
    [h.torus(d * .66, .003, at((0, 0, -.12 - .02 * i)), "m_rubber", 18, 6) for i in range(6)]; h.done(R)
    n = Part("nut"); n.lathe([(d * .58, .01), (d * .98, .01), (d * .98, .022), (d * .92, .026), (d * .92, .058), (d * .98, .062), (d * .98, .07), (d * .74, .07), (d * .74, .012), (d * .58, .01)], at(), "m_steel", 24, .002)
    for i in range(3): a = i * 2 * pi / 3; n.box((.030, .016, .026), Matrix.Rotation(a, 4, "Z") @ Matrix.Translation((d * .98 + .011, 0, .042)), "m_steel", .004)
    n.done(R, extras={"role": "nut", "turns": 4.0, "pitch_m": .004}); empty("at_mate", R, at((0, 0, .07)), {"role": "attach", "fits": "hp_outlet"}); return R
BUILD = {"lance": build_lance, "nozzle_fan": build_fan, "nozzle_rotating": build_rotating, "coupling": build_coupling}
def held():
    """For the picture only: the lance with a nozzle on it, in its hands."""
    import people
    R = bpy.data.objects["lance"]; a = people.build_arms(); build_rotating().matrix_world = bpy.data.objects["at_nozzle"].matrix_world @ AX["-y"]
    bpy.context.view_layer.update()
    for n, h in (("arm_r", "at_hand_r"), ("arm_l", "at_hand_l")): o = bpy.data.objects[n]; o.parent = None; o.matrix_world = bpy.data.objects[h].matrix_world
LOOKS = {"lance": [((.75, -.75, .30), (0, .30, -.04), 30, -.45), ((.16, -.30, .38), (-.02, .42, -.10), 24, -1.2, held), ((.80, .10, .14), (0, .24, -.04), 30, -1.2)]}
