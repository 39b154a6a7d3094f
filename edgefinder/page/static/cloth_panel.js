/** Tapes, cloths, the fabric, and what holds for the whole pattern. */

import { change } from "./asking.js";
import { button, byId, el, foldAway, textInput } from "./dom.js";
import { asNumber, fields } from "./fields.js";
import { withoutPath } from "./notices.js";
import { renew } from "./renewing.js";
import { shown } from "./shown.js";
import { widthSlider } from "./width_slider.js";

const TAPE = ["name", "finished_width", "fold", "grain", "cloth"];
const FABRIC = ["cloth", "usable_width", "strip_seam", "buy_step"];
const PATTERN = ["name", "unit", "seam_allowance", "wearer"];
const CLOTH = [
  "name",
  "stretch_ok_percent",
  "stretch_limit_percent",
  "ease_ok_percent",
  "ease_limit_percent",
];

/** What is typed for a new tape or cloth, and what is wrong with it. */
const fresh = {
  tapes: { name: "", stretch: "", wrong: "" },
  cloths: { name: "", stretch: "", wrong: "" },
};

export function startCloth(drawWhenSeen) {
  drawWhenSeen("cloth", draw);
}

function draw() {
  const { written, cloths } = shown.state;
  const table = (kind, id, usual, choices) =>
    fields({ kind, name: "", id, written: written[kind] }, usual, choices);
  renew(
    byId("panel-cloth"),
    el("h2", { class: "unseen" }, "Tapes and cloth"),
    el("h3", {}, "Tapes"),
    ...written.tapes.map((tape, index) => tapeCard(tape, index, cloths)),
    newOne("tapes", "New tape", "Make a tape"),
    el("h3", {}, "Fabric"),
    ...table("fabric", "fabric", FABRIC, { cloth: cloths }),
    el("h3", {}, "Your own cloths"),
    el("p", { class: "help" }, "What your own swatch of a cloth takes, measured on the bias."),
    ...written.cloths.map(clothCard),
    newOne("cloths", "New cloth", "Make a cloth"),
    el("h3", {}, "The pattern"),
    ...table("", "top", PATTERN, {}),
  );
}

function tapeCard(written, index, cloths) {
  const name = String(written.name ?? "");
  const tape = shown.state.tapes.find((one) => one.name === name);
  const where = { kind: "tapes", name, id: `tapes-${index}`, written };
  return el(
    "section",
    { class: "card", "aria-labelledby": `tapes-${index}-title`, "data-tape": name },
    el("h4", { id: `tapes-${index}-title` }, name),
    tape
      ? el(
        "p",
        {},
        `${tape.finishedWidth} finished, cut ${tape.cutWidth} wide from ${tape.cloth}, ` +
          `which has ${tape.stretch} stretch.`,
      )
      : el("p", { class: "help" }, "No run is sewn with it yet."),
    tape ? widthSlider(tape, index) : null,
    ...fields(where, TAPE, { cloth: cloths }),
    button(`tapes-${index}-remove`, "Take the tape out", () => remove("tapes", name)),
  );
}

function clothCard(written, index) {
  const name = String(written.name ?? "");
  const where = { kind: "cloths", name, id: `cloths-${index}`, written };
  return el(
    "section",
    { class: "card", "aria-labelledby": `cloths-${index}-title`, "data-cloth": name },
    el("h4", { id: `cloths-${index}-title` }, name),
    ...fields(where, CLOTH),
    button(`cloths-${index}-remove`, "Take the cloth out", () => remove("cloths", name)),
  );
}

function remove(kind, name) {
  const words = () => `${name} is taken out; undo brings it back.`;
  change({ do: "remove", kind, name }, words);
}

function newOne(kind, title, text) {
  const id = `new-${kind}`;
  const said = fresh[kind];
  return foldAway(id, title, [
    el(
      "div",
      { class: "row" },
      entry(id, "name", "name", said),
      kind === "cloths" ? entry(id, "stretch", "stretch beyond which it puckers (%)", said) : null,
      button(`${id}-make`, text, () => make(kind)),
    ),
    el("p", { id: `${id}-wrong`, class: "wrong", role: "alert" }, said.wrong),
  ]);
}

function entry(id, key, label, said) {
  return el(
    "div",
    { class: "pair" },
    el("label", { for: `${id}-${key}` }, label),
    textInput({
      id: `${id}-${key}`,
      value: said[key],
      "aria-errormessage": `${id}-wrong`,
      "aria-invalid": said.wrong ? "true" : null,
      on: {
        input: (event) => {
          said[key] = event.currentTarget.value;
        },
      },
    }),
  );
}

async function make(kind) {
  const said = fresh[kind];
  const wanted = { do: "add", kind, name: said.name.trim() };
  if (kind === "cloths") wanted.stretch = asNumber(said.stretch.trim());
  const name = wanted.name;
  const wentWell = await change(
    wanted,
    () => {
      Object.assign(said, { name: "", stretch: "", wrong: "" });
      return `${name} is made; its figures stand in its fields.`;
    },
    (lines) => {
      said.wrong = lines.map(withoutPath).join(" ");
      draw();
    },
  );
  if (wentWell) draw();
}
