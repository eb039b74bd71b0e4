// A solid cut across at an x: closed lines of the cut, oriented with the solid on their left, and what is measured on them.
// A place of the cut is [z, y]: the right side of the knife lies to the right, its spine up.

/** Closed lines in which a mesh is cut, each a list of places. */
function loopsAt(mesh, x) {
  const ends = new Map();
  const {vertices, triangles} = mesh;
  const ahead = vertex => vertices[3 * vertex] > x;
  for (let i = 0; i < triangles.length; i += 3) {
    const sides = [ahead(triangles[i]), ahead(triangles[i + 1]), ahead(triangles[i + 2])];
    if (sides[0] === sides[1] && sides[1] === sides[2]) continue;
    const alone = sides[1] === sides[2] ? 0 : sides[0] === sides[2] ? 1 : 2;
    const [a, b, c] = [0, 1, 2].map(k => triangles[i + (alone + k) % 3]);
    const [from, to] = sides[alone] ? [edgeKey(a, c), edgeKey(a, b)] : [edgeKey(a, b), edgeKey(a, c)];
    ends.set(from, to);
  }
  const loops = [];
  while (ends.size) {
    const [start] = ends.keys();
    const loop = [];
    for (let key = start; ends.has(key);) {
      loop.push(crossing(vertices, key, x));
      const next = ends.get(key);
      ends.delete(key);
      key = next;
    }
    if (loop.length > 2) loops.push(loop);
  }
  return loops;
}

/** One number for an edge, whichever way it is run along. */
const edgeKey = (a, b) => Math.min(a, b) * 0x4000000 + Math.max(a, b);

function crossing(vertices, key, x) {
  const a = 3 * Math.floor(key / 0x4000000), b = 3 * (key % 0x4000000);
  const part = (x - vertices[a]) / (vertices[b] - vertices[a]);
  return [2, 1].map(axis => vertices[a + axis] + part * (vertices[b + axis] - vertices[a + axis]));
}

/** Where a level line at y runs inside of the loops: pairs of z, from left to right. */
function spansAt(loops, y) {
  const crossed = [];
  for (const loop of loops) {
    loop.forEach(([z0, y0], i) => {
      const [z1, y1] = loop[(i + 1) % loop.length];
      if (y0 > y !== y1 > y) crossed.push(z0 + (y - y0) / (y1 - y0) * (z1 - z0));
    });
  }
  crossed.sort((a, b) => a - b);
  return crossed.filter((_, i) => i % 2 === 0).map((z, i) => [z, crossed[2 * i + 1]]);
}

const widthOf = spans => spans.reduce((sum, [low, high]) => sum + high - low, 0);

/** Least and greatest y of loops; null of none. */
function heightOf(loops) {
  const all = loops.flat().map(([, y]) => y);
  return all.length ? [Math.min(...all), Math.max(...all)] : null;
}

/** The thickest place of a solid cut across: it lies where a corner of the cut is. */
function thickestOf(loops) {
  const heights = loops.flat().map(([, y]) => y);
  return Math.max(0, ...heights.map(y => widthOf(spansAt(loops, y))));
}

const areaOf = loop => loop.reduce((sum, [z, y], i) => {
  const [z1, y1] = loop[(i + 1) % loop.length];
  return sum + (z * y1 - z1 * y) / 2;
}, 0);

const isInside = ([z, y], loop) => spansAt([loop], y).some(([low, high]) => low < z && z < high);

/** Triangles that fill the loops, as places one behind the other. */
function filled(loops) {
  const outer = loops.filter(loop => areaOf(loop) > 0).map(loop => ({loop, holes: []}));
  for (const hole of loops.filter(loop => areaOf(loop) < 0)) {
    outer.find(({loop}) => isInside(hole[0], loop))?.holes.push(hole);
  }
  return outer.flatMap(({loop, holes}) => {
    const lines = [loop, ...holes].map(line => line.map(([z, y]) => new THREE.Vector2(z, y)));
    const places = lines.flat();
    return THREE.ShapeUtils.triangulateShape(lines[0], lines.slice(1)).flat().map(corner => places[corner]);
  });
}
