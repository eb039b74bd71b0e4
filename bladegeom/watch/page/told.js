// What the desk has to say of the designs: numbers, sections, findings, changes, and what is wrong with a script.

import {at, box, make, picture, plural, say} from "./make.js";

const SEVERITIES = ["error", "warning", "note"];

/** Numbers of one design, or of two in columns beside each other. */
export function showNumbers(table, judged, names) {
  const rows = judged.map(one => [...one.numbers, ...balance(one)]);
  const labels = new Map(rows.toReversed().flat().map(({key, label}) => [key, label]));
  const head = judged.length > 1
    ? make("thead", {}, make("tr", {}, make("td"), ...names.map(name => make("th", {scope: "col"}, name)))) : null;
  const lines = [...labels].map(([key, label]) => make("tr", {}, make("th", {scope: "row"}, label),
    ...rows.map(numbers => cell(numbers.find(number => number.key === key)))));
  table.replaceChildren(...[head, make("tbody", {}, ...lines)].filter(Boolean));
}

const balance = one => one.balance ? [{key: "balance", label: "balance", value: one.balance.said, second: ""}] : [];

const cell = number => number
  ? make("td", {}, make("span", {class: "value"}, number.value), " ",
    number.second ? make("span", {class: "second"}, number.second) : null)
  : make("td", {}, "\u2013");

/** Sections at the same places, all at one scale; those of two designs beside each other. */
export function showSections(element, judged, names) {
  if (!judged[0].sections.length) return;
  const drawn = judged.map(one => one.sections.map(section => ({...section, svg: picture(section.svg)})));
  const boxes = drawn.flat().filter(section => section.svg).map(section => box(section.svg));
  const tallest = Math.max(...boxes.map(([, , , height]) => height), 1);
  const widest = Math.max(...boxes.map(([, , width]) => width), 1);
  const scale = Math.min(5.5 / tallest, 5 / widest);
  element.classList.toggle("two", judged.length > 1);
  element.replaceChildren(...drawn[0].map((_, i) => make("div", {class: "station-sections"},
    make("span", {class: "knob", "aria-hidden": "true"}, String(i + 1)),
    ...drawn.map((sections, which) => section(sections[i], scale, drawn.length > 1 ? names[which] : "")))));
}

function section(told, scale, name) {
  if (!told) return null;
  if (told.svg) {
    const [, , width, height] = box(told.svg);
    told.svg.style.width = `${width * scale}rem`;
    told.svg.style.height = `${height * scale}rem`;
  }
  return make("figure", {class: "section"}, told.svg, make("figcaption", {},
    name ? make("span", {class: "whose"}, name) : null, make("b", {}, told.thickness), make("span", {}, told.said)));
}

/** Findings of each design, the gravest first as they come; the chosen one is pointed to. */
export function showFindings(element, judged, names, chosen) {
  const lists = judged.map((one, which) => {
    const items = one.findings.map((finding, i) => make("li", {class: finding.severity}, item(finding, which, i, chosen)));
    const list = items.length ? make("ul", {}, ...items) : make("p", {class: "none"}, "Nothing to say.");
    return judged.length > 1 ? make("div", {}, make("h3", {}, names[which]), list) : list;
  });
  element.replaceChildren(...lists);
  const counts = SEVERITIES.map(severity => plural(judged[0].findings.filter(f => f.severity === severity).length, severity));
  say("count", counts.join(", "));
}

function item(finding, which, i, chosen) {
  const words = [make("b", {}, finding.severity), " ", finding.message, " ", make("code", {}, finding.code)];
  if (finding.x === null) return make("div", {class: "finding"}, ...words);
  return make("button", {type: "button", class: "finding", id: `finding-${which}-${i}`, "aria-pressed": "false",
    onclick: () => chosen(which, i)}, ...words);
}

export function showChanges(list, {changes, since}) {
  const items = changes.length ? changes : ["Nothing."];
  at("changes-head").textContent = since === "the script" ? "Different from the script" : "Changed since the save before";
  list.replaceChildren(...items.map(words => make("li", {}, words)));
  list.classList.toggle("none", !changes.length);
}

/** What is wrong with the scripts, each with its line; nothing where all is well. */
export function showFaults(element, errors) {
  const words = JSON.stringify(errors);
  if (element.dataset.words === words) return;
  element.dataset.words = words;
  element.hidden = !errors.length;
  element.replaceChildren(...errors.map(error => make("div", {class: "fault"},
    make("p", {}, make("b", {}, place(error)), " ", error.message),
    error.source ? make("pre", {}, make("code", {}, error.line ? `${error.line}  ` : "", error.source)) : null)));
}

const place = error => error.file ? `${error.file}${error.line ? `, line ${error.line}` : ""}:` : "";
