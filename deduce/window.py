"""The window: how grids, proofs, walks and results show themselves.

Everything in the house looks down only, and this is the one place that looks up: each class takes its ways to show
itself from here, and what does the showing is loaded when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.figure import Figure

    from deduce.claims.notes import NotesNeeded
    from deduce.proof import Proof
    from deduce.puzzle.layout import Layout
    from deduce.surveys.tables import Table
    from deduce.walks.story import Story

__all__ = ["ShownAudit", "ShownChapter", "ShownConflict", "ShownCoverage", "ShownGrid", "ShownLayout", "ShownNotes"]
__all__ += ["ShownProof", "ShownReply", "ShownStory", "ShownStoryStep", "ShownValidity", "ShownVerdict", "ShownWalk"]


def _told(room: str, name: str, says: str) -> Callable[[Any], str]:
    """Return a method that asks a function of another room, which is loaded when it is called."""

    def told(self: Any) -> str:
        text: str = getattr(import_module(f"deduce.{room}"), name)(self)
        return text

    told.__doc__ = says
    return told


def _bundle(room: str, name: str) -> Callable[..., dict[str, str]]:
    """Return the method by which notebooks show an object."""

    def bundle(self: Any, **_: Any) -> dict[str, str]:
        shown: dict[str, str] = getattr(import_module(f"deduce.{room}"), name)(self)
        return shown

    return bundle


class ShownLayout:
    """How a layout is written for other tools."""

    __slots__ = ()

    @classmethod
    def from_json(cls, text: str) -> Layout:
        """Read a layout from JSON, as a proof document holds it.

        Raises
        ------
        ExchangeError
            With the path of the place that is wrong.
        """
        from deduce.exchange import layout_from_json

        return layout_from_json(text)

    to_json = _told("exchange", "layout_to_json", "Return the layout as JSON, as a proof document holds it.")


class _Drawn:
    """What is drawn on a grid."""

    __slots__ = ()

    def picture(self: Any, **options: Any) -> str:
        """Return the position, or the step on its grid, drawn as the text of an SVG file.

        Parameters
        ----------
        **options
            Those of :func:`deduce.pictures.picture`: `theme` (``"light"``, ``"dark"``, ``"print"``, or ``"stage"`` for
            projection), `notes` (``"all"``, ``"none"``, or of a step ``"needed"``: those that it rests on; what has a
            part in it stays), `size` in pixels, `key`, `labels`, `transparent`, and of a step `numbers`.
        """
        from deduce.pictures import picture

        return picture(self, **options)


class ShownGrid(_Drawn):
    """How a position shows itself."""

    __slots__ = ()

    _repr_mimebundle_ = _bundle("pages.notebook", "grid_bundle")


class ShownProof(_Drawn):
    """How a proof shows itself."""

    __slots__ = ()

    def shrink(self: Any) -> Proof:
        """Return a proof of the same conclusions from which no base, cover or inner step can be left out."""
        from deduce.suppositions.shrink import shrunk

        return shrunk(self)

    def words(self: Any, *, level: str = "paragraph") -> str:
        """Return the reasoning in plain English.

        Parameters
        ----------
        level : str
            ``"where"`` to look, the ``"name"``, a ``"line"`` with what is concluded, a ``"paragraph"`` with the reason,
            or ``"full"``: every link of a chain, or every premise, by itself.
        """
        from deduce.words.en.explain import explain

        return explain(self, level)

    notation = _told(
        "words.en.explain", "notation", "Return the written chain, such as ``(7)r1c9 = (7)r1c3``, or nothing."
    )

    to_json = _told("exchange", "proof_to_json", "Return the proof, with the exact position of it, as a JSON document.")

    @classmethod
    def from_json(cls, text: str) -> Proof:
        """Read a proof from a JSON document that holds one step; nothing is verified before it is checked."""
        from deduce.exchange import proof_from_json

        return proof_from_json(text)

    _repr_mimebundle_ = _bundle("pages.notebook", "proof_bundle")


class ShownWalk:
    """How a walk shows itself."""

    __slots__ = ()

    def notes_needed(self: Any) -> tuple[NotesNeeded, ...]:
        """Return for each step the least pencil work that it adds; see :func:`deduce.walks.notes_needed`."""
        from deduce.claims.notes import notes_needed

        return notes_needed(self)

    def to_json(self: Any, *, told: bool = False, chapters: Sequence[tuple[str, int, int]] = ()) -> str:
        """Return the walk as a JSON document that `deduce check` and other tools read.

        Parameters
        ----------
        told : bool
            Whether each step carries its words and the notes before it, so that another tool needs no prose of its own.
        chapters : sequence of (str, int, int), optional
            Titles, each with its first and its last step, counted from 1.
        """
        from deduce.exchange import Document

        document = Document.of_walk(self)
        if not told:
            return document.to_json(chapters=chapters)
        from deduce.words.en.explain import LEVELS, explain

        return document.to_json(lambda proof: {level: explain(proof, level) for level in LEVELS}, chapters)

    words = _told("words.en.explain", "tell", "Return the walk as text: each step with its pattern and its reasoning.")

    def story(self: Any, *, whole: bool = False) -> Story:
        """Return the walk in chapters, with what made each step possible; see :func:`deduce.walks.story`."""
        from deduce.walks.story import story

        return story(self, whole=whole)

    def page(
        self: Any, *, theme: str = "auto", title: str = "", author: str = "", lang: str = "en", stage: bool = False
    ) -> str:
        """Return the walk as one self-contained HTML page, for readers and, with `stage` at once, for an audience.

        Parameters
        ----------
        theme : str
            ``"auto"``: bright or dark by the reader's system; or ``"light"``, ``"dark"`` or ``"print"``.
        title, author, lang : str
            The title, a line below it, and the language that the page says it is in.
        stage : bool
            Whether the page opens on the stage.
        """
        from deduce.pages.player import page

        return page(self, theme=theme, title=title, author=author, lang=lang, stage=stage)

    def storyboard(self: Any, folder: str | Path, **options: Any) -> tuple[Path, ...]:
        """Write everything that a recording needs into a folder: frames of one size, script, captions, chapters.

        Parameters
        ----------
        folder : str or Path
            Made if it does not exist.
        **options
            Those of :func:`deduce.pictures.storyboard`: `size`, `theme`, `notes`, `title`, `words`, `key`, `overlays`,
            `steps`, `singles`, `rate`, `pause`, `minutes`, `executor`, `progress`.

        Returns
        -------
        tuple of Path
            The files that were written.

        Raises
        ------
        MissingExtra
            If the extra `pictures` is not installed.
        """
        from deduce.pages.storyboard import storyboard

        return storyboard(self, folder, **options)

    def chart(self: Any) -> Figure:
        """Return the course of the walk (candidates left, effort of each step) as a figure of matplotlib.

        Raises
        ------
        MissingExtra
            If the extra `pictures` is not installed.
        """
        from deduce.pages.charts import chart

        return chart(self)

    _repr_mimebundle_ = _bundle("pages.notebook", "walk_bundle")


class ShownStory:
    """How a story is told."""

    __slots__ = ()

    def words(self: Any, level: str = "paragraph") -> str:
        """Return the story as text.

        Parameters
        ----------
        level : str
            ``"line"``: one line for each step or run of singles.  ``"paragraph"``: the reasoning of each idea, and runs
            of singles told as runs.  ``"full"``: every step by itself, with all that `Proof.words` says at that level.
        """
        from deduce.words.en.story import tell_story

        return tell_story(self, level)


class ShownChapter:
    """How a chapter is told."""

    __slots__ = ()

    @property
    def title(self: Any) -> str:
        """What the chapter is about."""
        from deduce.words.en.story import chapter_title

        return chapter_title(self)

    def words(self: Any, level: str = "paragraph") -> str:
        """Return the chapter as text, without its title; levels as in `Story.words`."""
        from deduce.words.en.story import tell_chapter

        return tell_chapter(self, level)


class ShownStoryStep:
    """How a step of a story is told."""

    __slots__ = ()

    def words(self: Any, level: str = "paragraph") -> str:
        """Return what made the step possible and its reasoning; levels as in `Proof.words`."""
        from deduce.words.en.story import tell_story_step

        return tell_story_step(self, level)


class ShownVerdict:
    """How a verdict shows itself."""

    __slots__ = ()

    def words(self: Any, *, spoil: bool = False) -> str:
        """Return the verdict in plain English; the solution against a claim is shown only if `spoil` says so."""
        from deduce.words.en.verdicts import explain_verdict

        return explain_verdict(self, spoil=spoil)

    def picture(self: Any, *, theme: str = "light", notes: str = "all", size: int | None = None) -> str:
        """Return what shows the verdict as the text of an SVG file: the last step, or the cells where the claim fails.

        Parameters
        ----------
        theme, notes, size
            As for the picture of a proof.
        """
        from deduce.pages.audit import verdict_picture

        return verdict_picture(self, theme=theme, notes=notes, size=size)

    def page(self: Any) -> str:
        """Return the verdict as one self-contained HTML page; the solution against a claim is not shown."""
        from deduce.pages.audit import verdict_page

        return verdict_page(self)

    _repr_mimebundle_ = _bundle("pages.audit", "verdict_bundle")


class ShownReply:
    """How an answer shows itself."""

    __slots__ = ()

    words = _told("words.en.replies", "explain_reply", "Return the answer in plain English.")


class ShownAudit:
    """How an audit shows itself."""

    __slots__ = ()

    words = _told("words.en.audits", "explain_audit", "Return the audit as text, line by line, a summary in front.")
    page = _told("pages.audit", "audit_page", "Return the audit as one self-contained HTML page.")

    _repr_mimebundle_ = _bundle("pages.audit", "audit_bundle")


class ShownNotes:
    """How a report on notes shows itself."""

    __slots__ = ()

    words = _told("words.en.audits", "explain_notes", "Return the findings as text.")


class ShownValidity:
    """How it is told whether a puzzle is one."""

    __slots__ = ()

    words = _told("words.en.audits", "explain_validity", "Return the findings as text.")


class ShownConflict:
    """How it is told that constraints cannot hold together."""

    __slots__ = ()

    words = _told("words.en.conflicts", "tell_conflict", "Return which constraints conflict and why, in plain English.")


class ShownCoverage:
    """How coverage shows itself."""

    __slots__ = ()

    def tables(self: Any) -> tuple[Table, ...]:
        """Return everything that was asked as tables."""
        from deduce.pages.survey import tables

        return tables(self)

    def text(self) -> str:
        """Return the tables as text."""
        return "\n\n".join(table.text() for table in self.tables())

    page = _told("pages.survey", "page", "Return the tables, with charts where there is matplotlib, as a page.")

    _repr_html_ = _told("pages.survey", "fragment", "Return the same for notebooks, as HTML.")
