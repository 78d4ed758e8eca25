"""Rules as data: entries, the settings that change them, and the book that answers what is in force.

A rule's own entry says what type each parameter has and which way is stricter; the code of its kind
only reads the value.  A setting changes a rule for one family, one rig, or everywhere.
"""

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import cache, cached_property, reduce
from types import SimpleNamespace
from typing import Annotated, Any, Literal, get_args

from pydantic import Field

from cache_check.model.record import Flag, Name, Record, Text
from cache_check.units import System, show

Severity = Literal["stop", "short", "watch", "note"]
SEVERITIES: tuple[Severity, ...] = get_args(Severity)
ParameterType = Literal["count", "length", "force", "mass", "angle", "pressure", "ratio", "days", "switch", "words"]
Stricter = Literal["lower", "higher", "on", "off", "fewer", "more"]
Limit = tuple[str, str, str, int, Annotated[int, Field(gt=0)]]
"""What is asked: by which rule, of which family ("": of one that sets nothing itself), of what, and how strictly.

How strictly is a fraction, by numerator and denominator, that is the greater the stricter.
"""
_STRICTER: dict[Stricter, Callable[[Any, Any], Any]] = {
    "lower": min,
    "higher": max,
    "on": lambda one, two: one or two,
    "off": lambda one, two: one and two,
    "fewer": lambda one, two: tuple(word for word in one if word in two),
    "more": lambda one, two: tuple(dict.fromkeys((*one, *two))),
}


class Parameter(Record):
    """A parameter: its type, its value in base units, which way is stricter, and what it can never be under or over.

    "lower" and "higher" order numbers, "on" and "off" switches; "fewer" keeps words of both lists, "more" of either.
    """

    type: ParameterType
    value: Any
    stricter: Stricter
    least: int | None = None
    most: int | None = None
    about: Text = ""


class Rule(Record):
    """One rule: one id, title, why, source, kind; a ``fixed`` one is of what a strut is, never off or softened."""

    id: Name
    title: Name
    on: Flag = True
    why: Name
    severity: Severity
    source: Name
    kind: Name
    parameters: dict[Name, Parameter] = Field(default_factory=dict)
    remedy: Name
    since: Name
    fixed: Flag = False


class Setting(Record):
    """A change to one rule: switched on or off, another severity, other values; by whom and why."""

    rule: Name
    on: Flag | None = None
    severity: Severity | None = None
    values: dict[Name, Any] = Field(default_factory=dict)
    by: Name
    why: Text = ""
    family: Name | None = None  # limits where it holds, as does a rig; both None: everywhere
    rig: Name | None = None


