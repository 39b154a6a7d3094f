/** Sending changes one after the other, and showing what the server answers. */

import { LostError, MistakesError, getPulse, getState, postStep } from "./server.js";
import { say, showLost, showMistakes } from "./notices.js";
import { shown, sizeTitle, takeState } from "./shown.js";

/** The end of the queue: a change is asked for on what the one before it led to. */
let last = Promise.resolve();

/** @type {(() => void)[]} */
const whenStepped = [];

/** Do something before what another hand, undo or redo led to is shown. */
export function beforeSteps(then) {
  whenStepped.push(then);
}

/**
 * Do something in its turn.
 *
 * @template T
 * @param {() => Promise<T>} work
 * @param {(lines: string[]) => void} [onMistakes] shows what is wrong
 * @returns {Promise<T | undefined>} undefined if it could not be done
 */
export function inTurn(work, onMistakes = showMistakes) {
  const turn = last.then(async () => {
    document.body.setAttribute("aria-busy", "true");
    try {
      return await work();
    } catch (error) {
      answerError(error, onMistakes);
      return undefined;
    } finally {
      document.body.removeAttribute("aria-busy");
    }
  });
  last = turn.catch(() => undefined);
  return turn;
}

function answerError(error, onMistakes) {
  if (error instanceof LostError) {
    showLost(error.isStranger);
  } else if (error instanceof MistakesError) {
    if (error.state) {
      takeState(error.state);
      showMistakes(error.lines);
    } else {
      onMistakes(error.lines);
    }
  } else {
    throw error;
  }
}

/**
 * Ask for a change of the job file.
 *
 * @param {object} wanted
 * @param {(state: import("./types.js").State) => string} words what is said when it is
 *   done
 * @param {(lines: string[]) => void} [onMistakes] shows what is wrong
 * @param {(state: import("./types.js").State) => string[]} [chosenThen] the edges that
 *   are chosen afterwards, if they are known by other words then
 * @returns {Promise<boolean>} whether it was done
 */
export async function change(wanted, words, onMistakes = showMistakes, chosenThen = undefined) {
  const state = await inTurn(
    () => postStep("change", { ...asked(), change: wanted }),
    onMistakes,
  );
  return taken(state, words, chosenThen);
}

/**
 * Undo, redo, or try again to save.
 *
 * @param {"undo" | "redo" | "save"} name
 */
export async function step(name) {
  let label;
  const state = await inTurn(() => {
    // Not before its turn: the step before may be on its way still.
    label = shown.state[name];
    return postStep(name, asked());
  });
  if (state && name !== "save") tellStepped();
  taken(state, ({ problem }) => {
    if (name === "save") return problem ? "" : "Saved.";
    return `${name === "undo" ? "Taken back" : "Done again"}: ${label}.`;
  });
}

/** Show another size. */
export async function showSize(size) {
  taken(await inTurn(() => getState(size)), () => `${sizeTitle() ?? "No size"} is shown.`);
}

/** Look whether anything has changed from outside, and show it. */
export async function lookOutside() {
  let before;
  const state = await inTurn(async () => {
    const pulse = await getPulse();
    const isSame = Object.keys(pulse).every((key) => pulse[key] === shown.state[key]);
    before = shown.state;
    return isSame ? undefined : getState(shown.state.size);
  });
  if (state && state.revision !== before.revision) tellStepped();
  taken(state, (now) => outsideWords(before, now));
}

function outsideWords(before, { revision, notice, problem, mistakes, file }) {
  if (revision === before.revision) {
    // Nothing of it was taken over: it cannot be read, can be again, or cannot be saved.
    if (problem) return `Not saved in ${file}.`;
    return notice ?? (before.notice ? `${file} can be read again; it is as it was.` : "Saved.");
  }
  return mistakes.length
    ? `Changed from outside: ${mistakes.length} to be mended; Findings lists them.`
    : "Changed from outside; it is shown as it is now.";
}

function tellStepped() {
  for (const then of whenStepped) then();
}

/** What goes with every change. */
export function asked() {
  return { revision: shown.state.revision, size: shown.state.size };
}

/** Show a state that was answered. */
export function taken(state, words, chosenThen = undefined) {
  if (!state) return false;
  const before = shown.state?.doubts.length ?? 0;
  showMistakes([]);
  takeState(state, chosenThen?.(state));
  const isAsked = state.doubts.length > before;
  say(isAsked ? `${words(state)} Findings asks which edge it is in other sizes.` : words(state));
  return true;
}
