// Places along the knife whose sections are shown: handles on the side view, drawn by pointer or moved by keys.

import {make} from "./make.js";

const KEYS = {ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -10, PageUp: 10};

export class Stations {
  /**
   * @param {SideView} view where the handles are
   * @param {function} moved called when a place has changed
   */
  constructor(view, moved) {
    this.view = view;
    this.moved = moved;
    this.places = [];
    this.handles = [];
    this.range = [0, 1];
    this.own = false;
  }

  /** Take the places that the desk suggests, until the maker moves one. */
  suggest(places, range) {
    this.range = range;
    if (!this.own && places.length) this.places = [...places];
    this.places = this.places.map(place => this.within(place));
    while (this.handles.length > this.places.length) this.handles.pop().remove();
    while (this.handles.length < this.places.length) this.handles.push(this.handle(this.handles.length));
    this.handles.forEach((_, i) => this.show(i));
  }

  within(place) {
    return Math.min(Math.max(Math.round(place * 2) / 2, this.range[0]), this.range[1]);
  }

  /** Say what the section at each place is like. */
  say(sections) {
    sections.forEach((section, i) => {
      const handle = this.handles[i];
      if (!handle) return;
      handle.setAttribute("aria-valuetext", `${section.said}: ${section.thickness}`);
      handle.querySelector(".thick").textContent = section.thickness;
    });
  }

  handle(i) {
    const handle = make("div", {class: "station", role: "slider", tabindex: 0, "aria-label": `Section ${i + 1}`},
      make("span", {class: "knob"}, String(i + 1)), make("span", {class: "thick"}));
    handle.addEventListener("keydown", event => this.key(i, event));
    handle.addEventListener("pointerdown", event => {
      handle.setPointerCapture(event.pointerId);
      handle.focus();
      event.preventDefault();
    });
    handle.addEventListener("pointermove", event => {
      if (handle.hasPointerCapture(event.pointerId)) this.put(i, this.view.place(event));
    });
    this.view.over.append(handle);
    return handle;
  }

  key(i, event) {
    const step = KEYS[event.key];
    if (event.key === "Home") this.put(i, this.range[0]);
    else if (event.key === "End") this.put(i, this.range[1]);
    else if (step) this.put(i, this.places[i] + step * (event.shiftKey ? 10 : 1));
    else return;
    event.preventDefault();
  }

  put(i, place) {
    const next = this.within(place);
    if (next === this.places[i]) return;
    this.own = true;
    this.places[i] = next;
    this.show(i);
    this.moved();
  }

  show(i) {
    const handle = this.handles[i];
    handle.style.left = this.view.share(this.places[i]);
    handle.setAttribute("aria-valuemin", this.range[0]);
    handle.setAttribute("aria-valuemax", this.range[1]);
    handle.setAttribute("aria-valuenow", this.places[i]);
  }
}
