// Light on surfaces where more can be spent: one sun with soft shadows, near and far, the
// light of the surroundings out of two pictures of them, relief, gloss and haze. It is
// what the engine's own shader comes to for the materials of this yard, without what they
// do not have: other lamps, coats, films, glass that bends, decals. The adapters of
// office machines pay for each question that is asked of every pixel.
//
// As in the plain one, no branch depends on a number that is the same for a whole draw.

#import bevy_pbr::{
    forward_io::{VertexOutput, FragmentOutput},
    mesh_view_bindings::{
        view, lights, light_probes,
        directional_shadow_textures, directional_shadow_textures_comparison_sampler,
    },
    pbr_bindings,
    pbr_types,
}
#ifdef ENVIRONMENT_MAP
#import bevy_pbr::mesh_view_bindings::{
    diffuse_environment_map, specular_environment_map, environment_map_sampler,
}
#endif
#ifdef DISTANCE_FOG
#import bevy_pbr::mesh_view_bindings::fog
#endif

const PI: f32 = 3.14159265;

// Candela per square metre, until there are pictures of the surroundings.
const SKY: vec3<f32> = vec3(2800.0, 3200.0, 3700.0);
const GROUND: vec3<f32> = vec3(1250.0, 1220.0, 1150.0);

// One depth of a map of shadows, softened by the adapter over four.
fn lit_at(uv: vec2<f32>, layer: i32, depth: f32) -> f32 {
    return textureSampleCompareLevel(
        directional_shadow_textures,
        directional_shadow_textures_comparison_sampler,
        uv,
        layer,
        depth,
    );
}

// How much of the sun reaches a place. The near map is used as far as it goes, then the
// far one; where one gives way to the other, pixels take turns.
fn sunlit(place: vec4<f32>, normal: vec3<f32>, away: f32, noise: f32) -> f32 {
    let sun = &lights.directional_lights[0];
    let gives_way = 1.0 - (*sun).cascades_overlap_proportion * noise;
    let far = u32(away > (*sun).cascades[0].far_bound * gives_way) * ((*sun).num_cascades - 1u);
    let map = &(*sun).cascades[far];
    let lifted = place.xyz + normal * ((*sun).shadow_normal_bias * (*map).texel_size)
        + (*sun).direction_to_light * (*sun).shadow_depth_bias;
    let at = (*map).clip_from_world * vec4(lifted, 1.0);
    let layer = i32((*sun).depth_texture_base_index + far);

    // A tent over three texels each way, out of four looks: each look falls between two
    // texels so that the adapter's own softening gives both their share.
    let size = vec2<f32>(textureDimensions(directional_shadow_textures));
    let texel = (at.xy * vec2(0.5, -0.5) + 0.5) * size;
    let corner = floor(texel + 0.5);
    let past = texel + 0.5 - corner;
    let less = 3.0 - 2.0 * past;
    let more = 1.0 + 2.0 * past;
    let before = (corner - 0.5 + (2.0 - past) / less - 1.0) / size;
    let behind = (corner - 0.5 + past / more + 1.0) / size;
    let lit = less.x * less.y * lit_at(before, layer, at.z)
        + more.x * less.y * lit_at(vec2(behind.x, before.y), layer, at.z)
        + less.x * more.y * lit_at(vec2(before.x, behind.y), layer, at.z)
        + more.x * more.y * lit_at(behind, layer, at.z);
    let beyond = any(abs(at.xy) > vec2(1.0)) || at.z < 0.0 || at.z > 1.0;
    return select(lit / 16.0, 1.0, beyond);
}

// How the surroundings light what faces this way, and what is seen mirrored there.
fn surroundings(normal: vec3<f32>, mirrored: vec3<f32>, rough: f32) -> array<vec3<f32>, 2> {
#ifdef ENVIRONMENT_MAP
    // These pictures are kept as seen from the other side.
    let turned = vec3(1.0, 1.0, -1.0);
    let matt = textureSampleLevel(
        diffuse_environment_map, environment_map_sampler, normal * turned, 0.0,
    ).rgb;
    // What is rough mirrors less from far round.
    let smooth_ = 1.0 - rough * rough;
    let towards = mix(normal, mirrored, smooth_ * (sqrt(smooth_) + rough * rough));
    let level = rough * f32(light_probes.smallest_specular_mip_level_for_view);
    let mirror = textureSampleLevel(
        specular_environment_map, environment_map_sampler, towards * turned, level,
    ).rgb;
    return array(matt * light_probes.intensity_for_view, mirror * light_probes.intensity_for_view);
#else
    return array(
        mix(GROUND, SKY, 0.5 + 0.5 * normal.y),
        mix(GROUND, SKY, clamp(2.0 * mirrored.y + 0.5, 0.0, 1.0)),
    );
#endif
}

