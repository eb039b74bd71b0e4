// The panel of the cut: where it is, its picture, and how thick things are there.

class CutPanel {
  constructor(stage) {
    this.stage = stage;
    this.knife = stage.knife;
    this.x = at("cut-x");
    this.height = at("cut-height");
    this.part = 0.5;
    this.x.min = String(told.low[0]);
    this.x.max = String(told.high[0]);
    this.x.value = String(0.45 * told.high[0]);
    at("cut-on").addEventListener("change", () => this.show());
    this.x.addEventListener("input", () => this.show());
    this.height.addEventListener("input", () => {
      this.part = this.steel ? (Number(this.height.value) - this.steel[0]) / (this.steel[1] - this.steel[0]) : this.part;
      this.read();
    });
  }

  show() {
    const isOn = at("cut-on").checked;
    at("cut-more").hidden = !isOn;
    this.knife.cut(isOn ? Number(this.x.value) : null);
    if (isOn) this.measure();
    this.stage.draw();
  }

  measure() {
    const steel = this.knife.parts.find(({kind}) => kind === "steel");
    this.steel = heightOf(steel.loops);
    at("cut-x-words").textContent = lengthWords(Number(this.x.value));
    at("cut-there").hidden = this.steel === null;
    at("cut-nothing").hidden = this.steel !== null;
    if (this.steel === null) return;
    const [low, high] = this.steel;
    Object.assign(this.height, {min: low.toFixed(3), max: high.toFixed(3)});
    this.height.value = String(low + this.part * (high - low));
    at("cut-thickest").textContent = lengthWords(thickestOf(steel.loops));
    this.loops = this.knife.shown.map(part => ({part, loops: part.loops})).filter(({loops}) => loops.length);
    this.draw();
    this.read();
  }

  read() {
    const y = Number(this.height.value);
    const spans = this.loops.map(({part, loops}) => ({part, spans: spansAt(loops, y)}));
    const steel = spans.find(({part}) => part.kind === "steel")?.spans ?? [];
    const all = spans.flatMap(({spans: each}) => each.flat());
    const whole = all.length ? Math.max(...all) - Math.min(...all) : 0;
    at("cut-height-words").textContent = `y ${lengthWords(y)}`;
    at("cut-steel").textContent = steel.length ? lengthWords(widthOf(steel)) : "none: a hole";
    at("cut-whole-row").hidden = this.loops.length < 2;
    at("cut-whole").textContent = lengthWords(whole);
    this.line?.setAttribute("y1", String(-y));
    this.line?.setAttribute("y2", String(-y));
  }

  /** The cut seen from the butt: the right side to the right, the spine up. */
  draw() {
    const places = this.loops.flatMap(({loops}) => loops.flat());
    const [zs, ys] = [0, 1].map(axis => places.map(place => place[axis]));
    const half = Math.max(...zs.map(Math.abs)) + 2, low = Math.min(...ys) - 1, high = Math.max(...ys) + 1;
    this.line = make("svg:line", {x1: -half, x2: half, class: "level"});
    at("cut-picture").replaceChildren(make("svg:svg", {viewBox: `${-half} ${-high} ${2 * half} ${high - low}`, role: "img",
      "aria-label": "The cut as seen from the butt"}, ...this.loops.map(({part, loops}) => make("svg:path", {
      class: part.kind, d: loops.map(loop => `M${loop.map(([z, y]) => `${z.toFixed(3)},${(-y).toFixed(3)}`).join("L")}Z`).join(""),
    })), this.line));
  }
}
