"""JSON Schemas of the files you write and of the answers in JSON."""

import click

from cache_check.cli.options import called
from cache_check.cli.output import emit


@called("schema", "schema cache > cache.schema.json")
@click.argument("name", required=False)
def command(name: str | None) -> None:
    """Print the JSON Schema called NAME, or the names when none is given.

    Files: cache, county, family and so on. Answers: check-answer and so on.
    """
    import json

    from cache_check.cli.input import nearest
    from cache_check.files import schema
    from cache_check.report import as_json

    known = schema.schemas() | {f"{command}-answer": one for command, one in as_json.schemas().items()}
    if name is None:
        emit("".join(f"{one}\n" for one in known))
    else:
        emit(json.dumps(known[nearest(name, known, "schema")], indent=2, ensure_ascii=False) + "\n")
