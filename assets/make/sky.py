"""The sky of a northern morning: rendered as a panorama with Cycles, sun disc off, thin broken clouds; the game has
its own sun. usage: sky.py OUT.exr ELEVATION_DEG CLOUD(0..1)"""
import bpy, sys
from math import radians as rad
out, elev, cloud = sys.argv[1], float(sys.argv[2]), float(sys.argv[3])
bpy.ops.wm.read_factory_settings(use_empty=True); s = bpy.context.scene
w = bpy.data.worlds.new("w"); s.world = w; w.use_nodes = True; nt = w.node_tree; N = nt.nodes; L = nt.links.new
bg = N["Background"]; sky = N.new("ShaderNodeTexSky")
for t in ("MULTIPLE_SCATTERING", "NISHITA"):
    try: sky.sky_type = t; break
    except TypeError: pass
sky.sun_disc = False; sky.sun_elevation = rad(elev); sky.sun_rotation = rad(120); sky.altitude = 20
tc = N.new("ShaderNodeTexCoord"); sep = N.new("ShaderNodeSeparateXYZ"); L(tc.outputs["Generated"], sep.inputs[0])
def math(op, a, b=None, clamp=False):
    m = N.new("ShaderNodeMath"); m.operation = op; m.use_clamp = clamp
    for i, v in enumerate((a, b)):
        if v is None: continue
        if isinstance(v, (int, float)): m.inputs[i].default_value = v
        else: L(v, m.inputs[i])
    return m.outputs[0]
z = math("MAXIMUM", sep.outputs[2], .04); zz = math("ADD", z, .06)
cx, cy = math("DIVIDE", sep.outputs[0], zz), math("DIVIDE", sep.outputs[1], zz)
comb = N.new("ShaderNodeCombineXYZ"); L(cx, comb.inputs[0]); L(cy, comb.inputs[1])
n1 = N.new("ShaderNodeTexNoise"); n1.inputs["Scale"].default_value = .55; n1.inputs["Detail"].default_value = 9; n1.inputs["Roughness"].default_value = .58; L(comb.outputs[0], n1.inputs["Vector"])
cov = math("MULTIPLY", math("SUBTRACT", n1.outputs[0], .62 - .28 * cloud), 3.2, True); fade = math("MULTIPLY", sep.outputs[2], 9.0, True); cov = math("MULTIPLY", cov, fade)
mix = N.new("ShaderNodeMix"); mix.data_type = "RGBA"; L(cov, mix.inputs[0]); L(sky.outputs[0], mix.inputs[6]); 
white = N.new("ShaderNodeMix"); white.data_type = "RGBA"; white.blend_type = "MIX"; L(math("MULTIPLY", cov, .55), white.inputs[0]); white.inputs[6].default_value = (9.5, 9.3, 9.0, 1); white.inputs[7].default_value = (5.2, 5.4, 5.8, 1); L(white.outputs[2], mix.inputs[7])
ground = N.new("ShaderNodeMix"); ground.data_type = "RGBA"; L(math("MULTIPLY", math("SUBTRACT", 0.0, sep.outputs[2]), 40.0, True), ground.inputs[0]); L(mix.outputs[2], ground.inputs[6]); ground.inputs[7].default_value = (1.3, 1.32, 1.3, 1)
L(ground.outputs[2], bg.inputs[0]); bg.inputs[1].default_value = .12
c = bpy.data.cameras.new("c"); c.type = "PANO"; c.panorama_type = "EQUIRECTANGULAR"; o = bpy.data.objects.new("c", c); o.rotation_euler = (rad(90), 0, rad(0)); s.collection.objects.link(o); s.camera = o
s.render.engine = "CYCLES"; s.cycles.samples = 24; s.cycles.use_denoising = False; s.render.resolution_x, s.render.resolution_y = 2048, 1024; s.render.image_settings.file_format = "OPEN_EXR"; s.render.image_settings.color_depth = "16"; s.render.filepath = out
bpy.ops.render.render(write_still=True)
s.render.image_settings.file_format = "PNG"; s.view_settings.view_transform = "AgX"; bpy.data.images["Render Result"].save_render(out.replace(".exr", ".png"))
