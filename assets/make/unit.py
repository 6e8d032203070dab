"""The pump unit: machine on its skid, and the station in front of it that the operator stands at."""
import kit
from kit import *

def build_pump():
    R = root("machine", kind="pump"); F = Part("frame"); E_ = Part("engine"); P = Part("pump"); X = Part("fittings"); G = Part("guards")
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
    # regulator (unloader) with hand wheel
    ux = px + .13; X.box((.11, .10, .15), at((ux, my - .01, mz + .11)), ST, .012, 3); X.lathe([(0, 0), (.042, 0), (.042, .05), (.034, .06), (.034, .14), (.038, .145), (.038, .165), (.014, .17), (.014, .24), (0, .24)], at((ux, my - .01, mz + .18)), BR, 24, .003)
    for i in range(4): X.torus(.035, .004, at((ux, my - .01, mz + .255 + .016 * i)), ST, 22, 6)
    X.tube([(ux + .05, my - .01, mz + .12), (ux + .13, my - .01, mz + .12), (ux + .13, my + .12, mz + .2), (ux + .22, my + .40, mz + .30), (1.23, .0, 1.08)], .020, RB, .08, 12, 6)
    # dump valve with lever: lever axis = valve stem, pointing at the operator
    vx = px + .36; X.cyl(.055, .12, at((vx, my, mz - .16)), ST, 26, .008); X.tube([(vx, my, mz - .02), (vx, my, mz - .09)], .026, ST, 0, 14); X.hexnut(.07, .03, at((vx, my, mz - .08)), ST)
    X.cyl(.034, .05, at((vx, my - .04, mz - .10), "-y"), BR, 22, .004); X.cyl(.016, .07, at((vx, my - .06, mz - .10), "-y"), ST, 16)
    X.tube([(vx, my, mz - .16), (vx, my, mz - .26), (vx, my - .12, mz - .36), (vx, my - .14, .12)], .024, ST, .07, 14); empty("at_old_dump_out", R, at((vx, my - .14, .11), "-z"), {"role": "vfx", "effect": "dump_spray"})
    # relief valve on the far end, vent pipe down
    X.lathe([(0, 0), (.026, 0), (.026, .04), (.036, .045), (.036, .11), (.028, .13), (.028, .17), (.012, .18), (0, .18)], at((px + .46, my, mz + .045)), ST, 22, .003); X.torus(.014, .003, at((px + .46, my, mz + .235), "x"), ST, 16, 5); X.tube([(px + .46, my, mz + .12), (px + .56, my, mz + .12), (px + .56, my + .10, .30)], .016, ST, .05, 10); empty("at_relief_out", R, at((px + .56, my + .10, .29), "-z"), {"role": "vfx"})
    # --- water tank + strainer + suction hose
    tx = 1.25; t = Part("tank"); t.box((.34, .74, .78), at((tx, .14, .66)), "m_plastic", .06, 4); t.lathe([(0, 0), (.11, 0), (.11, .02), (.125, .025), (.125, .055), (.115, .06), (0, .065)], at((tx, .14, 1.04)), PD, 28, .006)
    [t.box((.352, .752, .03), at((tx, .14, z)), PF, .006) for z in (.42, .88)]; t.box((.40, .80, .06), at((tx, .14, .235)), PF, .01); t.tube([(tx - .05, -.245, .36), (tx - .05, -.245, .96)], .011, "m_glass", 0, 12); [t.cyl(.018, .03, at((tx - .05, -.23, z), "-y"), BR, 14) for z in (.36, .96)]
    t.box((.165, .004, .066), at((tx + .06, -.232, .66)), ST, 0); t.quad(.16, .06, Matrix.Translation((tx + .06, -.2345, .66)) @ AX["-y"], (0, 704, 256, 96)); t.done(R, extras={"role": "static"})
    M = at((tx + .17, .30, .95), "x"); X.cyl(.04, .05, M, BR, 22, .004); X.ring(.052, .014, .02, M @ Matrix.Translation((0, 0, .05)), BR, 22); empty("at_water_in", R, M @ Matrix.Translation((0, 0, .07)), {"role": "attach", "fits": "lp_hose"})
    X.tube([(px + .54, fy, .375), (tx - .02, fy, .375), (tx - .02, fy, .33), (tx - .02, -.24, .33)], .045, RB, .10, 16, 6); X.lathe([(0, 0), (.05, 0), (.06, .02), (.06, .15), (.07, .16), (.07, .20), (0, .21)], at((tx + .06, -.43, .26)), "m_glass", 24, .008); X.lathe([(0, 0), (.072, 0), (.072, .05), (.04, .07), (0, .07)], at((tx + .06, -.43, .45)), BR, 24, .005)
    if DETAIL == 1: X.tube([(tx + .06, -.43, .50), (tx + .06, -.43, .56)], .012, BR, 0, 8); X.cyl(.014, .05, at((tx + .06, -.23, .90), "-y"), BR, 12)     # tapping of the inlet, pocket of the tank's thermometer
    # --- guards: mesh in front of the plungers (top), belt side
    G.mesh_panel(.82, .19, Matrix.Translation((px, -.245, .80)) @ Matrix.Rotation(rad(8), 4, "X"), "m_guard", .03, .0022, .008)

    # beacon on the arch, sound and lift points
    F.cyl(.05, .03, at((.06, .52, 1.89)), PD, 22); bc = Part("beacon"); bc.lathe([(0, 0), (.042, 0), (.042, .06), (.03, .085), (0, .09)], at(), "m_lamp", 22, .006); bc.done(R, at((.06, .52, 1.92)), {"role": "lamp"})
    X.box((.13, .003, .13), at((.06, -.668, .95)), ST, 0); X.quad(.125, .125, Matrix.Translation((.06, -.6702, .95)) @ AX["-y"], (512, 272, 224, 224)); X.box((.13, .003, .13), at((.06, -.668, .80)), ST, 0); X.quad(.125, .125, Matrix.Translation((.06, -.6702, .80)) @ AX["-y"], (768, 272, 224, 224))
    for n, p in (("at_snd_engine", (ex, 0, .7)), ("at_snd_fluid_end", (px, fy, .7)), ("at_snd_exhaust", (ex + .42, .34, 1.85)), ("at_exhaust", (ex + .42, .34, 1.82)), ("at_lift", (.06, 0, 2.0))): empty(n, R, Matrix.Translation(p))
    for p in (F, E_, P, X, G): p.done(R, extras={"role": "static"})
    return R


