"""Pages that people write on: the count sheet, drawer by drawer, and the cards of an exercise with their key."""

from collections.abc import Sequence

from cache_check.model.cache import Source
from cache_check.model.count import BlankSheet
from cache_check.model.exercise import Card, ExerciseResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.page import REMINDER, Page, Points, Section, caution, table
from cache_check.report.say import UNKNOWN

ONLY = (
    "An exercise, for training: never act on a card at a scene. There the maker's current chart and label, training, "
    "local codes and incident command govern."
)
LETTERS = "abcdefgh"
LINES_TO_A_PAGE = 22
EXTRA_LINES = 6
HEADS = "place|part|serial|#book|found|usable|label ok|date seen|day on label|last day|points|pins ok|tag|by|second"
_TO_FILL = ("___",) * 11
_HOW = (
    "Write what you find, not what should be there. Blank is not looked at, never fine.",
    "Found, usable: how many; a tick for a serial. Pins ok: its pins and keepers are with it.",
    "Tag: the number of the tag you put on it. What is not on the book goes on the blank lines.",
    "By, second: initials of who counted it, and of the second person.",
)


def count_sheet(sheet: BlankSheet) -> Page:
    """The count sheet on paper: so many lines to a page, each page with its number."""
    rows: list[tuple[str, ...]] = []
    for line in sheet.lines:
        named = f"ready set {line.ready_set}" if line.ready_set else dict(sheet.names).get(line.part, line.part)
        book = UNKNOWN if line.book is None else str(line.book)
        serial = line.serial or ("held? ___" if line.ready_set else "lot")
        rows.append((line.place or "place unknown", named, serial, book, *_TO_FILL))
    rows += [("________", "________", "______", "0", *_TO_FILL)] * EXTRA_LINES
    pages = [rows[start : start + LINES_TO_A_PAGE] for start in range(0, len(rows), LINES_TO_A_PAGE)]
    sections = []
    for number, part in enumerate(pages, 1):
        which = f"Page {number} of {len(pages)}"
        sections.append(Section(which, (table(HEADS, part), f"{which}. {sheet.title}, book {sheet.book}.")))
    by = "counted by: ____________________  second person: ____________________"
    head = Points(f"Book {sheet.book} of {basis.day(sheet.book_date)}", ("counted on: ______________", by, *_HOW))
    return Page(f"{sheet.title}: count sheet", (Section("How to count", (head,)), *sections))


def cards(result: ExerciseResult) -> Page:
    """The questions with their choices, without the key."""
    asked = []
    for n, one in enumerate(result.cards, 1):
        choices = tuple(f"{letter}) {choice}" for letter, choice in zip(LETTERS, one.choices, strict=False))
        asked.append(Section(f"Card {n}", (Points(one.question, choices),)))
    first = Section("Exercise", (ONLY, *([result.short] if result.short else [])))
    return Page(f"{result.title}: exercise {result.seed}", (first, *asked))


def key(result: ExerciseResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The key, what shows it, and what all of it rests on."""
    right = (
        Points(f"Card {n}: " + "; ".join(f"{LETTERS[one]}) {card.choices[one]}" for one in card.right),
               (card.why, f"rests on: {card.rests}", f"ask: {card.command}"))
        for n, card in enumerate(result.cards, 1)
    )  # fmt: skip
    sections = (Section("Key", (ONLY, *right, REMINDER)),
                Section("What this rests on", tuple(basis.rests_on(result.basis, book, read))),
                Section("Caution", caution()))  # fmt: skip
    return Page(f"{result.title}: key of exercise {result.seed}", sections)


def letters(card: Card) -> str:
    """The letters of the right choices."""
    return " and ".join(LETTERS[n] for n in card.right)