// What share of the surroundings a surface mirrors: a factor of what it mirrors straight
// on, and what comes to that at a slant. Karis, "Physically Based Shading on Mobile"
// (2014), gives these numbers.
fn mirrors(rough: f32, facing: f32) -> vec2<f32> {
    let r = rough * vec4(-1.0, -0.0275, -0.572, 0.022) + vec4(1.0, 0.0425, 1.04, -0.04);
    let bent = min(r.x * r.x, exp2(-9.28 * facing)) * r.x + r.y;
    return max(vec2(-1.04, 1.04) * bent + r.zw, vec2(0.00005));
}

// The tone curve is gentle; this gives back what it takes of colour and depth.
const SATURATION: f32 = 1.12;
const CONTRAST: f32 = 1.06;

// As it is shown: through the curve that the camera has for the sky, AgX (T. Sobotka),
// with 16.5 stops, ten of them below middle grey. The engine looks it up in a box of
// numbers; but its channels do not depend on each other, and a polynomial of the fifth
// degree fits the root of each within 1.2 of 255 steps.
fn shown(light: vec3<f32>) -> vec3<f32> {
    let grey = vec3(dot(light, vec3(0.2126, 0.7152, 0.0722)));
    let colour = max(mix(grey, light, SATURATION), vec3(0.00001));
    let inset = vec3(
        dot(colour, vec3(0.84247906, 0.0784336, 0.07922375)),
        dot(colour, vec3(0.04232824, 0.87846864, 0.07916613)),
        dot(colour, vec3(0.04237565, 0.0784336, 0.87914297)),
    );
    let stops = log2(inset / 0.18) + view.color_grading.exposure;
    let x = clamp((10.0 + CONTRAST * stops) / 16.5, vec3(0.0), vec3(1.0));
    let root = -0.15382855 + x * (2.77204294 + x * (-15.96090177
        + x * (39.8156678 + x * (-37.216374 + x * 11.74135775))));
    return max(root, vec3(0.0)) * root;
}

