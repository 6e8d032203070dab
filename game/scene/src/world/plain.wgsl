// Light on surfaces where little can be spent on it: one sun with its shadow, the
// sky above and the ground below as two colours, and a mirror that knows no more
// than these. The engine's own shader asks for everything that a surface can have,
// and a processor that draws pays for each question.
//
// No branch in it depends on a number that is the same for a whole draw. A driver that
// draws with the processor may make a shader anew for each value of such a number, which
// takes long, and one of them never lets go of what it made until memory is full.

#import bevy_pbr::{
    forward_io::{VertexOutput, FragmentOutput},
    mesh_view_bindings::{
        view, lights, directional_shadow_textures, directional_shadow_textures_comparison_sampler,
    },
    pbr_bindings,
    pbr_types,
}

#ifdef BINDLESS
#import bevy_pbr::mesh_bindings::mesh
#import bevy_pbr::pbr_bindings::material_indices
#import bevy_render::bindless::{bindless_samplers_filtering, bindless_textures_2d}
#endif

// Candela per square metre.
const ZENITH: vec3<f32> = vec3(2000.0, 2700.0, 3600.0);
const HORIZON: vec3<f32> = vec3(3600.0, 3750.0, 3800.0);
const GROUND: vec3<f32> = vec3(1250.0, 1220.0, 1150.0);

fn surroundings(towards: vec3<f32>) -> vec3<f32> {
    let sky = mix(HORIZON, ZENITH, clamp(towards.y, 0.0, 1.0));
    return mix(GROUND, sky, clamp(6.0 * towards.y + 0.5, 0.0, 1.0));
}

fn diffuse_light(normal: vec3<f32>) -> vec3<f32> {
    return mix(GROUND, 0.55 * (HORIZON + ZENITH), 0.5 + 0.5 * normal.y);
}

// A tone curve with a soft shoulder, so that white does not burn out, and a toe.
fn toned(light: vec3<f32>) -> vec3<f32> {
    return light * (light + 0.02) / (light * (light + 0.9) + 0.06);
}

// How much of the sun reaches a place, by the one map of shadows that there is.
fn sunlit(place: vec4<f32>, normal: vec3<f32>) -> f32 {
    let sun = &lights.directional_lights[0];
    let map = &(*sun).cascades[0];
    let lifted = place.xyz + normal * ((*sun).shadow_normal_bias * (*map).texel_size)
        + (*sun).direction_to_light * (*sun).shadow_depth_bias;
    let at = (*map).clip_from_world * vec4(lifted, 1.0);
    let uv = at.xy * vec2(0.5, -0.5) + 0.5;
    let lit = textureSampleCompareLevel(
        directional_shadow_textures,
        directional_shadow_textures_comparison_sampler,
        uv,
        i32((*sun).depth_texture_base_index),
        at.z,
    );
    let beyond = any(abs(at.xy) > vec2(1.0)) || at.z < 0.0 || at.z > 1.0;
    return select(lit, 1.0, beyond);
}

@fragment
fn fragment(in: VertexOutput, @builtin(front_facing) is_front: bool) -> FragmentOutput {
#ifdef BINDLESS
    let slot = mesh[in.instance_index].material_and_lightmap_bind_group_slot & 0xffffu;
    let material = pbr_bindings::material_array[material_indices[slot].material];
#else
    let material = pbr_bindings::material;
#endif
    let flags = material.flags;
    var base = material.base_color;
#ifdef VERTEX_COLORS
    base *= in.color;
#endif
    // Where there is no texture the engine has a white one; models bring no place in it then.
#ifdef VERTEX_UVS_A
    let uv = (material.uv_transform * vec3(in.uv, 1.0)).xy;
#ifdef BINDLESS
    base *= textureSampleBias(
        bindless_textures_2d[material_indices[slot].base_color_texture],
        bindless_samplers_filtering[material_indices[slot].base_color_sampler],
        uv,
        view.mip_bias,
    );
#else
    base *= textureSampleBias(
        pbr_bindings::base_color_texture,
        pbr_bindings::base_color_sampler,
        uv,
        view.mip_bias,
    );
#endif
#endif

    let mode = flags & pbr_types::STANDARD_MATERIAL_FLAGS_ALPHA_MODE_RESERVED_BITS;
    var out: FragmentOutput;
    out.color.a = select(base.a, 1.0, mode == pbr_types::STANDARD_MATERIAL_FLAGS_ALPHA_MODE_OPAQUE);

    // What takes no light brings no normals, so that nothing is worked out for it.
#ifndef VERTEX_NORMALS
    out.color = vec4(toned(base.rgb), out.color.a);
    return out;
#else

    let double_sided = (flags & pbr_types::STANDARD_MATERIAL_FLAGS_DOUBLE_SIDED_BIT) != 0u;
    let normal = normalize(in.world_normal) * select(1.0, -1.0, double_sided && !is_front);
    let to_eye = normalize(view.world_position.xyz - in.world_position.xyz);
    let mirrored = reflect(-to_eye, normal);
    let smooth_ = 1.0 - material.perceptual_roughness;
    let facing = 1.0 - clamp(dot(normal, to_eye), 0.0, 1.0);
    let grazing = facing * facing * facing * facing * facing;

    // How much is mirrored straight on, and at a slant.
    let straight = mix(vec3(0.16 * material.reflectance * material.reflectance), base.rgb, material.metallic);
    let mirror = straight + (1.0 - straight) * grazing * smooth_ * smooth_;
    let matt = base.rgb * (1.0 - material.metallic);

    var light = matt * diffuse_light(normal) + mirror * mix(diffuse_light(normal), surroundings(mirrored), smooth_);

    let sun = &lights.directional_lights[0];
    let towards = (*sun).direction_to_light;
    let slant = dot(normal, towards);
    if slant > 0.0 {
        let shadow = sunlit(in.world_position, normal);
        // The glint of the sun, sharper on what is smoother.
        let glint = max(dot(mirrored, towards), 0.0);
        let sharp = glint * glint * glint * glint;
        let sharper = sharp * sharp * sharp * sharp;
        let shine = mix(0.3 * sharp, 4.0 * sharper * sharper, smooth_) * smooth_;
        light += (*sun).color.rgb * shadow * slant * (matt * 0.318 + mirror * shine);
    }

    var colour = view.exposure * light;
    colour += material.emissive.rgb * mix(1.0, view.exposure, material.emissive.a);
    out.color = vec4(toned(colour), out.color.a);
    return out;
#endif
}
