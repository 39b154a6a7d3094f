/** What is in doubt, what is missing, what the reader found, and opening drawings. */

import { change, showSize } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { doubtList } from "./doubts.js";
import { withoutPath } from "./notices.js";
import { drawingChooser } from "./opening.js";
import { renew } from "./renewing.js";
import { shown } from "./shown.js";

export function startFindings(drawWhenSeen) {
  drawWhenSeen("findings", draw);
}

function draw() {
  const state = shown.state;
  const drawings = state.written[""].drawings ?? [];
  renew(
    byId("panel-findings"),
    el("h2", { class: "unseen" }, "Findings"),
    state.doubts.length ? doubtList(state) : null,
    state.mistakes.length ? mistakes(state) : null,
    state.missing.length
      ? listed("missing", "Still to be said", state.missing.map(withoutPath))
      : null,
    readings(state),
    el(
      "section",
      { "aria-labelledby": "drawings-title" },
      el("h3", { id: "drawings-title" }, "Drawings"),
      el("ul", { id: "drawings" }, ...drawings.map((name) => el("li", {}, name))),
      drawingChooser(),
      renumber(),
    ),
  );
}

function listed(id, title, lines) {
  return el(
    "section",
    { "aria-labelledby": `${id}-title` },
    el("h3", { id: `${id}-title` }, title),
    el("ul", { id }, ...lines.map((line) => el("li", {}, line))),
  );
}

/** Mistakes, each with a way to the size that it names. */
function mistakes(state) {
  return el(
    "section",
    { class: "to-mend", "aria-labelledby": "mistakes-title" },
    el("h3", { id: "mistakes-title" }, "To be mended first"),
    el(
      "ul",
      { id: "mistakes" },
      ...state.mistakes.map((line, at) => {
        const size = sizeIn(line, state.sizes);
        return el(
          "li",
          {},
          withoutPath(line),
          size && size.size !== state.size
            ? button(`mistake-${at}-size`, `Show ${size.title}`, () => showSize(size.size), {
              "data-size": size.size,
            })
            : null,
        );
      }),
    ),
    el(
      "p",
      { class: "help" },
      `What no field here shows is mended in the job file, ${state.file}, with any text ` +
        "editor; the page sees it when it is saved.",
    ),
  );
}

/** The size that a mistake speaks of first, or undefined. */
function sizeIn(line, sizes) {
  const at = line.search(/\bsizes?\b/i);
  const words = at < 0 ? [] : line.slice(at).split(/[\s,;:."'()]+/);
  const word = words.find((one) => sizes.some(({ size }) => size === one));
  return sizes.find(({ size }) => size === word);
}

function readings(state) {
  const { findings } = state;
  return el(
    "section",
    { "aria-labelledby": "readings-title" },
    el("h3", { id: "readings-title" }, "What was found in the drawings"),
    findings.length ? findingList(findings, "findings") : el("p", {}, noFinding(state)),
  );
}

function noFinding({ pieces, mistakes }) {
  if (pieces.length) return "Nothing unusual.";
  return mistakes.length ? "Nothing could be read from them yet." : "No piece.";
}

/** @param {import("./types.js").Finding[]} findings */
export function findingList(findings, id) {
  return el(
    "ul",
    { id, class: "findings" },
    ...findings.map((finding) =>
      el(
        "li",
        { class: `is-${finding.severity}`, "data-code": finding.code },
        el("strong", {}, finding.severity === "warning" ? "Look at this: " : "Note: "),
        `${finding.where}: ${finding.message}`,
      )
    ),
  );
}

function renumber() {
  return el(
    "div",
    {},
    button("refresh", "Number the edges as they are drawn now", () =>
      change({ do: "refresh" }, () => "Edges are numbered as they are drawn now.")),
    el(
      "p",
      { class: "help" },
      "Edges keep their numbers when a drawing changes. Press this when all of them are " +
        "right in every size, to let the numbers start anew from the drawing.",
    ),
  );
}
