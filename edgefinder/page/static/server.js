/** Asking the server; the only place that knows its paths and the token. */

const KEPT = "edgefinder-token";
const TOKEN = /^[\w-]{43}$/;

/** What a person can mend, in the words of the commands. */
export class MistakesError extends Error {
  /**
   * @param {string[]} lines
   * @param {import("./types.js").State | null} state how it is now, if this page was
   *   behind
   */
  constructor(lines, state = null) {
    super(lines[0] ?? "");
    this.lines = lines;
    this.state = state;
  }
}

/** The server does not answer, or no longer knows this page. */
export class LostError extends Error {
  /** @param {boolean} isStranger whether it answered but knows no such page */
  constructor(isStranger) {
    super("lost");
    this.isStranger = isStranger;
  }
}

/** Take the token out of the address, and keep it for reloads of this tab. */
export function takeToken() {
  const given = location.hash.slice(1);
  if (TOKEN.test(given)) {
    sessionStorage.setItem(KEPT, given);
    history.replaceState(null, "", location.pathname);
  }
  return sessionStorage.getItem(KEPT) !== null;
}

async function ask(path, options = {}) {
  const headers = { Authorization: `Bearer ${sessionStorage.getItem(KEPT)}` };
  if (options.type) headers["Content-Type"] = options.type;
  let answer;
  try {
    answer = await fetch(path, {
      method: options.method ?? "GET",
      headers,
      body: options.body,
      cache: "no-store",
    });
  } catch {
    throw new LostError(false);
  }
  if (answer.ok) return answer;
  if (answer.status === 401) throw new LostError(true);
  let said = {};
  try {
    said = await answer.json();
  } catch {
    // Not from our server's words: the status has to do.
  }
  throw new MistakesError(
    said.mistakes ?? [`the server answered ${answer.status}`],
    said.state ?? null,
  );
}

async function read(path) {
  return (await ask(path)).json();
}

function post(path, data) {
  return ask(path, {
    method: "POST",
    type: "application/json",
    body: JSON.stringify(data),
  });
}

/** @returns {Promise<Record<string, import("./types.js").FieldSpec[]>>} */
export const getForms = () => read("/api/forms");

/** @returns {Promise<import("./types.js").State>} */
export const getState = (size) => read(`/api/state?size=${encodeURIComponent(size)}`);

/**
 * Some values of the state, by which it is known whether it is still the newest.
 *
 * @returns {Promise<Partial<import("./types.js").State>>}
 */
export const getPulse = () => read("/api/pulse");

/**
 * @param {"change" | "undo" | "redo" | "save"} name
 * @returns {Promise<import("./types.js").State>}
 */
export const postStep = async (name, data) => (await post(`/api/${name}`, data)).json();

/** @returns {Promise<import("./types.js").Tried>} */
export const postTry = async (size, tape, width) =>
  (await post("/api/try", { size, tape, width })).json();

/** @returns {Promise<{name: string, data: Blob}>} */
export async function postFile(kind) {
  const answer = await post("/api/file", { kind });
  return { name: fileName(answer.headers), data: await answer.blob() };
}

/** The name of a file that was sent: plain, or in the coding of RFC 8187. */
function fileName(headers) {
  const said = headers.get("Content-Disposition") ?? "";
  const coded = /filename\*=UTF-8''([^;]+)/i.exec(said);
  if (coded) return decodeURIComponent(coded[1]);
  return /filename="?([^";]+)"?/i.exec(said)?.[1] ?? "edgefinder";
}

/** @returns {Promise<import("./types.js").State>} */
export async function postDrawing(file, revision, size) {
  const asked = new URLSearchParams({ name: file.name, revision, size });
  const answer = await ask(`/api/drawing?${asked}`, {
    method: "POST",
    type: "application/octet-stream",
    body: file,
  });
  return answer.json();
}

export const postDone = () => post("/api/done", {});
