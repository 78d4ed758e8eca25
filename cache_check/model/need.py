"""Needs: the struts a scene wants at once."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StrictInt, model_validator

from cache_check.model.record import Factor, Flag, Force, Length, Name, Record, Text, Word


class Need(Record):
    """How many struts, over which lengths, carrying what each.

    One length, or a range from ``shortest`` to ``longest`` that each strut must cover without rebuilding.
    ``factor`` None takes the policy's.  ``restrained`` False asks for no restraint.  ``contact`` is what the head
    stands against, as edge; None: not stated, so no head is judged by it.
    """

    id: Name
    count: Annotated[StrictInt, Field(ge=1, le=1000)]
    shortest: Length
    longest: Length
    load: Force | None = None
    factor: Factor | None = None
    restrained: Flag = True
    contact: Word | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _range_in_order(self) -> Need:
        if self.longest < self.shortest:
            raise ValueError("longest is shorter than shortest")
        return self


class Scene(Record):
    """Needs that hold at once.  Scenes are alternatives; ``weight`` says how often one is met."""

    id: Name
    title: Text = ""
    needs: tuple[Need, ...] = Field(min_length=1)
    weight: Annotated[StrictInt, Field(ge=1)] = 1


class Needs(Record):
    """A file of scenes."""

    title: Text = ""
    scenes: tuple[Scene, ...] = ()
    path: Text = ""