@fragment
fn fragment(in: VertexOutput, @builtin(front_facing) is_front: bool) -> FragmentOutput {
    let material = pbr_bindings::material;
    let flags = material.flags;
    var base = material.base_color;
#ifdef VERTEX_COLORS
    base *= in.color;
#endif
    // Where there is no texture the engine has a white one.
#ifdef VERTEX_UVS_A
    let uv = (material.uv_transform * vec3(in.uv, 1.0)).xy;
    base *= textureSampleBias(
        pbr_bindings::base_color_texture, pbr_bindings::base_color_sampler, uv, view.mip_bias,
    );
#endif
    let mode = flags & pbr_types::STANDARD_MATERIAL_FLAGS_ALPHA_MODE_RESERVED_BITS;
    var out: FragmentOutput;
    out.color.a = select(base.a, 1.0, mode == pbr_types::STANDARD_MATERIAL_FLAGS_ALPHA_MODE_OPAQUE);
    var colour = base.rgb;

    // A number for each pixel that is unlike its neighbours' (Jimenez, "Next Generation
    // Post Processing", 2014, gives these factors).
    let noise = fract(52.9829189 * fract(dot(in.position.xy, vec2(0.06711056, 0.00583715))));
    let from_eye = in.world_position.xyz - view.world_position.xyz;
    let away = length(from_eye);
    let sun = &lights.directional_lights[0];
    let towards = (*sun).direction_to_light;

    // What takes no light brings no normals, so that nothing is worked out for it.
#ifdef VERTEX_NORMALS
    let double_sided = (flags & pbr_types::STANDARD_MATERIAL_FLAGS_DOUBLE_SIDED_BIT) != 0u;
    let side = select(1.0, -1.0, double_sided && !is_front);
    let face = side * normalize(in.world_normal);
    var normal = face;
    var rough = material.perceptual_roughness;
    var metal = material.metallic;
    var open = 1.0;
#ifdef VERTEX_UVS_A
    let gloss = textureSampleBias(
        pbr_bindings::metallic_roughness_texture, pbr_bindings::metallic_roughness_sampler, uv, view.mip_bias,
    );
    rough *= gloss.g;
    metal *= gloss.b;
    // Our sheets of gloss tell in red how open a place is.
    open = gloss.r;
#ifdef VERTEX_TANGENTS
#ifdef STANDARD_MATERIAL_NORMAL_MAP
    var relief = 2.0 * textureSampleBias(
        pbr_bindings::normal_map_texture, pbr_bindings::normal_map_sampler, uv, view.mip_bias,
    ).xy - 1.0;
    let flip = (flags & pbr_types::STANDARD_MATERIAL_FLAGS_FLIP_NORMAL_MAP_Y) != 0u;
    relief.y *= select(1.0, -1.0, flip);
    let across = in.world_tangent.w * cross(in.world_normal, in.world_tangent.xyz);
    let out_ = sqrt(max(1.0 - dot(relief, relief), 0.0));
    normal = side * normalize(
        relief.x * in.world_tangent.xyz + relief.y * across + out_ * in.world_normal
    );
#endif
#endif
#endif

    let to_eye = -from_eye / away;
    let facing = max(dot(normal, to_eye), 0.0001);
    let mirrored = reflect(-to_eye, normal);
    // What is mirrored straight on.
    let straight = mix(0.16 * material.reflectance * material.reflectance, base.rgb, metal);
    let share = mirrors(rough, facing);
    // What is thrown to and fro in the roughness comes out in the end.
    let thrown = 1.0 + straight * (1.0 / (share.x + share.y) - 1.0);
    let mirror = (straight * share.x + share.y) * thrown;
    let matt = base.rgb * (1.0 - metal);

    let around = surroundings(normal, mirrored, rough);
    var light = open * (matt * (1.0 - min(mirror, vec3(1.0))) * around[0] + mirror * around[1]);

    let slant = dot(normal, towards);
    if slant > 0.0 {
        let lit = sunlit(in.world_position, face, away, noise);
        let half_way = normalize(towards + to_eye);
        let near_half = clamp(dot(normal, half_way), 0.0, 1.0);
        let a = max(rough, 0.089) * max(rough, 0.089);
        // The lobe of Trowbridge and Reitz, and how much of it hides behind itself, after
        // Hammon, "PBR Diffuse Lighting for GGX+Smith Microsurfaces" (2017).
        let lobe = a / (1.0 - near_half * near_half * (1.0 - a * a));
        let hides = 0.5 / mix(2.0 * slant * facing, slant + facing, a);
        let grazing = 1.0 - clamp(dot(towards, half_way), 0.0, 1.0);
        let grazing_2 = grazing * grazing;
        let fresnel = straight + (1.0 - straight) * (grazing_2 * grazing_2 * grazing);
        let glint = lobe * lobe / PI * hides * fresnel * thrown;
        light += (*sun).color.rgb * (lit * slant) * (matt / PI + glint);
    }
    let lit_colour = view.exposure * light + material.emissive.rgb * mix(1.0, view.exposure, material.emissive.a);
    let unlit = (flags & pbr_types::STANDARD_MATERIAL_FLAGS_UNLIT_BIT) != 0u;
    colour = select(lit_colour, colour, unlit);
#endif

#ifdef DISTANCE_FOG
    // Haze, lighter towards the sun.
    let to_sun = max(dot(from_eye, towards) / away, 0.0);
    let bright = pow(to_sun, fog.directional_light_exponent) * view.exposure;
    let haze = fog.base_color.rgb
        + bright * fog.directional_light_color.a * fog.directional_light_color.rgb * (*sun).color.rgb;
    let hazy = (flags & pbr_types::STANDARD_MATERIAL_FLAGS_FOG_ENABLED_BIT) != 0u;
    let thick = fog.base_color.a * (1.0 - exp(-away * fog.be.x));
    colour = mix(colour, haze, select(0.0, thick, hazy));
#endif
    // Less than one step of brightness of noise, so that even skies show no bands.
    let toned = shown(colour);
    out.color = vec4(toned + (noise - 0.5) / 128.0 * sqrt(toned), out.color.a);
    return out;
}