class RuleBook(Record):
    """The rules in force, with every setting that changed them.

    A family's setting replaces the entry's value for assemblies that use the family (its sheet governs).
    A rig's setting replaces both on that rig.  A setting for everywhere replaces all.  Where several
    families or several rigs speak at once, the stricter wins.  What is asked of no family in particular is asked of
    all those of the cache, ``families``: the stricter again, so that no family's own limit is lost.
    """

    version: Name
    rules: tuple[Rule, ...]
    settings: tuple[Setting, ...] = ()
    rigs: tuple[Name, ...] = ()
    families: tuple[Name, ...] = ()

    def settled(self, settings: tuple[Setting, ...], rigs: tuple[str, ...], families: tuple[str, ...]) -> "RuleBook":
        """The same rules with these settings; what was worked out for the rig before is kept where it holds."""
        made = self.changed(settings=settings, rigs=rigs, families=families)
        for last in self._known.last:
            # What a rig is called makes no difference where nothing is set of a rig.
            if (settings, families) == (last.settings, last.families) and all(one.rig is None for one in settings):
                vars(made)["_known"] = last._known
        self._known.last[:] = [made]
        return made

    @cached_property
    def _known(self) -> SimpleNamespace:
        """What is in force, worked out once: a packing asks alike thousands of times.  ``last`` was settled last."""
        return SimpleNamespace(ruled=cache(self._ruled), value=cache(self._value), on=cache(self._on), last=[])

    @cached_property
    def by_id(self) -> dict[str, Rule]:
        """Rules by id, in the order of their files."""
        return {rule.id: rule for rule in self.rules}

    @cached_property
    def _by_kind(self) -> dict[str, tuple[Rule, ...]]:
        found: dict[str, tuple[Rule, ...]] = {}
        for rule in self.rules:
            found[rule.kind] = (*found.get(rule.kind, ()), rule)
        return found

    def of_kind(self, kind: str) -> tuple[Rule, ...]:
        """The rules of a kind, on or off."""
        return self._by_kind.get(kind, ())

    def in_force(self, kind: str, families: Iterable[str] | None = None) -> tuple[Rule, ...]:
        """The rules of a kind that are on for what uses ``families`` (None: for any of the cache's)."""
        return tuple(rule for rule in self.of_kind(kind) if self.is_on(rule.id, families))

    def ruled(self, kind: str, parameter: str, families: Iterable[str] | None = None, default: Any = None) -> Any:
        """The strictest value in force of a parameter of the rules of a kind; ``default`` where none of them is on."""
        found = self._known.ruled(kind, parameter, None if families is None else tuple(families))
        return found[0] if found else default

    def _ruled(self, kind: str, parameter: str, families: tuple[str, ...] | None) -> tuple[Any, ...]:
        """The strictest value, in a tuple, or nothing."""
        if not (rules := self.in_force(kind, families)):
            return ()
        way = rules[0].parameters[parameter].stricter
        return (_strictest([self.value(rule.id, parameter, families) for rule in rules], way),)

    def value(self, rule: str, parameter: str, families: Iterable[str] | None = None) -> Any:
        """The value in force of a parameter for what uses ``families`` (None: any of the cache's), in base units."""
        return self._known.value(rule, parameter, self._meant(families))

    def _value(self, rule: str, parameter: str, meant: tuple[str, ...]) -> Any:
        spec = self.by_id[rule].parameters[parameter]
        return self._in_force(rule, spec.value, spec.stricter, lambda one: one.values.get(parameter), meant)

    def is_on(self, rule: str, families: Iterable[str] | None = None) -> bool:
        """Whether a rule is in force for ``families`` (None: any of the cache's); one of at least 0 straps is off."""
        return bool(self._known.on(rule, self._meant(families)))

    def _on(self, rule: str, meant: tuple[str, ...]) -> bool:
        asked = self.by_id[rule].parameters
        least = all(one.type == "count" and one.stricter == "higher" for one in asked.values())
        nothing = bool(asked) and least and not any(self.value(rule, name, meant) for name in asked)
        said = self._in_force(rule, self.by_id[rule].on, "on", lambda setting: setting.on, meant)
        return bool(said) and not nothing

    def _meant(self, families: Iterable[str] | None) -> tuple[str, ...]:
        return self.families if families is None else tuple(families)

    def severity(self, rule: str) -> Severity:
        """The severity in force of a rule: the gravest that any setting gives, else its own."""
        said = [s.severity for s in self.settings if s.rule == rule and s.severity is not None]
        return min(said, key=SEVERITIES.index) if said else self.by_id[rule].severity

    @property
    def limits(self) -> Iterator[Limit]:
        """All that is asked of a family that sets nothing itself, and of each that does, to be compared another day."""
        own = dict.fromkeys(one.family for one in self.settings if one.family is not None)
        for rule in self.rules:
            for family in ("", *own):
                asked = {"severity": Fraction(-SEVERITIES.index(self.severity(rule.id)))}
                asked["on"] = Fraction(self.is_on(rule.id, (family,)))
                for name, one in rule.parameters.items():
                    sign = -1 if one.stricter in ("lower", "off", "fewer") else 1
                    value = self.value(rule.id, name, (family,))
                    words = {f"{name} {word}": 1 for word in value} if isinstance(value, tuple) else {name: value}
                    asked |= {word: sign * Fraction(number) for word, number in words.items()}
                yield from ((rule.id, family, name, *one.as_integer_ratio()) for name, one in asked.items())

    def contested(self) -> tuple[str, ...]:
        """Where rigs differ on a parameter: what holds on each, and the stricter value that is used."""
        said: list[str] = []
        if all(one.rig is None for one in self.settings):
            return ()
        bare = self.changed(settings=tuple(one for one in self.settings if one.rig is None))
        for rule in self.rules:
            for name, parameter in rule.parameters.items():
                mine = [one for one in self.settings if one.rule == rule.id and name in one.values]
                rigs = {one.rig: one.values[name] for one in mine if one.rig is not None}
                if not rigs or any(one.rig is None and one.family is None for one in mine):
                    continue
                own = bare.value(rule.id, name)
                values = {rig: rigs.get(rig, own) for rig in self.rigs or tuple(rigs)}
                if len(set(values.values())) > 1:
                    shown = "; ".join(f"rig {rig} says {_worded(value, parameter)}" for rig, value in values.items())
                    used = _worded(self.value(rule.id, name), parameter)
                    said.append(f"{rule.id} {name}: {shown}; the stricter, {used}, is used")
        return tuple(said)

    def _in_force(self, rule: str, own: Any, way: Stricter, read: Any, families: tuple[str, ...]) -> Any:
        mine = [(s, read(s)) for s in self.settings if s.rule == rule and read(s) is not None]
        if everywhere := [value for s, value in mine if s.rig is None and s.family is None]:
            return everywhere[-1]
        of_family = {s.family: value for s, value in mine if s.family is not None}
        base = _strictest([of_family.get(family, own) for family in families] or [own], way)
        of_rig = {s.rig: value for s, value in mine if s.rig is not None}
        return _strictest([of_rig.get(rig, base) for rig in self.rigs or tuple(of_rig)], way) if of_rig else base


def _strictest(values: list[Any], way: Stricter) -> Any:
    return reduce(_STRICTER[way], values)


def _worded(value: Any, parameter: Parameter) -> str:
    if parameter.type in ("length", "force", "mass", "pressure"):
        us, si = (show(value, parameter.type, system, "nearest") for system in get_args(System))
        return f"{us} ({si})"
    return " or ".join(value) if isinstance(value, tuple) else str(value)
