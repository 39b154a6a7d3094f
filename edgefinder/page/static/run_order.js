/** The edges of a run in sewing order: moved by dragging, by buttons, or by keys. */

import { change } from "./asking.js";
import { button, byId, el } from "./dom.js";
import { say, showMistakes } from "./notices.js";
import { chosenEdges, edgeKey, shown, titleOf } from "./shown.js";

/**
 * @param {import("./fields.js").Where} where a run
 * @returns {HTMLElement[]}
 */
export function runOrder(where) {
  const words = Array.isArray(where.written.edges) ? where.written.edges : [];
  const title = `${where.id}-order`;
  return [
    el("h4", { id: title }, "Edges in sewing order"),
    el(
      "ol",
      { class: "order", id: `${where.id}-edges`, "aria-labelledby": title },
      ...words.map((word, at) => row(where, words, word, at)),
    ),
    el(
      "div",
      { class: "row" },
      button(`${where.id}-add`, "Add the chosen edges", () => addChosen(where)),
      button(`${where.id}-add-mirrored`, "Add them mirrored", () => addMirrored(where), {
        title: "the other half of a piece on the fold, or the other of a pair",
      }),
      button(`${where.id}-round`, "Sew it the other way round", () => turnRound(where, words), {
        disabled: words.length < 2,
      }),
    ),
  ];
}

function row(where, words, word, at) {
  const id = `${where.id}-edge-${at}`;
  const move = (way) => moved(where, words, at, at + way, id);
  return el(
    "li",
    { "data-word": word, "data-at": at },
    el(
      "span",
      {
        class: "grip",
        "aria-hidden": "true",
        title: "drag to another place in the order",
        on: { pointerdown: (event) => drag(event, where, words, at) },
      },
      "↕",
    ),
    el("span", { class: "word" }, word),
    button(`${id}-up`, "↑", () => move(-1), {
      "aria-label": `${word}: earlier`,
      disabled: at === 0,
    }),
    button(`${id}-down`, "↓", () => move(1), {
      "aria-label": `${word}: later`,
      disabled: at === words.length - 1,
    }),
    button(`${id}-out`, "×", () => takeOut(where, words, at), {
      "aria-label": `${word}: take out of the run`,
      disabled: words.length === 1,
    }),
  );
}

function write(where, edges, words) {
  return change({ do: "set", kind: "runs", name: where.name, key: "edges", value: edges }, words);
}

function reorder(where, words, from, to) {
  const edges = [...words];
  edges.splice(to, 0, ...edges.splice(from, 1));
  return write(
    where,
    edges,
    () => `${words[from]} is number ${to + 1} of ${words.length} in run ${where.name}.`,
  );
}

async function moved(where, words, from, to, id) {
  if (!(await reorder(where, words, from, to))) return;
  // The focus goes along with the edge, to the button that was pressed if it can be.
  const way = to > from ? "down" : "up";
  const other = way === "down" ? "up" : "down";
  const along = id.replace(/\d+$/, String(to));
  const pressed = byId(`${along}-${way}`);
  (pressed?.disabled ? byId(`${along}-${other}`) : pressed)?.focus();
}

function takeOut(where, words, at) {
  write(
    where,
    words.filter((_, other) => other !== at),
    () => `${words[at]} is out of run ${where.name}; undo brings it back.`,
  );
}

/** The server finds out where they go: behind the others or before them. */
function addChosen(where) {
  const chosen = chosenOrSay();
  const wanted = {
    do: "finish",
    size: shown.state.size,
    finish: "bound",
    run: where.name,
    edges: chosen.map(({ piece, edge }) => ({ piece: piece.name, edge: edge.number })),
  };
  if (chosen.length) change(wanted, () => `${titlesOf(chosen).join(", ")}: in run ${where.name}.`);
}

/** The server refuses an edge that has no other half. */
function addMirrored(where) {
  const chosen = chosenOrSay();
  const wanted = {
    do: "mirror",
    size: shown.state.size,
    run: where.name,
    edges: chosen.map(({ piece, edge }) => ({ piece: piece.name, edge: edge.number })),
  };
  const added = titlesOf(chosen).map((title) => `${title} mirrored`);
  if (chosen.length) change(wanted, () => `${added.join(", ")}: in run ${where.name}.`);
}

function turnRound(where, words) {
  write(
    where,
    [...words].reverse(),
    () => `Run ${where.name} starts at ${words.at(-1)} now and ends at ${words[0]}.`,
  );
}

const titlesOf = (chosen) => chosen.map(({ piece, edge }) => titleOf(edgeKey(piece, edge)));

function chosenOrSay() {
  const chosen = chosenEdges();
  if (!chosen.length) {
    showMistakes(["No edge is chosen; choose the edges first, in the picture or the list."]);
  }
  return chosen;
}

/** Drag an edge of a run by its grip; the list shows where it would go. */
function drag(press, where, words, from) {
  press.preventDefault();
  const grip = press.currentTarget;
  const item = grip.closest("li");
  const list = item.parentElement;
  grip.setPointerCapture(press.pointerId);
  item.classList.add("is-dragged");
  const move = (event) => {
    const others = [...list.children].filter((one) => one !== item);
    const below = others.find((one) => {
      const box = one.getBoundingClientRect();
      return event.clientY < box.top + box.height / 2;
    });
    // Moving an element needlessly would end the capture of the pointer.
    if ((below ?? null) !== item.nextElementSibling) {
      list.insertBefore(item, below ?? null);
      grip.setPointerCapture(press.pointerId);
    }
  };
  const end = async (event) => {
    grip.removeEventListener("pointermove", move);
    grip.removeEventListener("pointerup", end);
    grip.removeEventListener("pointercancel", end);
    item.classList.remove("is-dragged");
    const to = [...list.children].indexOf(item);
    const back = () => list.insertBefore(item, list.children[from + (to < from ? 1 : 0)] ?? null);
    if (event.type === "pointercancel" || to === from) {
      back();
      say(to === from ? "" : "Left where it was.");
    } else if (!(await reorder(where, words, from, to))) {
      back();
    }
  };
  grip.addEventListener("pointermove", move);
  grip.addEventListener("pointerup", end);
  grip.addEventListener("pointercancel", end);
}
