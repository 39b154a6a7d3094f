/** Letters for the finishes, while the list or the picture is used. */

export const LETTERS = {
  b: "bound",
  s: "seam",
  h: "hem",
  f: "facing",
  r: "raw",
  o: "fold",
};
