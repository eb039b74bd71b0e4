// The parameters of the design: a slider, a box for what is written, and a way back, for each.

import {make} from "./make.js";

const SLID = new Set(["length", "number", "whole"]);

export class Panel {
  /**
   * @param {HTMLElement} element what the rows stand in
   * @param {function} moved called with the name and the text of a parameter
   */
  constructor(element, moved) {
    this.element = element;
    this.moved = moved;
    this.rows = new Map();
    this.shape = "";
  }

  /** Show the parameters; rows stay where they are, and so does the focus, while the script asks for the same ones. */
  show(parameters) {
    const shape = JSON.stringify(parameters.map(p => [p.name, p.label, p.kind, p.unit, p.low, p.high, p.step, p.choices, p.said]));
    if (shape !== this.shape) {
      this.shape = shape;
      this.rows = new Map(parameters.map(p => [p.name, new Row(p, this.moved)]));
      this.element.replaceChildren(...[...this.rows.values()].map(row => row.element));
    }
    parameters.forEach(p => this.rows.get(p.name).show(p));
  }

  /** Say beside its box what is wrong with a parameter; no name: with none of them. */
  refuse(name, words) {
    this.rows.forEach((row, own) => row.refuse(own === name ? words : ""));
  }
}

class Row {
  constructor(p, moved) {
    this.moved = text => moved(p.name, text);
    const id = `p-${p.name}`;
    const name = p.label;
    this.shown = make("span", {class: "shown"});
    this.slider = SLID.has(p.kind) && p.low !== null && p.high !== null ? slider(p, name) : null;
    this.box = box(p, id);
    this.reset = make("button", {type: "button", class: "reset", "aria-label": `Reset ${name}`}, "Reset");
    this.words = make("p", {class: "refused", id: `${id}-refused`, role: "alert", hidden: true});
    this.element = make("div", {class: `parameter ${p.kind}`},
      make("div", {class: "head"}, make("label", {for: id}, name), this.shown),
      this.slider, this.box, this.reset,
      this.slider && make("p", {class: "range"}, make("span", {}, plain(p.low)), make("span", {}, plain(p.high, p.unit))),
      p.said ? make("p", {class: "said", id: `${id}-said`}, p.said) : null, this.words);
    this.box.setAttribute("aria-describedby", [p.said && `${id}-said`, `${id}-refused`].filter(Boolean).join(" "));
    this.listen();
  }

  listen() {
    this.slider?.addEventListener("input", () => {
      this.box.value = this.slider.value;
      this.go(this.slider.value);
    });
    this.box.addEventListener("input", () => {
      this.dirty = true;
    });
    this.box.addEventListener("change", () => this.go(written(this.box)));
    this.box.addEventListener("keydown", event => {
      if (event.key === "Escape" && this.last) {
        this.dirty = false;
        this.box.value = this.last.typed;
      }
    });
    this.reset.addEventListener("click", () => this.go(null));
  }

  go(text) {
    this.dirty = false;
    this.refuse("");
    this.moved(text);
  }

  show(p) {
    this.last = p;
    this.element.classList.toggle("moved", p.moved);
    this.reset.disabled = !p.moved;
    this.shown.textContent = p.shown;
    if (this.slider) {
      this.slider.value = p.value;
      this.slider.setAttribute("aria-valuetext", p.shown);
    }
    const typing = document.activeElement === this.box && this.dirty;
    if (!typing) put(this.box, this.box.type === "text" ? p.typed : p.value);
  }

  refuse(words) {
    this.words.textContent = words;
    this.words.hidden = !words;
    this.box.setAttribute("aria-invalid", words ? "true" : "false");
  }
}

function slider(p, name) {
  return make("input", {type: "range", min: p.low, max: p.high, step: p.step, "aria-label": `${name}, slide`});
}

function box(p, id) {
  if (p.kind === "choice") return make("select", {id}, ...p.choices.map(c => make("option", {value: c}, c)));
  if (p.kind === "fixed") return make("output", {id});
  if (p.kind === "yes_no") return make("input", {id, type: "checkbox"});
  return make("input", {id, type: "text", autocomplete: "off", spellcheck: "false", maxlength: 200, class: "box"});
}

const written = box => box.type === "checkbox" ? (box.checked ? "yes" : "no") : box.value;

function put(box, value) {
  if (box.type === "checkbox") box.checked = value === "yes";
  else box.value = value;
}

const plain = (number, unit = "") => `${Number(number.toFixed(4))}${unit ? ` ${unit}` : ""}`;
