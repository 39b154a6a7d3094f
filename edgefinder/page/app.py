"""What the page's server answers: the shell, the state, changes, files."""

import json
import secrets
from collections.abc import Callable, Mapping
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Final

from flask import Flask, Response, g, request
from werkzeug.exceptions import HTTPException

from edgefinder.classifier.editing.settings_edits import TOP, add_to_list
from edgefinder.errors import EdgefinderError, SettingsError
from edgefinder.page.arriving import keep_drawing
from edgefinder.page.asked import asked_text
from edgefinder.page.changes import Asked, read_change
from edgefinder.page.desk import Desk, Seen, StaleError
from edgefinder.page.exports import hand_out
from edgefinder.page.forms import form_data, in_labels
from edgefinder.page.guard import Guard, headers
from edgefinder.page.state import state_data
from edgefinder.page.trying import tried_width
from edgefinder.schedule.draft import Draft

STALE: Final = 409
MISTAKE: Final = 422
INTERNAL: Final = 500

KINDS: Final = MappingProxyType(
    {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}
)

Shell = Mapping[str, tuple[str, str]]
"""Of every file of the shell, by its path: its text and its media type."""


def shell_files() -> Shell:
    """Return the text and the media type of every file of the shell, by its path."""
    found = {}
    for one in files("edgefinder.page").joinpath("static").iterdir():
        stem, dot, ending = one.name.rpartition(".")
        kind = KINDS.get(dot + ending)
        if stem and kind is not None:
            path = "/" if one.name == "page.html" else f"/{one.name}"
            found[path] = (one.read_text("utf-8"), kind)
    return found


class Activity:
    """When somebody last did something, and what stops the server."""

    def __init__(self, stop: Callable[[], None], clock: Callable[[], float]) -> None:
        self._clock = clock
        self.stop = stop
        self.last = clock()

    def note(self) -> None:
        """Somebody did something."""
        self.last = self._clock()

    def idle(self) -> float:
        """Return for how many seconds nobody did anything."""
        return self._clock() - self.last


def make_app(desk: Desk, shell: Shell, guard: Guard, activity: Activity) -> Flask:
    """Return the application that answers a page.

    Parameters
    ----------
    desk : Desk
    shell : Shell
    guard : Guard
    activity : Activity

    Returns
    -------
    Flask
    """
    # No folder of its own: only the paths below are served.
    app = Flask(__name__, static_folder=None, template_folder=None)
    answers = _Answers(desk, activity)

    @app.before_request
    def check() -> None:
        g.nonce = secrets.token_urlsafe(16)
        guard.check(request)
        if request.path not in {"/api/pulse", "/api/state"}:
            activity.note()

    @app.after_request
    def protect(response: Response) -> Response:
        response.headers.update(headers(g.get("nonce", "")))
        return response

    for path, (text, kind) in shell.items():

        def serve(text: str = text, kind: str = kind) -> Response:
            return Response(text.replace("{{ nonce }}", g.nonce), mimetype=kind)

        app.add_url_rule(path, f"shell{path}", serve)
    app.add_url_rule("/api/pulse", "pulse", answers.pulse)
    app.add_url_rule("/api/state", "state", answers.state)
    app.add_url_rule("/api/forms", "forms", answers.forms)
    for name in ("change", "undo", "redo", "save", "try", "file", "drawing", "done"):
        view = getattr(answers, f"{name}_")
        app.add_url_rule(f"/api/{name}", name, view, methods=["POST"])
    app.register_error_handler(HTTPException, _http_error)
    app.register_error_handler(EdgefinderError, answers.mistake)
    app.register_error_handler(Exception, _internal_error)
    return app


