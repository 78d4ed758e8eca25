"""The sheet "needs": the struts that each scene wants at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.layout import YES_NO, Cells, Heading, Layout, entries, of_entry
from cache_check.files.workbook.sheet import Sheet

_OF_SCENE = (
    Heading("scene title", ("title",), note="in the first row of a scene", wide=28),
    Heading("weight", ("weight",), "number", "how often it is met, beside the others"),
)
_OF_NEED = (
    Heading("need", ("id",), note="its name within the scene", wide=16),
    Heading("count", ("count",), "number", "how many struts"),
    Heading("length", ("length",), "length", "one length, or from and to"),
    Heading("from", ("from",), "length", "each strut covers from"),
    Heading("to", ("to",), "length", "to this, without rebuilding"),
    Heading("load", ("load",), "force", "what each strut must carry, along it"),
    Heading("vertical", ("vertical",), "force", "or upright, with height and angle"),
    Heading("height", ("height",), "length", "of the contact over the base"),
    Heading("angle", ("angle",), "value", "of the strut from the horizontal"),
    Heading("factor", ("factor",), "factor", "design factor, as 2; blank is the policy's"),
    Heading("restrained", ("restrained",), "flag", "no asks for no restraint", YES_NO),
    Heading("contact", ("contact",), note="what the head stands against, as edge; blank is not stated"),
    Heading("far anchors", ("far_anchors",), "value", note="vertical: structure, or what each holds, as 5000 lbf"),
    Heading("anchor distance", ("anchor_distance",), "length", "vertical: from base to far anchor"),
    Heading("soil", ("soil",), "value", "vertical: what the ground bears"),
    Heading("note", ("note",), wide=24),
)


class _Scenes(Layout):
    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        """Put each row into the scene that it names or goes on with."""
        for scene, row in sheet.going_on("scene", "write its name, or clear the row"):
            route = (*at, scene)
            if not draft.has(route):
                draft.put(route, {"needs": []}, row.at("scene"))
            for heading in _OF_SCENE:
                what = f"{heading.head!r} is not what an earlier row of this scene says"
                sheet.put_once(draft, (*route, *heading.route), row, heading, what, "write it in the first row only")
            if any(heading in row.spots for heading in _OF_NEED):
                need = (*route, "needs", draft.count((*route, "needs")))
                draft.put(need, {}, row.at("need"))
                row.put(draft, need, _OF_NEED)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each need of every scene."""
        for name, scene in entries(data).items():
            first = {"scene": name} | of_entry(scene, _OF_SCENE)
            for need in scene["needs"]:
                yield first | of_entry(need, _OF_NEED)
                first = {"scene": name}


LAYOUT = _Scenes(
    "needs",
    "The struts that a scene wants at once. Scenes are alternatives.",
    (
        Heading("scene", (), note="its short name; blank goes on with the one above", wide=16),
        *_OF_SCENE,
        *_OF_NEED,
    ),
)
