"""One family of errors, each of which renders itself in lines a person can act on; and how what is alike is told.

Nothing here knows the command line.  The door turns ``CacheCheckError.exit_status`` into the exit status.
"""

from collections import Counter
from collections.abc import Hashable, Iterable
from typing import TypeVar

from cache_check.frozen import dataclass

Key = TypeVar("Key", bound=Hashable)
Member = TypeVar("Member")


@dataclass(frozen=True)
class Mistake:
    """One thing wrong in what a person wrote: where, what, and what would be right."""

    file: str
    what: str
    right: str = ""
    route: str = ""
    line: int = 0  # from 1, as is the column; 0: the place is not known
    column: int = 0
    shown: str = ""  # the source line
    cell: str = ""  # in words, of a mistake in a sheet; line and column then only sort

    @property
    def place(self) -> str:
        """The file, and the cell, or the line and column, where they are known."""
        if self.cell:
            return f"{self.file}: {self.cell}"
        column = f":{self.column}" if self.column else ""
        return f"{self.file}:{self.line}{column}" if self.line else self.file

    def __str__(self) -> str:
        route = f" {self.route}:" if self.route else ""
        text = f"{self.place}:{route} {self.what}"
        if self.right:
            text += f"; {self.right}"
        if self.shown:
            number = str(self.line)
            text += f"\n  {number} | {self.shown}"
            if self.column:
                text += f"\n  {' ' * len(number)} | {' ' * (self.column - 1)}^"
        return text


class NotReadError(ValueError):
    """A value that cannot be read as what it should be: what is wrong, and what would be right."""

    def __init__(self, what: str, right: str = "") -> None:
        super().__init__(f"{what}; {right}" if right else what)
        self.what, self.right = what, right


class CacheCheckError(Exception):
    """Anything this program refuses to do, said in words."""

    exit_status = 3


class InputError(CacheCheckError):
    """What a person wrote cannot be read as they meant it.  Carries every mistake found, in file order."""

    exit_status = 2

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("\n".join(str(mistake) for mistake in self.mistakes))


def refused(file: object, what: str, right: str = "", line: int = 0) -> InputError:
    """An error of one mistake, about a whole file or one line of it."""
    return InputError([Mistake(str(file), what, right, line=line)])


def listed(names: Iterable[str], last: str = "or") -> str:
    """Names as a list in a sentence: "a, b or c"; "none" where there is none."""
    *more, end = list(names) or ["none"]
    return f"{', '.join(more)} {last} {end}" if more else end


def grouped(pairs: Iterable[tuple[Key, Member]]) -> dict[Key, list[Member]]:
    """What has one key together, keys and members in the order in which they come."""
    found: dict[Key, list[Member]] = {}
    for key, member in pairs:
        found.setdefault(key, []).append(member)
    return found


def summed(pairs: Iterable[tuple[Key, int]]) -> Counter[Key]:
    """The numbers of one key added up, keys in the order in which they come."""
    sums = Counter[Key]()
    for key, number in pairs:
        sums[key] += number
    return sums


_OPPOSITE = ("un", "in", "il", "non", "non-", "not", "not ")


def did_you_mean(text: str, names: Iterable[str]) -> str:
    """A question with the nearest of the names, or nothing when none is near, or it says the opposite."""
    from difflib import get_close_matches

    said = text.casefold().replace("_", "-")
    by_fold = {name.casefold().replace("_", "-"): name for name in names}
    # "illegible" is not meant as "legible".
    like = [name for name in by_fold if not (name and said.endswith(name) and said.removesuffix(name) in _OPPOSITE)]
    close = get_close_matches(said, like, n=1)
    if close and by_fold[close[0]] == text:
        return f"write {text}, a number, without quotes"
    return f"did you mean {by_fold[close[0]]!r}?" if close else ""


class AskError(CacheCheckError):
    """A question that cannot be answered as asked: an unknown part, a length that is not one."""

    exit_status = 2


class NoPlanError(CacheCheckError):
    """No proven plan: none exists, or a limit was reached first.  The sentence says which."""

    exit_status = 4
