/** What the lines, letters and marks of the picture mean. */

import { byId, el, svg } from "./dom.js";
import { FINISH_WORDS, sample } from "./pens.js";
import { shown, whenChanged } from "./shown.js";

const VERDICTS = {
  "ease and steam": "lies there only with steam",
  "too tight": "does not lie there at all",
  mitre: "a corner to fold",
};

export function startLegend() {
  whenChanged("state", draw);
}

function draw() {
  const state = shown.state;
  byId("legend-list").replaceChildren(
    el(
      "ul",
      {},
      ...state.finishes.map((finish) =>
        el("li", {}, sample(finish), ` ${finish}: ${FINISH_WORDS[finish] ?? ""}`)
      ),
      ...state.runs.map((run) =>
        el("li", {}, sample("bound", run), ` run ${run.letter}: ${run.name}`)
      ),
      ...Object.entries(VERDICTS).map(([verdict, words]) =>
        el("li", {}, bandSample(verdict), ` ${verdict}: ${words}; a number marks the place`)
      ),
      el("li", {}, "small square: where lengths along an edge begin"),
      el("li", {}, "small triangle: a notch; long arrow: the grain line"),
      el("li", {}, "name with …: no room for all of it; point at the piece, or see the list"),
    ),
  );
}

function bandSample(verdict) {
  return svg(
    "svg",
    { class: "sample", viewBox: "0 0 40 16", width: 40, height: 16, "aria-hidden": "true" },
    svg("path", { class: `band is-${verdict.replaceAll(" ", "-")}`, d: "M4 3H36V13H4Z" }),
  );
}
