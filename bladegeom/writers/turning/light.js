// Light to see steel by: a dim room with long lamps, made here, and what a material looks like in it.

/** The room as what metal mirrors. */
function roomLight(renderer) {
  const room = new THREE.Scene();
  const add = (colour, strength, size, place) => {
    const material = new THREE.MeshBasicMaterial({color: new THREE.Color(colour).multiplyScalar(strength), side: THREE.DoubleSide});
    const box = new THREE.Mesh(new THREE.BoxGeometry(...size), material);
    box.position.set(...place);
    room.add(box);
  };
  add("#d3d7da", 0.62, [40, 40, 40], [0, 0, 0]);
  add("#9a948c", 0.7, [40, 0.2, 40], [0, -14, 0]);
  add("#ffffff", 5.5, [26, 0.2, 6], [0, 12, 5]);
  add("#fff2df", 3.6, [0.2, 8, 14], [-16, 4, 4]);
  add("#e4eeff", 3, [0.2, 9, 10], [16, 2, 3]);
  add("#ffffff", 2, [34, 6, 0.2], [0, -7, 18]);
  add("#2a2f36", 1, [40, 2.2, 0.2], [0, 2.2, 18.5]);
  const maker = new THREE.PMREMGenerator(renderer);
  const made = maker.fromScene(room, 0.02, 0.1, 100).texture;
  maker.dispose();
  return made;
}

/** From 0 to 1 how much of a grain's own colour is at a place, in mm, by its kind. */
const GRAINS = {
  brushed: "float g = fine(place.y * 1.7, streak(vec2(place.x * 0.05, place.y * 1.7))) * 0.5 + fine(place.y * 9.0, streak(vec2(place.x * 0.1, place.y * 9.0))) * 0.5;",
  rings: "float p = (place.y + 0.6 * place.z + 9.0 * streak(place.xy * vec2(0.018, 0.04)) + 1.2 * streak(place.xy * vec2(0.07, 0.3))) / spacing; float g = fine(p, smoothstep(0.0, 1.0, 0.5 + 0.5 * sin(6.2832 * p)) * (0.25 + 0.75 * streak(vec2(p * 0.7, place.x * 0.01)))) * 0.7 + fine(place.y * 5.0, streak(vec2(place.x * 0.12, place.y * 5.0))) * 0.3;",
  layers: "float p = place.z / spacing; float g = fine(p, smoothstep(0.4, 0.6, abs(fract(p) - 0.5) * 2.0)) * 0.75 + fine(place.y * 2.0, streak(vec2(place.x * 0.8, place.y * 2.0))) * 0.25;",
  fibres: "float p = (place.y * 1.6 + place.z) / spacing; float g = fine(p, streak(vec2(place.x * 0.1 / spacing, p))) * 0.7 + fine(place.y * 7.0, streak(vec2(place.x * 0.4, place.y * 7.0))) * 0.3;",
  weave: "vec2 p = place.xy / spacing; float over = mod(floor(p.x) + floor(p.y), 2.0); float across = 0.5 + 0.5 * cos(6.2832 * mix(p.x, p.y, over)); float g = fine(p.x + p.y, across * 0.6 + over * 0.4);",
  plain: "float g = 0.0;",
};

/** What grains are made of; what is finer than a pixel is an even tone. */
const NOISE = `
varying vec3 place;
uniform vec3 grainColour;
uniform float spacing;
uniform float left;
float fine(float p, float g) { return mix(g, 0.45, clamp(1.5 * fwidth(p) - 0.4, 0.0, 1.0)); }
float scattered(vec2 p) { return fract(sin(dot(p, vec2(127.1, 311.7))) * 43758.5453); }
float streak(vec2 p) {
  vec2 i = floor(p), f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  return mix(mix(scattered(i), scattered(i + vec2(1.0, 0.0)), f.x), mix(scattered(i + vec2(0.0, 1.0)), scattered(i + vec2(1.0, 1.0)), f.x), f.y);
}`;

const screenColour = rgb => new THREE.Color().setRGB(...rgb.map(c => c / 255), "srgb");

/** What stands for a material, with its grain. */
function materialOf(look) {
  const out = new THREE.MeshStandardMaterial({
    color: screenColour(look.colour),
    metalness: look.metal ? 1 : 0,
    roughness: look.metal ? 0.52 - 0.32 * look.gloss : 0.92 - 0.6 * look.gloss,
  });
  // What an etch leaves of the light.
  out.userData.left = {value: 1};
  out.onBeforeCompile = shader => {
    shader.uniforms.grainColour = {value: screenColour(look.grain_colour)};
    shader.uniforms.left = out.userData.left;
    shader.uniforms.spacing = {value: Math.max(look.spacing, 0.05)};
    shader.vertexShader = shader.vertexShader.replace("void main() {", "varying vec3 place;\nvoid main() {\nplace = position;");
    shader.fragmentShader = shader.fragmentShader.replace("void main() {", `${NOISE}\nvoid main() {`)
      .replace("#include <color_fragment>", `#include <color_fragment>\n{ ${GRAINS[look.grain]} diffuseColor.rgb = left * mix(diffuseColor.rgb, grainColour, g); }`)
      .replace("#include <roughnessmap_fragment>", `#include <roughnessmap_fragment>\n${look.metal ? `{ ${GRAINS[look.grain]} roughnessFactor *= 0.8 + 0.4 * g; }` : ""}`);
  };
  out.customProgramCacheKey = () => look.grain + look.metal;
  return out;
}
