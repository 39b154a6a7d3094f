/** What can be done with the chosen edges. */

import { change } from "./asking.js";
import { button, byId, el, foldAway, textInput } from "./dom.js";
import { LETTERS } from "./finish_keys.js";
import { say, showMistakes } from "./notices.js";
import { renew } from "./renewing.js";
import { choose, chosenEdges, edgeKey, edgeOf, shown, titleOf, whenChanged } from "./shown.js";

const ALONE = "";
/** Cannot be the name of a run: those have no blank at their ends. */
const NEW = " ";

/** What is picked for bound edges, kept from one choice to the next. */
const picked = {
  run: null,
  name: "",
  tape: "",
  alone: "", // the tape of edges that are bound on their own
  named: "",
  place: "",
  allowed: "",
  isOpen: false,
};
/** The edges that the name and the place were typed for. */
let typedFor = "";

export function startActions() {
  whenChanged("state", draw);
  whenChanged("chosen", () => {
    // A name that was refused was meant for the edges that were chosen then.
    Object.assign(picked, { run: null, name: "", alone: "" });
    draw();
  });
}

/** Go to the finishes, from the list. */
export function goToFinishes() {
  byId("finish-bound")?.focus();
}

function draw() {
  const chosen = chosenEdges();
  const only = [...shown.chosen].join("\n\n");
  if (only !== typedFor) {
    typedFor = only;
    Object.assign(picked, { named: chosen[0]?.edge.name ?? "", place: "", allowed: "" });
  }
  byId("actions").classList.toggle("is-idle", chosen.length === 0);
  renew(byId("actions"), ...(chosen.length ? parts(chosen) : [idle()]));
}

function idle() {
  return el(
    "h2",
    { id: "actions-title" },
    shown.state.pieces.length ? "Choose an edge in the picture or in the list" : "No edges yet",
  );
}

function parts(chosen) {
  const [first] = chosen;
  const title = chosen.length === 1
    ? `${titleOf(edgeKey(first.piece, first.edge))}, ${first.edge.length}`
    : `${chosen.length} edges chosen`;
  return [
    el(
      "div",
      { class: "title-line" },
      el("h2", { id: "actions-title" }, title),
      button("choose-none", "Choose none", () => choose([])),
    ),
    el(
      "div",
      { class: "finishes", role: "group", "aria-label": "Finish" },
      ...shown.state.finishes.map((finish) => finishButton(finish, chosen)),
    ),
    whenBound(chosen),
    chosen.length === 1 ? forOne(first) : null,
  ];
}

function finishButton(finish, chosen) {
  const isNow = chosen.every(({ edge }) => edge.finish === finish);
  const letter = Object.keys(LETTERS).find((one) => LETTERS[one] === finish);
  return button(`finish-${finish}`, finish, () => finishChosen(finish), {
    "data-finish": finish,
    "aria-pressed": isNow ? "true" : "false",
    title: letter ? `key ${letter}` : null,
  });
}

function runNow(chosen) {
  const names = chosen.map(({ edge }) =>
    edge.runs.map((index) => shown.state.runs[index]?.name).join("\n")
  );
  const isWritten = shown.state.written.runs.some((run) => run.name === names[0]);
  return names.every((name) => name === names[0]) && isWritten ? names[0] : ALONE;
}

function whenBound(chosen) {
  const runs = shown.state.written.runs.map((run) => run.name).filter(Boolean);
  const there = [ALONE, NEW, ...runs];
  if (!there.includes(picked.run)) picked.run = runNow(chosen);
  const tapes = shown.state.written.tapes.map((tape) => tape.name).filter(Boolean);
  if (!tapes.includes(picked.tape)) picked.tape = tapes[0] ?? "";
  if (!tapes.includes(picked.alone)) picked.alone = tapeOfPiece(chosen[0].piece) ?? picked.tape;
  const isNew = picked.run === NEW;
  const isTapeAsked = isNew || (picked.run === ALONE && tapes.length > 1);
  const asked = isNew ? "tape" : "alone";
  return el(
    "fieldset",
    { id: "when-bound" },
    el("legend", {}, "When bound"),
    choice("bound-run", "in run", there, picked.run, runText, (value) => {
      picked.run = value;
      draw();
    }),
    isNew
      ? textField("bound-name", "name of the run", picked.name, (value) => {
        picked.name = value;
      }, () => finishChosen("bound"))
      : null,
    isTapeAsked
      ? choice("bound-tape", "tape", tapes, picked[asked], (name) => name, (value) => {
        picked[asked] = value;
      })
      : null,
  );
}

