/** Tables as the state brings them, and figures in pairs. */

import { el } from "./dom.js";

/**
 * A table in a box of its own that scrolls where it is too wide.
 *
 * @param {import("./types.js").Table} table
 * @param {string} id
 */
export function tableOf({ caption, head, rows, names }, id) {
  return scrolling(
    id,
    el(
      "table",
      {},
      el("caption", { id: `${id}-caption` }, caption),
      el("thead", {}, el("tr", {}, ...head.map((text) => el("th", { scope: "col" }, text)))),
      el(
        "tbody",
        {},
        ...rows.map((cells) =>
          el(
            "tr",
            {},
            ...cells.map((text, i) =>
              i < names ? el("th", { scope: "row" }, text) : el("td", {}, text)
            ),
          )
        ),
      ),
    ),
  );
}

/** A box that scrolls sideways, by keys too. */
export function scrolling(id, table) {
  return el(
    "div",
    { class: "wide", id, tabindex: 0, role: "group", "aria-labelledby": `${id}-caption` },
    table,
  );
}

/**
 * Figures, each under what it is.
 *
 * @param {[string, string][]} pairs
 */
export function pairsOf(pairs, given) {
  return el(
    "dl",
    given,
    ...pairs.map(([term, value]) => el("div", {}, el("dt", {}, term), el("dd", {}, value))),
  );
}
