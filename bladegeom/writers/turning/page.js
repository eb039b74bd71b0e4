// The page: its buttons, sliders and lists, and what each of them does to the knife.

const SEVERITY_SIGNS = {error: "\u25a0", warning: "\u25b2", note: "\u25cf"};

function showStages(knife, stage, cut) {
  const slider = at("stage-slider");
  const show = () => {
    knife.stage = Number(slider.value);
    const name = told.stages[knife.stage];
    at("stage-words").textContent = name;
    slider.setAttribute("aria-valuetext", name);
    knife.show();
    cut.show();
    showParts.refresh();
  };
  slider.value = String(knife.stage);
  slider.addEventListener("input", show);
  show();
}

function showApart(knife, stage) {
  at("apart").addEventListener("input", event => {
    const before = stage.needed();
    knife.apart = Number(event.target.value) / 100;
    // It stays as large in the window as the hand has made it.
    stage.far *= stage.needed() / before;
    event.target.setAttribute("aria-valuetext", `${event.target.value} %`);
    knife.show();
    stage.draw();
  });
}

/** The list of parts, each with a box to show and hide it. */
function showParts(knife, stage, cut) {
  const rows = knife.parts.map(part => {
    const box = make("input", {type: "checkbox", onchange: () => {
      part.wanted = box.checked;
      knife.show();
      cut.show();
      stage.draw();
    }});
    box.checked = true;
    const colour = make("span", {class: "colour"});
    colour.style.background = `rgb(${part.look.colour.join(" ")})`;
    const mass = make("span", {class: "mass"});
    const row = make("li", {}, make("label", {}, box, colour, make("span", {class: "part"}, make("b", {}, part.name), " ",
      make("span", {class: "soft"}, part.material))), mass);
    return {part, row, mass};
  });
  at("parts").replaceChildren(...rows.map(({row}) => row));
  showParts.refresh = () => {
    for (const {part, row, mass} of rows) {
      row.classList.toggle("absent", part.solids[knife.stage] === null);
      mass.textContent = part.masses[knife.stage] ?? "";
    }
    at("total").textContent = told.totals[knife.stage];
  };
}

function showMeasure(stage, marks) {
  const measure = new Measure(stage, () => {
    marks.drop(({element}) => element.classList.contains("point"));
    measure.points.forEach(({part, place}, i) => marks.add(make("span", {class: "point"}, make("i", {}, "AB"[i])), place.toArray(), part.group));
    const {way} = measure;
    at("measured").hidden = way === null;
    at("measure-next").textContent = way ? "A third tap begins anew." : `Tap point ${"AB"[measure.points.length]} on the knife.`;
    if (way) {
      at("measure-distance").textContent = lengthWords(way.length());
      for (const axis of ["x", "y", "z"]) at(`measure-${axis}`).textContent = lengthWords(way[axis]);
    }
    stage.draw();
  });
  stage.followers.push(() => drawLine(at("lines"), stage, measure.points));
  at("measure-on").addEventListener("change", event => {
    measure.isOn = event.target.checked;
    at("measure-more").hidden = !measure.isOn;
    stage.canvas.classList.toggle("measures", measure.isOn);
    if (!measure.isOn) measure.clear();
  });
  at("measure-clear").addEventListener("click", () => measure.clear());
  return measure;
}

/** A mark on the knife for each finding that has a place; a tap on either shows the other. */
function showFindings(stage, marks) {
  if (!told.findings) return;
  const choose = (number, isFromList) => {
    for (const each of document.querySelectorAll("[data-finding]")) {
      each.setAttribute("aria-pressed", String(each.dataset.finding === String(number)));
    }
    at(`finding-${number}`).scrollIntoView({block: "nearest"});
    // On a phone the knife stays in sight anyway.
    if (isFromList && getComputedStyle(at("stage")).position === "static") at("window").scrollIntoView({block: "nearest"});
  };
  at("findings").replaceChildren(...told.findings.map((finding, i) => {
    const words = [make("span", {class: "sign", "aria-hidden": "true"}, SEVERITY_SIGNS[finding.severity]), make("b", {}, `${i + 1}. ${finding.severity}`),
      " ", finding.message, " ", make("code", {}, finding.code)];
    if (!finding.at) return make("li", {class: finding.severity}, make("div", {class: "finding"}, ...words));
    marks.add(make("button", {type: "button", class: `mark ${finding.severity}`, "data-finding": i, "aria-pressed": "false",
      "aria-label": `Finding ${i + 1}, ${finding.severity}`, onclick: () => choose(i, false)}, make("i", {}, String(i + 1))), finding.at);
    return make("li", {class: finding.severity}, make("button", {type: "button", class: "finding", id: `finding-${i}`,
      "data-finding": i, "aria-pressed": "false", onclick: () => choose(i, true)}, ...words));
  }));
  at("findings-on")?.addEventListener("change", event => at("over").classList.toggle("no-findings", !event.target.checked));
}

function showBalance(marks) {
  marks.add(make("span", {class: "balance"}, make("i", {}), make("span", {}, "balance")), told.balance);
  at("balance-on").addEventListener("change", event => at("over").classList.toggle("no-balance", !event.target.checked));
}

/** Why there is nothing to turn, in words. */
function refuse(words) {
  at("refused").hidden = false;
  at("refused-why").textContent = words;
  document.body.classList.add("still");
}

async function begin() {
  if (!window.DecompressionStream) return refuse("This browser is too old to unpack the shapes in this page.");
  let stage;
  const knife = new Knife(await unpacked());
  try {
    stage = new Stage(at("canvas"), knife);
  } catch (error) {
    console.info(error.message);
    return refuse("This browser draws nothing in space (WebGL is missing or switched off).");
  }
  const marks = new Marks(stage, at("over"));
  const measure = showMeasure(stage, marks);
  const hands = new Hands(stage, event => measure.isOn && measure.tap(event));
  const cut = new CutPanel(stage);
  showParts(knife, stage, cut);
  showStages(knife, stage, cut);
  showApart(knife, stage);
  showFindings(stage, marks);
  showBalance(marks);
  for (const button of document.querySelectorAll("[data-view]")) button.addEventListener("click", () => hands.look(button.dataset.view));
  at("nearer").addEventListener("click", () => stage.zoom(1 / 1.25));
  at("farther").addEventListener("click", () => stage.zoom(1.25));
  knife.turned.quaternion.copy(VIEWS["three-quarter"]);
  stage.fit();
  stage.draw();
  document.body.dataset.ready = "";
}

begin();