class _Answers:
    """The answers to requests for data."""

    def __init__(self, desk: Desk, activity: Activity) -> None:
        self._desk = desk
        self._activity = activity

    def pulse(self) -> Response:
        """Say which revision is the newest, and what happened from outside."""
        seen = self._desk.look()
        return _json(
            {
                "revision": seen.revision,
                "notice": seen.notice,
                "problem": seen.problem,
            }
        )

    def state(self) -> Response:
        """Show how the job stands."""
        return self._state(self._desk.look(), request.args.get("size", ""))

    def forms(self) -> Response:
        """Show what can be filled in."""
        return _json(form_data())

    def change_(self) -> Response:
        """Change the job file."""
        asked = _asked()
        wanted = asked.get("change")
        if not isinstance(wanted, dict):
            raise SettingsError('"change" must have named values')
        change = read_change(wanted, self._desk.memory)
        revision = asked_text(asked, "revision")
        return self._changed(self._desk.change(revision, change.label, change.make))

    def undo_(self) -> Response:
        """Take the last change back."""
        return self._changed(self._desk.undo(asked_text(_asked(), "revision")))

    def redo_(self) -> Response:
        """Make a change again that was taken back."""
        return self._changed(self._desk.redo(asked_text(_asked(), "revision")))

    def save_(self) -> Response:
        """Try again to save."""
        return self._changed(self._desk.save())

    def try_(self) -> Response:
        """Judge another finished width; nothing is written."""
        asked = _asked()
        with self._desk.lock:
            release = self._desk.look().draft.release
            if release is None:
                raise SettingsError("no run has been laid yet")
            size, tape = asked_text(asked, "size"), asked_text(asked, "tape")
            wide = asked_text(asked, "width")
            tried = tried_width(release, size, tape, wide, self._desk.memory.aside())
        return _json(tried)

    def file_(self) -> Response:
        """Hand out a file."""
        draft = self._desk.look().draft
        if draft.release is None:
            raise SettingsError(*(draft.mistakes or draft.missing))
        made = hand_out(draft.release, asked_text(_asked(), "kind"))
        response = Response(made.data, mimetype=made.kind)
        name = f"{draft.job.path.stem}{made.name}"
        response.headers.set("Content-Disposition", "attachment", filename=name)
        return response

    def drawing_(self) -> Response:
        """Take a drawing in that was dropped on the page."""
        name = asked_text({"name": request.args.get("name", "")}, "name")
        path, is_new = keep_drawing(self._desk.path.parent, name, request.get_data())

        def make(draft: Draft, text: str) -> list[str]:
            if path.resolve() in {one.resolve() for one in draft.job.drawings}:
                return [text]
            return [add_to_list(text, TOP, "", "drawings", [path.name])]

        revision = request.args.get("revision", "")
        try:
            seen = self._desk.change(revision, f"drawing {path.name}", make)
        except EdgefinderError:
            if is_new:
                path.unlink(missing_ok=True)
            raise
        return self._changed(seen)

    def done_(self) -> Response:
        """Stop the server."""
        _asked()
        self._activity.stop()
        return _json({})

    def mistake(self, error: EdgefinderError) -> Response:
        """Say what the person can mend; show the newest state to a stale page."""
        data: dict[str, Any] = {"mistakes": list(map(in_labels, error.messages))}
        if isinstance(error, StaleError):
            with self._desk.lock:
                seen = self._desk.look()
                data["state"] = state_data(seen, _size(), self._desk.memory)
            return _json(data, STALE)
        return _json(data, MISTAKE)

    def _changed(self, seen: Seen) -> Response:
        return self._state(seen, _size())

    def _state(self, seen: Seen, size: str) -> Response:
        with self._desk.lock:
            return _json(state_data(seen, size, self._desk.memory))


def _asked() -> Asked:
    """Return what was sent; raises SettingsError if it has no named values."""
    data = _sent()
    if data is None:
        raise SettingsError("what was sent cannot be read")
    return data


def _sent() -> Asked | None:
    try:
        data = request.get_json(silent=True) if request.is_json else None
    except RecursionError:
        return None
    return data if isinstance(data, Mapping) else None


def _size() -> str:
    """Return the size that the page shows."""
    size = (_sent() or request.args).get("size")
    return size if isinstance(size, str) else ""


def _json(data: object, status: int = 200) -> Response:
    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    return Response(text, status, mimetype="application/json")


def _http_error(error: HTTPException) -> Response:
    said = error.description or error.name
    return _json({"mistakes": [said]}, error.code or INTERNAL)


def _internal_error(error: Exception) -> Response:
    said = f"internal error: {type(error).__name__}: {error}"
    return _json({"mistakes": [said]}, INTERNAL)
