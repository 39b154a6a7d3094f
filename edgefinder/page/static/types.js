/**
 * What the server sends, as the page reads it. Types alone: nothing runs here.
 *
 * Coordinates are millimetres from the upper left corner of a piece's box, y down;
 * lengths are written out by the server and shown as they come.
 *
 * @typedef {number[]} Line x and y by turns
 * @typedef {[number, number]} Point
 *
 * @typedef {object} Edge
 * @property {number} number its place in the outline as it is drawn in this size
 * @property {number | null} drawn its number as this size is drawn; null for a further
 *   part of an edge that is cut
 * @property {string} label what the job file calls it
 * @property {string} name empty if it has none
 * @property {boolean} isPart
 * @property {boolean} isCutout
 * @property {string} finish
 * @property {boolean} isFold
 * @property {number[]} runs indices of the runs it is in
 * @property {string} letters of those runs
 * @property {string} length
 * @property {string} allowance
 * @property {string[]} why the rules that gave it its finish
 * @property {Line} line
 * @property {Point} at its middle
 * @property {Point} out direction away from the cloth
 *
 * @typedef {object} Place
 * @property {number[]} numbers
 * @property {string} verdict
 * @property {Point} at
 * @property {Point} out
 *
 * @typedef {{verdict: string, line: Line}} Band
 * @typedef {{place: string, edge: number, splits: boolean, at: Point, in: Point}} Notch
 *
 * @typedef {object} Piece
 * @property {string} name
 * @property {number} x
 * @property {number} y
 * @property {number} width
 * @property {number} height
 * @property {string} widthText
 * @property {string} heightText
 * @property {number} cut
 * @property {Line[]} outlines
 * @property {Edge[]} edges
 * @property {{run: number, line: Line}[]} bound
 * @property {Band[]} bands
 * @property {Place[]} places
 * @property {Notch[]} notches
 * @property {Line | null} grain
 *
 * @typedef {object} Run
 * @property {string} name
 * @property {number} index
 * @property {string} letter
 * @property {string} colour
 * @property {number[]} dashes
 * @property {string} tape
 * @property {string[]} edges
 * @property {boolean} isWritten
 * @property {boolean} isClosed
 * @property {string} bound
 * @property {string} toCut
 * @property {number} times
 * @property {string} flatUpTo
 * @property {number} watch
 *
 * @typedef {object} Tape
 * @property {string} name
 * @property {string} finishedWidth
 * @property {number} finishedMm
 * @property {string} cutWidth
 * @property {string} cloth
 * @property {string} stretch
 * @property {string} toCut
 * @property {string} toBuy
 * @property {string} flatUpTo
 * @property {string} watch
 *
 * @typedef {object} PlaceRow
 * @property {number} number
 * @property {string[]} cells
 * @property {string} needs
 * @property {string[]} advice
 * @property {string} piece
 *
 * @typedef {{caption: string, head: string[], rows: string[][], names: number}} Table
 * @typedef {{severity: string, code: string, where: string, message: string}} Finding
 * @typedef {{piece: string, edges: number[], size: string, count: number, message: string,
 *   why: string, choices: number[][]}}
 *   Doubt
 * @typedef {Record<string, string | number | boolean | string[]>} Written
 *
 * @typedef {object} State
 * @property {string} revision
 * @property {string | null} undo
 * @property {string | null} redo
 * @property {string | null} problem
 * @property {string | null} notice
 * @property {string} file
 * @property {string} name
 * @property {string} unit
 * @property {{size: string, title: string}[]} sizes
 * @property {string} size
 * @property {string[]} mistakes
 * @property {string[]} missing
 * @property {Doubt[]} doubts
 * @property {Finding[]} findings
 * @property {Record<string, Written | Written[]>} written
 * @property {string[]} cloths
 * @property {string[]} finishes
 * @property {Piece[]} pieces
 * @property {Run[]} runs
 * @property {Tape[]} tapes
 * @property {PlaceRow[]} places
 * @property {string[]} placeHead
 * @property {Table[]} tables
 * @property {string[]} cautions
 *
 * @typedef {object} FieldSpec one key of a job file
 * @property {string} key
 * @property {string} label
 * @property {string} kind
 * @property {string} meaning
 * @property {string} unit
 * @property {string} default
 * @property {boolean} required
 * @property {string[]} choices
 *
 * @typedef {object} Tried what lies flat at another finished width
 * @property {string} tape
 * @property {string} width
 * @property {number} steam
 * @property {number} tooTight
 * @property {{name: string, bands: Band[]}[]} pieces
 */

export {};