/** The tape of edges of a piece that are bound on their own, if the job file says it. */
function tapeOfPiece({ name }) {
  return shown.state.written.pieces.find((one) => one.name === name)?.tape;
}

function runText(name) {
  if (name === ALONE) return "on its own";
  return name === NEW ? "a new run" : name;
}

function choice(id, label, values, value, text, onPick) {
  const select = el(
    "select",
    { id, on: { change: (event) => onPick(event.currentTarget.value) } },
    ...values.map((one) => el("option", { value: one }, text(one))),
  );
  select.value = value;
  return el("div", { class: "pair" }, el("label", { for: id }, label), select);
}

function textField(id, label, value, onInput, onEnter, help) {
  const input = textInput({
    id,
    value,
    "aria-describedby": help ? `${id}-help` : null,
    on: {
      input: (event) => onInput(event.currentTarget.value),
      keydown: (event) => {
        if (event.key === "Enter") onEnter();
      },
    },
  });
  return el(
    "div",
    { class: "pair" },
    el("label", { for: id }, label),
    input,
    help ? el("p", { id: `${id}-help`, class: "help" }, help) : null,
  );
}

/** Name and split, for one edge. */
function forOne({ piece, edge }) {
  const notches = piece.notches.filter((notch) => notch.edge === edge.number && notch.splits);
  const toggle = (event) => {
    // One that is taken off the page is folded too; that is nobody's choice.
    if (event.currentTarget.isConnected) picked.isOpen = event.currentTarget.open;
  };
  return foldAway("for-one", "Name or split this edge", [
    edge.why.length ? el("p", { class: "help" }, `Said by ${edge.why.join("; ")}.`) : null,
    el(
      "div",
      { class: "row" },
      textField("edge-name", "name", picked.named, (value) => {
        picked.named = value;
      }, () => nameEdge(piece, edge)),
      button("name-edge", "Name it", () => nameEdge(piece, edge)),
    ),
    el(
      "div",
      { class: "row" },
      ...notches.map(({ place }, i) =>
        button(`split-notch-${i + 1}`, `Split at ${place}`, () => split(piece, edge, place), {
          "data-place-word": place,
        })
      ),
      textField(
        "split-place",
        "from its start",
        picked.place,
        (value) => {
          picked.place = value;
        },
        () => splitTyped(piece, edge),
        "a length or a part: 2 1/2 in, 65 mm, 40 %; the small square is the start",
      ),
      button("split-edge", "Split there", () => splitTyped(piece, edge)),
    ),
    el(
      "div",
      { class: "row" },
      textField(
        "edge-allowance",
        "allowance",
        picked.allowed,
        (value) => {
          picked.allowed = value;
        },
        () => allow(piece, edge),
        `now ${edge.allowance}; what the drawing adds beyond the finished edge; empty: as usual`,
      ),
      button("allow-edge", "Set it", () => allow(piece, edge)),
    ),
  ], { open: picked.isOpen, on: { toggle } });
}

/** @returns {boolean} whether a key was one of the letters for the finishes */
export function keyFinish(key) {
  if (!Object.hasOwn(LETTERS, key)) return false;
  if (shown.chosen.size) finishChosen(LETTERS[key]);
  else say("No edge is chosen; choose one first.");
  return true;
}

/** Give the chosen edges a finish. */
function finishChosen(finish) {
  const chosen = chosenEdges();
  if (!chosen.length) return;
  const wanted = {
    do: "finish",
    size: shown.state.size,
    finish,
    edges: chosen.map(({ piece, edge }) => ({ piece: piece.name, edge: edge.number })),
  };
  if (finish === "bound" && picked.run !== ALONE) {
    const name = picked.run === NEW ? picked.name.trim() : picked.run;
    if (!name) {
      showMistakes(["The new run has no name yet; write one beside it."]);
      byId("bound-name")?.focus();
      return;
    }
    wanted.run = name;
    if (picked.run === NEW) wanted.tape = picked.tape;
  }
  if (finish === "bound" && picked.run === ALONE && byId("bound-tape")) wanted.tape = picked.alone;
  const keys = chosen.map(({ piece, edge }) => edgeKey(piece, edge));
  change(wanted, (state) => {
    Object.assign(picked, { run: null, name: "" });
    draw();
    return finishWords(state, keys, finish);
  });
}

