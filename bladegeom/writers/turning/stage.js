// The window onto the knife: camera, and drawing when something has changed.

const FIELD_DEG = 22;
/** Of view, from top to bottom: a long lens, which keeps proportions. */

class Stage {
  constructor(canvas, knife) {
    this.canvas = canvas;
    this.knife = knife;
    this.renderer = new THREE.WebGLRenderer({canvas, antialias: true, alpha: true});
    this.renderer.localClippingEnabled = true;
    this.scene = new THREE.Scene();
    this.scene.add(knife.turned);
    this.camera = new THREE.PerspectiveCamera(FIELD_DEG, 1, 1, 10000);
    this.pan = new THREE.Vector2();
    this.far = 600;
    this.followers = [];
    this.isAsked = false;
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
    this.resize();
  }

  resize() {
    const {clientWidth, clientHeight} = this.canvas.parentElement;
    if (!clientWidth || !clientHeight) return;
    const before = this.camera.aspect;
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.camera.aspect = clientWidth / clientHeight;
    this.camera.updateProjectionMatrix();
    // What was seen across stays seen.
    if (Math.abs(before - this.camera.aspect) > 0.01) this.fit();
    this.draw();
  }

  /** From how far all of it is seen. */
  needed(turn = this.knife.turned.quaternion) {
    const high = Math.tan(FIELD_DEG * Math.PI / 360), wide = high * this.camera.aspect;
    return Math.max(...[...this.knife.places()].map(place => {
      const {x, y, z} = place.applyQuaternion(turn);
      return z + 1.1 * Math.max(Math.abs(x) / wide, Math.abs(y) / high);
    }));
  }

  /** As near as all of it is seen, in the middle of the window. */
  fit(turn) {
    this.far = this.needed(turn);
    this.pan.set(0, 0);
  }

  /** How many mm a pixel is, at the middle of the knife. */
  get mmPerPixel() {
    return 2 * this.far * Math.tan(FIELD_DEG * Math.PI / 360) / this.canvas.clientHeight;
  }

  zoom(factor) {
    this.far = Math.min(Math.max(this.far * factor, 25), 3000);
    this.draw();
  }

  /** Draw before the next picture of the screen, once however often it is asked for. */
  draw() {
    if (this.isAsked) return;
    this.isAsked = true;
    requestAnimationFrame(() => {
      this.isAsked = false;
      this.place();
      this.knife.clip(this.camera);
      this.renderer.render(this.scene, this.camera);
      for (const follower of this.followers) follower();
      this.canvas.dataset.drawn = String(Number(this.canvas.dataset.drawn ?? 0) + 1);
    });
  }

  place() {
    this.camera.position.set(-this.pan.x, -this.pan.y, this.far);
    this.camera.near = Math.max(this.far - 600, 1);
    this.camera.far = this.far + 600;
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    this.knife.turned.updateMatrixWorld(true);
  }

  /** Where a place of a part's own frame stands in the window, px, and how far from the eye. */
  seenAt(place, group = this.knife.frame) {
    const far = place.clone().applyMatrix4(group.matrixWorld);
    const {x, y} = far.clone().project(this.camera);
    return {x: (x + 1) / 2 * this.canvas.clientWidth, y: (1 - y) / 2 * this.canvas.clientHeight,
      depth: far.distanceTo(this.camera.position)};
  }

  /** A place in the window as the library counts, from -1 to 1. */
  pointer(event) {
    const {left, top, width, height} = this.canvas.getBoundingClientRect();
    return new THREE.Vector2((event.clientX - left) / width * 2 - 1, 1 - (event.clientY - top) / height * 2);
  }
}
