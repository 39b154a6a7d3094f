"""From a job file and the pieces of every size to tagged pieces and runs."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from functools import partial
from itertools import chain

from edgefinder.classifier.claims import Claim, Reason
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.fields import Word
from edgefinder.classifier.job import Finish, Job, PieceSettings, RunSettings
from edgefinder.classifier.marked_pieces import mark_pieces, words_used
from edgefinder.classifier.numbers_used import texts_in_piece, texts_in_runs
from edgefinder.classifier.own_runs import own_run_finding, own_runs
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.classifier.run_order import Use, group_uses
from edgefinder.classifier.run_words import RunWord, parse_run_word
from edgefinder.classifier.sewing_order import Meant, in_sewing_order
from edgefinder.classifier.sizes import SizePieces, same_name
from edgefinder.classifier.tag_piece import fold_of, tag_piece
from edgefinder.classifier.tags import (
    TaggedPiece,
    TaggedRun,
    TaggedSize,
    tagged_finishes,
    tagged_folds,
)
from edgefinder.errors import EdgefinderError, TagError, did_you_mean
from edgefinder.findings import Finding, times, warning
from edgefinder.memory import Memory
from edgefinder.pattern.pieces import Piece

RunWords = list[tuple[Word, RunWord]]


def tag_sizes(
    job: Job, sizes: Sequence[SizePieces], memory: Memory | None = None
) -> tuple[TaggedSize, ...]:
    """Tag the edges of every size.

    Parameters
    ----------
    job : Job
    sizes : sequence of SizePieces
        Their edges labelled alike.
    memory : Memory or None
        Of the same job file before.

    Returns
    -------
    tuple of TaggedSize

    Raises
    ------
    TagError
        With one line for every rule that cannot be followed.
    """
    names = list(dict.fromkeys(p.name for size in sizes for p in size.pieces))
    mistakes = _piece_mistakes(job, names)
    runs: list[tuple[RunSettings, RunWords]] = []
    for run in job.runs:
        if not run.name:  # told already
            continue
        words, wrong = _read_run(job, run, names)
        mistakes += wrong
        runs.append((run, words))
    marked = _marked(job, sizes, names, memory or Memory())
    said = {name: settings_of(job, name) for name in names}
    tagged: list[TaggedSize] = []
    by_size: dict[str, list[str]] = {}
    for size in sizes:
        one = _SizeTags(job, [marked[id(piece)] for piece in size.pieces], runs, said)
        tagged.append(TaggedSize(size.size, one.pieces, one.runs, one.findings))
        by_size[size.size] = one.mistakes
    mistakes += _once(by_size)
    if mistakes:
        raise TagError(*dict.fromkeys(mistakes))
    return tuple(tagged)


def marked_pieces(
    job: Job, sizes: Sequence[SizePieces], memory: Memory, first: str
) -> dict[str, tuple[MarkedPiece, ...]]:
    """Return every piece by its name in every size, cut at the marks in use.

    Parameters
    ----------
    job : Job
    sizes : sequence of SizePieces
        Their edges labelled alike.
    memory : Memory
    first : str
        The size that stands first.
    """
    names = list(dict.fromkeys(p.name for size in sizes for p in size.pieces))
    marked = _marked(job, sizes, names, memory)
    ordered = sorted(sizes, key=lambda size: size.size != first)
    found: dict[str, tuple[MarkedPiece, ...]] = dict.fromkeys(names, ())
    for size in ordered:
        for piece in size.pieces:
            found[piece.name] += (marked[id(piece)],)
    return found


def settings_of(job: Job, piece: str) -> PieceSettings:
    """Return what a job file says of a piece."""
    said = (s for s in job.pieces if same_name(s.name, piece))
    return next(said, PieceSettings(piece))


def _piece_mistakes(job: Job, names: Sequence[str]) -> list[str]:
    return [
        f'{job.path}: pieces "{settings.name}": the drawing has no such piece'
        f"{did_you_mean(settings.name, names)}"
        for settings in job.pieces
        if settings.name and not any(same_name(settings.name, n) for n in names)
    ]


def _read_run(
    job: Job, run: RunSettings, names: Sequence[str]
) -> tuple[RunWords, list[str]]:
    words: RunWords = []
    mistakes: list[str] = []
    for word in run.edges:
        try:
            words.append((word, parse_run_word(word.text, names)))
        except EdgefinderError as error:
            mistakes += [_in_run(job, run, word, m) for m in error.messages]
    return words, mistakes


def _in_run(job: Job, run: RunSettings, word: Word, message: str) -> str:
    return f'{job.path}: runs "{run.name}": edges: "{word.text}": {message}'


def _marked(
    job: Job,
    sizes: Sequence[SizePieces],
    names: Sequence[str],
    memory: Memory,
) -> dict[int, MarkedPiece]:
    """Cut every piece of every size at the marks that are used on it."""
    in_runs = texts_in_runs(job, names)
    marked: dict[int, MarkedPiece] = {}
    for name in names:
        said = settings_of(job, name)
        pieces = [p for size in sizes for p in size.pieces if p.name == name]
        each = list({id(piece): piece for piece in pieces}.values())
        if said.as_drawn is not None:  # coordinates are those of the size it names
            model = said.as_drawn.size
            each.sort(key=lambda piece: piece.size != model)
        used = words_used(said, [*in_runs[name], *texts_in_piece(said)])
        found = memory.recall(
            ("marked", tuple(each), said.edge_names, said.marks, used),
            partial(mark_pieces, each, said, used),
        )
        marked |= {id(p): m for p, m in zip(each, found, strict=True)}
    return marked


def _once(by_size: Mapping[str, Sequence[str]]) -> list[str]:
    """Say once what is wrong in several sizes, and in which if not in all."""
    sizes_of: dict[str, list[str]] = {}
    for size, mistakes in by_size.items():
        for mistake in dict.fromkeys(mistakes):
            sizes_of.setdefault(mistake, []).append(size)
    return [
        mistake
        if len(sizes) == len(by_size)
        else f"{mistake} (size {', '.join(sizes)})"
        for mistake, sizes in sizes_of.items()
    ]


class _SizeTags:
    """The tags of one size, and what is wrong with them."""

    def __init__(
        self,
        job: Job,
        marked: Sequence[MarkedPiece],
        runs: Sequence[tuple[RunSettings, RunWords]],
        said: Mapping[str, PieceSettings],
    ) -> None:
        self._said = said
        self.mistakes: list[str] = []
        self._job = job
        self._marked = {one.piece.name: one for one in marked}
        self._folds = {one.piece.name: self._fold(one) for one in marked}
        self._claims: defaultdict[str, list[Claim]] = defaultdict(list)
        uses = [(run, self._uses(run, words)) for run, words in runs]
        self._findings: list[Finding] = []
        self.pieces = tuple(self._piece(one) for one in marked)
        uses += self._own_runs(uses)
        self._finishes = tagged_finishes(self.pieces)
        self._tagged_folds = tagged_folds(self.pieces)
        self.runs = tuple(self._run(run, found) for run, found in uses)
        self.findings = (*self._findings, *_count_findings(self.pieces, uses))

    def _fold(self, marked: MarkedPiece) -> int | None:
        said = self._said[marked.piece.name]
        fold, wrong = fold_of(marked, said)
        self._say(said, wrong)
        return fold

    def _say(self, said: PieceSettings, wrong: Sequence[str]) -> None:
        place = f'{self._job.path}: pieces "{said.name}": '
        self.mistakes += [place + message for message in wrong]

    def _uses(self, run: RunSettings, words: RunWords) -> list[Use]:
        meant = []
        for word, said in words:
            marked = self._marked.get(said.piece)
            if marked is None:
                message = f'there is no piece "{said.piece}"'
                self.mistakes.append(_in_run(self._job, run, word, message))
                continue
            try:
                found = marked.edges(said.edges)
            except EdgefinderError as error:
                self.mistakes += [
                    _in_run(self._job, run, word, m) for m in error.messages
                ]
                continue
            if not found:
                message = "means no edge"
                self.mistakes.append(_in_run(self._job, run, word, message))
                continue
            reason = Reason(
                f'runs "{run.name}": "{word.text}"', self._job.line_of(word.key)
            )
            self._claims[said.piece] += [
                Claim(one, Finish.BOUND, reason, in_run=True) for one in found
            ]
            meant.append(Meant(marked.piece, found, said.mirrored))
        return in_sewing_order(meant, self._folds)

    def _piece(self, marked: MarkedPiece) -> TaggedPiece:
        name = marked.piece.name
        said = self._said[name]
        tagged, wrong, findings = tag_piece(
            self._job, marked, said, self._folds[name], self._claims.get(name, ())
        )
        self._say(said, wrong)
        self._findings += findings
        return tagged

    def _own_runs(
        self, uses: Sequence[tuple[RunSettings, list[Use]]]
    ) -> list[tuple[RunSettings, list[Use]]]:
        taken = {(p.name, copy.number) for _, found in uses for p, copy in found}
        try:
            found = own_runs(self._job, self.pieces, taken)
        except TagError as error:
            self.mistakes += [f"{self._job.path}: {m}" for m in error.messages]
            return []
        self._findings += [own_run_finding(*one) for one in found]
        return [(run, [(one.piece, Copy(edge.number))]) for run, one, edge in found]

    def _run(self, run: RunSettings, uses: Sequence[Use]) -> TaggedRun:
        groups, wrong = group_uses(run, uses, self._finishes, self._tagged_folds)
        self.mistakes += [f'{self._job.path}: runs "{run.name}": {m}' for m in wrong]
        is_loop = len(groups) == 1 and groups[0].is_whole
        if is_loop and not run.is_closed and not run.is_open_by_word:
            self._findings.append(_open_loop(run))
        return TaggedRun(run, groups)


def _open_loop(run: RunSettings) -> Finding:
    message = (
        "ends where it starts, and its ends are finished apart; write closed = true "
        "if they are joined, closed = false if not"
    )
    return warning("open-loop", f'runs "{run.name}"', message)


def is_open_loop(finding: Finding, run: str) -> bool:
    """Whether a finding says that a run goes once round and is not closed."""
    return finding.code == "open-loop" and finding.where == f'runs "{run}"'


def _count_findings(
    pieces: Sequence[TaggedPiece], uses: Sequence[tuple[RunSettings, list[Use]]]
) -> list[Finding]:
    """Compare how often each edge is bound with how often it is cut."""
    bound = Counter[tuple[str, int]]()
    for run, found in uses:
        for piece, copy in found:
            bound[piece.name, copy.number] += run.times
    return [
        finding
        for tagged in pieces
        for finding in _counted(tagged.piece, tagged.cut, tagged.fold, bound)
    ]


def _counted(
    piece: Piece, cut: int, fold: int | None, bound: Counter[tuple[str, int]]
) -> list[Finding]:
    findings = []
    for edge in piece.edges:
        uses = bound.get((piece.name, edge.number))
        if uses is None:
            continue
        per_cut = 1
        if fold is not None and edge.ring == 0:
            copies = chain.from_iterable(edge_rings(piece, fold))
            per_cut = sum(copy.number == edge.number for copy in copies)
        if uses != cut * per_cut:
            message = (
                f"is cut {times(cut * per_cut)} and bound {times(uses)}; see cut of "
                "the piece and times of the runs"
            )
            where = f'"{piece.name}" edge {edge.label}'
            findings.append(warning("bound-count", where, message))
    return findings
