"""The answer of a command in the form that was asked for: in short, section by section, as tables of data, or as JSON.

Each command has a module ``of_<command>`` that says ``short(result, told)``, the lines that come first; ``SECTIONS``,
its sections by name in the order of the whole page, where a section more is a line more; and ``TABLE``, the one of them
that a spreadsheet gets unless another is named.  Where a command may have several results, ``several(results, told)``
are the lines that come first then, and ``rows(results)`` a line for each; ``ALL_RIGS`` are sections of all of them
together.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field, replace
from fractions import Fraction
from importlib import import_module
from typing import Any

from cache_check.errors import AskError, did_you_mean
from cache_check.frozen import dataclass
from cache_check.model.cache import Source
from cache_check.model.rule import RuleBook
from cache_check.report import basis, cells, findings, lengths, shortly
from cache_check.report.as_text import as_data, as_lines, as_table, wrapped
from cache_check.report.page import ALL, NOT_COUNTED, Block, Page, Rows, Section, View, caution, said
from cache_check.report.say import Say


@dataclass(frozen=True)
class Told:
    """What was told beside the results: the rules, and the files read beside the caches; more for some commands."""

    book: RuleBook | None = None
    read: Sequence[Source] = ()
    counted: str = NOT_COUNTED
    more: Mapping[str, Any] = field(default_factory=dict)
    factors: tuple[Fraction, ...] = ()  # the strictest first; of several there are all results at it, then at the next

    @property
    def rules(self) -> RuleBook:
        """The rules; a command that has a basis has them."""
        assert self.book is not None
        return self.book

    def say(self, result: Any) -> Say:
        """How the things of a result are said: in its units, by its names."""
        return Say.of(result, self.more.get("units", "us"))


@dataclass(frozen=True)
class Topic:
    """A section as a command declares it: heading, blocks, and where it is a table of data its heads and rows."""

    heading: str | Callable[..., str]
    says: Callable[..., Iterable[Block]]  # blocks and rows are made from the result and how to say it
    heads: str = ""
    rows: Callable[..., Rows] = lambda *_: ()
    part: str = ""  # what a result calls it that did not work it out
    untold: Callable[[Any], str | None] = lambda _: None  # why it is refused: no rows would say that there is nothing
    beside: bool = False  # and from what was told beside it too

    def section(self, result: Any, told: Told) -> Section:
        """The section, or the reason why it was not worked out."""
        if self.part and (why := self.why_not(result)):
            return Section(self.part, (f"Not worked out: {why}.",))
        of = self._of(result, told)
        return Section(self.heading if isinstance(self.heading, str) else self.heading(*of), tuple(self.says(*of)))

    def data(self, result: Any, told: Told) -> Rows:
        """The rows of its table of data."""
        return self.rows(*self._of(result, told))

    def _of(self, result: Any, told: Told) -> tuple[Any, ...]:
        return (result, told.say(result), *[told] * self.beside)

    def why_not(self, result: Any) -> str | None:
        """Why it was not worked out."""
        return dict(result.untold).get(self.part) if self.part else self.untold(result)


REACH = Topic("Reach and blind spots", lengths.reach, lengths.SPANS, lengths.reach_rows)
LENGTHS = Topic("How many at once, by length", lengths.profiles, lengths.STRETCHES, lengths.profile_rows,
                part="how many at once, by length")  # fmt: skip
MATCHED = Topic("Matched sets", lengths.matched, lengths.MATCHED,
                lambda of, say: ((m.count, m.step, *cells.span(m.common, say)) for m in of.matched))  # fmt: skip
FINDINGS = Topic("Findings", lambda one, _: findings.together(one.findings), findings.FOUND,
                 lambda one, say: findings.rows(one.findings, say))  # fmt: skip
ENDING: dict[str, Topic] = {  # the last sections of every answer that has a basis
    "basis": Topic(
        "What this rests on", lambda one, _, told: basis.rests_on(one.basis, told.rules, told.read),
        cells.SETTINGS, lambda one, _, told: cells.settings(one.basis.settings, told.rules), beside=True,
    ),
    "caution": Topic("Caution", lambda *_: caution()),
}  # fmt: skip


def verb(command: str) -> Any:
    """The module of a command."""
    return import_module(f"cache_check.report.of_{command}")


def sections(command: str, view: View) -> tuple[str, ...]:
    """The sections shown, in the order of the page; AskError of one that there is not, or of more than one as CSV."""
    of = verb(command)
    known = [*getattr(of, "ALL_RIGS", ()), *of.SECTIONS]
    for name in view.show:
        if name not in (*known, ALL):
            hint = did_you_mean(name, known) or f"there are {', '.join(known)} and {ALL}"
            raise AskError(f"no section {name!r} of {command}; {hint}")
    whole = tables(of) if view.form in ("csv", "markdown") else known
    shown = tuple(name for name in known if name in view.show or (ALL in view.show and name in whole))
    if view.form == "csv" and len(shown) > 1:
        raise AskError("--format csv holds one table; name one section with --show")
    return shown


def tables(of: Any) -> dict[str, Topic]:
    """The sections of a command that are tables of data too."""
    return {name: one for name, one in {**getattr(of, "ALL_RIGS", {}), **of.SECTIONS}.items() if one.heads}


def answer(command: str, results: Sequence[Any], told: Told, view: View) -> str:
    """The text of the answer; AskError of a section that there is not, or that holds no table where one is wanted."""
    shown, of = sections(command, view), verb(command)
    if len(told.factors) > 1 and view.form != "json":
        results = shortly.titled(results, told.factors)
    if view.form == "json":
        from cache_check.report.as_json import as_json

        return as_json(command, results, told.book, told.read, told.counted, **told.more)
    if view.form != "table":
        return _data(of, shown, results, told, view.form)
    if not shown:
        several = len(results) > max(1, len(told.factors))
        parts = of.several(results, told) if several else of.short(results[0], told)
        if several:
            parts = (shortly.supposed(shortly.rests(one.basis) for one in results), *parts)
        elif len(results) > 1:
            parts = (*parts[:1], shortly.side_by_side(results, told.factors), *parts[1:])
        return as_lines((*parts, shortly.foot(of.SECTIONS)), width=view.width, colored=view.colored)
    rigs = getattr(of, "ALL_RIGS", {})
    together = [rigs[name].section(results[0], told) for name in shown if name in rigs and len(results) > 1]
    pages = [Page("All rigs together", tuple(together))] if together else []
    pages += [page(command, one, told, shown) for one in results if set(shown) - set(rigs)]
    text = "\n\n".join(as_table(one, view.width) for one in pages)
    return text if "caution" in shown else "\n".join((text, *wrapped(shortly.CAUTION, view.width), ""))


def page(command: str, result: Any, told: Told, shown: Sequence[str] | None = None) -> Page:
    """The sections of an answer, or those ``shown``, in their order; before all of them the short answer."""
    of = verb(command)
    made = [topic.section(result, told) for name, topic in of.SECTIONS.items() if shown is None or name in shown]
    if len(made) == len(of.SECTIONS) and made[0].heading != "In short":
        made.insert(0, shortly.section(of.short(result, told)))
    return Page(shortly.title(command, result), tuple(made))


def beside(results: Sequence[Any], told: Told) -> str:
    """What a table of data has no room for: what each answer rests on, and the caution."""
    heads = [line.text for one in results if hasattr(one, "basis") for line in shortly.head(one.title, one.basis).lines]
    return "\n".join([*heads, *said(told.counted)])


def _data(of: Any, shown: Sequence[str], results: Sequence[Any], told: Told, form: str) -> str:
    """Tables of sections, first whose each row is; AskError of a section without table, or not worked out."""
    texts, known = [], tables(of)
    if all(hasattr(one, "basis") for one in results):  # they share one head, so all are told in the units of the first
        results = [replace(one, basis=replace(one.basis, units=results[0].basis.units)) for one in results]
    for name in shown or (of.TABLE,):
        if name not in known:
            raise AskError(f"--show {name} holds no table; sections that do are {', '.join(known)}")
        topic, whose = known[name], hasattr(results[0], "title")
        for each in results:
            if why := topic.why_not(each):
                raise AskError(f"--show {name}: not worked out for {each.title}: {why}")
        rows = [((each.title,) if whose else ()) + row for each in results for row in topic.data(each, told)]
        texts.append(as_data("rig|" * whose + told.say(results[0]).heads(topic.heads), rows, form))
    return "\n".join(texts)
