/** Runs: what each takes, its edges in sewing order, and how it is sewn. */

import { change } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { fields } from "./fields.js";
import { sample } from "./pens.js";
import { renew } from "./renewing.js";
import { runOrder } from "./run_order.js";
import { shown } from "./shown.js";
import { pairsOf } from "./tables.js";

const USUAL = ["name", "tape", "closed", "start", "end", "tie_length", "times"];

export function startRuns(drawWhenSeen) {
  drawWhenSeen("runs", draw);
}

function draw() {
  const state = shown.state;
  const alone = state.runs.filter((run) => !run.isWritten);
  renew(
    byId("panel-runs"),
    el("h2", { class: "unseen" }, "Runs"),
    el(
      "p",
      { class: "help" },
      "A run is one continuous pass of tape. To make one, choose edges, pick a new run " +
        "beside the finishes, and press bound.",
    ),
    ...state.written.runs.map(writtenRun),
    ...alone.map(aloneRun),
  );
}

function head(id, run, name) {
  return el(
    "h3",
    { id },
    run ? el("span", { class: "letter" }, run.letter) : null,
    run ? sample("bound", run) : null,
    ` ${name}`,
  );
}

function figures(run) {
  const pairs = [
    ["bound", run.bound],
    [run.times > 1 ? `tape to cut, ${run.times} times` : "tape to cut", run.toCut],
    ["lies flat up to", run.flatUpTo],
    ["places to watch", String(run.watch)],
  ];
  return pairsOf(pairs, { class: "figures" });
}

/** @param {import("./types.js").Written} written */
function writtenRun(written, index) {
  const state = shown.state;
  const name = String(written.name ?? "");
  const run = state.runs.find((one) => one.name === name);
  const where = { kind: "runs", name, id: `runs-${index}`, written };
  const tapes = state.written.tapes.map((tape) => tape.name).filter(Boolean);
  return el(
    "section",
    { class: "card", "aria-labelledby": `runs-${index}-title`, "data-run": name },
    head(`runs-${index}-title`, run, name),
    run ? figures(run) : el("p", {}, "Not laid yet: something is missing or wrong."),
    ...runOrder(where),
    ...fields(where, USUAL, { tape: tapes }),
    button(`runs-${index}-remove`, "Take the run out", () => remove(name)),
    el("span", { class: "help" }, " Its edges are seams again; undo brings it back."),
  );
}

function aloneRun(run) {
  return el(
    "section",
    { class: "card", "aria-labelledby": `alone-${run.index}`, "data-run": run.name },
    head(`alone-${run.index}`, run, run.name),
    figures(run),
    el("p", { class: "help" }, `On its own: ${run.edges.join(", ")}, with tape ${run.tape}.`),
  );
}

function remove(name) {
  change(
    { do: "remove", kind: "runs", name },
    () => `Run ${name} is taken out; undo brings it back.`,
  );
}
