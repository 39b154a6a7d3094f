/** What the page says: the status line, and bars that stay until they are dismissed. */

import { button, byId, el } from "./dom.js";
import { shown } from "./shown.js";

/** Bars from the first to the last. */
const ORDER = ["lost", "problem", "mistakes", "notice"];

/** The notice that was dismissed, with its revision: it may be said again of another. */
let dismissed = null;

/** Say what happened; an empty text leaves what was said before. */
export function say(text) {
  if (text) byId("status").textContent = text;
}

/**
 * Take the path of the folder off a mistake: the page works on one job file.
 *
 * @param {string} line
 */
export function withoutPath(line) {
  const file = shown.state?.file;
  const at = file ? line.indexOf(`${file}: `) : -1;
  return at < 0 ? line : line.slice(at + file.length + 2);
}

/** @param {string[]} lines none takes the bar away */
export function showMistakes(lines) {
  bar("mistakes", lines.map(withoutPath), { isAlert: true, closes: true });
}

/** What the state says of the world outside. */
export function showOutside(onSave) {
  const { problem, notice, revision } = shown.state;
  const said = `${revision} ${notice}`;
  bar("problem", problem ? [`Not saved: ${withoutPath(problem)}`] : [], {
    isAlert: true,
    tools: [button("save-again", "Save again", onSave)],
  });
  bar("notice", notice && said !== dismissed ? [notice] : [], {
    closes: true,
    onClose: () => {
      dismissed = said;
    },
  });
}

/** The program has gone: nothing can be done here any more. */
export function showLost(isStranger) {
  const text = isStranger
    ? "This page is not known to the program. Open it from the address that was " +
      "printed when the program was started."
    : "The program has been stopped. Start it again and open the new page. Nothing is " +
      "lost: every change was saved when it was made, unless the page says otherwise.";
  shut(text);
}

/**
 * Close the page for good, with a last word.
 *
 * @param {string} text
 * @param {boolean} isDone whether it was closed from here, and all is well
 */
export function shut(text, isDone = false) {
  if (document.body.dataset.shut) return;
  document.body.dataset.shut = "yes";
  byId("first-step").close();
  for (const id of ["skip-to-panels", "head", "work"]) byId(id).inert = true;
  if (isDone) for (const name of ORDER) byId(`bar-${name}`)?.remove();
  bar("lost", [text], isDone ? { role: "status" } : { isAlert: true });
}

export const isShut = () => Boolean(document.body.dataset.shut);

/**
 * @param {string} name
 * @param {string[]} lines
 */
function bar(name, lines, given) {
  const { isAlert = false, role = isAlert ? "alert" : null, closes = false, tools = [], onClose } =
    given;
  const id = `bar-${name}`;
  const there = byId(id);
  if (there?.dataset.said === lines.join("\n")) return;
  there?.remove();
  if (!lines.length) return;
  const close = button(`${id}-close`, "Dismiss", () => {
    byId(id).remove();
    onClose?.();
    byId("panels").focus({ preventScroll: true });
  });
  const node = el(
    "div",
    { id, class: "bar", role, "data-said": lines.join("\n") },
    el("ul", {}, ...lines.map((line) => el("li", {}, line))),
    ...tools,
    closes ? close : null,
  );
  const later = ORDER.slice(ORDER.indexOf(name) + 1).map((one) => byId(`bar-${one}`));
  byId("bars").insertBefore(node, later.find(Boolean) ?? null);
}
