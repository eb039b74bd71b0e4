// The knife on the page: its parts at a stage, how far they are apart, which are shown, and the cut through them.

class Knife {
  constructor(meshes) {
    this.middle = new THREE.Vector3(...told.low).add(new THREE.Vector3(...told.high)).multiplyScalar(0.5);
    this.turned = new THREE.Group();
    this.frame = new THREE.Group();
    this.frame.position.copy(this.middle).negate();
    this.turned.add(this.frame);
    this.plane = new THREE.Plane();
    this.stage = told.stages.indexOf("finished");
    this.apart = 0;
    this.cutAt = null;
    this.parts = told.parts.map(part => this.partOf(part, meshes));
    this.show();
  }

  partOf(part, meshes) {
    const paint = materialOf(part);
    const group = new THREE.Group();
    const solids = part.meshes.map(number => number === null ? null : this.solidOf(meshes[number], paint));
    for (const solid of new Set(solids)) if (solid) group.add(solid);
    const cap = new THREE.Mesh(new THREE.BufferGeometry(), new THREE.MeshBasicMaterial({side: THREE.DoubleSide, toneMapped: false,
      color: part.kind === "steel" ? "#c2573a" : screenColour(part.look.colour).lerp(new THREE.Color("#f4e3c8"), 0.45)}));
    group.add(cap);
    this.frame.add(group);
    return {...part, group, solids, cap, paint, wanted: true, loops: []};
  }

  solidOf(mesh, paint) {
    if (mesh.solid) return mesh.solid;
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.BufferAttribute(mesh.places, 3));
    geometry.setAttribute("normal", new THREE.BufferAttribute(mesh.normals, 3, true));
    geometry.setIndex(new THREE.BufferAttribute(mesh.corners, 1));
    mesh.solid = new THREE.Mesh(geometry, paint);
    mesh.solid.userData.mesh = mesh;
    return mesh.solid;
  }

  /** What is there at this stage, and wanted. */
  get shown() {
    return this.parts.filter(part => part.group.visible);
  }

  show() {
    for (const part of this.parts) {
      const solid = part.solids[this.stage];
      part.solid = solid;
      part.group.visible = part.wanted && solid !== null;
      part.group.position.z = part.apart * this.apart;
      part.paint.userData.left.value = part.light[this.stage];
      for (const each of part.solids) if (each) each.visible = each === solid;
    }
    this.cut(this.cutAt);
  }

  /** Cut across at an x; null joins it again. */
  cut(x) {
    this.cutAt = x;
    for (const part of this.parts) {
      const isCut = x !== null && part.group.visible;
      part.loops = isCut ? loopsAt(part.solid.userData.mesh, x) : [];
      part.paint.clippingPlanes = x === null ? null : [this.plane];
      // Behind a surface that is taken away its inside is seen past the fill, at a steep look.
      part.paint.side = x === null ? THREE.FrontSide : THREE.DoubleSide;
      part.cap.visible = part.loops.length > 0;
      if (part.cap.visible) {
        const places = filled(part.loops).flatMap(({x: z, y}) => [x, y, z]);
        part.cap.geometry.dispose();
        part.cap.geometry = new THREE.BufferGeometry();
        part.cap.geometry.setAttribute("position", new THREE.BufferAttribute(new Float32Array(places), 3));
      }
    }
  }

  /** The half between the eye and the cut is taken away. */
  clip(camera) {
    if (this.cutAt === null) return;
    this.frame.updateWorldMatrix(true, false);
    const eye = this.frame.worldToLocal(camera.position.clone());
    const side = eye.x > this.cutAt ? -1 : 1;
    this.plane.set(new THREE.Vector3(side, 0, 0), -side * this.cutAt).applyMatrix4(this.frame.matrixWorld);
  }

  /** Places spread over all parts as they lie now, in the frame of the page: what is to be seen. */
  *places() {
    for (const part of this.parts.filter(({solid}) => solid)) {
      const {vertices} = part.solid.userData.mesh;
      const step = 3 * Math.ceil(vertices.length / 3 / 200);
      for (let i = 0; i < vertices.length; i += step) {
        yield new THREE.Vector3().fromArray(vertices, i).add(part.group.position).sub(this.middle);
      }
    }
  }
}
