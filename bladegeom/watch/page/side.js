// The side view of one design: the picture, a ruler under it, and what is marked on it.

import {box, make, picture} from "./make.js";

const SVG = "http://www.w3.org/2000/svg";

export class SideView {
  constructor() {
    this.name = make("p", {class: "name", hidden: true});
    this.drawing = make("div", {class: "drawing"});
    this.marks = make("div", {class: "marks", "aria-hidden": "true"});
    this.old = make("p", {class: "old-words", hidden: true}, "Picture of before the mistake");
    this.ruler = make("div", {class: "ruler", "aria-hidden": "true"});
    this.balance = make("span", {class: "balance-word", "aria-hidden": "true", hidden: true}, "balance");
    this.over = make("div", {class: "over"}, this.balance);
    this.element = make("figure", {class: "side"}, make("div", {class: "side-head"}, this.name, this.old), this.marks,
      make("div", {class: "paper"}, this.drawing, this.over), this.ruler);
    this.span = [0, 1];
  }

  /** Left, top, width and height of what is drawn, mm; null before the first picture. */
  get box() {
    return this.own ?? null;
  }

  draw(text, title) {
    const svg = picture(text);
    if (!svg) return;
    this.own = box(svg);
    this.drawing.replaceChildren(svg);
    this.name.textContent = title;
  }

  /** Say whose picture it is: where there is another one. */
  showName() {
    this.name.hidden = false;
  }

  setOld(old) {
    this.element.classList.toggle("old", old);
    this.old.hidden = !old;
  }

  /** Show the knife from one place to another along it, so that two of them have one scale. */
  spread(left, width) {
    if (!this.own) return;
    const [, top, , height] = this.own;
    this.drawing.firstChild.setAttribute("viewBox", `${left} ${top} ${width} ${height}`);
    this.placeBalance(left, width);
    if (this.span[0] === left && this.span[1] === width) return;
    this.span = [left, width];
    this.pointer?.remove();
    this.ruler.replaceChildren(ruler(left, width));
  }

  /** Name the balance mark in the picture. */
  placeBalance(left, width) {
    const mark = this.drawing.querySelector("circle.balance");
    this.balance.hidden = !mark;
    if (!mark) return;
    this.balance.style.left = `${100 * (Number(mark.getAttribute("cx")) - left) / width}%`;
    this.balance.style.top = `${100 * (Number(mark.getAttribute("cy")) - this.own[1]) / this.own[3]}%`;
  }

  /** Where a place along the knife is, as a share of the width. */
  share(x) {
    return `${100 * (x - this.span[0]) / this.span[1]}%`;
  }

  /** The place under a pointer, mm. */
  place(event) {
    const frame = this.drawing.getBoundingClientRect();
    return this.span[0] + this.span[1] * (event.clientX - frame.left) / frame.width;
  }

  /** Findings that have a place, over the picture. */
  mark(findings, chosen) {
    const placed = findings.map((finding, i) => ({...finding, i})).filter(finding => finding.x !== null);
    this.marks.replaceChildren(...placed.map(finding => {
      const mark = make("span", {class: `mark ${finding.severity}`, onclick: () => chosen(finding.i)});
      mark.style.left = this.share(finding.x);
      return mark;
    }));
  }

  /** Point to a place along the knife; null points nowhere. */
  point(x) {
    this.pointer?.remove();
    this.pointer = null;
    if (x === null || x === undefined) return;
    this.pointer = make("div", {class: "pointer", "aria-hidden": "true"});
    this.pointer.style.left = this.share(x);
    this.over.append(this.pointer);
  }
}

/** Ticks 10 mm apart with a number at every 50, from the handle front. */
function ruler(left, width) {
  const out = document.createElementNS(SVG, "svg");
  out.setAttribute("viewBox", `0 0 ${width} 1`);
  out.setAttribute("preserveAspectRatio", "none");
  const line = document.createElementNS(SVG, "path");
  let steps = "";
  const numbers = [];
  for (let x = Math.ceil(left / 10) * 10; x <= left + width; x += 10) {
    steps += `M${x - left} 0V${x % 50 === 0 ? 1 : 0.5}`;
    if (x % 50 === 0) {
      const number = make("span", {}, x === 0 ? "0 mm" : String(x).replace("-", "\u2212"));
      number.style.left = `${100 * (x - left) / width}%`;
      numbers.push(number);
    }
  }
  line.setAttribute("d", steps);
  out.append(line);
  return make("div", {class: "ticks"}, out, ...numbers);
}