def W(x, y, z): return (x - .6, -(z + .4), y)           # a place in the yard's own measures -> here
def out(x, y, z): return at(W(x, y, z), "-y")            # own z towards the operator
def station(R):
    """The panel that the operator stands at. Every control is where the levels say (metres: east, up, south)."""
    PF, PD, ST, PB, RB = "m_paint_frame", "m_paint_dark", "m_steel", "m_paint_body", "m_rubber"
    S = Part("station"); F = .450                                  # the face of the panel
    # frame: two posts on feet with braces, rails, the sheet with its printed face and turned edges
    for x in (-.135, 1.275):
        S.box((.06, .06, 1.50), at(W(x, .75, .40)), PF, .010, 3); S.box((.16, .30, .016), at(W(x, .008, .36)), PF, .004); [S.bolt(.010, at(W(x + a, .016, .36 + b))) for a in (-.055, .055) for b in (-.12, .12)]
        S.tube([W(x, .12, .36), W(x, .50, .06)], .018, PF, 0, 10); S.cyl(.037, .010, at(W(x, 1.50, .40)), PD, 16, .003)
    S.box((1.47, .05, .05), at(W(.57, 1.475, .40)), PF, .008); S.box((1.47, .05, .05), at(W(.57, .66, .40)), PF, .008); S.box((1.47, .05, .05), at(W(.57, .12, .40)), PF, .008)
    S.box((1.376, .022, .816), at(W(.57, 1.09, F - .0135)), PB, .008, 3)
    S.quad(1.34, .78, Matrix.Translation(W(.57, 1.09, F - .0005)) @ AX["-y"], (0, 0, 1024, 1024), "m_panel")
    [S.lathe([(0, 0), (.0075, 0), (.0075, .0018), (.0055, .0034), (0, .0036)], out(x, y, F - .002), ST, 14, .0006) for x in (-.107, .23, .57, .91, 1.247) for y in (.692, 1.488)]
    S.prism(fillet([(-.02, 0), (.085, 0), (.10, -.028), (.094, -.030), (.08, -.008), (-.02, -.008)], .008, 3, True), 1.40, Matrix.Translation(W(.57, 1.512, .42)) @ Matrix(((0, 0, 1, 0), (-1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 0, 1))), PF, .002)     # a lip against rain
    # pictures on the sheet
    for x, y, w, rect in ((.030, 1.345, .155, (512, 272, 224, 224)), (-.052, 1.205, .074, (0, 832, 191, 191)), (.030, 1.205, .074, (192, 832, 191, 191)), (.112, 1.205, .074, (384, 832, 191, 191)), (1.135, 1.415, .085, (768, 272, 224, 224))):
        S.box((w + .006, .0016, w + .006), at(W(x, y, F + .0008)), ST, 0); S.quad(w, w, Matrix.Translation(W(x, y, F + .0022)) @ AX["-y"], rect)
    # valve bodies behind the sheet, stems through it, and the pipes they sit in
    for x, y, r in ((.0, .8, .036), (.2, 1.0, .022), (.9, 1.1, .036), (1.1, .9, .026)):
        S.cyl(r, .09, at(W(x, y, .36), "y"), ST, 20, .004); S.hexnut(r * 1.25, .02, out(x, y, F - .002), "m_brass", .002); S.cyl(r * .62, .046, out(x, y, F + .012), ST, 18, .002)
    S.tube([W(.0, .8, .34), W(.0, .55, .34), W(.0, .30, .20), W(.1, .30, -.1)], .024, ST, .06, 12); S.tube([W(.0, .8, .34), W(-.06, .8, .30), W(-.30, .55, .20), W(-.62, .10, .24), W(-1.0, .06, .3)], .026, RB, .10, 12)
    S.tube([W(.2, 1.0, .36), W(.2, .70, .30), W(.3, .55, -.05)], .010, ST, .05, 10); S.tube([W(.2, 1.0, F + .03), W(.2, .965, F + .034), W(.2, .945, F + .034)], .006, "m_brass", .01, 8)
    S.tube([W(.9, 1.1, .36), W(.9, .70, .34), W(.9, .18, .34)], .026, ST, .05, 14); S.tube([W(.9, 1.1, .36), W(.9, 1.1, .2), W(.9, .62, .05)], .020, ST, .06, 12); [S.hexnut(.058, .03, at(W(.9, y, .34)), ST) for y in (.60, .36)]; S.lathe([(.026, 0), (.040, -.01), (.044, -.06), (.040, -.062), (.030, -.02)], at(W(.9, .20, .34)), ST, 22, .002)
    S.tube([W(1.1, .9, .36), W(1.1, .60, .34), W(1.1, .20, .34)], .012, ST, .05, 10); S.tube([W(1.1, .9, .36), W(1.1, .9, .15), W(1.1, .55, .02)], .014, ST, .06, 10)
    # drain in the floor under dump and bleed: a gully with a grating
    S.box((.56, .34, .012), at(W(1.0, .006, .34)), ST, .003); S.box((.50, .28, .003), at(W(1.0, .0135, .34)), "m_dark", 0); bars = 15 if kit.DETAIL == 1 else 8; [S.box((.008, .28, .012), at(W(.765 + .469 * i / (bars - 1), .016, .34)), "m_zinc", .001, 1) for i in range(bars)]; [S.box((.50, .008, .012), at(W(1.0, .016, .24 + .10 * i)), "m_zinc", .001, 1) for i in range(3)]
    # the line to the hose, and where the hose is coupled on: low at the east side
    S.tube([W(.9, .62, .05), W(1.42, .55, .05), W(1.62, .40, .1), W(1.66, .16, .185)], .020, RB, .10, 12); S.box((.10, .10, .09), at(W(1.68, .135, .19)), ST, .010, 3); S.box((.16, .16, .02), at(W(1.68, .01, .19)), PF, .004); S.box((.04, .06, .10), at(W(1.68, .06, .19)), PF, .004); S.hexnut(.05, .02, out(1.7, .14, .235), ST)
    # gauge on its bracket; its line comes up through the rail
    S.tube([W(.62, 1.62, .36), W(.62, 1.30, .36), W(.7, 1.0, .1)], .010, ST, .05, 10); S.box((.09, .012, .13), at(W(.62, 1.53, .385)), PF, .004); S.cyl(.030, .05, out(.62, 1.62, .35), "m_brass", 18, .003)
    M = out(.62, 1.62, .41); gauge(S, R, M, .135, (0, 0, 512, 512), "gauge_needle", role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=0.0, value_max=1600.0, unit="bar")
    S.torus(.136, .006, M @ at((0, 0, .02)), PD, 40, 8); empty("at_gauge", R, M @ Matrix.Translation((0, 0, .02)), {"role": "look_at"})
    M = out(.25, 1.32, F + .014); gauge(S, R, M, .055, (768, 0, 256, 256), "tacho_needle", role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=0.0, value_max=3000.0, unit="rpm")
    # what the unit needs to stay well, on one board beside it: inlet, oil, tank, and the lamp of the oil guard
    S.box((.474, .014, .190), at(W(1.02, 1.617, .403)), PD, .006); [S.box((.04, .012, .13), at(W(x, 1.50, .390)), PF, .003) for x in (.86, 1.18)]
    for n, (x, rect, low, high, unit) in enumerate(((.851, (512, 0, 256, 256), -1.0, 5.0, "bar"), (.9635, (512, 608, 170, 170), 0.0, 6.0, "bar"), (1.076, (682, 608, 170, 170), 0.0, 120.0, "degC"), (1.1885, (852, 608, 170, 170), 0.0, 80.0, "degC"))):
        small_gauge(S, R, out(x, 1.585, .424), .050, rect, ("inlet_needle", "oil_pressure_needle", "oil_heat_needle", "tank_needle")[n], role="needle", deg_at_min=0.0, deg_at_max=-270.0, value_min=low, value_max=high, unit=unit)
    if kit.DETAIL == 1: S.lathe([(.019, 0), (.019, .006), (.0135, .010), (.0135, 0)], out(1.02, 1.678, .410), ST, 20, .001)
    S.lathe([(.0135, 0), (.0135, .006), (.008, .011), (0, .012)], out(1.02, 1.678, .410), "m_lamp_dark", 14); S.quad(.080, .030, Matrix.Translation(W(1.090, 1.678, .4106)) @ AX["-y"], (0, 608, 256, 96))
    l = Part("oil_lamp"); l.lathe([(.0145, 0), (.0145, .007), (.009, .012), (0, .0132)], at(), "m_lamp_red", 14); l.done(R, out(1.02, 1.678, .410), {"role": "lamp"})
    for x, far in () if kit.DETAIL < 1 else ((.851, W(.35, 1.0, .1)), (.9635, W(1.0, .9, .0)), (1.076, W(1.1, .85, -.05))): S.tube([W(x, 1.55, .385), W(x, 1.40, .37), far], .0045, "m_brass", .05, 6)
    if kit.DETAIL == 1: S.tube([W(1.1885, 1.55, .385), W(1.19, 1.42, .37), W(1.26, .95, .2), W(1.45, .74, -.05), W(1.57, .666, -.16)], .0035, "m_brass", .05, 6)
    empty("at_dials", R, out(1.02, 1.61, .43), {"role": "look_at"})
    # sockets of the smaller controls
    S.lathe([(0, 0), (.031, 0), (.031, .006), (.026, .020), (.026, .022), (0, .022)], out(.4, 1.3, F - .001), ST, 26, .002); S.lathe([(0, 0), (.037, 0), (.037, .005), (.020, .012), (.020, .024), (0, .024)], out(.5, 1.2, F - .001), PD, 26, .002)
    S.lathe([(0, 0), (.040, 0), (.040, .010), (.026, .014), (.022, .030), (0, .030)], out(.7, 1.2, F - .001), "m_brass", 26, .002); S.lathe([(0, 0), (.054, 0), (.054, .010), (.042, .026), (.0385, .028), (0, .028)], out(.6, 1.4, F - .001), "m_guard", 32, .003)
    S.done(R, extras={"role": "static"})
    # controls: share 0 as built; own z points at the operator
    def lever(name, x, y, deg, length, mat, r=.008):
        l = Part(name); l.lathe([(0, -.022), (.020, -.022), (.024, -.018), (.024, .004), (.020, .008), (0, .008)], at(), ST, 22, .002); l.hexnut(.020, .008, at((0, 0, .008)), ST)
        l.prism(fillet([(-.011, -.012), (.011, -.012), (.009, length * .50), (-.009, length * .50)], .006, 3, True), .009, at((0, 0, -.004)), ST, .002); l.tube([(0, length * .42, -.002), (0, length * .55, .010), (0, length - .01, .022)], r, ST, .03, 10)
        l.tube([(0, length * .55, .010), (0, length, .024)], r * 1.85, mat, 0, 16); [l.torus(r * 1.85, .0016, Matrix.Translation((0, length * (.60 + .055 * i), .0115 + .0017 * i)) @ AX["y"], mat, 16, 5) for i in range(7 if length > .15 and DETAIL == 1 else 0)]
        l.lathe([(0, 0), (r * 2.2, 0), (r * 2.4, .004), (r * 1.6, .012), (0, .014)], Matrix.Translation((0, length - .002, .0235)) @ AX["y"], mat, 16, .001); l.done(R, out(x, y, .5), {"kind": "lever", "deg_min": 0.0, "deg_max": deg})
    lever("ctl_supply", .0, .8, -90.0, .155, "m_teal"); lever("ctl_air_bleed", .2, 1.0, -90.0, .068, "m_teal", .0055); lever("ctl_dump", .9, 1.1, -90.0, .228, "m_red", .009); lever("ctl_bleed", 1.1, .9, -90.0, .098, "m_paint_accent", .0065)
    k = Part("ctl_key"); k.ring(.019, .008, .010, at((0, 0, -.036)), ST, 24, .002); k.cyl(.012, .012, at((0, 0, -.034)), ST, 18, .001); k.box((.006, .026, .024), at((0, 0, -.014)), ST, .001); k.lathe([(0, -.003), (.019, -.003), (.0205, 0), (.019, .003), (0, .003)], Matrix.Translation((0, 0, .008)) @ AX["x"] @ Matrix.Diagonal((1, .78, 1, 1)), PD, 26, .001); k.box((.0065, .012, .004), at((0, .014, -.023)), "m_paint_accent", 0)
    k.done(R, out(.4, 1.3, .5), {"kind": "selector", "deg_min": 0.0, "deg_max": -90.0})
    t = Part("ctl_throttle"); t.lathe([(0, -.028), (.033, -.028), (.035, -.024), (.031, .004), (.027, .007), (0, .008)], at(), PD, 32, .002)
    for i in range(20 if DETAIL == 1 else 0): t.box((.003, .0045, .024), Matrix.Rotation(2 * pi * i / 20, 4, "Z") @ Matrix.Translation((.0330, 0, -.011)) @ Matrix.Rotation(rad(-8), 4, "Y"), PD, .0008, 1)
    t.box((.0052, .024, .003), at((0, .020, .0078)), "m_paint_accent", .001); t.done(R, out(.5, 1.2, .5), {"kind": "knob", "deg_min": 130.0, "deg_max": -130.0})
    r = Part("ctl_regulator"); r.torus(.062, .0088, at((0, 0, 0)), PD, 40, 12); [r.tube([(.012 * cos(a), .012 * sin(a), -.010), (.060 * cos(a), .060 * sin(a), -.001)], .0055, ST, 0, 8) for a in np.linspace(pi / 2, pi / 2 + 2 * pi, 4)[:-1]]; r.lathe([(0, -.030), (.013, -.030), (.013, -.018), (.019, -.014), (.019, .000), (.013, .005), (0, .005)], at(), ST, 22, .002); r.hexnut(.014, .006, at((0, 0, .004)), ST)
    for i in range(9 if DETAIL == 1 else 0): r.lathe([(0, 0), (.0035, 0), (.0035, .003), (0, .004)], Matrix.Rotation(2 * pi * (i + .5) / 9, 4, "Z") @ Matrix.Translation((.0695, 0, 0)) @ AX["x"], PD, 8)
    r.box((.005, .016, .003), at((0, .062, .0085)), "m_paint_accent", .001); r.done(R, out(.7, 1.2, .5), {"kind": "knob", "deg_min": 0.0, "deg_max": -2160.0})
    e = Part("ctl_emergency_stop"); e.lathe([(0, -.024), (.015, -.024), (.015, -.006), (.034, -.003), (.0375, .004), (.0365, .012), (.026, .0225), (0, .026)], at(), "m_red", 36, .002); e.done(R, out(.6, 1.4, .5), {"kind": "push", "travel_m": -.014})
    empty("at_dump_out", R, at(W(.9, .14, .34), "-z")); empty("at_bleed_out", R, at(W(1.1, .20, .34), "-z")); empty("at_air_spit", R, at(W(.2, .945, F + .034), "-z")); empty("at_hose", R, at(W(1.7, .14, .25), "-y"), {"role": "attach", "fits": "hp_hose", "bore_m": .013}); empty("at_operator_eye", R, Matrix.Translation(W(.6, 1.66, 1.0)))

def build_unit():
    R = root("pump_unit", kind="pump_unit"); fine = kit.DETAIL; kit.DETAIL = min(fine, .8)      # the machine stands behind the panel
    body = build_pump(); kit.DETAIL = fine; body.name = "unit_body"; body.parent = R; body.scale = (.74, .74, .74); body.location = (0, -.06, 0)
    station(R); return R

BUILD = {"pump_unit": build_unit}
LOOKS = {"pump_unit": [((.0, -1.75, 1.70), (.0, -.9, 1.22), 24, 0), ((.9, -4.2, 1.9), (.0, -.4, .85), 34, 0)]}
