"""The sheet "types": each design of part once, however many there are."""

from __future__ import annotations

from cache_check.files.workbook.layout import YES_NO, Heading, Layout

_KINDS = ("body", "extension", "adapter", "fitting", "pin", "strap", "chain", "hardware", "pad")
LAYOUT = Layout(
    "types",
    "Part types: each design of part once, however many you have. Fill in only what its kind has.",
    (
        Heading("type", ("type",), note="a short name of your own", wide=18),
        Heading("kind", ("kind",), note="what it is in a strut", choices=_KINDS),
        Heading("family", ("family",), note="a family listed, if the part is not this cache's own"),
        Heading("title", ("title",), note="what people call it", wide=22),
        Heading("closed", ("closed",), "length", "body: shortest effective length"),
        Heading("open", ("open",), "length", "body: longest effective length that keeps the minimum insertion"),
        Heading("pull apart", ("pull_apart",), "length", "body: where the inner tube leaves, if you know it"),
        Heading("lock", ("lock",), note="body: how it locks", choices=("collar", "holes", "pin only", "unknown")),
        Heading("hole pitch", ("holes", "pitch"), "length", "body that locks at holes: from hole to hole"),
        Heading("first hole", ("holes", "first"), "length", "its first setting, if not its closed length"),
        Heading("fine screw", ("holes", "fine"), "length", "travel of a fine screw above each hole"),
        Heading("length", ("length",), "length", "extension, adapter: what it adds; strap, chain: how long it is"),
        Heading("adds", ("adds",), "length", "fitting: what it adds to the strut"),
        Heading("serves", ("serves",), "list", "fitting: base, head, or base; head"),
        Heading(
            "points", ("points",), "points", "fitting: how many attachment points, or the limit of each: 3000; 3000"
        ),
        Heading("mass", ("mass",), "mass", "what one piece weighs"),
        Heading("wll", ("wll",), "force", "strap, chain, hardware: the working load limit on its label"),
        Heading("size", ("size",), "length", "strap: width; chain: size of the link"),
        Heading("grade", ("grade",), "number", "chain: grade; blank is unmarked", ("30", "43", "70", "80", "100")),
        Heading(
            "takes into use",
            ("needs",),
            "pieces",
            "strap, chain: its hardware, as 1 binder; 2 hook; or nothing",
            wide=18,
        ),
        Heading("lower end", ("lower", "connector"), note="connector, if not the family's; may end in plug or socket"),
        Heading("lower takes", ("lower", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("upper end", ("upper", "connector"), note="connector, if not the family's"),
        Heading("upper takes", ("upper", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("either way up", ("either_way_up",), "flag", "whether it may be turned", YES_NO),
        Heading("end", ("end", "connector"), note="fitting: connector, if not the family's"),
        Heading("end takes", ("end", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("contacts", ("contacts",), "list", "fitting: what it may touch, as edge; flat; hole; chain"),
        Heading("index", ("index",), note="fitting: how it must be turned to lock"),
        Heading("footprint length", ("footprint", "length"), "length", "what stands on the ground"),
        Heading("footprint width", ("footprint", "width"), "length", "what stands on the ground"),
        Heading("failure load", ("strength", "failure_load"), "force", "of the part itself, if its sheet states it"),
        Heading("rated load", ("strength", "rated_load"), "force", "or this, with its factor"),
        Heading("rated at factor", ("strength", "factor"), "factor", "the design factor of the rated load"),
        Heading("sure", ("sure",), "flag", "yes if unlikely figures are right as they stand", YES_NO),
        Heading("why sure", ("why",), note="who looked, and where it says so", wide=18),
        Heading("note", ("note",), note="anything else", wide=24),
    ),
)
