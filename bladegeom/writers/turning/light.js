// The light of the picture's studio, by the same tables, and what a material looks like in it.

/** From 0 to 1 how much of a grain's own colour is at a place, in mm, by its kind. */
const GRAINS = {
  brushed: "float g = fine(place.y * 1.7, streak(vec2(place.x * 0.05, place.y * 1.7))) * 0.5 + fine(place.y * 9.0, streak(vec2(place.x * 0.1, place.y * 9.0))) * 0.5;",
  rings: "float p = (place.y + 0.6 * place.z + 9.0 * streak(place.xy * vec2(0.018, 0.04)) + 1.2 * streak(place.xy * vec2(0.07, 0.3))) / spacing; float g = fine(p, smoothstep(0.0, 1.0, 0.5 + 0.5 * sin(6.2832 * p)) * (0.25 + 0.75 * streak(vec2(p * 0.7, place.x * 0.01)))) * 0.7 + fine(place.y * 5.0, streak(vec2(place.x * 0.12, place.y * 5.0))) * 0.3;",
  layers: "float p = place.z / spacing; float g = fine(p, smoothstep(0.4, 0.6, abs(fract(p) - 0.5) * 2.0)) * 0.75 + fine(place.y * 2.0, streak(vec2(place.x * 0.8, place.y * 2.0))) * 0.25;",
  fibres: "float p = (place.y * 1.6 + place.z) / spacing; float g = fine(p, streak(vec2(place.x * 0.1 / spacing, p))) * 0.7 + fine(place.y * 7.0, streak(vec2(place.x * 0.4, place.y * 7.0))) * 0.3;",
  weave: "vec2 p = place.xy / spacing; float over = mod(floor(p.x) + floor(p.y), 2.0); float across = 0.5 + 0.5 * cos(6.2832 * mix(p.x, p.y, over)); float g = fine(p.x + p.y, across * 0.6 + over * 0.4);",
  plain: "float g = 0.0;",
};

/** What is seen of a place: where it is in the design, how its surface lies there and to the eye. */
const SEEN = `
varying vec3 place;
varying vec3 own;
varying vec3 seen;
varying vec3 away;`;

const TO_SEE = `
uniform vec3 middle;
uniform float size;
void main() {
place = position;
own = normal;
seen = normalMatrix * normal;
away = normalMatrix * (position - middle) / size;`;

/** What grains are made of; what is finer than a pixel is an even tone. */
const NOISE = `
float fine(float p, float g) { return mix(g, 0.45, clamp(1.5 * fwidth(p) - 0.4, 0.0, 1.0)); }
float scattered(vec2 p) { return fract(sin(dot(p, vec2(127.1, 311.7))) * 43758.5453); }
float streak(vec2 p) {
  vec2 i = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  return mix(mix(scattered(i), scattered(i + vec2(1.0, 0.0)), f.x), mix(scattered(i + vec2(0.0, 1.0)), scattered(i + vec2(1.0, 1.0)), f.x), f.y);
}`;

/** What the studio shows to a surface that lies in some way to the right, up and to the eye. */
const STUDIO = `
uniform vec4 lamps[${told.studio.lamps.length}];
uniform vec3 grainColour;
uniform vec3 front;
uniform vec2 left;
uniform vec2 near;
uniform vec3 lamp;
uniform mat3 normalMatrix;
uniform float spacing;
uniform float flatTo;
uniform float spread;
uniform float gloss;
vec4 shown(float at) {
  float p = clamp(0.5 * (at + 1.0), 0.0, 0.9999) * ${(told.studio.lamps.length - 1).toFixed(1)};
  int i = int(p);
  return mix(lamps[i], lamps[i + 1], p - float(i));
}
float mirrored(vec3 n, vec2 blurred) {
  vec4 up = shown(n.y), side = shown(n.x);
  return mix(up.x, up.y, min(blurred.y, 1.0)) * mix(side.z, side.w, min(blurred.x, 1.0));
}
float dull(vec3 n) {
  float direct = max((dot(n, lamp) + 0.25) / 1.25, 0.0), all = ${told.studio.around.toFixed(3)};
  return (all * (0.85 + 0.15 * n.y) + (1.0 - all) * direct) / (all * 0.85 + (1.0 - all) * (lamp.z + 0.25) / 1.25);
}
float gleam(vec3 n) {
  float grazing = pow(1.0 - clamp(n.z, 0.0, 1.0), 5.0);
  return gloss * (0.05 + 0.35 * grazing) * max(mirrored(n, vec2(1.0, 1.0 - gloss)) - 0.3, 0.0);
}
/** Square to the scratches: along the flats, and along all of it that is brushed so; across what is ground; along the border. */
vec3 square() {
  vec3 lies = normalize(own);
  float leans = length(lies.xy);
  vec2 tilted = lies.xy + (transpose(normalMatrix) * vec3(near * away.xy, 0.0)).xy;
  return leans > 0.98 ? vec3(0.0, 0.0, 1.0) : leans < flatTo ? vec3(0.0, 1.0, 0.0) : vec3(-tilted.y, tilted.x, 0.0) / length(tilted);
}
`;

const LIT = {
  steel: `diffuseColor.rgb *= (1.0 + 0.15 * (g - 0.45)) * mirrored(n, spread * abs((normalMatrix * square()).xy)) / FRONT;
    diffuseColor.rgb *= place.x < front.x + front.y * place.y + front.z * place.y * place.y ? left.y : left.x;`,
  metal: "diffuseColor.rgb = mix(diffuseColor.rgb, grainColour, g) * mirrored(n, vec2(1.0 - 0.5 * gloss)) / FRONT;",
  dull: "diffuseColor.rgb = mix(diffuseColor.rgb, grainColour, g) * dull(n) + gleam(n);",
};

const screenColour = rgb => new THREE.Color().setRGB(...rgb.map(c => c / 255), "srgb");

/** What stands for a material, with its grain. */
function materialOf({look, kind, spread, lengthwise}) {
  const out = new THREE.MeshBasicMaterial({color: screenColour(look.colour)});
  const {lamps, lamp, near} = told.studio;
  const lit = kind === "steel" ? "steel" : look.metal ? "metal" : "dull";
  // What an etch leaves of the light, on the blade and behind the front.
  out.userData.left = {value: [1, 1]};
  out.onBeforeCompile = shader => {
    Object.assign(shader.uniforms, {
      lamps: {value: lamps.flat()},
      lamp: {value: lamp},
      near: {value: near},
      left: out.userData.left,
      front: {value: told.front},
      grainColour: {value: screenColour(look.grain_colour)},
      spacing: {value: Math.max(look.spacing, 0.05)},
      flatTo: {value: lengthwise ? 0.98 : 0.01},
      spread: {value: spread},
      gloss: {value: look.gloss},
      middle: {value: told.low.map((low, i) => (low + told.high[i]) / 2)},
      size: {value: Math.hypot(...told.low.map((low, i) => told.high[i] - low))},
    });
    shader.vertexShader = shader.vertexShader.replace("void main() {", `${SEEN}\n${TO_SEE}`);
    shader.fragmentShader = shader.fragmentShader.replace("void main() {", `${SEEN}\n${STUDIO}\n${NOISE}\nvoid main() {`)
      .replace("#include <color_fragment>", `#include <color_fragment>
        { ${GRAINS[look.grain]}
          vec3 n = normalize(seen) * (gl_FrontFacing ? 1.0 : -1.0);
          n.xy += near * away.xy;
          ${LIT[lit].replaceAll("FRONT", told.studio.front.toFixed(3))} }`);
  };
  out.customProgramCacheKey = () => look.grain + lit;
  return out;
}
