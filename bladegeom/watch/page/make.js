// Elements, made without a line of markup: what a script says is text and nothing else.

/** An element with attributes and children; a child that is no element becomes text. */
export function make(name, attributes = {}, ...children) {
  const out = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) out.addEventListener(key.slice(2), value);
    else out.setAttribute(key, value === true ? "" : value);
  }
  out.append(...children.filter(child => child !== null && child !== undefined));
  return out;
}

/** A picture as the desk drew it; null where it is none. */
export function picture(text) {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return root.localName === "svg" ? document.importNode(root, true) : null;
}

/** Left, top, width and height of a picture, mm. */
export const box = svg => svg.getAttribute("viewBox").trim().split(/[\s,]+/).map(Number);

export const at = id => document.getElementById(id);

/** Put words where they are read out, if they are other ones. */
export function say(id, words) {
  if (at(id).textContent !== words) at(id).textContent = words;
}

export const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;
