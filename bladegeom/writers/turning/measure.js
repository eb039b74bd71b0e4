// The distance between two places that are tapped; near a corner or a crease the corner is meant.

const NEAR = 16;
/** Pixels within which a corner is meant: about half a finger's tip. */

class Measure {
  constructor(stage, changed) {
    this.stage = stage;
    this.changed = changed;
    this.points = [];
    this.isOn = false;
  }

  /** Take up a tapped place; the third begins anew. */
  tap(event) {
    const point = this.placeAt(event);
    if (!point) return;
    this.points = this.points.length === 2 ? [point] : [...this.points, point];
    this.changed();
  }

  clear() {
    this.points = [];
    this.changed();
  }

  /** From the first to the second in the knife's frame, however far the parts are apart. */
  get way() {
    return this.points.length === 2 ? this.points[1].place.clone().sub(this.points[0].place) : null;
  }

  placeAt(event) {
    const rays = new THREE.Raycaster();
    const {stage} = this, {knife} = stage;
    rays.setFromCamera(stage.pointer(event), stage.camera);
    const solids = knife.shown.map(part => part.solid);
    const hit = rays.intersectObjects(solids, false).find(({point}) => knife.cutAt === null || knife.plane.distanceToPoint(point) > -1e-6);
    const box = stage.canvas.getBoundingClientRect();
    const corner = this.cornerNear(event.clientX - box.left, event.clientY - box.top, hit);
    if (corner || !hit) return corner;
    const part = knife.shown.find(({solid}) => solid === hit.object);
    return {part, place: part.group.worldToLocal(hit.point.clone())};
  }

  /** The nearest corner in the window that no surface hides. */
  cornerNear(x, y, hit) {
    const {stage} = this, {knife} = stage;
    let best = null, least = NEAR;
    const deepest = hit ? hit.distance + 1.5 : Infinity;
    const place = new THREE.Vector3(), world = new THREE.Vector3();
    for (const part of knife.shown) {
      const {vertices, creases} = part.solid.userData.mesh;
      for (const vertex of creases) {
        place.fromArray(vertices, 3 * vertex);
        world.copy(place).applyMatrix4(part.group.matrixWorld);
        if (knife.cutAt !== null && knife.plane.distanceToPoint(world) < 0) continue;
        const seen = stage.seenAt(place, part.group), far = Math.hypot(seen.x - x, seen.y - y);
        if (far < least && seen.depth < deepest) [best, least] = [{part, place: place.clone()}, far];
      }
    }
    return best;
  }
}
