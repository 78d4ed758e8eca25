"""The common base of everything a person writes, and the field types they share; quantities are in ``quantities``."""

from typing import Annotated, Any, Self, cast

from pydantic import BaseModel, ConfigDict, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import SkipJsonSchema
from pydantic_core.core_schema import CoreSchema, bool_schema, int_schema, str_schema


class Ready:
    """Says how a field is read outright: pydantic takes a third longer to work that out from type and constraints.

    ``shown`` is what a JSON Schema says of it, where that too is said outright.
    """

    def __init__(self, schema: CoreSchema, shown: dict[str, Any] | None = None) -> None:
        self._schema, self._shown = schema, shown

    def __get_pydantic_core_schema__(self, _source: object, _handler: object) -> CoreSchema:
        return cast("CoreSchema", {**self._schema})

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return handler(schema) if self._shown is None else {**self._shown}


class Record(BaseModel):
    """A frozen record that refuses fields it does not know; a bare number stands for its text (``serial: 4711``)."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True, coerce_numbers_to_str=True
    )

    def changed(self, **fields: Any) -> Self:
        """A copy with some fields replaced by valid values; nothing worked out from the old ones is kept."""
        made = self.model_copy(update=fields)
        for worked_out in vars(made).keys() - type(self).model_fields.keys():
            del vars(made)[worked_out]
        return made


Count = Annotated[int, Ready(int_schema(strict=True, ge=0))]
MOST_PIECES = 10_000  # more pieces of one part than this are on no rig: a slip of typing, and nothing to reckon with
Pieces = Annotated[int, Ready(int_schema(strict=True, ge=0, le=MOST_PIECES))]
Flag = Annotated[bool, Ready(bool_schema(strict=True))]
Name = Annotated[str, Ready(str_schema(strip_whitespace=True, min_length=1, max_length=200))]
Placed = Annotated[Name, SkipJsonSchema()]
"""A name that the place of an entry in its file supplies, so that nobody writes it."""
Word = Annotated[str, Ready(str_schema(strip_whitespace=True, to_lower=True, min_length=1, max_length=200))]
"""A kind of thing, which is the same whether or not it is written with a capital."""
Text = Annotated[str, Ready(str_schema(max_length=10_000))]


class Answering(Record):
    """A record whose figures may look wrong.  ``sure`` answers, with ``why``, for those that rules call unlikely."""

    sure: Flag = False
    why: Text = ""

    @model_validator(mode="after")
    def _for_a_reason(self) -> Self:
        if self.sure and not self.why.strip():
            raise ValueError("sure: true must be answered for; write the reason as why")
        return self

    def answer(self) -> str:
        """Why figures that look wrong are right; "" where nobody answers for them."""
        return self.why.strip() if self.sure else ""
