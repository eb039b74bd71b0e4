// From the letters in the page to triangles: places in whole steps, directions, and which corners belong together.

/** All meshes that the page holds. */
async function unpacked() {
  const letters = atob(at("meshes").textContent.trim());
  const packed = Uint8Array.from(letters, letter => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  const bytes = await new Response(stream).arrayBuffer();
  return told.meshes.map(mesh => unpackedMesh(mesh, bytes));
}

/** Arrays lie one behind the other, each column of them whole, because such bytes pack better. */
function unpackedMesh(mesh, bytes) {
  let place = mesh.place;
  const columns = (Kind, count, across) => {
    const flat = new Kind(bytes, place, count * across);
    place += flat.byteLength + (-flat.byteLength & 3);
    const out = new Kind(flat.length);
    for (let column = 0; column < across; column++) {
      let sum = 0;
      // Each number is told by how much more it is than the one before.
      for (let i = 0; i < count; i++) out[i * across + column] = sum += flat[column * count + i];
    }
    return out;
  };
  const steps = columns(Int32Array, mesh.vertices, 3);
  const vertexOf = columns(Uint32Array, mesh.corners, 1);
  const normals = columns(Int16Array, mesh.corners, 3);
  const triangles = columns(Uint32Array, mesh.triangles, 3);
  const vertices = Float64Array.from(steps, step => step * told.step);
  const places = new Float32Array(3 * mesh.corners);
  for (let i = 0; i < mesh.corners; i++) places.set(vertices.subarray(3 * vertexOf[i], 3 * vertexOf[i] + 3), 3 * i);
  return {vertices, triangles: triangles.map(corner => vertexOf[corner]), corners: triangles, places, normals,
    creases: creases(vertexOf, mesh.vertices)};
}

/** Vertices at which two smooth surfaces meet: there a finger finds a point again. */
function creases(vertexOf, count) {
  const often = new Uint16Array(count);
  for (const vertex of vertexOf) often[vertex]++;
  return [...often.keys()].filter(vertex => often[vertex] > 1);
}
