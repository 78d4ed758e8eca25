"""The answer of ``audit``: the result, what the rig can still do, what costs most, one entry for each finding."""

from collections.abc import Iterator, Sequence

from cache_check.errors import grouped
from cache_check.model.audit import AuditFinding, AuditResult, Compared, Cost, Kept
from cache_check.model.counting import STEPS
from cache_check.model.finding import Finding
from cache_check.report import basis, cells, findings, shortly
from cache_check.report.answer import ENDING, Told, Topic
from cache_check.report.page import NOT_ASKED, Block, Line, Mark, Part, Points, Rows, Short
from cache_check.report.say import Say, counted, listed
from cache_check.report.tally import EACH_ALONE, beside, lead, met, met_of, open_links

SIDE_BY_SIDE = "Struts on each step, by the book and today: by the book as it stood on its day, today as counted."


def short(result: AuditResult, _: Told) -> Short:
    """The result; each need today; a line for each cause; what costs most; where it was kept."""
    say, one = Say.of(result), result.verdict
    policy = f" ({one.policy})" if one.policy else ""
    dearest = _dearest(result, say)
    needs = tuple(_need(compared, say) for compared in result.compared if compared.today.met is not None)
    kept_at = (Line("Kept", kept(result.kept)),) if result.kept else ()
    ahead = result.ahead
    number = counted(sum(one.number for one in ahead.falls), "piece") if ahead else ""
    falls = (Line("Ahead", f"{number} of those that count today out of use by {ahead.until}"),) if ahead else ()
    outcome = Line(one.outcome.upper(), f"{'; '.join(one.why)}{policy}", shortly.colour(one.outcome))
    made = result.count.book if result.count else ""  # what changed since is not on a sheet of another book
    old = f"made from another book, {made}; this one is {result.book}: print a new sheet"
    return (shortly.head(shortly.title("audit", result), result.basis),
            Part((outcome, *[Line("Count", old, "not known")] * (made not in ("", result.book)))), Part(needs, "needs"),
            Part(tuple(_causes(result)), "findings"), Part((Line("Costs most", dearest), *falls, *kept_at)),
            shortly.unknown(result.basis.unknown))  # fmt: skip


def rows(results: Sequence[AuditResult]) -> Part:
    """A line for each of several rigs: its result, and how many needs it meets as it was found."""
    lines = []
    for one in results:
        met = met_of((each.today for each in one.compared if each.today.verdict is not None), "needs met today")
        said = f"{one.verdict.outcome.upper()} {shortly.rig(one)}: {met}; {counted(len(one.findings), 'finding')}"
        lines.append(Line("", said, wide=True))
    return Part(tuple(lines))


def _need(one: Compared, say: Say) -> Line:
    book, today = one.book.best.count, one.today.best.count
    was = "" if book == today else f", {book} by the book"
    wants = f"; {say.wants(one.today.binding, 3)}" if one.today.verdict == "not met" else ""
    wants += "".join(f"; {text}" for text in open_links(one.today.links) if one.today.verdict == "not known")
    wants += beside(one.today.missing, why=True)
    wanted, step = one.today.wanted or 0, one.today.asked_step
    got = f"{today} of {wanted} {step}" if today <= wanted else f"{today} {step}, {wanted} wanted"
    return shortly.verdict(one.today.verdict or "not known", f"{one.label}: {got}{was}{wants}")


def _causes(result: AuditResult) -> Iterator[Line]:
    for together in causes(result):
        first, more = together[0].finding, f" (and {len(together) - 1} more)" if len(together) > 1 else ""
        mark: Mark = "not met" if first.severity in ("stop", "short") else ""
        yield Line(first.severity.capitalize(), f"{first.what}{more}: {first.remedy} ({rules_of(together)})", mark)


def causes(result: AuditResult) -> tuple[tuple[AuditFinding, ...], ...]:
    """The findings by cause (piece, lot, or a rule of the whole rig), gravest first, less what the result says."""
    found = (one for one in result.findings if one.finding.rule != result.verdict.policy)
    alike = grouped(((one.finding.part or one.finding.rule, one.finding.serial), one) for one in found)
    return tuple(map(tuple, alike.values()))


def rules_of(together: Sequence[AuditFinding]) -> str:
    """The rules that a cause touches."""
    return ", ".join(dict.fromkeys(one.finding.rule for one in together))


