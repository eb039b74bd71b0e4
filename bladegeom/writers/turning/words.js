// What the page is told, how it tells lengths, and elements by name. The files of this folder are one script, in the
// order in which writers/turning_page.py names them.

const told = JSON.parse(document.getElementById("told").textContent);

const at = id => document.getElementById(id);

const INCH = 25.4;

/** A length in both units, the shop's own first. */
function lengthWords(mm) {
  // A zero has no sign.
  const both = [`${(Math.round(mm * 100) / 100 + 0).toFixed(2)} mm`, `${(Math.round(mm / INCH * 1000) / 1000 + 0).toFixed(3)} in`];
  const [first, second] = told.units === "mm" ? both : both.toReversed();
  return `${first} (${second})`;
}

/** An element with attributes, handlers and what is in it: text stays text. */
function make(name, attributes = {}, ...inside) {
  const svg = name.startsWith("svg:");
  const out = svg ? document.createElementNS("http://www.w3.org/2000/svg", name.slice(4)) : document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) out.addEventListener(key.slice(2), value);
    else out.setAttribute(key, value);
  }
  out.append(...inside.filter(each => each !== null));
  return out;
}

const isDark = window.matchMedia("(prefers-color-scheme: dark)");
const isStill = window.matchMedia("(prefers-reduced-motion: reduce)");
