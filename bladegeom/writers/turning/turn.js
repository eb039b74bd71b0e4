// Hands on the knife: a finger or the mouse turns it, two fingers or the wheel bring it nearer and move it, keys do both.

const STEP_DEG = 5;
/** By which an arrow key turns. */

const degrees = angle => angle * Math.PI / 180;

const about = (x, y, z, angle) => new THREE.Quaternion().setFromAxisAngle(new THREE.Vector3(x, y, z), degrees(angle));

/** How the knife lies in each view; the page has a button for each. */
const VIEWS = {
  right: about(0, 1, 0, 0),
  left: about(0, 1, 0, 180),
  spine: about(1, 0, 0, 90),
  edge: about(1, 0, 0, -90),
  "three-quarter": about(1, 0, 0, 24).multiply(about(0, 1, 0, -34)),
};

class Hands {
  constructor(stage, tapped) {
    this.stage = stage;
    this.tapped = tapped;
    this.held = new Map();
    const canvas = stage.canvas;
    canvas.addEventListener("pointerdown", event => this.down(event));
    canvas.addEventListener("pointermove", event => this.move(event));
    for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, event => this.up(event));
    canvas.addEventListener("contextmenu", event => event.preventDefault());
    canvas.addEventListener("wheel", event => {
      event.preventDefault();
      stage.zoom(Math.exp(Math.sign(event.deltaY) * Math.min(Math.abs(event.deltaY), 120) * 0.0015));
    }, {passive: false});
    canvas.addEventListener("keydown", event => this.key(event));
  }

  /** Turned by so many degrees about the upright and the level line of the window. */
  turn(across, down) {
    this.target = null;
    this.stage.knife.turned.quaternion.premultiply(about(0, 1, 0, across)).premultiply(about(1, 0, 0, down)).normalize();
    this.stage.draw();
  }

  move(event) {
    const before = this.held.get(event.pointerId);
    if (!before) return;
    const now = {...before, x: event.clientX, y: event.clientY};
    const across = now.x - before.x, down = now.y - before.y;
    now.way += Math.hypot(across, down);
    if (this.held.size === 1) {
      if (before.pans || event.shiftKey) this.panBy(across, down);
      else this.turn(across * 0.45, down * 0.45);
    } else {
      this.pinch(event.pointerId, before, now);
    }
    this.held.set(event.pointerId, now);
  }

  /** One of two fingers moves: what lies between them goes with their middle and with their distance. */
  pinch(moved, before, now) {
    const other = [...this.held.entries()].find(([pointer]) => pointer !== moved)[1];
    this.panBy((now.x - before.x) / 2, (now.y - before.y) / 2);
    const apart = at => Math.max(Math.hypot(at.x - other.x, at.y - other.y), 10);
    this.stage.zoom(apart(before) / apart(now));
  }

  panBy(across, down) {
    this.stage.pan.x += across * this.stage.mmPerPixel;
    this.stage.pan.y -= down * this.stage.mmPerPixel;
    this.stage.draw();
  }

  down(event) {
    this.stage.canvas.setPointerCapture(event.pointerId);
    this.held.set(event.pointerId, {x: event.clientX, y: event.clientY, way: 0, pans: event.button > 0, alone: this.held.size === 0});
    for (const each of this.held.values()) each.alone &&= this.held.size === 1;
  }

  up(event) {
    const last = this.held.get(event.pointerId);
    this.held.delete(event.pointerId);
    if (last?.alone && last.way < 6 && event.type === "pointerup" && !last.pans) this.tapped(event);
  }

  key(event) {
    const arrow = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]}[event.key];
    if (arrow && event.shiftKey) this.panBy(arrow[0] * 20, arrow[1] * 20);
    else if (arrow) this.turn(arrow[0] * STEP_DEG, arrow[1] * STEP_DEG);
    else if (event.key === "+" || event.key === "=") this.stage.zoom(1 / 1.12);
    else if (event.key === "-") this.stage.zoom(1.12);
    else if (event.key === "Home") this.look("three-quarter");
    else return;
    event.preventDefault();
  }

  /** Turn into a view, on the way where motion is welcome. */
  look(name) {
    this.target = VIEWS[name].clone();
    const {stage, target} = this, from = stage.knife.turned.quaternion.clone(), start = performance.now();
    stage.fit(target);
    const step = now => {
      if (this.target !== target) return;
      const part = isStill.matches ? 1 : Math.min((now - start) / 300, 1);
      stage.knife.turned.quaternion.copy(from).slerp(target, part * part * (3 - 2 * part));
      stage.draw();
      if (part < 1) requestAnimationFrame(step);
      else stage.canvas.dataset.lies = name;
    };
    delete stage.canvas.dataset.lies;
    step(start);
  }
}