def needs_met(result: AuditResult) -> str:
    """How many needs are met by the book and today."""
    if not (asked := [one for one in result.compared if one.today.met is not None]):
        return "Needs: not asked."
    book, today = (met_of(each, "met") for each in zip(*((one.book, one.today) for one in asked), strict=True))
    return f"Needs, each by itself: by the book {book}, today {today}."


def _none_out(result: AuditResult) -> str:
    known = result.count is not None and not result.basis.unknown
    return "Nothing is out of use" if known else "Nothing that anybody knows of is out of use"


def _dearest(result: AuditResult, say: Say) -> str:
    if not result.costs:
        return _none_out(result)
    cost = result.costs[0]
    if untold := [one.untold for one in result.costs if one.untold]:
        return f"Not known of {counted(len(untold), 'piece')} or lot: {untold[0]}"
    if not any(cost.weight):
        return "No single finding costs a strut or a need"
    rule = f" ({cost.cause.rule})" if cost.cause.rule else ""
    return f"{_piece(cost, say)}, {cost.cause.why}{rule}; {price(cost)}"


def price(cost: Cost) -> str:
    """What a cause costs, in words."""
    if cost.untold:
        return f"what it costs is not known: {cost.untold}"
    gives = [f"{counted(cost.met_again, 'need')} met again"] * bool(cost.met_again)
    gives += [f"{counted(max(cost.back, default=0), 'strut')} back"] * bool(sum(cost.back))
    said = [f"mended alone: {', '.join(gives)}"] * bool(gives)
    said += [f"alone it takes {counted(max(cost.alone, default=0), 'strut')} from the book"] * bool(sum(cost.alone))
    return "; ".join(said) or "costs no strut by itself"


def _result(result: AuditResult, say: Say) -> Iterator[Block]:
    verdict, one = result.verdict, result.count
    policy = f" (policy {verdict.policy})" if verdict.policy else ""
    yield Points(f"Result: {verdict.outcome.upper()}{policy}", verdict.why)
    tally = findings.by_severity(one.finding for one in result.findings)
    costs = "Costs most: " if result.costs and any(result.costs[0].weight) else ""
    yield f"{needs_met(result)} Findings: {tally}. {costs}{_dearest(result, say)}."
    if one is None:
        yield Points("No count: the book as it stands is audited.", (f"book: {result.book}",))
        return
    made = f"the sheet was made from {one.book or 'a book not named'}"
    who = f"counted by: {one.by or 'nobody signed'}; second person: {one.second or 'nobody signed'}"
    book = f"book: {result.book} of {basis.day(result.book_on)}; {made}"
    yield Points("The count:", (f"count: {one.path or 'given'} of {basis.day(one.on)}", who, book))


def compared(result: AuditResult, say: Say, noted: bool = True) -> Iterator[Block]:
    """What it can do by the book and today; ``noted``: with what binds."""
    if not result.compared:
        yield "No length was asked and no assembly is legal."
        return
    needs = any(one.today.wanted is not None for one in result.compared)
    heads = ["need" if needs else "length"] + ["#wanted"] * needs + [f"#{step}" for step in STEPS] + ["met"] * needs
    yield f"{SIDE_BY_SIDE} {EACH_ALONE}"
    rows = []
    for one in result.compared:
        counts = (_both(one.book.count(step), one.today.count(step)) for step in STEPS)
        rows.append((one.label, *[one.today.wanted] * needs, *counts, *[_both(met(one.book), met(one.today))] * needs))
    yield say.table("|".join(heads), rows)
    if noted:
        notes = []
        for one in result.compared:
            label = one.label if one.today.vertical is None else lead(one.today, say)
            zero = (f"{step} 0 today: {why}" for step, why in one.today.why_zero)
            notes.append("; ".join([f"{label}: {say.wants(one.today.binding)}", *zero]))
        yield Points("What binds today:", tuple(notes))


def _compared_rows(result: AuditResult, _: Say) -> Rows:
    for one in result.compared:
        counts = (when.count(step) for step in STEPS for when in (one.book, one.today))
        (book, book_missing), (today, today_missing) = map(cells.verdicts, (one.book, one.today))
        yield one.label, one.today.wanted, *counts, book, today, book_missing, today_missing


def _both(book: int | str | None, today: int | str | None) -> str:
    said = [NOT_ASKED if one is None else str(one) for one in (book, today)]
    return said[0] if said[0] == said[1] else f"{said[0]}, now {said[1]}"


