"""The audit page.  Its first side: the result, a line for each cause with owner and date, and lines to sign."""

from collections.abc import Iterator, Sequence

from cache_check.model.audit import AuditFinding, AuditResult
from cache_check.report import basis, of_audit, shortly
from cache_check.report.answer import Told
from cache_check.report.page import Block, Cell, Points, plain, short, table
from cache_check.report.pages.shell import Part, Sheet, rests_on, to_sign
from cache_check.report.say import Say, counted

KIND, NAME, ORDER, OF = "audit", "Audit", 60, "audits"
ON_SIDE_ONE = 16  # causes that a side has room for above the lines to sign; of more the list comes after them
LONGEST = 220  # letters of what an inspector wrote, or a cause says, that a cell of a table holds
TO_SIGN = ("Inspector", "Second person", "Officer in charge")
UNCOUNTED = "Nobody counted: by the book alone."


def sheet(result: AuditResult, told: Told, _key: str) -> Sheet:
    """The page of one rig, and what the other sheets suppose of it and this one does not."""
    say, unsupposed = Say.of(result), dict(told.more["report"].unsupposed).get(result.name, ())
    many = len(of_audit.causes(result)) > ON_SIDE_ONE
    listed = (_signed(result), _to_do(result, say)) if many else (_to_do(result, say), _signed(result))
    ahead = of_audit.SECTIONS["ahead"].section(result, told)
    parts = (_result(result, unsupposed), *listed,
             Part("By the book and today", tuple(of_audit.compared(result, say, noted=False))), *_written(result, say),
             _findings(result), *([Part(ahead.heading, ahead.blocks)] if result.ahead is not None else []),
             rests_on(result.basis, told))  # fmt: skip
    return Sheet("audit", shortly.title("audit", result), basis.head(result.basis), parts, of=result.name)


def _result(result: AuditResult, unsupposed: Sequence[str]) -> Part:
    verdict = result.verdict
    uncounted = f"{UNCOUNTED} " if result.count is None else ""
    policy = f" ({verdict.policy})" if verdict.policy else ""
    why = tuple(short(one, LONGEST) for one in verdict.why)
    looked, blank = "", len(result.looked.blank)
    if result.count is not None:
        looked = f"{counted(blank, 'line')} not looked at, or not wholly." if blank else "Every line was looked at."
        looked += " Blank is not looked at, never fine."
    told = f"Not supposed here, since an audit is of what is there: {', '.join(unsupposed)}."
    result_is = Points(f"{uncounted}Result: {verdict.outcome.upper()}{policy}", why)
    return Part("Result", (result_is, *[looked] * bool(looked), *[told] * bool(unsupposed), of_audit.needs_met(result)))


def _to_do(result: AuditResult, say: Say) -> Part:
    rows: list[tuple[Cell, ...]] = []
    before = ""
    for number, together in enumerate(of_audit.causes(result), 1):
        remedy = together[0].finding.remedy
        rows.append((number, _what(together, say), "as above" if remedy == before else remedy, "", ""))
        before = remedy
    return Part("To put right", (table("#no|what|do|owner|done by", rows, "Nothing was found."),))


def _what(together: Sequence[AuditFinding], say: Say) -> str:
    first = together[0].finding
    said = "; ".join(one.finding.what for one in together if one.finding.rule == first.rule)
    again = max(one.times for one in together)
    repeat = f" Found on {again} days in a row." if again > 1 else ""
    where = f" ({first.where})" if first.where else ""
    return short(f"{first.severity.upper()} {of_audit.rules_of(together)}: {said}{where}.{repeat}", LONGEST)


def _signed(result: AuditResult) -> Part:
    uncounted = f"{UNCOUNTED} " if result.count is None else ""
    told = "Who signs has read every finding; what is blank was not looked at."
    blocks: list[Block] = [f"{uncounted}Result: {result.verdict.outcome.upper()}. {told}"]
    if result.count is not None:
        by, second = (plain(one) or "nobody" for one in (result.count.by, result.count.second))
        blocks.append(f"Counted {basis.day(result.count.on)} by: {by}; second person: {second}; book {result.book}.")
    receipt = f"entry {result.kept.entry}, {result.kept.hash}" if result.kept else "______________________________"
    return Part("Signed", (*blocks, f"Receipt of the record: {receipt}", to_sign(TO_SIGN, "date")))


def _written(result: AuditResult, say: Say) -> Iterator[Part]:
    rows = []
    for one in result.count.lines if result.count else ():
        said = "; ".join(filter(None, (one.state, one.condition, one.note)))
        if one.tag or said:
            texts = (short(plain(text), 90) for text in (one.where, one.tag, said, one.initials, one.second))
            rows.append((f"{say.name(one.part)} {one.serial}".rstrip(), *texts))
    if rows:
        yield Part("Written on the sheet", (table("piece|place|tag|condition, note|initials|second", rows),))


def _findings(result: AuditResult) -> Part:
    rows = [
        (f"{of.severity.upper()} {of.rule}", short(of.what, LONGEST), short(of.effect, LONGEST), costs,
         short(of.source, LONGEST))
        for one in result.findings
        for of, costs in ((one.finding, of_audit.price(one.cost) if one.cost else ""),)
    ]  # fmt: skip
    return Part("Findings", (table("rule|what|effect|costs|source", rows),))
