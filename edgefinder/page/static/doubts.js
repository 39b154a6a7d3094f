/** Edges that cannot be told in a size: the person says which they are there. */

import { change, showSize } from "./asking.js";
import { button, el } from "./dom.js";
import { edgeKey, hover } from "./shown.js";

/** @param {import("./types.js").State} state */
export function doubtList(state) {
  return el(
    "section",
    { class: "doubts", "aria-labelledby": "decide-title" },
    el("h3", { id: "decide-title" }, "Which edge is it?"),
    ...state.doubts.map((doubt, at) =>
      el("div", { class: "doubt", "data-piece": doubt.piece, "data-size": doubt.size }, ...asked(doubt, at, state))
    ),
  );
}

/**
 * @param {import("./types.js").Doubt} doubt
 * @param {import("./types.js").State} state
 */
function asked(doubt, at, state) {
  const title = state.sizes.find(({ size }) => size === doubt.size)?.title ?? doubt.size;
  const words = `Edge ${doubt.edges.join(" and ")} of ${doubt.piece}, ${title}`;
  if (doubt.size !== state.size) {
    return [
      el("p", {}, `${words}: it cannot be told for sure which one it is there.`),
      button(`decide-${at}-show`, `Show ${title}`, () => showSize(doubt.size)),
    ];
  }
  const piece = state.pieces.find(({ name }) => name === doubt.piece);
  const edges = (piece?.edges ?? []).filter((edge) => edge.drawn !== null);
  const choice = el(
    "select",
    {
      id: `decide-${at}`,
      on: {
        change: ({ target }) => point(piece, edges, target.value),
        focus: ({ target }) => point(piece, edges, target.value),
        blur: () => hover(null),
      },
    },
    el("option", { value: "" }, "choose"),
    ...edges.map((edge) =>
      el("option", { value: edge.drawn }, `${edge.drawn}, ${edge.length} long`)
    ),
  );
  return [
    el("label", { for: `decide-${at}` }, `${words}, is`),
    choice,
    button(`decide-${at}-take`, "It is this one", () => {
      const number = Number(choice.value || document.getElementById(choice.id)?.value);
      if (number) decide(doubt, number, words);
    }),
    el("p", { class: "help" }, "The edge that is chosen is marked in the picture."),
  ];
}

function point(piece, edges, value) {
  const edge = edges.find(({ drawn }) => String(drawn) === value);
  hover(edge ? edgeKey(piece, edge) : null);
}

/** @param {import("./types.js").Doubt} doubt */
function decide(doubt, number, words) {
  const [edge] = doubt.edges;
  change(
    { do: "decide", piece: doubt.piece, size: doubt.size, edge, number },
    (state) => {
      const left = state.doubts.length;
      return `${words}: settled. ${left ? `${left} more to settle.` : "Nothing is in doubt any more."}`;
    },
  );
}
