// The page: hears of changes, shows pictures as they come, and asks for the judgement when the hand rests.

import {at, plural, say} from "./make.js";
import {ask, hear, newest, send} from "./wire.js";
import {SideView} from "./side.js";
import {Stations} from "./stations.js";
import {Panel} from "./panel.js";
import {showChanges, showFaults, showFindings, showNumbers, showSections} from "./told.js";

/** Numbers and findings are asked for when nothing has moved for this long, ms. */
const REST = 150;

const designs = [];
let moved = {};
let chosenFinding = null;
let here = true;

const panel = new Panel(at("panel"), (name, text) => {
  if (text === null) delete moved[name];
  else moved[name] = text;
  slide({...moved});
});

const move = newest(async values => {
  const picture = await reached(() => send("0/move", values));
  if (picture) show(designs[0], picture);
});

function slide(values) {
  say("written", "");
  move.run(values).then(() => catchUp(designs[0]));
}

const judge = newest(async () => {
  // The last picture that comes asks again.
  if (designs.some(one => !one.picture)) return;
  const places = designs[0].stations.places.join(",");
  const asked = designs.map((_, i) => ask(`${i}/judged?stations=${places}`));
  const judged = await reached(() => Promise.all(asked));
  // A later picture has its own judgement on the way.
  if (!judged || judged.some((one, i) => one.state < designs[i].state)) return;
  showJudged(judged);
});

/** Sections alone, while a place is drawn along the knife. */
const cut = newest(async () => {
  const places = designs[0].stations.places.join(",");
  const cuts = await reached(() => Promise.all(designs.map((_, i) => ask(`${i}/sections?stations=${places}`))));
  if (cuts && cuts.every((one, i) => one.state === designs[i].state)) showCuts(cuts);
});

let resting = 0;
function judgeSoon(wait) {
  clearTimeout(resting);
  resting = setTimeout(() => judge.run(), wait);
}

/** What the work gives, or nothing where the desk is not reached; the page says so. */
async function reached(work) {
  try {
    const given = await work();
    setHere(true);
    return given;
  } catch (error) {
    setHere(false, error);
    return null;
  }
}

function setHere(now, error) {
  here = now;
  const words = error?.message.includes(": 500") ? `The desk could not answer (${error.message}).`
    : "The watch has ended. Start it again in the terminal.";
  say("status", now ? stateWords() : words);
  document.body.classList.toggle("gone", !now);
}

function stateWords() {
  const first = designs[0]?.picture;
  if (!first) return "";
  if (first.error?.parameter) return "A value cannot be read; the picture is of before.";
  if (first.error) return "No knife comes of this; the picture is of before.";
  const count = first.parameters.filter(p => p.moved).length;
  return count ? `${plural(count, "value")} moved, not yet in the script` : "As saved";
}

function design(number) {
  if (!designs[number]) {
    const view = new SideView();
    const stations = number ? null : new Stations(view, () => cut.run());
    designs[number] = {number, view, stations, told: -1, state: -1, picture: null, judged: null};
    at("stage").append(view.element);
    if (number) designs.forEach(one => one.view.showName());
  }
  return designs[number];
}

/** Show a picture, unless a later one is there already. */
function show(one, picture) {
  if (picture.state < one.state) return;
  one.state = picture.state;
  one.picture = picture;
  if (picture.svg) one.view.draw(picture.svg, picture.title);
  one.view.setOld(Boolean(picture.error && picture.svg && !picture.error.parameter));
  spread();
  if (one.number === 0) showShaped(picture);
  showFaults(at("fault"), designs.map(each => each.picture?.error).filter(error => error && !error.parameter));
  document.body.classList.toggle("mistaken", !at("fault").hidden);
  say("status", stateWords());
  if (!picture.error) judgeSoon(move.busy() || sliding() ? REST : 0);
}

const sliding = () => document.activeElement?.type === "range";

function showShaped(picture) {
  at("title").textContent = picture.title || picture.name;
  document.title = `${picture.title || picture.name} \u2013 bladegeom watch`;
  // While a later value is on its way, the controls stay as the hand has them.
  if (move.waits()) return;
  panel.show(picture.parameters);
  panel.refuse(picture.error?.parameter, picture.error?.message);
  moved = Object.fromEntries(picture.parameters.filter(p => p.moved).map(p => [p.name, p.typed]));
  const any = Object.keys(moved).length > 0;
  at("write").disabled = !any || Boolean(picture.error);
  at("reset-all").disabled = !any;
}

/** One scale for all designs, the handle fronts above each other. */
function spread() {
  const boxes = designs.map(one => one.view.box).filter(Boolean);
  if (!boxes.length) return;
  const left = Math.min(...boxes.map(([x]) => x));
  const right = Math.max(...boxes.map(([x, , width]) => x + width));
  const height = boxes.reduce((sum, [, , , tall]) => sum + tall, 0);
  at("stage").style.setProperty("--ratio", (right - left) / height);
  designs.forEach(one => one.view.spread(left, right - left));
  const {stations, picture} = designs[0];
  if (picture) stations.suggest(picture.stations, picture.x_range);
}

/** What the designs are called in columns: their files; that of the second is told apart where it is the same. */
function called() {
  const [first, ...others] = designs.map(one => one.picture.name);
  return [first, ...others.map(name => name === first ? `${name}, beside` : name)];
}

function showCuts(cuts) {
  designs[0].stations.say(cuts[0].sections);
  showSections(at("sections"), cuts, called());
}

function showJudged(judged) {
  judged.forEach((one, i) => {
    designs[i].judged = one;
    designs[i].view.mark(one.findings, finding => choose(i, finding));
    designs[i].view.point(null);
  });
  showCuts(judged);
  showNumbers(at("numbers"), judged, called());
  showFindings(at("findings"), judged, called(), choose);
  showChanges(at("changes"), judged[0]);
  chosenFinding = null;
}

/** Point to where a finding is, or no more. */
function choose(which, i) {
  const id = `finding-${which}-${i}`;
  const again = chosenFinding === id;
  document.querySelectorAll("button.finding").forEach(button => {
    button.setAttribute("aria-pressed", String(!again && button.id === id));
  });
  designs.forEach(one => one.view.point(null));
  chosenFinding = again ? null : id;
  if (again) return;
  designs[which].view.point(designs[which].judged.findings[i].x);
  at(id)?.focus({preventScroll: false});
}

at("reset-all").addEventListener("click", () => {
  slide({});
});

at("write").addEventListener("click", async () => {
  await move.rest();
  const answer = await reached(() => send("0/write"));
  if (answer) say("written", answer.said ?? answer.refused);
});

/** Ask for the picture where a later state was told of; what the hand moves comes by itself. */
async function catchUp(one) {
  if (one.told <= one.state || (one.number === 0 && move.busy())) return;
  const picture = await reached(() => ask(`${one.number}/picture`));
  if (picture) show(one, picture);
}

hear(states => states.forEach((state, number) => {
  const one = design(number);
  one.told = state;
  catchUp(one);
}), now => {
  if (now || here) setHere(now);
});
