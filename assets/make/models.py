"""Builds the models and writes them as .glb, with what each one costs.
usage: TEX=<folder with the PNG textures> python models.py OUT [NAMES...] [--low] [--look PICTURES]
--low writes NAME.low.glb, the plainer one; --look also renders a small picture of each."""
import sys, time, json, struct, os
import kit
from kit import *
import unit, tools, people

BUILD = {**unit.BUILD, **tools.BUILD, **people.BUILD}
LOOKS = {**unit.LOOKS, **tools.LOOKS, **people.LOOKS}

def cost(path):
    """Triangles, primitives and nodes of a .glb."""
    with open(path, "rb") as f: f.read(12); n, _ = struct.unpack("<II", f.read(8)); g = json.loads(f.read(n))
    tri = sum(g["accessors"][p["indices"]]["count"] // 3 for m in g["meshes"] for p in m["primitives"])
    return dict(triangles=tri, primitives=sum(len(m["primitives"]) for m in g["meshes"]), nodes=len(g["nodes"]), actions=len(g.get("animations", [])), KiB=os.path.getsize(path) // 1024)

def without_sheet(path, sheet="m_decal"):
    """Takes the sheet of dials, plates and signs out of a .glb again: the game has it once, as a texture of its own."""
    with open(path, "rb") as f: d = f.read()
    n, = struct.unpack_from("<I", d, 12); g = json.loads(d[20:20 + n]); body = d[28 + n:]
    drop = set()
    for m in g.get("materials", []):
        at = m.get("pbrMetallicRoughness", {})
        if m["name"] == sheet and "baseColorTexture" in at: drop.add(g["textures"][at.pop("baseColorTexture")["index"]]["source"])
    if not drop: return
    views = {g["images"][i]["bufferView"] for i in drop}
    # Places of textures and images stay as they are numbered: only what was last may go.
    if any(i != len(g["images"]) - 1 for i in drop): raise SystemExit(f"{path}: the sheet is not the last image")
    g["images"].pop(); g["textures"] = [t for t in g["textures"] if t["source"] not in drop]
    parts, new, at = [], {}, 0
    for i, v in enumerate(g["bufferViews"]):
        if i in views: continue
        part = body[v.get("byteOffset", 0):v.get("byteOffset", 0) + v["byteLength"]]; part += b"\0" * (-len(part) % 4)
        new[i] = len(new); v["byteOffset"] = at; at += len(part); parts.append(part)
    g["bufferViews"] = [v for i, v in enumerate(g["bufferViews"]) if i in new]
    for a in g["accessors"]: a["bufferView"] = new[a["bufferView"]]
    for im in g["images"]: im["bufferView"] = new[im["bufferView"]]
    for k in ("images", "textures"):
        if not g[k]: del g[k]
    g["buffers"][0]["byteLength"] = at; text = json.dumps(g, separators=(",", ":")).encode(); text += b" " * (-len(text) % 4)
    with open(path, "wb") as f: f.write(struct.pack("<4sII", b"glTF", 2, 28 + len(text) + at) + struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", at, b"BIN\0") + b"".join(parts))

def picture(path, cam, look, lens=40, floor=0.0, size=(800, 450), samples=int(os.environ.get("SAMPLES", "6"))):
    """A small picture to judge the model by; the game has its own light."""
    s = bpy.context.scene; s.render.engine = "CYCLES"; s.cycles.device = "CPU"; s.cycles.samples = samples; s.cycles.use_denoising = True; s.render.threads_mode = "FIXED"; s.render.threads = 2
    s.render.resolution_x, s.render.resolution_y = size; s.view_settings.view_transform = "AgX"
    w = bpy.data.worlds.new("w"); s.world = w; w.use_nodes = True; nt = w.node_tree; bg = nt.nodes["Background"]; sk = nt.nodes.new("ShaderNodeTexSky")
    for t in ("MULTIPLE_SCATTERING", "NISHITA"):
        try: sk.sky_type = t; break
        except TypeError: pass
    sk.sun_elevation = rad(38); sk.sun_rotation = rad(150); sk.sun_size = rad(1.5); nt.links.new(sk.outputs[0], bg.inputs[0]); bg.inputs[1].default_value = .09
    g = bmesh.new(); f = g.faces.new([g.verts.new((x * 60, y * 60, floor)) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    me = bpy.data.meshes.new("floor"); g.to_mesh(me); g.free(); o = bpy.data.objects.new("floor", me); s.collection.objects.link(o); me.materials.append(material("m_concrete"))
    c = bpy.data.cameras.new("c"); c.lens = lens; c.clip_start = .02; co = bpy.data.objects.new("c", c); s.collection.objects.link(co); co.location = cam; co.rotation_euler = (Vector(look) - Vector(cam)).to_track_quat("-Z", "Y").to_euler(); s.camera = co
    s.render.filepath = path; t = time.time(); bpy.ops.render.render(write_still=True); print(f"picture {os.path.basename(path)} {time.time() - t:.1f}s", flush=True)
    for n in ("floor", "c"): bpy.data.objects.remove(bpy.data.objects[n])

def main():
    args = sys.argv[1:]; out = args[0]; pictures = args[args.index("--look") + 1] if "--look" in args else None
    want = [a for a in args[1:] if not a.startswith("--") and a != pictures]
    for name in want or BUILD:
        t0 = time.time(); bpy.ops.wm.read_factory_settings(use_empty=True); BUILD[name](); bpy.context.view_layer.update()
        objs = [o for o in bpy.context.scene.objects if o.type == "MESH"]
        bake_vertex_ao(objs, floor=name in FLOORED)
        path = os.path.join(out, f"{name}{'.low' if DETAIL < 1 else ''}.glb")
        bpy.ops.export_scene.gltf(filepath=path, export_format="GLB", export_yup=True, export_apply=True, export_extras=True, export_tangents=True, export_vertex_color="ACTIVE", export_all_vertex_colors=False, export_image_format="AUTO", export_animation_mode="ACTIONS", export_lights=False, export_cameras=False)
        without_sheet(path)
        print(name, f"{time.time() - t0:.1f}s", cost(path), flush=True)
        if pictures:
            for i, (cam, look, lens, floor, *setup) in enumerate(LOOKS.get(name, [((1.6, -2.6, 1.5), (0, 0, .5), 40, 0)])):
                if setup: setup[0]()
                picture(os.path.join(pictures, f"{name}_{i}.png"), cam, look, lens, floor)

FLOORED = {"pump_unit", "worker"}
if __name__ == "__main__": main()
