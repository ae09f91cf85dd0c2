// The shaders of the scene (OpenGL 3.3).
#pragma once

namespace kerfkiln::viewer::shader {

inline constexpr const char* kSolidVertex = R"(#version 330 core
layout(location = 0) in vec3 at;
layout(location = 1) in vec3 normal;
uniform mat4 view, projection;
uniform vec3 move;
uniform vec4 cut;
out vec3 eye_normal, world_normal, eye_at;
void main() {
  vec4 world = vec4(at + move, 1.0);
  vec4 eye = view * world;
  eye_at = eye.xyz;
  eye_normal = mat3(view) * normal;
  world_normal = normal;
  gl_ClipDistance[0] = cut.w - dot(cut.xyz, world.xyz);
  gl_Position = projection * eye;
})";

// A matt material under a window to the upper left and the light that a bench throws back.
inline constexpr const char* kSolidFragment = R"(#version 330 core
in vec3 eye_normal, world_normal, eye_at;
uniform vec3 colour, paper;
uniform float fade;
out vec4 result;
void main() {
  vec3 n = normalize(eye_normal);
  if (!gl_FrontFacing) n = -n;
  float window = max(dot(n, normalize(vec3(-0.45, 0.65, 0.62))), 0.0);
  float fill = max(dot(n, normalize(vec3(0.7, 0.1, 0.7))), 0.0);
  float sky = 0.5 + 0.5 * normalize(world_normal).z;
  vec3 light = vec3(0.30) + 0.16 * sky * vec3(0.95, 0.98, 1.05) + 0.50 * window * vec3(1.04, 1.0, 0.95) + 0.14 * fill;
  vec3 lit = colour * light;
  if (!gl_FrontFacing) lit = colour * 0.62;
  result = vec4(mix(lit, paper, fade), 1.0);
})";

inline constexpr const char* kLineFragment = R"(#version 330 core
uniform vec3 colour;
out vec4 result;
void main() { result = vec4(colour, 0.75); })";

// Four corners of a horizontal square from the vertex number alone.
inline constexpr const char* kFloorVertex = R"(#version 330 core
uniform mat4 view, projection;
uniform vec3 middle;
uniform float reach;
out vec2 on_floor;
void main() {
  vec2 corner = vec2(gl_VertexID & 1, gl_VertexID >> 1) * 2.0 - 1.0;
  vec3 world = middle + vec3(corner * reach, 0.0);
  on_floor = world.xy;
  gl_Position = projection * (view * vec4(world, 1.0));
})";

// Lines every `pitch` and, stronger, every ten of them, one pixel wide at any distance, fading towards the rim.
inline constexpr const char* kFloorFragment = R"(#version 330 core
in vec2 on_floor;
uniform vec3 ink, middle;
uniform float pitch, reach;
out vec4 result;
float lines(float every) {
  vec2 p = on_floor / every;
  vec2 width = max(fwidth(p), vec2(1e-6));
  vec2 near = abs(fract(p - 0.5) - 0.5) / width;
  float crowd = clamp(1.0 - 2.5 * max(width.x, width.y), 0.0, 1.0);
  return (1.0 - min(min(near.x, near.y), 1.0)) * crowd;
}
void main() {
  float far = length(on_floor - middle.xy) / reach;
  float strength = max(0.28 * lines(pitch), 0.62 * lines(pitch * 10.0)) * smoothstep(1.0, 0.35, far);
  result = vec4(ink, strength);
})";

inline constexpr const char* kBackdropVertex = R"(#version 330 core
out float up;
void main() {
  vec2 p = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2);
  up = p.y;
  gl_Position = vec4(p * 2.0 - 1.0, 0.0, 1.0);
})";
inline constexpr const char* kBackdropFragment = R"(#version 330 core
in float up;
uniform vec3 above, below;
out vec4 result;
void main() {
  // Half a step of noise, or the gentle gradient would show as bands.
  float noise = fract(sin(dot(gl_FragCoord.xy, vec2(12.9898, 78.233))) * 43758.5453) - 0.5;
  result = vec4(mix(below, above, up) + noise / 255.0, 1.0);
})";

// The cut face: a square in the cutting plane, hatched as a section is.
inline constexpr const char* kCapVertex = R"(#version 330 core
uniform mat4 view, projection;
uniform vec4 cut;
uniform vec3 middle;
uniform float reach;
void main() {
  vec2 corner = vec2(gl_VertexID & 1, gl_VertexID >> 1) * 2.0 - 1.0;
  vec3 n = cut.xyz;
  vec3 a = normalize(abs(n.z) < 0.9 ? cross(n, vec3(0.0, 0.0, 1.0)) : cross(n, vec3(1.0, 0.0, 0.0)));
  vec3 b = cross(n, a);
  vec3 base = middle + (cut.w - dot(n, middle)) * n;
  gl_Position = projection * (view * vec4(base + reach * (corner.x * a + corner.y * b), 1.0));
})";
inline constexpr const char* kCapFragment = R"(#version 330 core
uniform vec3 colour;
uniform float slope;
out vec4 result;
void main() {
  float d = mod(gl_FragCoord.x * slope + gl_FragCoord.y, 9.0);
  float stroke = 1.0 - smoothstep(0.9, 1.7, abs(d - 4.5));
  result = vec4(mix(colour, colour * 0.55, stroke), 1.0);
})";

}  // namespace kerfkiln::viewer::shader
