// What stands over the picture: the balance point, places of findings, the points that are measured.

class Marks {
  constructor(stage, over) {
    this.stage = stage;
    this.over = over;
    this.all = [];
    stage.followers.push(() => this.follow());
  }

  /** An element that follows a place of the knife, or of a part of it. */
  add(element, place, group = undefined) {
    this.all.push({element, place: new THREE.Vector3(...place), group});
    this.over.append(element);
    return element;
  }

  drop(wanted) {
    for (const {element} of this.all.filter(wanted)) element.remove();
    this.all = this.all.filter(mark => !wanted(mark));
  }

  follow() {
    const {canvas: {clientWidth, clientHeight}, knife} = this.stage;
    for (const {element, place, group} of this.all) {
      const {x, y} = this.stage.seenAt(place, group);
      element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
      const isGone = knife.cutAt !== null && knife.plane.distanceToPoint(knife.frame.localToWorld(place.clone())) < -0.01;
      element.classList.toggle("away", isGone || x < 0 || y < 0 || x > clientWidth || y > clientHeight);
    }
  }
}

/** The line between two measured points. */
function drawLine(svg, stage, points) {
  const ends = points.map(({part, place}) => stage.seenAt(place, part.group));
  const line = ends.length === 2 ? make("svg:line", {x1: ends[0].x, y1: ends[0].y, x2: ends[1].x, y2: ends[1].y}) : null;
  svg.replaceChildren(...[line].filter(Boolean));
}