def _costs(result: AuditResult, say: Say) -> Iterator[Block]:
    if not result.costs:
        yield f"{_none_out(result)}."
        return
    yield "Struts are added up over the rows of the table above. The dearest is first."
    rows = (
        (_piece(one, say), one.cause.why, one.cause.rule or "none", *(["not known"] * 4 if one.untold else one.weight))
        for one in result.costs
    )
    yield say.table(f"piece|why|rule|{_WEIGHT}", rows)


def _cost_rows(result: AuditResult, say: Say) -> Rows:
    for one in result.costs:
        cause, weight = one.cause, [None] * 4 if one.untold else one.weight
        yield say.name(cause.part), cause.serial, cause.number, cause.why, cause.rule, *weight


def _piece(cost: Cost, say: Say) -> str:
    cause = cost.cause
    return f"{say.name(cause.part)} {cause.serial}" if cause.serial else f"{cause.number} x {say.name(cause.part)}"


def _findings(result: AuditResult, _: Say) -> Iterator[Block]:
    of = {one.finding: one for one in result.findings}

    def beside(found: Finding) -> str:
        tag = "; counted out: tag it" if found.severity == "stop" and of[found].contained else ""
        return tag + (f"; REPEAT: found on {of[found].times} days in a row" if of[found].times > 1 else "")

    return findings.together(of, beside)


def _ahead(result: AuditResult, say: Say) -> Iterator[Block]:
    ahead = result.ahead
    if ahead is not None and result.basis.unknown:
        yield Points("Not known today, so not told of here, and not fine:", result.basis.unknown)
    if ahead is None or not ahead.falls:
        yield "No piece that counts today falls due or expires." if ahead else 'Not asked; --ahead "12 months" does.'
        return
    yield "What falls out of use if nobody inspects or replaces it."
    rows = (
        (day, part, serial or f"{number} without serial", where or "unknown", why, rule)
        for day, part, serial, number, where, why, rule in _falls(result, say)
    )
    yield say.table("first day out|part|serial|place|why|rule", rows)
    lines = []
    for one, tally, (today, *later) in zip(result.compared, ahead.tallies, ahead.steps, strict=True):
        falls = [f"{count} from {day}" for day, count in later] or ["the same until then"]
        then = f"; {met(tally)} then" * (tally.met is not None)
        lines.append(f"{one.label}: {', '.join([f'{today[1]} today', *falls])}{then}")
    yield Points("What falls away then, struts on the step asked:", tuple(lines))


def _falls(result: AuditResult, say: Say) -> Rows:
    for one in result.ahead.falls if result.ahead else ():
        yield one.on.isoformat(), say.name(one.part), one.serial, one.number, one.where, one.why.text, one.rule


def kept(one: Kept) -> str:
    """Where an audit was kept; the hash is the receipt."""
    return f"Kept in {one.path} as entry {one.entry}. Receipt: {one.hash}"


def _kept(result: AuditResult, _: Say) -> tuple[str, str]:
    again = dict.fromkeys(one.finding.rule for one in result.findings if one.times > 1)
    where = kept(result.kept) if result.kept else "Not kept; --record FILE keeps it."
    return where, f"Found before: {listed(again, 'and') if again else 'none'}."


_WEIGHT = "#needs met again if mended|#struts back|#needs it alone loses|#struts it alone takes"
_BOTH = "|".join(f"#{step} {when}" for step in STEPS for when in ("by the book", "today"))
COMPARED = (
    f"need or length|#wanted|{_BOTH}|verdict by the book|verdict today|verdict with one missing by the book"
    "|verdict with one missing today"
)
TABLE = "findings"
SECTIONS: dict[str, Topic] = {
    "result": Topic("In short", _result),
    "needs": Topic("By the book and today", compared, COMPARED, _compared_rows),
    "costs": Topic("What each costs", _costs, f"part|serial|#pieces|why|rule|{_WEIGHT}", _cost_rows),
    "findings": Topic("Findings", _findings, findings.FOUND,
                      lambda one, say: findings.rows((each.finding for each in one.findings), say)),
    "ahead": Topic(lambda one, _: f"Ahead, until {one.ahead.until.isoformat()}" if one.ahead else "Ahead", _ahead,
                   "first day out|part|serial|#pieces|place|why|rule", _falls),
    "kept": Topic("Kept", _kept),
    **ENDING,
}  # fmt: skip
