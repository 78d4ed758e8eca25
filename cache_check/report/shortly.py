"""What short answers say alike: the head, what to do, what is not known, the way to the rest."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import chain
from typing import TYPE_CHECKING, Any

from cache_check.errors import grouped
from cache_check.model.counting import SceneAnswer, SceneServed, Tally
from cache_check.model.finding import Finding
from cache_check.model.result import Basis, CheckResult, PartLine, ReachResult
from cache_check.model.rule import RuleBook
from cache_check.model.verdict import Verdict
from cache_check.report.basis import changed, day, factors
from cache_check.report.page import REMINDER, Line, Mark, Part, Points, Section, Short
from cache_check.report.say import Say, counted, listed, ratio
from cache_check.report.tally import bracketed, had

if TYPE_CHECKING:
    from cache_check.model.staging import StageResult

CAUTION = "Planning aid, not a load rating: maker's chart, label, training and command come first."
_TITLES: Mapping[str, Callable[[Any], str]] = {
    "audit": lambda one: f"{one.title}: audit of {one.basis.on.isoformat()}",
    "build": lambda one: f"{one.title}: {Say.of(one).stack(one.verdict.parts)}",
    "buy": lambda one: f"{one.title}: what to buy",
    "check": lambda one: f"{one.title}: what it can build at once, and what it lacks",
    "history": lambda one: f"Record of audits: {one.path}",
    "load": lambda one: f"{one.title}: {one.situation.title or 'what a strut carries here'}",
    "reach": lambda one: f"{one.title}: what it reaches",
    "rules": lambda one: f"Rules in force, version {one.version}",
    "stage": lambda one: f"{one.title}: what to leave built",
}


def title(command: str, result: Any) -> str:
    """The head of the whole page of a command's answer; its title alone where the command says no more."""
    told = _TITLES.get(command)
    return told(result) if told else str(result.title)


def head(title: str, basis: Basis) -> Part:
    """Rig, book date, today, factor, and the rules that were changed."""
    factor = "" if basis.factor is None else f"; design factor {factors(basis)}"
    rules = f"; rules changed: {', '.join(found)}" if (found := tuple(changed(basis))) else ""
    changes = [one for one in basis.changes if one not in factor]
    supposed = f"; supposed: {', '.join(changes)}" if changes else ""
    supposed += f"; on somebody's word: {', '.join(what for what, _ in basis.on_word)}" if basis.on_word else ""
    return Part((Line("", f"{title}; {_dated(basis)}, today {day(basis.on)}{factor}{rules}{supposed}", wide=True),))


def rig(one: Any) -> str:
    """One of several rigs, as its line begins: the day of its book, and the design factor of what is said of it."""
    at = "" if one.basis.factor is None else f", at {factors(one.basis)}"
    return f"{one.title.removesuffix(f' at {ratio(one.basis.factor or Fraction())}')}, {_dated(one.basis)}{at}"


def _dated(basis: Basis) -> str:
    return f"counted {', '.join(dict.fromkeys(day(counted) for _, counted in basis.book_dates))}"


def rests(basis: Basis, *, factor: bool = False) -> tuple[tuple[str, str], ...]:
    """The day, the ``factor`` where no line says it, what is supposed and which rules are changed, under labels."""
    changes = *(("Supposed", one) for one in basis.changes), *(("Rules", one) for one in changed(basis))
    at = [("Factor", factors(basis))] if factor and basis.factor is not None else []
    return ("Today", day(basis.on)), *at, *changes, *(("On word", what) for what, _ in basis.on_word)


def supposed(several: Iterable[Iterable[tuple[str, str]]]) -> Part:
    """What several rigs rest on, each under its label once: a yes rests on it."""
    found = grouped(dict.fromkeys(chain.from_iterable(several))).items()
    return Part(tuple(Line(label, "changed: " * (label == "Rules") + ", ".join(said)) for label, said in found))


def foot(sections: Iterable[str]) -> Part:
    """One line of caution, and where to see more."""
    return Part((Line("Caution", CAUTION), Line("More", f"--show {', '.join(sections)} or all")))


def section(short: Short) -> Section:
    """A short answer as the first section of a whole page."""
    lines = [line for part in short for line in part.lines]
    items = tuple(f"{line.label}: {line.text}" if line.label else line.text for line in lines[1:])
    return Section("In short", (Points(lines[0].text, items), REMINDER))


def verdict(said: Verdict, text: str) -> Line:
    """A line that begins with a verdict."""
    return Line(said.upper(), text, said)