/** What is said of edges that have got a finish: of one, and of several. */
const SAID = {
  bound: ["is bound", "are bound"],
  seam: ["is a seam", "are seams"],
  fold: ["lies on the fold", "lie on the fold"],
  hem: ["is hemmed", "are hemmed"],
  facing: ["is faced", "are faced"],
  raw: ["is left raw", "are left raw"],
};
const MOST_RUNS = 3; // that the status line has room for

function finishWords(state, keys, finish) {
  const isOne = keys.length === 1;
  const said = SAID[finish]?.[isOne ? 0 : 1] ?? `${isOne ? "is" : "are"} ${finish}`;
  const done = `${isOne ? titleOf(keys[0]) : `${keys.length} edges`} ${said}`;
  const indices = new Set(keys.flatMap((key) => edgeOf(key)?.edge.runs ?? []));
  const runs = [...indices].map((index) => state.runs[index]).filter(Boolean);
  if (finish === "bound" && runs.length === 1) {
    const [run] = runs;
    return `${done} in run ${run.name}; ${run.bound} bound, ${run.toCut} of tape to cut.`;
  }
  if (finish === "bound" && runs.length > 1 && runs.length <= MOST_RUNS) {
    const each = runs.map((run) => `${run.name}, ${run.bound} bound, ${run.toCut} of tape to cut`);
    return `${done} in ${runs.length} runs: ${each.join("; ")}.`;
  }
  const many = finish === "bound" && runs.length > 1 ? ` in ${runs.length} runs` : "";
  const tapes = state.tapes.map((tape) => `tape ${tape.name} to cut: ${tape.toCut}`).join("; ");
  return `${done}${many}${tapes ? `; ${tapes}` : ""}.`;
}

function nameEdge(piece, edge) {
  const name = picked.named.trim();
  const wanted = { do: "call", size: shown.state.size, piece: piece.name, edge: edge.number, name };
  const before = titleOf(edgeKey(piece, edge));
  change(
    wanted,
    () => name ? `${before} is called ${name}.` : `${before} has no name any more.`,
    showMistakes,
    (state) => partsOf(state, piece, edge, 1).map((one) => edgeKey(piece, one)),
  );
}

function allow(piece, edge) {
  const wanted = {
    do: "allow",
    size: shown.state.size,
    piece: piece.name,
    edge: edge.number,
    amount: picked.allowed.trim(),
  };
  const key = edgeKey(piece, edge);
  change(wanted, () => {
    picked.allowed = "";
    return `${titleOf(key)}: allowance ${edgeOf(key)?.edge.allowance ?? "as usual"}.`;
  });
}

function splitTyped(piece, edge) {
  const place = picked.place.trim();
  if (!place) {
    showMistakes(["Write where the edge is split: 2 1/2 in, 65 mm or 40 %."]);
    byId("split-place")?.focus();
    return;
  }
  split(piece, edge, `${edge.label} at ${place}`);
}

function split(piece, edge, place) {
  const wanted = {
    do: "split",
    size: shown.state.size,
    piece: piece.name,
    edge: edge.number,
    place,
  };
  const before = titleOf(edgeKey(piece, edge));
  change(
    wanted,
    (state) => {
      const halves = partsOf(state, piece, edge, 2);
      return `${before} is split: ${halves.map((one) => `${one.label}, ${one.length}`).join("; ")}.`;
    },
    showMistakes,
    (state) => partsOf(state, piece, edge, 1).map((one) => edgeKey(piece, one)),
  );
}

/** The first edges that stand in the place of one, after it was named or split. */
function partsOf(state, piece, edge, count) {
  const edges = state.pieces.find((one) => one.name === piece.name)?.edges ?? [];
  return edges.slice(edge.number - 1, edge.number - 1 + count);
}