def colour(said: str) -> Mark:
    """The mark of a word that is no verdict: what is fine, what is not, and anything between."""
    return {"pass": "met", "yes": "met", "no": "not met", "out of service": "not met"}.get(said, "not known")  # type: ignore[return-value]


def free_first(parts: Iterable[PartLine], say: Say) -> tuple[Line, ...]:
    """What brings pieces back without buying anything, once for each remedy: fetch, find, look, inspect, mend."""
    free = (idle for part in parts for idle in part.idle if idle.free)
    alike = grouped(
        (one.remedy, f"{say.name(one.part)} ({one.serial or counted(one.number, 'piece')})") for one in free
    )
    return tuple(Line("Do now", f"free: {', '.join(pieces)}: {remedy}") for remedy, pieces in alike.items())


def todo(found: Sequence[Finding], book: RuleBook, say: Say, first: Sequence[Line] = ()) -> Part:
    """What to do now: what costs nothing first, then each cause of a grave finding once, with its remedy."""
    lines, kind_of = list(first), {one: rule.kind for one, rule in book.by_id.items()}
    # What a yes counts on (a mark, a V, a figure under policy's), and that a base wants mending, is never only at the
    # end of a page; verdicts and the worst loss say the kinds left out.
    too = {("above_mark", False), ("attachment_points", True)}  # whether of one piece
    kinds = ((one, (kind_of.get(one.rule), bool(one.serial))) for one in found)
    graves = (one for one, kind in kinds if one.severity in ("stop", "short") or kind in too)
    told = [one for one in graves if kind_of.get(one.rule) not in ("needs_met", "loss_of_one")]
    told = told or [one for one in found if kind_of.get(one.rule) in ("strap_narrow", "assumed_loads")]
    causes = grouped(((one.rule, one.remedy), one) for one in sorted(told, key=lambda one: one.order))
    for (rule, remedy), alike in causes.items():
        more = f" (and {len(alike) - 1} alike)" if len(alike) > 1 else ""
        lines.append(Line("Do now", f"{alike[0].what}{more}: {remedy} ({rule})", "not met"))
    return Part(tuple(lines), "findings")


def worst_loss(tallies: Sequence[Tally], say: Say) -> Part:
    """What hurts most when one piece is missing: the need that then is short, or loses most."""
    if not (hurt := [one for one in tallies if one.lost and one.count("one missing") is not None]):
        return Part(())
    unmet = [one for one in hurt if one.met and one.wanted and _left(one) < one.wanted]
    worst = min(unmet or hurt, key=lambda one: (_left(one) - (one.wanted or one.best.count), _left(one)))
    parts = listed(say.all_names(worst.lost))
    text = f"1 {parts} missing leaves {_left(worst)} of {worst.best.count} {worst.asked_step}: {worst.label}"
    return Part((Line("Worst loss", text),), "needs")


def _left(one: Tally) -> int:
    return one.count("one missing") or 0


def unknown(items: Sequence[str]) -> Part:
    """What nobody knows, a line for all of it."""
    return Part((Line("Not known", "; ".join(items), "not known"),)) if items else Part(())


def titled(results: Sequence[Any], factors: Sequence[Fraction]) -> list[Any]:
    """The results, each with its design factor in its title, so that no row of data loses it."""
    rigs = len(results) // len(factors)
    return [replace(one, title=f"{one.title} at {ratio(factors[n // rigs])}") for n, one in enumerate(results)]


def side_by_side(results: Sequence[Any], factors: Sequence[Fraction]) -> Part:
    """What every scene, need or length comes to at each factor: a line each, the strictest factor first."""
    lines: list[Line] = []
    for each in zip(*map(_answers, results), strict=True):
        said = "; ".join(f"at {ratio(factor)} {answer}" for factor, (_, answer) in zip(factors, each, strict=True))
        lines.append(Line("" if lines else "Factors", f"{each[0][0]}: {said}"))
    return Part(tuple(lines))


def _answers(result: "CheckResult | ReachResult | StageResult") -> Iterator[tuple[str, str]]:
    scenes: Sequence[SceneAnswer | SceneServed] = result.scenes if isinstance(result, CheckResult) else ()
    if not isinstance(result, CheckResult | ReachResult):
        scenes = [one.served for one in (result.staging.scenes if result.staging else ())]
    for one in scenes:
        yield one.title or one.scene, f"{one.verdict.upper()}, {had(one)}{bracketed(one.missing)}"
    if not scenes and isinstance(result, CheckResult | ReachResult):
        tallies = result.tallies if isinstance(result, CheckResult) else (result.at,) if result.at else ()
        yield from ((one.label, f"{one.best.count} {one.asked_step}") for one in tallies)
